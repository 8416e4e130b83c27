//! A sheet for the plain pictures: words that keep their lines, arrows, shapes, a height that grows.

use super::{Foot, Setting, Subject};
use crate::geometry::{Point, at};
use crate::marks::sheet::{Area, frame, ground, shortened, title_block};
use crate::scene::{Anchor, Circle, Fill, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, wrapped};

/// Blank edge of the sheet [mm].
pub const EDGE: f64 = 5.0;
/// From base line to base line, in parts of the em.
const LEADING: f64 = 1.35;
/// Height of the title block: three rows [mm].
const BLOCK: f64 = 3.0 * 10.6;

/// A sheet while it is drawn.
pub struct Canvas {
    setting: Setting,
    /// Width of the sheet [mm].
    pub width: f64,
    /// What has been drawn, from back to front.
    pub items: Vec<Item>,
}

/// The pen of what is decided.
pub const INK: Stroke = Stroke::solid(Tone::Ink, line::NORMAL);
/// The pen of what is measured.
pub const PENCIL: Stroke = Stroke::solid(Tone::Pencil, line::THIN);

impl Canvas {
    /// A sheet for a setting.
    #[must_use]
    pub fn new(setting: &Setting) -> Self {
        Self { setting: setting.clone(), width: setting.width, items: Vec::new() }
    }

    /// The width between the edges.
    #[must_use]
    pub fn inner(&self) -> f64 {
        self.width - 2.0 * EDGE
    }

    /// Anything.
    pub fn put(&mut self, item: impl Into<Item>) {
        self.items.push(item.into());
    }

    /// A line through points.
    pub fn line(&mut self, points: &[Point], stroke: Stroke) {
        self.put(Path::line(points, stroke));
    }

    /// A rectangle by its left upper corner.
    pub fn rect(
        &mut self,
        corner: Point,
        (width, height): (f64, f64),
        stroke: Option<Stroke>,
        fill: Fill,
    ) {
        self.put(Rect { corner, width, height, round: 0.0, stroke, fill });
    }

    /// A circle.
    pub fn circle(&mut self, centre: Point, radius: f64, stroke: Option<Stroke>, fill: Fill) {
        self.put(Circle { centre, radius, stroke, fill });
    }

    /// One line of small words, its middle at the height of the place.
    pub fn word(&mut self, place: Point, text: &str, anchor: Anchor, tone: Tone) {
        let label = Label::new(place, text, size::SMALL).tone(tone).anchored(anchor).levelled();
        self.put(label.rimmed(Tone::Paper));
    }

    /// The same in bold.
    pub fn strong(&mut self, place: Point, text: &str, anchor: Anchor, tone: Tone) {
        let label = Label::new(place, text, size::SMALL).tone(tone).anchored(anchor).levelled();
        self.put(label.bold().rimmed(Tone::Paper));
    }

    /// Words in as many lines as they need from a place down; where the next line would begin.
    pub fn words(&mut self, place: Point, width: f64, text: &str, weight: Weight) -> f64 {
        let mut y = place.y;
        for text in wrapped(text, width, size::SMALL, weight) {
            // A single word wider than its room is shortened rather than cut by the edge.
            let text = shortened(&text, width, size::SMALL);
            let mut label = Label::new(at(place.x, y + size::SMALL * 0.8), &text, size::SMALL);
            label.weight = weight;
            self.put(label.rimmed(Tone::Paper));
            y += size::SMALL * LEADING;
        }
        y
    }

    /// An arrow of a width, its head at the end.
    pub fn arrow(&mut self, from: Point, to: Point, width: f64, tone: Tone) {
        let length = from.distance(to).max(1e-6);
        let head = (width * 2.2 + 1.6).min(length);
        let (ux, uy) = ((to.x - from.x) / length, (to.y - from.y) / length);
        let neck = to.moved(-ux * head, -uy * head);
        let (nx, ny) = (-uy, ux);
        let half = width * 0.9 + 0.9;
        self.line(&[from, neck], Stroke { tone, width, dash: crate::scene::Dash::Solid });
        let shape = [to, neck.moved(nx * half, ny * half), neck.moved(-nx * half, -ny * half)];
        self.put(Path::shape(&shape, None, Fill::Flat(tone)));
    }

    /// The finished sheet, this high without what stands at its foot.
    #[must_use]
    pub fn finish(
        self,
        subject: &Subject<'_>,
        sheet: &str,
        description: &str,
        height: f64,
    ) -> Scene {
        let rig = &subject.design.rig;
        let block = self.setting.foot == Foot::TitleBlock;
        let height = height + if block { BLOCK + EDGE } else { 0.0 } + EDGE;
        let area = |inset: f64| Area {
            corner: at(inset, inset),
            width: self.width - 2.0 * inset,
            height: height - 2.0 * inset,
        };
        let mut items = vec![ground(area(0.0)), frame(area(1.5))];
        items.extend(self.items);
        if block {
            let width = (self.width - 2.0 * EDGE).min(110.0);
            let corner = at(self.width - EDGE - width, height - EDGE - BLOCK);
            let cells = [
                ("rig", rig.name.as_str()),
                ("sheet", sheet),
                ("scale", "none"),
                (
                    "units",
                    if rig.units == engine::units::show::UnitSystem::Us {
                        "inches"
                    } else {
                        "metric"
                    },
                ),
                ("stage", subject.stage_name()),
                ("revision", rig.revision.as_deref().unwrap_or("not given")),
            ];
            items.push(title_block(corner, width, &cells).0.into());
        }
        Scene {
            id: self.setting.id,
            title: format!("{}: {sheet}", rig.name),
            description: description.to_owned(),
            width: self.width,
            height,
            view: None,
            items,
        }
    }
}

//! The board a template is drawn on: millimetres of the part, x to the right and y up.

use crate::dxf::Layer;
use crate::geometry::{Corners, Point, View, at};
use crate::marks::measure::dimension;
use crate::pictures::plan::measured;
use crate::pictures::room::{Room, around};
use crate::scene::{Anchor, Arc, Circle, Fill, Group, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::units::Length;
use engine::units::show::UnitSystem;

/// Room around the part for its measures and words [mm].
const AROUND: f64 = 18.0;

/// The word at every place that the owner has still to choose.
pub(super) const DECIDE: &str = "decide";

/// Whether a place is the owner's or this tool's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// The owner said so, or it follows from what the owner said.
    Ink,
    /// Placed by a rule until the owner decides.
    Pencil,
}

impl Standing {
    pub(super) const fn stroke(self) -> Stroke {
        match self {
            Self::Ink => Stroke::solid(Tone::Ink, line::NORMAL),
            Self::Pencil => Stroke::dashed(Tone::Pencil, line::NORMAL, 2.0),
        }
    }

    const fn tone(self) -> Tone {
        match self {
            Self::Ink => Tone::Ink,
            Self::Pencil => Tone::Pencil,
        }
    }
}

/// A word that looks for its place beside something.
struct Word {
    near: Corners,
    text: String,
    tone: Tone,
}

/// A template while it is drawn.
pub(super) struct Draft {
    width: f64,
    height: f64,
    units: UnitSystem,
    cut: Vec<Item>,
    drill: Vec<Item>,
    mark: Vec<Item>,
    words: Vec<Word>,
    taken: Vec<Corners>,
}

impl Draft {
    /// A board for a part of this size.
    pub(super) const fn new(width: Length, height: Length, units: UnitSystem) -> Self {
        Self {
            width: width.as_mm(),
            height: height.as_mm(),
            units,
            cut: Vec::new(),
            drill: Vec::new(),
            mark: Vec::new(),
            words: Vec::new(),
            taken: Vec::new(),
        }
    }

    /// A place of the part on the sheet.
    pub(super) const fn place(&self, x: f64, y: f64) -> Point {
        at(AROUND + x, AROUND + self.height - y)
    }

    fn layer(&mut self, layer: Layer) -> &mut Vec<Item> {
        match layer {
            Layer::Cut => &mut self.cut,
            Layer::Drill => &mut self.drill,
            Layer::Mark => &mut self.mark,
        }
    }

    /// A hole with its cross; without a drill only the cross.
    pub(super) fn hole(&mut self, (x, y): (f64, f64), drill: Option<Length>, standing: Standing) {
        let centre = self.place(x, y);
        let radius = drill.map_or(0.0, |d| d.as_mm() / 2.0);
        let arm = (radius * 1.4).max(4.0);
        let fine = Stroke::solid(standing.tone(), line::THIN);
        let bar = |dx: f64, dy: f64| -> Item {
            Path::line(&[centre.moved(-dx, -dy), centre.moved(dx, dy)], fine).into()
        };
        self.mark.extend([bar(arm, 0.0), bar(0.0, arm)]);
        if 0.0 < radius {
            let stroke = Some(standing.stroke());
            self.drill.push(Circle { centre, radius, stroke, fill: Fill::Open }.into());
        }
        self.taken.push(around(centre, 2.0 * radius.max(1.5), 2.0 * radius.max(1.5)));
    }

    /// A word beside a place.
    pub(super) fn word(&mut self, (x, y): (f64, f64), around_mm: f64, text: &str, tone: Tone) {
        let near = around(self.place(x, y), around_mm, around_mm);
        self.words.push(Word { near, text: text.to_owned(), tone });
    }

    /// A slit with round ends, upright or along, around its middle.
    pub(super) fn slit(
        &mut self,
        (x, y): (f64, f64),
        (wide, high): (f64, f64),
        standing: Standing,
    ) {
        let corner = self.place(x - wide / 2.0, y + high / 2.0);
        let stroke = Some(standing.stroke());
        let round = wide.min(high) / 2.0;
        let rect = Rect { corner, width: wide, height: high, round, stroke, fill: Fill::Open };
        self.cut.push(rect.into());
        self.taken.push(around(self.place(x, y), wide, high));
    }

    /// A rectangle by its left lower corner.
    pub(super) fn rect(
        &mut self,
        layer: Layer,
        (x, y): (f64, f64),
        (w, h): (f64, f64),
        stroke: Stroke,
    ) {
        let corner = self.place(x, y + h);
        let stroke = Some(stroke);
        let rect = Rect { corner, width: w, height: h, round: 0.0, stroke, fill: Fill::Open };
        self.layer(layer).push(rect.into());
    }

    /// A circle.
    pub(super) fn circle(&mut self, layer: Layer, (x, y): (f64, f64), radius: f64, stroke: Stroke) {
        let circle =
            Circle { centre: self.place(x, y), radius, stroke: Some(stroke), fill: Fill::Open };
        self.layer(layer).push(circle.into());
    }

    /// A full disc, and its cross.
    pub(super) fn disc(&mut self, (x, y): (f64, f64), radius: f64) {
        let fill = Fill::Flat(Tone::Ink);
        self.mark.push(Circle { centre: self.place(x, y), radius, stroke: None, fill }.into());
        let fine = Stroke::solid(Tone::Pencil, line::THIN);
        let arm = radius + 6.0;
        self.line(Layer::Mark, &[(x, y + radius), (x, y + arm)], fine);
        self.line(Layer::Mark, &[(x, y - radius), (x, y - arm)], fine);
    }

    /// The round end of a tongue that runs to the right.
    pub(super) fn nose(&mut self, (x, y): (f64, f64), radius: f64, stroke: Stroke) {
        let centre = self.place(x, y);
        self.mark.push(Arc { centre, radius, start: 90.0, sweep: 180.0, stroke }.into());
    }

    /// A line through places.
    pub(super) fn line(&mut self, layer: Layer, points: &[(f64, f64)], stroke: Stroke) {
        let points: Vec<Point> = points.iter().map(|(x, y)| self.place(*x, *y)).collect();
        self.layer(layer).push(Path::line(&points, stroke).into());
    }

    /// Words centred on a place.
    pub(super) fn name(&mut self, (x, y): (f64, f64), text: &str, tone: Tone) {
        let label = Label::new(self.place(x, y), text, size::LABEL).tone(tone);
        let label = label.anchored(Anchor::Middle).levelled().rimmed(Tone::Light);
        self.taken.push(label.corners());
        self.mark.push(label.into());
    }

    /// The whole part measured along its foot and its left side, with the word of each side.
    pub(super) fn measures(&mut self, [near, far, left, right]: [&str; 4]) {
        let (w, h) = (self.width, self.height);
        let corner = self.place(0.0, 0.0);
        let says = |mm: f64| measured(Length::mm(mm), self.units);
        let along = dimension(corner, self.place(w, 0.0), -6.0, &says(w));
        let up = dimension(corner, self.place(0.0, h), 6.0, &says(h));
        let word = |place: Point, text: &str, turn: f64| {
            let label = Label::new(place, text, size::SMALL).tone(Tone::Pencil);
            label.anchored(Anchor::Middle).turned(turn)
        };
        let sides = [
            word(self.place(w / 2.0, -AROUND + 2.0), near, 0.0),
            word(self.place(w / 2.0, h + 6.0), far, 0.0),
            word(self.place(-AROUND + 5.0, h / 2.0), left, -90.0),
            word(self.place(w + 8.0, h / 2.0), right, -90.0),
        ];
        for side in sides.into_iter().filter(|s| !s.text.is_empty()) {
            self.taken.push(side.corners());
            self.mark.push(side.into());
        }
        for group in [along, up] {
            let figures = group.items.iter().filter_map(|i| match i {
                Item::Label(label) => Some(label.corners()),
                _ => None,
            });
            self.taken.extend(figures);
            self.mark.push(group.into());
        }
    }

    /// The template.
    pub(super) fn finish(mut self, id: &str, title: &str, description: &str) -> Scene {
        let (width, height) = (self.width + 2.0 * AROUND, self.height + 2.0 * AROUND);
        let mut room = Room::default();
        for shape in &self.taken {
            room.take(*shape);
        }
        for word in &self.words {
            if let Some(label) = room.settle_label(candidates(word, width, height)) {
                self.mark.push(label.into());
            }
        }
        Scene {
            id: id.to_owned(),
            title: title.to_owned(),
            description: description.to_owned(),
            width,
            height,
            view: Some(View { scale: 1.0, origin: self.place(0.0, 0.0) }),
            items: vec![
                Group::of(Layer::Cut.class(), self.cut).into(),
                Group::of(Layer::Drill.class(), self.drill).into(),
                Group::of(Layer::Mark.class(), self.mark).into(),
            ],
        }
    }
}

/// Where a word may stand: right, left, above, below, ever further off, always on the sheet.
fn candidates(word: &Word, width: f64, height: f64) -> Vec<Label> {
    let [left, top, right, low] = word.near.bounds();
    let (x, y) = ((left + right) / 2.0, (top + low) / 2.0);
    let label = |place: Point, anchor: Anchor| {
        let label = Label::new(place, &word.text, size::LABEL).tone(word.tone);
        label.anchored(anchor).levelled().rimmed(Tone::Light)
    };
    let mut found = Vec::new();
    for step in 0..12_u8 {
        let off = 1.2 + f64::from(step) * 2.5;
        let half = size::LABEL * 0.5;
        found.push(label(at(right + off, y), Anchor::Start));
        found.push(label(at(x, top - off - half), Anchor::Middle));
        found.push(label(at(x, low + off + half), Anchor::Middle));
        found.push(label(at(left - off, y), Anchor::End));
        found.push(label(at(right + 1.0, top - off), Anchor::Start));
        found.push(label(at(right + 1.0, low + off), Anchor::Start));
        found.push(label(at(left - 1.0, top - off), Anchor::End));
        found.push(label(at(left - 1.0, low + off), Anchor::End));
    }
    found.retain(|l| {
        let [left, top, right, low] = l.corners().bounds();
        0.5 <= left && 0.5 <= top && right <= width - 0.5 && low <= height - 0.5
    });
    found
}

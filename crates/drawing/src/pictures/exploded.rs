//! The box taken apart: every layer over the one it lies on, in the order of hands.

use super::canvas::{Canvas, EDGE, INK, PENCIL};
use super::plan::measured;
use super::{Setting, Subject};
use crate::geometry::{Point, at};
use crate::scene::{Fill, Path, Scene, Stroke};
use crate::style::{Tone, line};
use crate::text::Weight as Heavy;
use engine::model::hold::{Held, Hold, HoldKind};
use engine::model::rig::RigKind;

/// What the picture is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct ExplodedPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// The paper.
    pub setting: &'a Setting,
}

/// One layer.
struct Layer {
    name: String,
    says: String,
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Sheet,
    Blocks,
    Boards,
    Straps,
    Tray,
    Bolts,
}

/// From one layer to the next, where the sheet is high enough, and the least [mm].
const STEP: (f64, f64) = (34.0, 22.0);

/// Draws it; `None` without blocks.
#[must_use]
pub fn exploded(picture: &ExplodedPicture<'_>) -> Option<Scene> {
    if picture.subject.layout.plan.blocks.is_empty() {
        return None;
    }
    let mut canvas = Canvas::new(picture.setting);
    let plan = &picture.subject.layout.plan;
    let wide = canvas.inner() * 0.44;
    // Depth runs up and to the right at half its length, as a sketch in perspective of the hand does.
    let scale = wide / (plan.inner.length.as_mm() + plan.inner.width.as_mm() * 0.5);
    let view = View {
        scale,
        left: EDGE + 2.0,
        inner: (plan.inner.length.as_mm(), plan.inner.width.as_mm()),
    };
    let depth = view.inner.1 * 0.3 * scale;
    let layers = layers(&picture.subject);
    let count = f64::from(u32::try_from(layers.len()).unwrap_or(1));
    let step = ((picture.setting.height - depth - 40.0) / count).clamp(STEP.1, STEP.0);
    let mut base = EDGE + depth + 12.0;
    let words = EDGE + wide + 14.0;
    for (n, layer) in layers.iter().enumerate() {
        let tall = draw(picture, &mut canvas, &view, layer, base);
        if n + 1 < layers.len() {
            let broken = Stroke::dashed(Tone::Pencil, line::THIN, 2.0);
            for x in [0.0, view.inner.0] {
                let corner = view.at(x, 0.0, base);
                canvas.line(&[corner.moved(0.0, 1.0), corner.moved(0.0, step - 8.0)], broken);
            }
        }
        let top = base - depth * 0.5 - 3.0;
        canvas.line(&[at(words - 10.0, top), at(words - 2.0, top)], PENCIL);
        let room = EDGE + canvas.inner() - words;
        let y = canvas.words(
            at(words, top - 2.0),
            room,
            &format!("{}. {}", n + 1, layer.name),
            Heavy::Bold,
        );
        let end = canvas.words(at(words, y), room, &layer.says, Heavy::Regular);
        base = (base + step).max(end + depth) + tall;
    }
    Some(canvas.finish(
        &picture.subject,
        "the box taken apart",
        "The layers of the box from the lid down to its fasteners.",
        base - step * 0.5,
    ))
}

struct View {
    scale: f64,
    left: f64,
    inner: (f64, f64),
}

impl View {
    /// A place on a floor whose near edge lies at this height of the sheet.
    fn at(&self, x: f64, y: f64, base: f64) -> Point {
        at(self.left + (x + y * 0.5) * self.scale, base - y * 0.3 * self.scale)
    }

    fn outline(&self, (x, y): (f64, f64), (w, d): (f64, f64), base: f64) -> [Point; 4] {
        [
            self.at(x, y, base),
            self.at(x + w, y, base),
            self.at(x + w, y + d, base),
            self.at(x, y + d, base),
        ]
    }
}

/// Draws a layer; how much more height it takes.
fn draw(
    picture: &ExplodedPicture<'_>,
    canvas: &mut Canvas,
    view: &View,
    layer: &Layer,
    base: f64,
) -> f64 {
    let plan = &picture.subject.layout.plan;
    let light = Fill::Flat(Tone::Light);
    let floor = view.outline((0.0, 0.0), view.inner, base);
    match layer.kind {
        Kind::Sheet => canvas.put(Path::shape(&floor, Some(INK), light)),
        Kind::Blocks => {
            let mut blocks: Vec<_> = plan.blocks.iter().collect();
            // What is further off is drawn first.
            blocks.sort_by(|a, b| b.corner.y.as_mm().total_cmp(&a.corner.y.as_mm()));
            for block in blocks {
                let corner = (block.corner.x.as_mm(), block.corner.y.as_mm());
                let size = (block.length.as_mm(), block.width.as_mm());
                let [a, b, c, d] = view.outline(corner, size, base);
                // The cases are drawn low, so that every row behind shows.
                let up = |p: Point| p.moved(0.0, -5.0);
                canvas.put(Path::shape(
                    &[a, b, up(b), up(a)],
                    Some(PENCIL),
                    Fill::Flat(Tone::Wash),
                ));
                canvas.put(Path::shape(
                    &[b, c, up(c), up(b)],
                    Some(PENCIL),
                    Fill::Flat(Tone::Wash),
                ));
                canvas.put(Path::shape(&[a, b, c, d].map(up), Some(INK), light));
            }
        }
        Kind::Boards => {
            for x in gaps(picture) {
                let (a, b) = (view.at(x, 0.0, base), view.at(x, view.inner.1, base));
                let board = [a, b, b.moved(0.0, -6.0), a.moved(0.0, -6.0)];
                canvas.put(Path::shape(&board, Some(INK), light));
            }
        }
        Kind::Straps => {
            let straps = strap_count(&picture.subject);
            for n in 0..straps {
                let x = view.inner.0 * (f64::from(n) + 0.5) / f64::from(straps);
                let (a, b) = (view.at(x, 0.0, base), view.at(x, view.inner.1, base));
                canvas.line(
                    &[a.moved(0.0, 3.0), a, b, b.moved(0.0, 3.0)],
                    Stroke::solid(Tone::Ink, 1.2),
                );
            }
        }
        Kind::Tray => {
            let [a, b, c, d] = floor;
            canvas.put(Path::shape(&[a, b, c, d], Some(INK), Fill::Flat(Tone::Paper)));
            let low = |p: Point| p.moved(0.0, 9.0);
            canvas.put(Path::shape(&[a, b, low(b), low(a)], Some(INK), light));
            canvas.put(Path::shape(&[b, c, low(c), low(b)], Some(INK), light));
            return 9.0;
        }
        Kind::Bolts => {
            for (x, y) in [(0.12, 0.15), (0.88, 0.15), (0.12, 0.85), (0.88, 0.85)] {
                let head = view.at(view.inner.0 * x, view.inner.1 * y, base);
                canvas.rect(head.moved(-1.6, -2.0), (3.2, 2.0), Some(INK), Fill::Flat(Tone::Ink));
                canvas.line(&[head, head.moved(0.0, 6.0)], Stroke::solid(Tone::Ink, 0.9));
            }
            return 6.0;
        }
    }
    0.0
}

/// Straps of the design, or two where it does not say; more than these would be a wall of black.
fn strap_count(subject: &Subject<'_>) -> u32 {
    let straps = |h: &&Hold| h.held == Held::Blocks && h.kind == HoldKind::Strap;
    let numbers = subject.design.holds.iter().filter(straps).filter_map(|h| h.number);
    match numbers.fold(0, u32::saturating_add) {
        0 => 2,
        some => some.min(8),
    }
}

/// Middles of the gaps between columns.
fn gaps(picture: &ExplodedPicture<'_>) -> Vec<f64> {
    let columns = crate::templates::places::columns(&picture.subject.layout.plan);
    let edges = columns.iter().map(|c| {
        let left = c.iter().map(|b| b.corner.x.as_mm()).fold(f64::MAX, f64::min);
        (left, c.iter().map(|b| b.far_corner().x.as_mm()).fold(f64::MIN, f64::max))
    });
    let edges: Vec<(f64, f64)> = edges.collect();
    edges.windows(2).map(|w| f64::midpoint(w[0].1, w[1].0)).collect()
}

fn layers(subject: &Subject<'_>) -> Vec<Layer> {
    let plan = &subject.layout.plan;
    let units = subject.design.rig.units;
    let enclosure = subject.design.enclosure.as_ref();
    let says = |l| measured(l, units);
    let layer = |name: &str, says: String, kind| Layer { name: name.to_owned(), says, kind };
    let mut all = Vec::new();
    if enclosure.and_then(|e| e.lid) != Some(false) {
        let lock =
            if enclosure.and_then(|e| e.lock) == Some(true) { ", with its lock" } else { "" };
        all.push(layer(
            "lid",
            format!("goes on last, when every post is covered{lock}"),
            Kind::Sheet,
        ));
    }
    let sets = |held: Held| subject.design.holds.iter().filter(move |h| h.held == held);
    let straps = sets(Held::Blocks).filter(|h| h.kind == HoldKind::Strap);
    let straps: Vec<String> = straps.map(told).collect();
    // A cabin does not move: what is not in its design is not missing.
    let moves = subject.design.rig.kind != RigKind::Cabin;
    let straps = if straps.is_empty() {
        "none in the design: decide what holds the blocks".to_owned()
    } else {
        straps.join("; ")
    };
    if moves || sets(Held::Blocks).next().is_some() {
        all.push(layer("straps", straps, Kind::Straps));
    }
    let count = plan.blocks.len();
    let blocks = if count == 1 { "block" } else { "blocks" };
    all.push(layer(
        &format!("{count} {blocks}"),
        format!("{} apart, caps up, posts as on the plan", says(plan.gap)),
        Kind::Blocks,
    ));
    if let Some(thick) = enclosure.and_then(|e| e.divider) {
        let boards = crate::templates::places::columns(plan).len().saturating_sub(1);
        all.push(layer(
            "dividers",
            format!("{boards} boards, {} thick, between the columns", says(thick)),
            Kind::Boards,
        ));
    }
    if plan.blocks.iter().any(|b| b.flooded) || enclosure.is_some_and(|e| e.liner.is_some()) {
        all.push(layer(
            "liner",
            "acid-proof sheet, slits for the straps: see its template".to_owned(),
            Kind::Sheet,
        ));
    }
    let inside = [plan.inner.length, plan.inner.width, plan.inner.height].map(says).join(" × ");
    all.push(layer("box", format!("inside {inside}; cut it before anything is glued"), Kind::Tray));
    let bolts: Vec<String> = sets(Held::Box).map(told).collect();
    let bolts = if bolts.is_empty() {
        "none in the design: decide what holds the box".to_owned()
    } else {
        bolts.join("; ")
    };
    if moves || sets(Held::Box).next().is_some() {
        all.push(layer("fasteners", bolts, Kind::Bolts));
    }
    all
}

/// A set in words: how many, of what size.
fn told(set: &Hold) -> String {
    let number = set.number.map_or_else(|| "how many? ".to_owned(), |n| format!("{n} × "));
    let size = set.size.as_deref().map_or(String::new(), |s| format!(" {s}"));
    format!("{number}{}{size}", set.kind.word())
}

//! The box taken apart: every layer over the one it lies on, in the order of hands.

use super::canvas::{Canvas, EDGE, INK, PENCIL};
use super::plan::measured;
use super::{Setting, Subject};
use crate::geometry::{Point, at};
use crate::marks::measure::dimension;
use crate::scene::{Fill, Path, Scene, Stroke};
use crate::style::{Tone, line};
use crate::templates::Fasteners;
use crate::templates::places;
use crate::text::Weight as Heavy;
use engine::layout::plan::PlacedBlock;
use engine::layout::straps::{self, StrapPlace};
use engine::model::hold::{Held, Hold, HoldKind};
use engine::model::rig::RigKind;
use engine::units::Length;

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

/// Air between two layers on the sheet [mm].
const AIR: f64 = 9.0;

/// How much a depth runs to the right and up, in parts of itself.
const RIGHT: f64 = 0.5;
const UP: f64 = 0.3;

/// Draws it; `None` without blocks.
#[must_use]
pub fn exploded(picture: &ExplodedPicture<'_>) -> Option<Scene> {
    if picture.subject.layout.plan.blocks.is_empty() {
        return None;
    }
    let mut canvas = Canvas::new(picture.setting);
    let plan = &picture.subject.layout.plan;
    let inner = (plan.inner.length.as_mm(), plan.inner.width.as_mm());
    let layers = layers(&picture.subject);
    let count = f64::from(u32::try_from(layers.len()).unwrap_or(1));
    let tall: f64 = layers.iter().map(|l| high(picture, l.kind)).sum();
    let wide = canvas.inner() * 0.44;
    // One scale for every part: what the sheet is wide and high enough for.
    let across = wide / (inner.0 + inner.1 * RIGHT);
    let down = (picture.setting.height - 40.0 - AIR * count).max(60.0);
    let scale = across.min(down / (tall + count * inner.1 * UP));
    let view = View { scale, left: EDGE + 11.0, inner };
    let depth = view.inner.1 * UP * scale;
    let words = EDGE + wide + 20.0;
    let room = EDGE + canvas.inner() - words;
    let mut top = EDGE + 4.0;
    for (n, layer) in layers.iter().enumerate() {
        let height = high(picture, layer.kind) * scale;
        let base = top + depth + height;
        draw(picture, &mut canvas, &view, layer, base);
        if n + 1 < layers.len() {
            let broken = Stroke::dashed(Tone::Pencil, line::THIN, 2.0);
            for x in [0.0, view.inner.0] {
                let corner = view.at(x, 0.0, base);
                canvas.line(&[corner.moved(0.0, 1.0), corner.moved(0.0, AIR - 1.0)], broken);
            }
        }
        let beside = base - height * 0.5 - depth * 0.5;
        canvas.line(&[at(words - 8.0, beside), at(words - 2.0, beside)], PENCIL);
        let name = format!("{}. {}", n + 1, layer.name);
        let y = canvas.words(at(words, beside - 2.0), room, &name, Heavy::Bold);
        let end = canvas.words(at(words, y), room, &layer.says, Heavy::Regular);
        top = (base + AIR).max(end + 1.0);
    }
    let says = format!(
        "Every part at one scale, about 1 : {}. Depth runs up to the right and is drawn shorter.",
        engine::units::show::fixed(1.0 / scale, 0)
    );
    let low = canvas.words(at(EDGE, top + 1.0), canvas.inner(), &says, Heavy::Regular);
    Some(canvas.finish(
        &picture.subject,
        "the box taken apart",
        "The layers of the box from the lid down to its fasteners, at one scale.",
        low,
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
        at(self.left + (x + y * RIGHT) * self.scale, base - y * UP * self.scale)
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

/// Height of a layer [mm of the rig].
fn high(picture: &ExplodedPicture<'_>, kind: Kind) -> f64 {
    let plan = &picture.subject.layout.plan;
    let most = |of: &dyn Fn(&PlacedBlock) -> f64| plan.blocks.iter().map(of).fold(0.0, f64::max);
    match kind {
        Kind::Sheet | Kind::Bolts => 0.0,
        Kind::Straps => most(&|b| b.case_height.as_mm()) * 0.25,
        Kind::Blocks => most(&|b| b.height.as_mm()),
        Kind::Boards => board(picture),
        Kind::Tray => plan.inner.height.as_mm(),
    }
}

/// A divider ends at the face of the lowest post.
fn board(picture: &ExplodedPicture<'_>) -> f64 {
    let posts = picture.subject.layout.plan.blocks.iter();
    let posts = posts.flat_map(|b| [b.plus.height, b.minus.height]);
    posts.reduce(Length::min).unwrap_or(Length::ZERO).as_mm()
}

/// A box on the floor by its near left corner, drawn from three sides.
fn body(canvas: &mut Canvas, [a, b, c, d]: [Point; 4], rise: f64, pen: Stroke) {
    let up = |p: Point| p.moved(0.0, -rise);
    let wash = Fill::Flat(Tone::Wash);
    canvas.put(Path::shape(&[a, b, up(b), up(a)], Some(pen), wash));
    canvas.put(Path::shape(&[b, c, up(c), up(b)], Some(pen), wash));
    canvas.put(Path::shape(&[a, b, c, d].map(up), Some(INK), Fill::Flat(Tone::Light)));
}

/// Draws a layer that stands on this height of the sheet.
fn draw(picture: &ExplodedPicture<'_>, canvas: &mut Canvas, view: &View, layer: &Layer, base: f64) {
    let light = Fill::Flat(Tone::Light);
    let floor = view.outline((0.0, 0.0), view.inner, base);
    match layer.kind {
        Kind::Sheet => canvas.put(Path::shape(&floor, Some(INK), light)),
        Kind::Blocks => blocks(picture, canvas, view, base),
        Kind::Boards => {
            let rise = board(picture) * view.scale;
            for x in gaps(picture) {
                let (a, b) = (view.at(x, 0.0, base), view.at(x, view.inner.1, base));
                let board = [a, b, b.moved(0.0, -rise), a.moved(0.0, -rise)];
                canvas.put(Path::shape(&board, Some(INK), light));
            }
        }
        Kind::Straps => {
            let legs = high(picture, Kind::Straps) * view.scale;
            for strap in strap_places(&picture.subject) {
                let (a, b) = (strap.near, strap.far);
                let [a, b] = [a, b].map(|(x, y)| view.at(x, y, base - legs));
                let band = [a.moved(0.0, legs), a, b, b.moved(0.0, legs)];
                canvas.line(&band, Stroke::solid(Tone::Ink, 1.2));
            }
        }
        Kind::Tray => tray(picture, canvas, view, base),
        Kind::Bolts => {
            canvas.put(Path::shape(&floor, Some(PENCIL), Fill::Open));
            for (x, y) in bolt_places(&picture.subject) {
                let head = view.at(x, y, base);
                canvas.rect(head.moved(-1.2, -1.6), (2.4, 1.6), Some(INK), Fill::Flat(Tone::Ink));
                canvas.line(&[head, head.moved(0.0, 4.0)], Stroke::solid(Tone::Ink, 0.9));
            }
        }
    }
}

/// The cases with their posts, the far ones first.
fn blocks(picture: &ExplodedPicture<'_>, canvas: &mut Canvas, view: &View, base: f64) {
    let plan = &picture.subject.layout.plan;
    let units = picture.subject.design.rig.units;
    let mut blocks: Vec<&PlacedBlock> = plan.blocks.iter().collect();
    blocks.sort_by(|a, b| {
        let by_y = b.corner.y.as_mm().total_cmp(&a.corner.y.as_mm());
        by_y.then(a.corner.x.as_mm().total_cmp(&b.corner.x.as_mm()))
    });
    for block in &blocks {
        let corner = (block.corner.x.as_mm(), block.corner.y.as_mm());
        let size = (block.length.as_mm(), block.width.as_mm());
        let rise = block.case_height.as_mm() * view.scale;
        body(canvas, view.outline(corner, size, base), rise, PENCIL);
        for (post, fill) in
            [(&block.plus, Fill::Flat(Tone::Red)), (&block.minus, Fill::Flat(Tone::Paper))]
        {
            let (x, y) = (post.at.x.as_mm(), post.at.y.as_mm());
            let foot = view.at(x, y, base - rise);
            canvas.circle(foot, (7.0 * view.scale).max(0.6), Some(INK), fill);
        }
    }
    // The block at the near left corner is measured.
    let Some(first) = blocks.iter().rev().min_by(|a, b| {
        let near = |p: &PlacedBlock| p.corner.y.as_mm() + p.corner.x.as_mm();
        near(a).total_cmp(&near(b))
    }) else {
        return;
    };
    // Measured at the edge of the picture, clear of the lines from layer to layer.
    let foot = at(view.left, view.at(0.0, first.corner.y.as_mm(), base).y);
    let top = foot.moved(0.0, -first.case_height.as_mm() * view.scale);
    canvas.put(dimension(foot, top, 4.0, &measured(first.case_height, units)));
}

/// The open box, its near and right wall cut away to a line, measured.
fn tray(picture: &ExplodedPicture<'_>, canvas: &mut Canvas, view: &View, base: f64) {
    let plan = &picture.subject.layout.plan;
    let units = picture.subject.design.rig.units;
    let rise = plan.inner.height.as_mm() * view.scale;
    let floor = view.outline((0.0, 0.0), view.inner, base);
    let up = |p: Point| p.moved(0.0, -rise);
    let [a, b, c, d] = floor;
    let light = Fill::Flat(Tone::Light);
    canvas.put(Path::shape(&[d, c, up(c), up(d)], Some(INK), light));
    canvas.put(Path::shape(&[a, d, up(d), up(a)], Some(INK), light));
    canvas.put(Path::shape(&floor, Some(INK), Fill::Flat(Tone::Paper)));
    canvas.line(&[b, up(b)], INK);
    canvas.line(&[up(a), up(b), up(c)], INK);
    canvas.put(dimension(a, up(a), 4.0, &measured(plan.inner.height, units)));
    canvas.put(dimension(a, b, -4.0, &measured(plan.inner.length, units)));
}

/// The straps where their slits lie on the template; more than these would be a wall of black.
fn strap_places(subject: &Subject<'_>) -> Vec<StrapPlace> {
    let plan = &subject.layout.plan;
    let mut places = straps::places(&plan.blocks, plan.inner.width, &straps::of(subject.design));
    places.truncate(12);
    places
}

/// The fasteners of the box where the floor's template drills them.
fn bolt_places(subject: &Subject<'_>) -> Vec<(f64, f64)> {
    let into_floor = |h: &&Hold| {
        h.held == Held::Box && matches!(h.kind, HoldKind::Bolt | HoldKind::Screw | HoldKind::Rivet)
    };
    let sets = subject.design.holds.iter().filter(into_floor).map(|h| Fasteners {
        name: h.part.name.clone(),
        number: h.number,
        drill: None,
        apart: h.apart,
    });
    sets.flat_map(|set| places::fasteners(&subject.layout.plan, &set).0).collect()
}

/// Middles of the gaps between columns.
fn gaps(picture: &ExplodedPicture<'_>) -> Vec<f64> {
    let columns = straps::columns(&picture.subject.layout.plan.blocks);
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
    let mut cases: Vec<String> =
        plan.blocks.iter().map(|b| [b.length, b.width, b.height].map(says).join(" × ")).collect();
    cases.dedup();
    let case = cases.join(" or ");
    all.push(layer(
        &format!("{count} {blocks}"),
        format!("{case}, {} apart, caps up, posts as on the plan, plus full", says(plan.gap)),
        Kind::Blocks,
    ));
    if let Some(thick) = enclosure.and_then(|e| e.divider) {
        let boards = straps::columns(&plan.blocks).len().saturating_sub(1);
        all.push(layer(
            "dividers",
            format!(
                "{boards} boards, {} thick, between the columns, no higher than the lowest post",
                says(thick)
            ),
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

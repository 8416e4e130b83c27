//! The box cut open: how the gas leaves, low in and high out, and how large the openings have to be.

use super::canvas::{Canvas, EDGE, INK, PENCIL};
use super::{Setting, Subject, memory};
use crate::geometry::at;
use crate::scene::{Anchor, Fill, Scene, Stroke};
use crate::style::{Tone, line};
use crate::templates::bit;
use crate::templates::places::columns;
use crate::text::Weight as Heavy;
use engine::fit::vent::{ChargeStage, Vent};
use engine::units::show;
use engine::units::{Area, Length};

/// What the picture is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct VentsPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// What gasses, and the openings.
    pub vent: &'a Vent,
    /// The paper.
    pub setting: &'a Setting,
}

/// Draws it.
#[must_use]
pub fn vents(picture: &VentsPicture<'_>) -> Scene {
    let mut canvas = Canvas::new(picture.setting);
    let width = canvas.inner();
    let (left, right) = (EDGE + width * 0.24, EDGE + width * 0.66);
    let (lid, floor) = (EDGE + 16.0, EDGE + 66.0);
    let wall = Stroke::solid(Tone::Ink, 1.2);
    canvas.strong(at(EDGE, EDGE + 3.0), "The box cut open", Anchor::Start, Tone::Ink);
    canvas.rect(at(left, lid), (right - left, floor - lid), None, Fill::Flat(Tone::Light));
    // The wall to the living space is whole; the wall to the open air has two openings.
    canvas.rect(at(left - 4.0, lid), (4.0, floor - lid), Some(INK), Fill::Hatch(Tone::Pencil, 1.5));
    canvas.line(&[at(left, lid), at(right, lid)], wall);
    canvas.line(&[at(left, floor), at(right, floor)], wall);
    canvas.line(&[at(right, lid), at(right, lid + 3.0)], wall);
    canvas.line(&[at(right, lid + 10.0), at(right, floor - 10.0)], wall);
    canvas.line(&[at(right, floor - 3.0), at(right, floor)], wall);
    row(picture, &mut canvas, (left, right), (lid, floor));
    canvas.arrow(at(right - 6.0, lid + 6.5), at(right + 12.0, lid + 6.5), 0.9, Tone::Ink);
    canvas.arrow(at(right + 12.0, floor - 6.5), at(right - 6.0, floor - 6.5), 0.9, Tone::Ink);
    openings(picture, &mut canvas, right + 14.0, (lid, floor));
    let side = left - 6.0 - EDGE;
    let sealed = match picture.subject.design.enclosure.as_ref().and_then(|e| e.sealed) {
        Some(true) => "sealed wall: no gap, no cable without a gland",
        Some(false) => "STOP: this wall is not sealed",
        None => "this wall: sealed or not? look",
    };
    canvas.words(at(EDGE, lid), side, sealed, Heavy::Bold);
    canvas.words(at(EDGE, floor - 10.0), side, "living space on this side", Heavy::Regular);
    let mut y = floor + 6.0;
    for text in told(picture) {
        y = canvas.words(at(EDGE, y), width, &text, Heavy::Regular) + 1.0;
    }
    canvas.finish(
        &picture.subject,
        "openings of the box",
        "A cut through the box: air enters low, gas rises over the blocks and leaves high.",
        y,
    )
}

/// The row of blocks, and the gas over each of them.
fn row(
    picture: &VentsPicture<'_>,
    canvas: &mut Canvas,
    (left, right): (f64, f64),
    (lid, floor): (f64, f64),
) {
    let blocks = standing(picture);
    let step = (right - left - 8.0) / f64::from(blocks);
    for n in 0..blocks {
        let x = left + 4.0 + f64::from(n) * step;
        canvas.rect(
            at(x + step * 0.08, floor - 26.0),
            (step * 0.84, 26.0),
            Some(INK),
            Fill::Flat(Tone::Paper),
        );
        let cap = at(x + step / 2.0, floor - 27.5);
        let half = (step * 0.25).min(2.0);
        canvas.rect(
            cap.moved(-half, 0.0),
            (2.0 * half, 1.5),
            Some(PENCIL),
            Fill::Flat(Tone::Light),
        );
        let up = cap.moved(0.0, -10.0);
        let gas = Stroke::dashed(Tone::Pencil, line::NORMAL, 1.6);
        canvas.line(&[cap.moved(0.0, -1.0), up, at(right - 8.0, lid + 6.5)], gas);
    }
}

/// What each opening needs and is, beside it.
fn openings(
    picture: &VentsPicture<'_>,
    canvas: &mut Canvas,
    beside: f64,
    (lid, floor): (f64, f64),
) {
    let vent = picture.vent;
    let units = picture.subject.design.rig.units;
    let room = EDGE + canvas.inner() - beside;
    let open = |area: Option<Area>| {
        area.map_or_else(
            || "not known".to_owned(),
            |a| show::opening(a, units).replace(' ', "\u{a0}"),
        )
    };
    let needs = show::opening(vent.needed, units).replace(' ', "\u{a0}");
    for (y, name, area) in
        [(lid - 2.0, "high, gas out", vent.high), (floor - 14.0, "low, air in", vent.low)]
    {
        let below = canvas.words(at(beside, y), room, name, Heavy::Bold);
        let (end, weight) =
            if vent.too_small(area) { (": TOO SMALL", Heavy::Bold) } else { ("", Heavy::Regular) };
        let says = format!("needs {needs}, is {}{end}", open(area));
        canvas.words(at(beside, below), room, &says, weight);
    }
}

/// A number of holes in words.
fn holes(count: u32) -> String {
    if count == 1 { "1 hole".to_owned() } else { format!("{count} holes") }
}

/// Blocks that stand side by side in the cut, as many as the plan has columns.
fn standing(picture: &VentsPicture<'_>) -> u32 {
    let columns = columns(&picture.subject.layout.plan).len();
    u32::try_from(columns).unwrap_or(MOST).clamp(1, MOST)
}

/// More columns than these are no wider than a line.
const MOST: u32 = 12;

/// A distance to keep is never rounded down.
fn kept(distance: Length) -> Length {
    Length::mm(distance.as_mm().ceil())
}

fn told(picture: &VentsPicture<'_>) -> Vec<String> {
    let units = picture.subject.design.rig.units;
    let vent = picture.vent;
    let mut lines = vec![
        "Broken lines: hydrogen rises from the caps. It is lighter than air and gathers under the lid, so the \
         high opening has no trap above it."
            .to_owned(),
    ];
    for row in &vent.rows {
        let area = show::opening(row.area, units);
        let who = match row.stage {
            _ if row.governs => "This decides: ",
            Some(ChargeStage::Equalise) => "Only to equalise in this box: ",
            _ => "For comparison: ",
        };
        let stage = row.stage.map_or(String::new(), |s| format!(", {}", s.words()));
        lines.push(format!(
            "{who}{}{stage}: {area} at each, {} of {}{}.",
            row.rule,
            holes(row.holes),
            bit(row.drill, units),
            memory(&row.cite)
        ));
    }
    lines.push(format!(
        "Both openings within {} of top and bottom. Nothing that can spark within {} of a block{}.",
        super::plan::measured(vent.edge, units),
        super::plan::measured(kept(vent.spark), units),
        memory(&vent.spark_cite)
    ));
    lines
}

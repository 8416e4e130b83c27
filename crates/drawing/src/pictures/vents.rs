//! The box cut open: how the gas leaves, low in and high out, and how large the openings have to be.

use super::canvas::{Canvas, EDGE, INK, PENCIL};
use super::{Setting, Subject, memory};
use crate::geometry::{Point, at};
use crate::marks::measure::dimension;
use crate::scene::{Anchor, Fill, Scene, Stroke};
use crate::style::{Tone, line};
use crate::templates::walls::rows;
use crate::templates::{Opening, bit};
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

/// The box as it lies on the sheet: the near wall at the left, the far one at the right.
struct Cut {
    /// Millimetres on paper for one of the box.
    scale: f64,
    /// Inside of the near wall.
    left: f64,
    /// Top of the floor.
    floor: f64,
    /// Inside width and height [mm].
    inner: (f64, f64),
    /// Thickness of the walls on paper.
    wall: f64,
}

impl Cut {
    fn of(picture: &VentsPicture<'_>, width: f64) -> Self {
        let plan = &picture.subject.layout.plan;
        let inner = (plan.inner.width.as_mm().max(1.0), plan.inner.height.as_mm().max(1.0));
        // Room at both sides for words, and above for the name of the picture.
        let scale = (width * 0.40 / inner.0).min(62.0 / inner.1);
        let wall = plan.wall.map_or(1.2, |w| (w.as_mm() * scale).max(0.8));
        let left = EDGE + width * 0.24 + (width * 0.40 - inner.0 * scale) / 2.0;
        Self { scale, left, floor: EDGE + 24.0 + inner.1 * scale, inner, wall }
    }

    const fn at(&self, across: f64, up: f64) -> Point {
        at(self.left + across * self.scale, self.floor - up * self.scale)
    }

    fn right(&self) -> f64 {
        self.left + self.inner.0 * self.scale
    }

    fn lid(&self) -> f64 {
        self.floor - self.inner.1 * self.scale
    }
}

/// Draws it.
#[must_use]
pub fn vents(picture: &VentsPicture<'_>) -> Scene {
    let mut canvas = Canvas::new(picture.setting);
    let width = canvas.inner();
    let cut = Cut::of(picture, width);
    let (left, right, lid, floor) = (cut.left, cut.right(), cut.lid(), cut.floor);
    let units = picture.subject.design.rig.units;
    canvas.strong(at(EDGE, EDGE + 3.0), "The box cut open", Anchor::Start, Tone::Ink);
    canvas.rect(at(left, lid), (right - left, floor - lid), None, Fill::Flat(Tone::Light));
    walls(picture, &mut canvas, &cut);
    blocks(picture, &mut canvas, &cut);
    let shown = |mm: f64| super::plan::measured(Length::mm(mm), units);
    canvas.put(dimension(
        at(left, floor + cut.wall),
        at(right, floor + cut.wall),
        -6.0,
        &shown(cut.inner.0),
    ));
    canvas.put(dimension(
        at(left - cut.wall, floor),
        at(left - cut.wall, lid),
        5.0,
        &shown(cut.inner.1),
    ));
    let beside = openings(picture, &mut canvas, right + cut.wall + 13.0, (lid, floor));
    let side = left - cut.wall - 10.0 - EDGE;
    let sealed = match picture.subject.design.enclosure.as_ref().and_then(|e| e.sealed) {
        Some(true) => "sealed wall: no gap, no cable without a gland",
        Some(false) => "STOP: this wall is not sealed",
        None => "this wall: sealed or not? look",
    };
    let below = canvas.words(at(EDGE, lid - 2.0), side, sealed, Heavy::Bold) + 1.0;
    let below = below.max(floor - 14.0);
    let low = canvas.words(at(EDGE, below), side, "living space on this side", Heavy::Regular);
    let mut y = (floor + cut.wall + 10.0).max(low + 2.0).max(beside + 2.0);
    for text in told(picture, &cut) {
        y = canvas.words(at(EDGE, y), width, &text, Heavy::Regular) + 1.0;
    }
    canvas.finish(
        &picture.subject,
        "openings of the box",
        "A cut through the box to scale: air enters low, gas rises over the blocks and leaves high.",
        y,
    )
}

/// An opening of the far wall: as its template drills it.
fn opening(vent: &Vent, high: bool) -> Option<Opening> {
    let (holes, drill) = vent.planned_holes(high)?;
    Some(Opening { high, holes, drill, edge: vent.edge })
}

/// The rows of holes of an opening, from the floor up [mm]: their middles and their diameter.
fn rows_up(picture: &VentsPicture<'_>, cut: &Cut, high: bool) -> (Vec<f64>, f64) {
    let Some(opening) = opening(picture.vent, high) else {
        return (Vec::new(), 0.0);
    };
    let rows = rows(&opening, picture.subject.layout.plan.inner.length);
    let up = |row: f64| if high { cut.inner.1 - row } else { row };
    (rows.into_iter().map(up).collect(), opening.drill.as_mm())
}

/// The walls, the floor and the lid, cut; the far wall with its holes at their heights.
fn walls(picture: &VentsPicture<'_>, canvas: &mut Canvas, cut: &Cut) {
    let (left, right, lid, floor) = (cut.left, cut.right(), cut.lid(), cut.floor);
    let wood = Fill::Hatch(Tone::Pencil, 1.5);
    let wall = cut.wall;
    canvas.rect(at(left - wall, lid), (wall, floor - lid), Some(INK), wood);
    canvas.rect(at(left - wall, floor), (right - left + 2.0 * wall, wall), Some(INK), wood);
    canvas.rect(at(left - wall, lid - wall), (right - left + 2.0 * wall, wall), Some(INK), wood);
    let mut holes: Vec<(f64, f64)> = Vec::new();
    for high in [false, true] {
        let (rows, drill) = rows_up(picture, cut, high);
        holes.extend(rows.iter().map(|up| (up - drill / 2.0, up + drill / 2.0)));
        // Air goes in and out through the first row.
        if let Some(up) = rows.first() {
            let (inside, outside) = (cut.at(cut.inner.0, *up), 11.0 + wall);
            let (from, to) = (inside.moved(-4.0, 0.0), inside.moved(outside, 0.0));
            let (from, to) = if high { (from, to) } else { (to, from) };
            canvas.arrow(from, to, 0.9, Tone::Ink);
        }
    }
    holes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut solid = 0.0;
    for (from, to) in holes.into_iter().chain([(cut.inner.1, cut.inner.1)]) {
        if solid < from {
            let top = cut.at(cut.inner.0, from.min(cut.inner.1));
            let high = (from.min(cut.inner.1) - solid) * cut.scale;
            canvas.rect(top, (wall, high), Some(INK), wood);
        }
        solid = solid.max(to);
    }
}

/// The cases as they stand behind the cut, their caps, and the gas over each of them.
fn blocks(picture: &VentsPicture<'_>, canvas: &mut Canvas, cut: &Cut) {
    let plan = &picture.subject.layout.plan;
    let mut seen: Vec<(f64, f64)> = Vec::new();
    let (high, _) = rows_up(picture, cut, true);
    let out = cut.at(cut.inner.0, high.first().copied().unwrap_or(cut.inner.1));
    for block in &plan.blocks {
        let (near, far) = (block.corner.y.as_mm(), block.far_corner().y.as_mm());
        if seen.iter().any(|s| (s.0 - near).abs() < 1.0 && (s.1 - far).abs() < 1.0) {
            continue;
        }
        seen.push((near, far));
        let top = block.case_height.as_mm();
        let size = ((far - near) * cut.scale, top * cut.scale);
        canvas.rect(cut.at(near, top), size, Some(INK), Fill::Flat(Tone::Paper));
        let rise = (block.height - block.case_height).as_mm().max(4.0);
        let mut caps: Vec<f64> = block.caps.iter().map(|c| c.y.as_mm()).collect();
        caps.sort_by(f64::total_cmp);
        caps.dedup_by(|a, b| (*a - *b).abs() < 12.0);
        // A sealed case has no caps: its valves sit under the lid along the middle.
        let over = if caps.is_empty() { vec![f64::midpoint(near, far)] } else { caps.clone() };
        for y in caps {
            let size = (24.0 * cut.scale, rise * cut.scale);
            let place = cut.at(y - 12.0, top + rise);
            canvas.rect(place, size, Some(PENCIL), Fill::Flat(Tone::Light));
        }
        for y in over {
            let from = cut.at(y, top + rise);
            let under = at(from.x, cut.lid() + 2.5);
            let gas = Stroke::dashed(Tone::Pencil, line::NORMAL, 1.6);
            canvas.line(&[from, under, at(out.x - 5.0, out.y)], gas);
        }
    }
}

/// What each opening needs and is, beside it; where the words end.
fn openings(
    picture: &VentsPicture<'_>,
    canvas: &mut Canvas,
    beside: f64,
    (lid, floor): (f64, f64),
) -> f64 {
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
    let mut end = 0.0_f64;
    for (y, name, area) in
        [(lid - 2.0, "high, gas out", vent.high), (floor - 14.0, "low, air in", vent.low)]
    {
        let below = canvas.words(at(beside, y.max(end + 1.0)), room, name, Heavy::Bold);
        let (tail, weight) =
            if vent.too_small(area) { (": TOO SMALL", Heavy::Bold) } else { ("", Heavy::Regular) };
        let says = format!("needs {needs}, is {}{tail}", open(area));
        end = canvas.words(at(beside, below), room, &says, weight);
    }
    end
}

/// A number of holes in words.
fn holes(count: u32) -> String {
    if count == 1 { "1 hole".to_owned() } else { format!("{count} holes") }
}

/// A distance to keep is never rounded down.
fn kept(distance: Length) -> Length {
    Length::mm(distance.as_mm().ceil())
}

fn told(picture: &VentsPicture<'_>, cut: &Cut) -> Vec<String> {
    let units = picture.subject.design.rig.units;
    let vent = picture.vent;
    let mut lines = vec![
        "Broken lines: hydrogen rises from the caps. It is lighter than air and gathers under the lid, so the \
         high opening has no trap above it."
            .to_owned(),
        format!(
            "Drawn to scale, about 1 : {}, seen from the left end; walls at their true thickness where \
             it is known. The holes stand as on the wall's template; the wall is yours to choose.",
            show::fixed(1.0 / cut.scale, 0)
        ),
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

//! The frost thermometer: at which cold the acid freezes, from a full bank to a flat one, against the
//! cold of the place; the mark is the charge at which a stay ends.

use super::Setting;
use super::chart::{EDGE, LEADING, Names, Plot, sheet, signed, words};
use crate::geometry::{Point, at};
use crate::marks::sheet::Area;
use crate::scene::{Anchor, Circle, Fill, Group, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::care::frost::FreezeMargin;
use engine::sim::frost::{Frost, FrostRow, basis};
use engine::units::Temperature;
use engine::units::show::{self, UnitSystem};

/// What the thermometer is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct Thermometer<'a> {
    /// The frost.
    pub frost: &'a Frost,
    /// What the log says of the acid, where it says anything.
    pub log: Option<&'a FreezeMargin>,
    /// The reader's units.
    pub units: UnitSystem,
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of the plot [mm].
const TALL: f64 = 70.0;

/// A temperature in whole degrees.
fn degrees(celsius: f64, units: UnitSystem) -> String {
    signed(&show::temperature(Temperature::celsius(celsius.round()), units))
}

/// Draws the thermometer.
#[must_use]
pub fn thermometer(picture: &Thermometer<'_>) -> Scene {
    let (frost, setting) = (picture.frost, picture.setting);
    let wide = setting.width - 2.0 * EDGE;
    let (mut items, low) = words(at(EDGE, EDGE), wide, "Where the acid freezes", true);
    let left = EDGE + 33.0;
    let area = Area {
        corner: at(left, low + 3.0),
        width: setting.width - left - EDGE - 4.0,
        height: TALL,
    };
    let coldest = frost.rows.iter().map(|r| r.freezes_c).fold(frost.warning_c, f64::min);
    let up = ((coldest / 10.0).floor() * 10.0, 10.0);
    let plot = Plot { area, across: (100.0, 0.0), up };
    items.push(ice(&plot, frost).into());
    items.push(stem(&plot, frost, picture.units).into());
    items.push(marks(&plot, frost, picture.units).into());
    items.extend(picture.log.and_then(|log| logged(&plot, frost, log)).map(Item::from));
    for row in &frost.rows {
        let x = across(&plot, row.charge);
        let base = plot.low() + size::SMALL * 1.1;
        for (n, text) in
            [format!("{}\u{a0}%", show::fixed(100.0 * row.charge, 0)), show::fixed(row.gravity, 3)]
                .iter()
                .enumerate()
        {
            let down = if n == 0 { 0.0 } else { LEADING };
            let label = Label::new(at(x, base + down), text, size::SMALL).tone(Tone::Pencil);
            items.push(label.anchored(Anchor::Middle).into());
        }
    }
    let mut under = plot.low() + 2.0 * LEADING + 1.5;
    for text in says(picture) {
        let (more, low) = words(at(EDGE, under), wide, &text, false);
        items.extend(more);
        under = low + 0.8;
    }
    let names = Names {
        rig: picture.of.0,
        stage: picture.of.1,
        sheet: "frost",
        description: says(picture).join(" "),
    };
    sheet(setting, &names, items, under)
}

/// From full at the left to flat at the right [mm].
fn across(plot: &Plot, charge: f64) -> f64 {
    plot.area.corner.x + (1.0 - charge) * plot.area.width
}

fn says(picture: &Thermometer<'_>) -> Vec<String> {
    let (frost, units) = (picture.frost, picture.units);
    let mut all = vec![
        "Charge, and under it the gravity of the acid at 25\u{a0}°C (77\u{a0}°F). Under the line it \
         is ice."
            .to_owned(),
    ];
    if let Some(freezes) = frost.at_floor_c {
        let safe = frost.warning_c > freezes;
        all.push(format!(
            "At {}\u{a0}% charge it freezes at {}, {}; the place may come down to {}: {}",
            show::fixed(100.0 * frost.floor, 0),
            degrees(freezes, units),
            basis(frost.flooded),
            degrees(frost.warning_c, units),
            match (safe, frost.safe_charge) {
                (true, _) => "it stays liquid.".to_owned(),
                (false, Some(charge)) => format!(
                    "keep it at {}\u{a0}% or more, or take it in.",
                    show::fixed(100.0 * charge, 0)
                ),
                (false, None) => "even a full one freezes. Take it in.".to_owned(),
            }
        ));
    }
    if let Some(log) = picture.log {
        all.push(format!(
            "The diamond is {} as the log has it on {}: gravity {}, it freezes at {}; the coldest of \
             the month to come is {}.",
            log.part,
            log.on,
            show::fixed(log.gravity, 3),
            degrees(log.freezes.as_celsius(), units),
            degrees(log.coldest.as_celsius(), units)
        ));
    }
    all
}

/// What the log says, as a diamond at its gravity and its freezing point.
fn logged(plot: &Plot, frost: &Frost, log: &FreezeMargin) -> Option<Group> {
    // Between the two rows of the table that hold the gravity; beyond its ends at the end.
    let within = |pair: &&[FrostRow]| {
        pair[1].gravity.min(pair[0].gravity) <= log.gravity
            && log.gravity <= pair[0].gravity.max(pair[1].gravity)
    };
    let pair = frost.rows.windows(2).find(within);
    let charge = match pair {
        Some(p) => {
            let span = p[1].gravity - p[0].gravity;
            let part = if span.abs() < 1e-9 { 0.0 } else { (log.gravity - p[0].gravity) / span };
            p[0].charge + part * (p[1].charge - p[0].charge)
        }
        None => {
            let off = |r: &&FrostRow| (r.gravity - log.gravity).abs();
            frost.rows.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?.charge
        }
    };
    let y = plot.y(log.freezes.as_celsius().clamp(plot.up.0, plot.up.1));
    let centre = at(across(plot, charge), y);
    let shape = [
        centre.moved(0.0, -2.2),
        centre.moved(2.2, 0.0),
        centre.moved(0.0, 2.2),
        centre.moved(-2.2, 0.0),
    ];
    let ink = Some(Stroke::solid(Tone::Ink, line::NORMAL));
    let items = vec![Path::shape(&shape, ink, Fill::Flat(Tone::Light)).into()];
    Some(Group { title: Some(format!("{} by the log", log.part)), ..Group::of("log", items) })
}

/// The line of freezing with the ice under it.
fn ice(plot: &Plot, frost: &Frost) -> Group {
    let mut group = Group::of("ice", vec![plot.ground()]);
    let points: Vec<Point> =
        frost.rows.iter().map(|r| at(across(plot, r.charge), plot.y(r.freezes_c))).collect();
    if let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) {
        let mut shape = points.clone();
        shape.push(at(last.x, plot.low()));
        shape.push(at(first.x, plot.low()));
        group.items.push(Path::shape(&shape, None, Fill::Hatch(Tone::Grid, 1.8)).into());
        // The word is left out where the cold of the place needs the same room.
        if 12.0 < plot.low() - plot.y(frost.warning_c) {
            let place = at(plot.right() - 3.0, plot.low() - 3.0);
            let label = Label::new(place, "ice", size::NAME).tone(Tone::Pencil);
            group.items.push(label.rimmed(Tone::Light).anchored(Anchor::End).into());
        }
    }
    group.items.push(Path::line(&points, Stroke::solid(Tone::Ink, line::HEAVY)).into());
    group
}

/// The thermometer at the left, filled to the cold of the place.
fn stem(plot: &Plot, frost: &Frost, units: UnitSystem) -> Group {
    let x = plot.area.corner.x - 12.0;
    let (top, low) = (plot.area.corner.y, plot.low());
    let ink = Stroke::solid(Tone::Ink, line::NORMAL);
    let tube = |from: f64, stroke: Option<Stroke>, fill: Fill| Rect {
        corner: at(x - 1.4, from),
        width: 2.8,
        height: low + 2.0 - from,
        round: 1.4,
        stroke,
        fill,
    };
    let bulb = Circle {
        centre: at(x, low + 3.6),
        radius: 2.8,
        stroke: Some(ink),
        fill: Fill::Flat(Tone::Wash),
    };
    let mut items: Vec<Item> = vec![
        tube(top, Some(ink), Fill::Flat(Tone::Light)).into(),
        tube(plot.y(frost.warning_c), None, Fill::Flat(Tone::Wash)).into(),
        bulb.into(),
    ];
    let mut mark = plot.up.0;
    while mark <= plot.up.1 + 1e-9 {
        let y = plot.y(mark);
        let tick = [at(x - 3.4, y), at(x - 1.6, y)];
        items.push(Path::line(&tick, Stroke::solid(Tone::Pencil, line::THIN)).into());
        let label = Label::new(at(x - 4.2, y), &degrees(mark, units), size::SMALL);
        items.push(label.tone(Tone::Pencil).anchored(Anchor::End).levelled().into());
        mark += if plot.up.1 - plot.up.0 > 60.0 { 20.0 } else { 10.0 };
    }
    Group::of("thermometer", items)
}

/// The cold of the place across the plot, and the floor as a mark on the line of freezing.
fn marks(plot: &Plot, frost: &Frost, units: UnitSystem) -> Group {
    let ink = Stroke::solid(Tone::Ink, line::NORMAL);
    let mut items = vec![plot.level(frost.warning_c, ink)];
    let x = across(plot, frost.floor);
    let pencil = Stroke::dashed(Tone::Pencil, line::THIN, 1.4);
    items.push(Path::line(&[at(x, plot.area.corner.y), at(x, plot.low())], pencil).into());
    if let Some(freezes) = frost.at_floor_c {
        let centre = at(x, plot.y(freezes));
        items
            .push(Circle { centre, radius: 1.3, stroke: None, fill: Fill::Flat(Tone::Ink) }.into());
    }
    items.push(plot.axes());
    let text = format!("prepare for {}", degrees(frost.warning_c, units));
    let place = at(plot.right() - 1.5, plot.y(frost.warning_c) - 1.2);
    let label = Label::new(place, &text, size::SMALL).bold().rimmed(Tone::Light);
    items.push(label.anchored(Anchor::End).into());
    let text = format!("floor {}\u{a0}%", show::fixed(100.0 * frost.floor, 0));
    let place = at(x + 1.2, plot.area.corner.y + size::SMALL);
    items.push(Label::new(place, &text, size::SMALL).rimmed(Tone::Light).into());
    Group::of("marks", items)
}

//! The weight sheet: before and after beside the plates, the band for the box, room for the ticket.

use super::super::weights::confirm;
use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use engine::cite::Status;
use engine::fit::weight::{StageWeight, Weight};
use engine::model::rig::RigKind;
use engine::units::Mass;
use engine::units::show::{self, UnitSystem, decimal};

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let weight = &cx.input.fit.weight;
    if weight.kind == RigKind::Cabin {
        return None;
    }
    let mut parts = Parts::new(cx.width);
    if let Some(scene) = cx.fit.weights.as_ref() {
        parts.push(figure(scene, cx.width));
    }
    let mut table = Table::new(vec![
        words("what", 2.2),
        figures("before", 1.1),
        figures("after", 1.1),
        words("limit", 2.0),
        words("measured", 1.3),
        words("scale, date, by", 1.8),
    ]);
    for line in lines(weight, cx.units) {
        table.row(line);
    }
    parts.push(table);
    let cite = weight.cite();
    parts.paragraph(&format!(
        "Worked out from what was weighed on the day of the measurement, and from the mass of what \
         came and went ({}{}). The plates win over this sheet, and a ticket of a weighbridge wins \
         over both columns.",
        cite.status.says(),
        if cite.status == Status::Recalled { "; check it" } else { "" }
    ));
    if let Some(band) = weight.band.as_ref().filter(|b| b.exists()) {
        let inside = if band.holds_box() { "lies in it" } else { "does not lie in it" };
        parts.paragraph(&format!(
            "Nothing is over or under its limit with the box's middle {}; the box {inside}.",
            band.words(cx.units)
        ));
    }
    for unknown in &weight.unknown {
        let how = if unknown.whole { "No sum without it" } else { "Left out of the sum" };
        parts.paragraph(&format!("{how}: {}. {}", unknown.what, unknown.find));
    }
    confirm(cx, &mut parts);
    Some(Chapter { parts: parts.all, ..plain("weights", "Weight sheet", "weights") })
}

fn lines(weight: &Weight, units: UnitSystem) -> Vec<Vec<Cell>> {
    let (before, after) = (weight.before(), weight.after());
    let mass = |m: Option<Mass>| m.map_or("not known".to_owned(), |m| show::weight(m, units));
    let limit = |m: Option<Mass>, path: &str| {
        m.map_or_else(|| format!("find out: {path}"), |m| show::weight(m, units))
    };
    let row = |what: String, at: fn(&StageWeight) -> Option<Mass>, limit: String| {
        vec![
            Cell::Bold(what),
            mass(at(before)).into(),
            mass(at(after)).into(),
            limit.into(),
            Cell::Write,
            Cell::Write,
        ]
    };
    let mut all = Vec::new();
    match weight.kind {
        RigKind::Trailer => {
            let plate = weight.ball_plate().map_or_else(
                || "find out: vehicle.hitch_max".to_owned(),
                |(plate, max)| format!("{}, {}", show::weight(max, units), plate.what),
            );
            let share = after.ball_percent();
            let share =
                share.map_or_else(String::new, |p| format!(" ({} % of all)", decimal(p, 1)));
            all.push(row(format!("on the ball{share}"), |s| s.ball, plate));
        }
        RigKind::Van => all.push(row(
            "payload".to_owned(),
            |s| s.payload,
            limit(weight.payload_plate.max, weight.payload_plate.path),
        )),
        _ => {}
    }
    for (n, axle) in after.axles.iter().enumerate() {
        let was = before.axles.get(n).and_then(|a| a.load);
        all.push(vec![
            Cell::Bold(axle.id.clone()),
            mass(was).into(),
            mass(axle.load).into(),
            limit(axle.plate, "the plate of the axle").into(),
            Cell::Write,
            Cell::Write,
        ]);
    }
    if weight.kind == RigKind::Boat {
        all.extend(boat(before, after));
    } else {
        let plate = &weight.gross_plate;
        all.push(row("in all".to_owned(), |s| s.gross, limit(plate.max, plate.path)));
    }
    all
}

/// A boat is not weighed: what tilts it since the measurement.
fn boat(before: &StageWeight, after: &StageWeight) -> Vec<Vec<Cell>> {
    let moment = |m: Option<f64>, [more, less]: [&str; 2]| {
        m.map_or("not known".to_owned(), |m| {
            format!("{} kg m {}", decimal(m.abs(), 0), if m < 0.0 { less } else { more })
        })
    };
    let heel = after.heel.map_or_else(
        || "find out: mark the waterline".to_owned(),
        |a| format!("{} degrees of heel", decimal(a.as_degrees(), 1)),
    );
    let of = |what: &str, at: fn(&StageWeight) -> Option<f64>, sides: [&str; 2], limit: &str| {
        vec![
            Cell::Bold(what.to_owned()),
            moment(at(before), sides).into(),
            moment(at(after), sides).into(),
            limit.into(),
            Cell::Write,
            Cell::Write,
        ]
    };
    vec![
        of("sideways", |s| s.list_kg_m, ["to starboard", "to port"], &heel),
        of("lengthwise", |s| s.trim_kg_m, ["to the bow", "to the stern"], "mark the waterline"),
    ]
}

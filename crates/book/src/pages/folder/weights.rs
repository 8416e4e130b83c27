//! The weight sheet: before and after beside the plates, the band for the box, room for the ticket.

use super::super::weights::confirm;
use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use crate::words::listed;
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
        words("what", 1.9),
        figures("before", 1.5),
        figures("after", 1.7),
        words("limit", 1.9),
        words("measured", 1.2),
        words("scale, date, by", 1.4),
    ]);
    for line in lines(weight, cx.units) {
        table.row(line);
    }
    parts.push(table);
    parts.paragraph(&rests(weight));
    if let Some(band) = weight.band.as_ref().filter(|b| b.exists()) {
        let inside = if band.holds_box() { "lies in it" } else { "does not lie in it" };
        parts.paragraph(&format!(
            "Nothing is over or under its limit with the box's middle {}; the box {inside}.",
            band.words(cx.units)
        ));
    }
    unknown(weight, &mut parts);
    confirm(cx, &mut parts);
    Some(Chapter { parts: parts.all, ..plain("weights", "Weight sheet", "weights") })
}

/// What the sums rest on.
fn rests(weight: &Weight) -> String {
    let cite = weight.cite();
    let check = if cite.status == Status::Recalled { "; check it" } else { "" };
    let from = cite.status.says();
    if weight.kind == RigKind::Boat {
        return format!(
            "Worked out from the mass and the place of what came aboard and what left ({from}{check}). \
             The waterline marks win over this sheet."
        );
    }
    format!(
        "Worked out from what was weighed on the day of the measurement, and from the mass of what \
         came and went ({from}{check}). The plates win over this sheet, and a ticket of a weighbridge \
         wins over both columns."
    )
}

/// What is left out of the sums, and how to find it, each way once.
fn unknown(weight: &Weight, parts: &mut Parts) {
    let mut ways: Vec<(bool, &str, Vec<String>)> = Vec::new();
    for one in &weight.unknown {
        match ways.iter_mut().find(|w| w.0 == one.whole && w.1 == one.find) {
            Some(way) => way.2.push(one.what.clone()),
            None => ways.push((one.whole, one.find, vec![one.what.clone()])),
        }
    }
    for (whole, find, what) in ways {
        let first = if whole { "No sum without" } else { "Left out of the sum" };
        let end = if find.ends_with('.') { "" } else { "." };
        parts.paragraph(&format!("{first}: {}. {find}{end}", listed(&what)));
    }
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
            let kg_m = decimal(m.abs(), 0);
            if kg_m == "0" {
                return "none".to_owned();
            }
            format!("{kg_m} kg m {}", if m < 0.0 { less } else { more })
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

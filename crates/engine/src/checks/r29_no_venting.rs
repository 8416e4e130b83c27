//! R29: gas that cannot leave, or leaves into the living space.

use super::context::{CheckError, Context, Said};
use crate::cite::Cite;
use crate::finding::{Gate, Severity};
use crate::fit::vent::{Vent, VentStatus};
use crate::model::block::Chemistry;
use crate::model::enclosure::Enclosure;
use crate::tables::enclosure::CellType;
use crate::units::Area;
use crate::units::show;

/// What is only unknown holds the charger, not the rest of the work.
const CHARGE: &[Gate] = &[Gate::Charge];

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let design = cx.design();
    let flooded = cx.study.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Flooded);
    let Some(vent) = Vent::of(design, &cx.study.facts, cx.tables) else {
        return Ok(flooded.then(unworked).into_iter().collect());
    };
    let Some(space) = design.enclosure.as_ref() else {
        return Ok(flooded.then(|| no_space(cx, &vent)).into_iter().collect());
    };
    if vent.cells == CellType::ValveRegulated {
        return Ok(sealed_blocks(cx, space, &vent).into_iter().collect());
    }
    Ok(openings(cx, &vent).into_iter().chain(living_space(cx, space)?).collect())
}

fn one(severity: Severity, path: &str, says: String, remedy: String, cites: Vec<Cite>) -> Said {
    Said {
        severity,
        path: path.to_owned(),
        part: "the box".to_owned(),
        says,
        remedy,
        why: "Charging makes hydrogen; 4 % in air burns.",
        sources: cites,
        gates: None,
    }
}

fn cites(vent: &Vent) -> Vec<Cite> {
    vent.governing().map(|r| r.cite.clone()).into_iter().collect()
}

/// The gas cannot be worked out.
fn unworked() -> Said {
    let says = "How much gas the bank gives off cannot be worked out: its amp-hours are not known.";
    let remedy = "Write the rating of the block in amp-hours with its hour rate.".to_owned();
    let cite = Cite::practice("rule R29");
    one(Severity::Stop, "block", says.to_owned(), remedy, vec![cite]).only(CHARGE)
}

/// How large the openings must be, and as what holes.
fn wanted(cx: &Context<'_>, vent: &Vent) -> String {
    let units = cx.units();
    let area = show::opening(vent.needed, units);
    vent.governing().map_or_else(
        || format!("{area} low and again high"),
        |r| {
            let holes = if r.holes == 1 { "hole" } else { "holes" };
            format!(
                "{area} low and again high, {} {holes} of {} each",
                r.holes,
                show::length(r.drill, units)
            )
        },
    )
}

fn cause(vent: &Vent) -> String {
    vent.drivers.first().map_or_else(
        || "no charger is connected yet; 2.40 V per cell is taken".to_owned(),
        |d| format!("{} may charge: {}", d.device, d.stage.words()),
    )
}

/// A flooded bank of which no space is described.
fn no_space(cx: &Context<'_>, vent: &Vent) -> Said {
    let says = format!(
        "Nothing in the file says where these flooded blocks stand or how their gas leaves. They ask \
         for openings of {}: {}.",
        wanted(cx, vent),
        cause(vent)
    );
    let remedy =
        "Describe the space under [box] with vent_low and vent_high; in the open write the \
                  free area there is."
            .to_owned();
    one(Severity::Fix, "box", says, remedy, cites(vent))
}

fn openings(cx: &Context<'_>, vent: &Vent) -> Option<Said> {
    let units = cx.units();
    let shown =
        |a: Option<Area>| a.map_or_else(|| "not known".to_owned(), |a| show::opening(a, units));
    let have = format!("low {}, high {}", shown(vent.low), shown(vent.high));
    let edge = show::length(vent.edge, units);
    let remedy = format!(
        "Cut openings of {}, straight to outside, within {edge} of the bottom and of the top, and \
         write box.vent_low and box.vent_high.",
        wanted(cx, vent)
    );
    match vent.status {
        VentStatus::Open => None,
        VentStatus::TooSmall => {
            let says = format!("The openings are too small: {have}; {}.", cause(vent));
            Some(one(Severity::Stop, "box.vent_low", says, remedy, cites(vent)))
        }
        VentStatus::Unknown => {
            let says = format!("It is not known how the gas leaves: {have}; {}.", cause(vent));
            Some(one(Severity::Stop, "box.vent_low", says, remedy, cites(vent)).only(CHARGE))
        }
    }
}

/// A space beside people that is not shut off from them.
fn living_space(cx: &Context<'_>, space: &Enclosure) -> Result<Option<Said>, CheckError> {
    let cite = cx.limit("vent-area-nec")?.cite;
    let remedy = "Close every gap between the box and the living space, gasket the lid, and write \
                  box.sealed = true."
        .to_owned();
    let (says, known) = match (space.inside, space.sealed) {
        (Some(true), Some(false)) => {
            ("The space of the flooded blocks is open to the living space.", true)
        }
        (Some(true), None) => (
            "It is not known whether the space of the flooded blocks is sealed from the living space.",
            false,
        ),
        (None, sealed) if sealed != Some(true) => (
            "It is not known whether the space of the flooded blocks adjoins the living space.",
            false,
        ),
        _ => return Ok(None),
    };
    let said = one(Severity::Stop, "box.sealed", says.to_owned(), remedy, vec![cite]);
    Ok(Some(if known { said } else { said.only(CHARGE) }))
}

/// AGM or gel in a space that is described without any opening.
fn sealed_blocks(cx: &Context<'_>, space: &Enclosure, vent: &Vent) -> Option<Said> {
    let none = |a: Option<Area>| a.is_none_or(|a| a.as_mm2() <= 0.0);
    if !none(space.vent_low) && !none(space.vent_high) {
        return None;
    }
    let says = format!(
        "The box has no opening low and high as far as the file says. AGM and gel blocks open their \
         valves when a charger runs wild; {} would carry that off.",
        wanted(cx, vent)
    );
    let remedy =
        "Open the box low and high to outside and write box.vent_low and box.vent_high.".to_owned();
    Some(one(Severity::Fix, "box.vent_low", says, remedy, cites(vent)))
}

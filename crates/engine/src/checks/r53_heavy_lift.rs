//! R53: a block too heavy for one person, or lifted over a rail.

use super::context::{CheckError, Context, Said};
use crate::finding::Severity;
use crate::fit::weight::Weight;
use crate::fit::weight::lift::Lift;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let weight = Weight::of(cx.study, cx.whole, cx.tables);
    // Only the stage at which blocks are carried.
    let carried =
        weight.moved.iter().any(|m| m.stage == cx.study.stage && m.path.starts_with("block."));
    if !carried {
        return Ok(Vec::new());
    }
    Ok(weight.lifts.iter().filter(|l| l.needs_help()).map(|lift| said(cx, lift)).collect())
}

fn said(cx: &Context<'_>, lift: &Lift) -> Said {
    let units = cx.units();
    let mass = lift.mass.map_or_else(|| "of unknown weight".to_owned(), |m| show::mass(m, units));
    let rail = if lift.over_rail { ", over a rail" } else { "" };
    Said {
        severity: Severity::Note,
        path: lift.path.clone(),
        part: format!("block model {}", lift.what),
        says: format!(
            "One {} is {mass}{rail}; {} is the most for one person in an easy posture.",
            lift.what,
            show::mass(lift.most, units)
        ),
        remedy: "Lift with two people, or slide it on a plank and a strap; no reach over a rail."
            .to_owned(),
        why: "A block that slips crushes fingers, spills acid and bridges posts.",
        sources: vec![lift.cite.clone()],
        gates: None,
    }
}

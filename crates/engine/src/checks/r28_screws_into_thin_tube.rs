//! R28: screws and rivets that hang a load on thin metal.

use super::context::{CheckError, Context, Said};
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::fit::hold_down::HoldDown;
use crate::fit::hold_down::cases::cases;
use crate::fit::hold_down::places::Places;
use crate::model::hold::{Ground, Hold, HoldKind};
use crate::tables::Sourced;
use crate::units::{Length, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let design = cx.design();
    if design.bank().is_none() || cases(&design.rig, cx.tables).is_empty() {
        return Ok(Vec::new());
    }
    let least = cx.limit("tube-wall-screw-min")?;
    let rivets_only = !design.holds.is_empty()
        && design.holds.iter().filter(|h| bears_the_box(h)).all(|h| h.kind == HoldKind::Rivet)
        && design.holds.iter().any(|h| h.kind == HoldKind::Rivet);
    let mut said = Vec::new();
    for set in &design.holds {
        said.extend(judge(cx, set, &least, rivets_only));
        said.extend(too_close(cx, set));
    }
    Ok(said)
}

/// Screws closer to one another or to an edge than the metal between them bears.
fn too_close(cx: &Context<'_>, set: &Hold) -> Vec<Said> {
    let Some(places) = Places::of(set, cx.tables) else {
        return Vec::new();
    };
    let name = &set.part.name;
    let shown = |length: Length| show::length(length, cx.units());
    // What must be kept is never rounded down.
    let whole = Length::mm(places.least.as_mm().ceil());
    let least = shown(whole);
    let one = |key: &str, says: String, remedy: String| Said {
        severity: Severity::Fix,
        path: format!("hold.{name}.{key}"),
        part: format!("hold {name}"),
        says,
        remedy,
        why: "Between screws that stand too close the metal tears out.",
        sources: vec![places.cite.clone()],
        gates: None,
    };
    let between = places.spacing.filter(|s| *s < places.least).map(|spacing| {
        let how = if places.derived { " as even as the outermost allow" } else { "" };
        one(
            "spacing",
            format!(
                "The screws of {name} stand {} apart{how}; {least} is the least, {} are missing.",
                shown(spacing),
                shown(whole - spacing)
            ),
            format!("Use fewer and thicker ones, or set them {least} apart or more."),
        )
    });
    let edge = places.edge.filter(|e| *e < places.least).map(|edge| {
        one(
            "edge",
            format!(
                "A screw of {name} stands {} from an edge of the metal; {least} is the least, {} are \
                 missing.",
                shown(edge),
                shown(whole - edge)
            ),
            format!("Move it in by {}, or bolt through.", shown(whole - edge)),
        )
    });
    between.into_iter().chain(edge).collect()
}

/// Straps hold the blocks in the box; what hangs the box itself is the rest.
fn bears_the_box(set: &Hold) -> bool {
    set.kind != HoldKind::Strap
}

fn judge(cx: &Context<'_>, set: &Hold, least: &Sourced<f64>, rivets_only: bool) -> Option<Said> {
    if !matches!(set.kind, HoldKind::Screw | HoldKind::Rivet) || set.into == Some(Ground::Wood) {
        return None;
    }
    let name = &set.part.name;
    let units = cx.units();
    let most = show::length(Length::mm(least.value), units);
    let says = match set.wall {
        _ if rivets_only && set.kind == HoldKind::Rivet => {
            format!("The box hangs on rivets only: {name}.")
        }
        Some(wall) if Length::mm(least.value) <= wall => return None,
        Some(wall) => format!(
            "{name} pulls on {}s in metal of {}; under {most} they draw out.",
            set.kind.word(),
            show::length(wall, units)
        ),
        None => format!(
            "{name} pulls on {}s in metal whose thickness is not known; under {most} they draw out.",
            set.kind.word()
        ),
    };
    let would = HoldDown::of(cx.design(), cx.tables)
        .and_then(|h| h.would.into_iter().find(|w| w.held == set.held))
        .map_or_else(String::new, |w| {
            format!(" {} would hold.", super::super::plan::cautions::capital(&w.words))
        });
    Some(Said {
        severity: Severity::Stop,
        path: format!("hold.{name}"),
        part: format!("hold {name}"),
        says,
        remedy: format!(
            "Use through-bolts with a backing plate, or clamp the rail.{would} Ask the trailer maker \
             before drilling flanges or welding."
        ),
        why: "A screw in thin metal holds by one or two turns of thread, and shaking wears them away.",
        sources: vec![
            least.cite.clone(),
            Cite::new(
                "owners-fastener-threads",
                "screws drawn out of square tube, rivets sheared",
                Status::Read,
            ),
        ],
        gates: None,
    })
}

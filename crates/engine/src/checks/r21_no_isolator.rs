//! R21: whether one reachable switch makes the rig dead, and what stays alive when it is off.

use super::context::{CheckError, Context, Said, listed};
use super::walk::fed_without;
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::units::{Current, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let wired = |d: &&Device| fed_without(cx, &d.part.name, &|_| false);
    let (above, below): (Vec<&Device>, Vec<&Device>) = cx
        .loads()
        .filter(wired)
        .partition(|d| fed_without(cx, &d.part.name, &|kind| kind == DeviceKind::Isolator));
    let isolators: Vec<&Device> = cx.design().devices_of(DeviceKind::Isolator).collect();
    if isolators.is_empty() {
        return Ok(if above.is_empty() { Vec::new() } else { vec![none(&above)] });
    }
    let mut said = Vec::new();
    for isolator in &isolators {
        said.extend(too_small(cx, isolator, &below));
        said.extend(out_of_reach(isolator));
    }
    let (allowed, wrong): (Vec<&Device>, Vec<&Device>) =
        above.into_iter().partition(|d| may_stay_alive(d));
    said.extend(still_draws(&isolators, &wrong, Severity::Fix));
    said.extend(still_draws(&isolators, &allowed, Severity::Note));
    Ok(said)
}

fn source() -> Vec<Cite> {
    vec![Cite::practice("rule R21: bilge pump, breakaway, alarms and memory may stay alive")]
}

const WHY: &str = "In a fire or before work on the wiring, one switch must make the rig dead.";

/// Brakes, alarms, and what the owner keeps alive on purpose, such as a bilge pump.
fn may_stay_alive(device: &Device) -> bool {
    matches!(device.kind, DeviceKind::Breakaway | DeviceKind::Alarm)
        || device.always_live == Some(true)
}

fn names(devices: &[&Device]) -> String {
    let names: Vec<&str> = devices.iter().map(|d| d.part.name.as_str()).collect();
    listed(&names)
}

fn none(above: &[&Device]) -> Said {
    Said {
        severity: Severity::Fix,
        path: "device.isolator".to_owned(),
        part: "the bank".to_owned(),
        says: format!(
            "No isolator stands between the bank and {}; nothing makes the rig dead.",
            names(above)
        ),
        remedy: "Fit a hand isolator for the full current in the plus main lead, right after the \
                 main fuse, where a hand finds it at once."
            .to_owned(),
        why: WHY,
        sources: source(),
        gates: None,
    }
}

fn too_small(cx: &Context<'_>, isolator: &Device, below: &[&Device]) -> Option<Said> {
    let through = below.iter().filter(|d| {
        super::r18_wrong_voltage_or_kind::is_on_the_way(cx, &d.part.name, &isolator.part.name)
    });
    let most: Current = through.filter_map(|d| cx.steady(&d.part.name)).sum();
    let name = &isolator.part.name;
    let (says, remedy) = match isolator.rating {
        Some(rating) if rating < most => (
            format!(
                "{name} is rated {}, but up to {} passes it.",
                show::current(rating),
                show::current(most)
            ),
            format!("Fit an isolator rated {} or more.", show::current(most)),
        ),
        Some(_) => return None,
        None => (
            if most.as_amps() <= 0.0 {
                format!(
                    "{name} has no rating written, and nothing behind it draws a known current."
                )
            } else {
                format!("{name} has no rating written; up to {} passes it.", show::current(most))
            },
            format!("Read the amps on {name} and write device.{name}.rating."),
        ),
    };
    Some(Said {
        severity: Severity::Fix,
        path: format!("device.{name}.rating"),
        part: name.clone(),
        says,
        remedy,
        why: "An overloaded switch welds shut and then isolates nothing.",
        sources: source(),
        gates: None,
    })
}

fn out_of_reach(isolator: &Device) -> Option<Said> {
    let name = &isolator.part.name;
    let says = match isolator.reachable {
        Some(true) => return None,
        Some(false) => format!("{name} cannot be reached at once."),
        None => format!("It is not known whether {name} can be reached at once."),
    };
    Some(Said {
        severity: Severity::Fix,
        path: format!("device.{name}.reachable"),
        part: name.clone(),
        says,
        remedy: format!(
            "Place {name} where a hand finds it without tools or moving gear, and write \
             device.{name}.reachable = true."
        ),
        why: WHY,
        sources: source(),
        gates: None,
    })
}

fn still_draws(isolators: &[&Device], devices: &[&Device], severity: Severity) -> Option<Said> {
    if devices.is_empty() {
        return None;
    }
    let on_purpose = severity == Severity::Note;
    let switch = names(isolators);
    Some(Said {
        severity,
        path: format!("device.{}", devices[0].part.name),
        part: names(devices),
        says: format!(
            "With {switch} off, {} still draws{}.",
            names(devices),
            if on_purpose { ", as it may" } else { "" }
        ),
        remedy: if on_purpose {
            "Count it in when the rig is stored, and disconnect it for work on its wires."
                .to_owned()
        } else {
            format!("Move its plus lead to the far side of {switch}.")
        },
        why: "What draws while everything is off empties the bank in storage.",
        sources: source(),
        gates: None,
    })
}

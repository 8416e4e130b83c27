//! R18: a fuse, breaker or isolator that cannot break this direct current arc.

use super::context::{CheckError, Context, Said, listed};
use super::walk::fed_without;
use crate::circuit::paths::{Step, way_back, way_out};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::units::{Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut said = Vec::new();
    let volts = volts_max(cx);
    for device in cx.design().devices.iter().filter(|d| breaks(d.kind)) {
        said.extend(wrong_volts(cx, device, volts));
        said.extend(wrong_kind(device));
        said.extend(wrong_way(cx, device));
    }
    Ok(said)
}

/// What must break an arc by itself or by hand.
const fn breaks(kind: DeviceKind) -> bool {
    matches!(kind, DeviceKind::Fuse | DeviceKind::Breaker | DeviceKind::Isolator)
}

/// The highest volts the bank ever stands at: nominal, or what it is charged to, usual set points
/// included where nobody says.
#[must_use]
pub(super) fn volts_max(cx: &Context<'_>) -> Voltage {
    cx.study.facts.volts_charged(cx.design(), cx.tables)
}

fn wrong_volts(cx: &Context<'_>, device: &Device, volts: Voltage) -> Option<Said> {
    let family = device.family.as_ref().and_then(|f| family(cx, f));
    let (rated, cite) = match (device.volts_max, family) {
        (Some(stated), _) => (Some(stated), super::context::owner()),
        (None, Some(usual)) => (Some(usual.voltage_max.value), usual.voltage_max.cite.clone()),
        (None, None) => (None, Cite::practice("read the marking")),
    };
    let name = &device.part.name;
    let word = device.kind.word();
    let shown = show::voltage(volts);
    let (says, remedy) = match rated {
        Some(rated) if rated < volts => (
            format!(
                "{name} is marked for {} and the bank reaches {shown}: it cannot break this arc.",
                show::voltage(rated)
            ),
            format!("Replace {name} by a {word} rated for {shown} direct current or more."),
        ),
        Some(_) => return None,
        None => (
            format!(
                "It is not known what direct voltage {name} may break; the bank reaches {shown}."
            ),
            format!("Read the voltage on {name} and write it as device.{name}.volts_max."),
        ),
    };
    Some(Said {
        severity: Severity::Stop,
        path: format!("device.{name}.volts_max"),
        part: name.clone(),
        says,
        remedy,
        why: "A 32 V fuse opens on 48 V and keeps burning: the arc feeds itself.",
        sources: vec![cite],
        gates: None,
    })
}

/// A fuse family by the word or the name the owner uses.
pub(super) fn family<'a>(
    cx: &Context<'a>,
    word: &str,
) -> Option<&'a crate::tables::overcurrent::FuseFamily> {
    let plain = |s: &str| s.to_lowercase().replace([' ', '-'], "");
    let wanted = plain(word);
    cx.tables.overcurrent.families().iter().find(|f| plain(&f.word) == wanted)
}

fn wrong_kind(device: &Device) -> Option<Said> {
    let name = &device.part.name;
    // A fuse of a direct current family needs no further mark; a switch or breaker does.
    let needs_mark = device.kind != DeviceKind::Fuse;
    let (says, remedy) = match device.dc_rated {
        Some(true) => return None,
        Some(false) => (
            format!(
                "{name} is made for mains: a mains breaker or switch cannot break this direct \
                 current arc."
            ),
            format!("Replace {name} by one marked for direct current at the bank's volts."),
        ),
        None if needs_mark => (
            format!("It is not known whether {name} is marked for direct current."),
            format!(
                "Look for \"DC\" or a straight line over dashes on {name} and write \
                 device.{name}.dc_rated."
            ),
        ),
        None => return None,
    };
    Some(Said {
        severity: Severity::Stop,
        path: format!("device.{name}.dc_rated"),
        part: name.clone(),
        says,
        remedy,
        why: "Mains current passes through zero a hundred times a second and its arc dies; direct \
              current never does.",
        sources: vec![Cite::practice("rule R18")],
        gates: None,
    })
}

/// A breaker for one direction, where current goes both ways.
fn wrong_way(cx: &Context<'_>, device: &Device) -> Option<Said> {
    if device.polarised != Some(true) {
        return None;
    }
    let name = &device.part.name;
    let through = |d: &&Device| is_on_the_way(cx, &d.part.name, name);
    let loads: Vec<&str> = cx.loads().filter(through).map(|d| d.part.name.as_str()).collect();
    let sources: Vec<&str> =
        cx.charge_sources().filter(through).map(|d| d.part.name.as_str()).collect();
    if loads.is_empty() || sources.is_empty() {
        return None;
    }
    Some(Said {
        severity: Severity::Stop,
        path: format!("device.{name}.polarised"),
        part: name.clone(),
        says: format!(
            "{name} works one way round only, but {} draws and {} charges through it.",
            listed(&loads),
            listed(&sources)
        ),
        remedy: format!("Replace {name} by a breaker without polarity, or by a fuse and a switch."),
        why: "A polarised breaker that meets current from behind blows its arc into itself.",
        sources: vec![Cite::practice("rule R18")],
        gates: None,
    })
}

/// Whether the current of a load or source passes a device.
pub(super) fn is_on_the_way(cx: &Context<'_>, user: &str, device: &str) -> bool {
    let (design, wiring) = (cx.design(), &cx.study.wiring);
    [way_out(design, wiring, user), way_back(design, wiring, user)]
        .into_iter()
        .flatten()
        .flatten()
        .any(|step| step == Step::Device(device.to_owned()))
        && fed_without(cx, user, &|_| false)
}

//! R30: what sparks, burns or leaks fuel in the space of the blocks.

use super::context::{CheckError, Context, Said, listed};
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::block::Chemistry;
use crate::model::device::{Device, DeviceKind};
use crate::model::enclosure::Enclosure;
use crate::model::lead::Terminal;
use crate::model::rig::RigKind;
use crate::units::{Length, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let design = cx.design();
    if design.bank().is_none() {
        return Ok(Vec::new());
    }
    let flooded = cx.study.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Flooded);
    let mut said = Vec::new();
    if flooded {
        said.extend(design.devices.iter().filter_map(spark));
        said.extend(unplaced(cx));
        said.extend(design.enclosure.as_ref().and_then(shared));
    }
    if design.rig.kind == RigKind::Boat
        && let Some(space) = &design.enclosure
    {
        said.extend(fuel_line(cx, space)?);
        said.extend(fuel_tank(space));
    }
    Ok(said)
}

fn one(severity: Severity, path: String, part: &str, says: String, remedy: String) -> Said {
    Said {
        severity,
        path,
        part: part.to_owned(),
        says,
        remedy,
        why: "One spark in the gas over a charging block throws acid and splinters.",
        sources: vec![Cite::new("nec-552-10", "(D)", Status::Read)],
        gates: None,
    }
}

/// Devices whose contacts, fuse or relays can spark.
const fn sparks(kind: DeviceKind) -> bool {
    matches!(
        kind,
        DeviceKind::Fuse
            | DeviceKind::Breaker
            | DeviceKind::Isolator
            | DeviceKind::Inverter
            | DeviceKind::Charger
            | DeviceKind::SolarController
            | DeviceKind::DcDc
            | DeviceKind::StepDown
            | DeviceKind::Generator
            | DeviceKind::Precharge
            | DeviceKind::Breakaway
            | DeviceKind::Panel
            | DeviceKind::Equipment
    )
}

/// In the space: said so, or bolted straight to a post of a block.
fn in_space(device: &Device) -> Option<bool> {
    let on_post = matches!(device.mounted_on, Some(Terminal::Post { .. }));
    if on_post { Some(true) } else { device.in_box }
}

fn spark(device: &Device) -> Option<Said> {
    let may_be_marked = matches!(device.kind, DeviceKind::Fuse | DeviceKind::Equipment);
    let marked = device.ignition_protected == Some(true) && may_be_marked;
    if !sparks(device.kind) || in_space(device) != Some(true) || marked {
        return None;
    }
    let name = &device.part.name;
    let says =
        format!("The {} {name} stands in the space of the flooded blocks.", device.kind.word());
    let marked = match device.kind {
        DeviceKind::Fuse => ", or use a holder marked as ignition-protected and write it",
        DeviceKind::Equipment => ", or use one marked as ignition-protected and write it",
        _ => "",
    };
    let remedy = format!("Move {name} out of the space, behind a sealed wall{marked}.");
    Some(one(Severity::Stop, format!("device.{name}.in_box"), name, says, remedy))
}

/// Devices of which nobody said where they stand, while a space is described.
fn unplaced(cx: &Context<'_>) -> Option<Said> {
    cx.design().enclosure.as_ref()?;
    let unknown = |d: &&Device| sparks(d.kind) && in_space(d).is_none();
    let names: Vec<String> =
        cx.design().devices.iter().filter(unknown).map(|d| d.part.name.clone()).collect();
    let first = names.first()?;
    let verb = if names.len() == 1 { "stands" } else { "stand" };
    let fuses = cx.design().devices.iter().filter(unknown).any(|d| d.kind == DeviceKind::Fuse);
    let more = if fuses {
        " A fuse that must stay inside needs a holder marked as ignition-protected."
    } else {
        ""
    };
    Some(one(
        Severity::Fix,
        format!("device.{first}.in_box"),
        "the space of the blocks",
        format!(
            "It is not known whether {} {verb} in the space of the flooded blocks.",
            listed(&names)
        ),
        format!("Write in_box = false for each that stands outside.{more}"),
    ))
}

/// Fire or fuel in the same space.
fn shared(space: &Enclosure) -> Option<Said> {
    let bad: Vec<String> = space.shares.iter().filter(|s| *s != "nothing").cloned().collect();
    if bad.is_empty() {
        return None;
    }
    Some(one(
        Severity::Stop,
        "box.shares".to_owned(),
        "the space of the blocks",
        format!("A {} shares the space of the flooded blocks.", listed(&bad)),
        "Move it out, or build a sealed wall between, each side with its own openings kept apart."
            .to_owned(),
    ))
}

fn fuel_line(cx: &Context<'_>, space: &Enclosure) -> Result<Option<Said>, CheckError> {
    let us = cx.limit("fuel-metal-distance-us")?;
    let iso = cx.limit("fuel-metal-distance-iso")?;
    let (least, cite) = if cx.design().rig.practice.is_us() {
        (Length::inches(us.value), us.cite)
    } else {
        (Length::mm(iso.value), iso.cite)
    };
    let shown = show::length(least, cx.units());
    let Some(distance) = space.fuel_above.filter(|d| *d < least) else {
        return Ok(None);
    };
    if space.fuel_shielded == Some(true) {
        return Ok(None);
    }
    let says = format!(
        "A metal fuel part runs {} above the blocks and is not shielded, as far as the file says; \
         {shown} is the least.",
        show::length(distance, cx.units())
    );
    let remedy = "Shield it with something that does not conduct, or move it, and write \
                  box.fuel_shielded = true."
        .to_owned();
    let said = one(Severity::Stop, "box.fuel_above".to_owned(), "the fuel line", says, remedy);
    Ok(Some(said.from_source(cite)))
}

fn fuel_tank(space: &Enclosure) -> Option<Said> {
    let (severity, says) = match space.fuel_over_under {
        Some(false) => return None,
        Some(true) => (
            Severity::Stop,
            "The blocks stand straight above or below a tank, filter or fitting of fuel.",
        ),
        None => (
            Severity::Fix,
            "It is not known whether a tank, filter or fitting of fuel lies straight above or below \
             the blocks.",
        ),
    };
    let remedy = "Stand the blocks to one side of every tank, filter and fitting, and write \
                  box.fuel_over_under = false."
        .to_owned();
    let said = one(severity, "box.fuel_over_under".to_owned(), "the box", says.to_owned(), remedy);
    Some(said.from_source(Cite::new("cfr-33-183-420", "(d)", Status::Read)))
}

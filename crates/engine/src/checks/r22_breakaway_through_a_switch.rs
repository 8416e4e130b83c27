//! R22: whether the brakes have power when the trailer comes off.

use super::context::{CheckError, Context, Said, listed};
use super::walk::fed_without;
use crate::circuit::paths::{Step, way_back, way_out};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::model::rig::RigKind;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let rig = &cx.design().rig;
    if rig.kind != RigKind::Trailer || rig.electric_brakes == Some(false) {
        return Ok(Vec::new());
    }
    if rig.electric_brakes.is_none() {
        let says = "It is not known whether this trailer has electric brakes.".to_owned();
        let remedy = "Look for brake wires at the hubs and write rig.electric_brakes.".to_owned();
        return Ok(vec![said(Severity::Stop, "rig.electric_brakes", says, remedy)]);
    }
    if cx.bank().is_none() {
        let says = "The brakes are electric and no bank is aboard at this stage.".to_owned();
        let remedy = "Do not tow until a bank feeds the breakaway switch.".to_owned();
        return Ok(vec![said(Severity::Stop, "bank", says, remedy)]);
    }
    let switches: Vec<&Device> = cx.design().devices_of(DeviceKind::Breakaway).collect();
    if switches.is_empty() {
        let says = "The brakes are electric, but the file shows no breakaway switch, so what \
                    feeds it is not known."
            .to_owned();
        let remedy = "Add the breakaway switch as a device and its two leads.".to_owned();
        return Ok(vec![said(Severity::Stop, "device.breakaway", says, remedy)]);
    }
    Ok(switches.into_iter().flat_map(|switch| feed(cx, switch)).collect())
}

fn said(severity: Severity, path: &str, says: String, remedy: String) -> Said {
    Said {
        severity,
        path: path.to_owned(),
        part: "the breakaway switch".to_owned(),
        says,
        remedy,
        why: "If the trailer comes off, the brakes need this wire.",
        sources: vec![Cite::practice(
            "rule R22: straight from the battery, pages on trailer brakes",
        )],
        gates: None,
    }
}

/// What can open by itself or by a hand and so leave the brakes without power.
const fn can_open(kind: DeviceKind) -> bool {
    matches!(
        kind,
        DeviceKind::Isolator | DeviceKind::Bms | DeviceKind::Fuse | DeviceKind::Precharge
    )
}

fn feed(cx: &Context<'_>, switch: &Device) -> Vec<Said> {
    let name = &switch.part.name;
    let path = format!("device.{name}");
    let (design, wiring) = (cx.design(), &cx.study.wiring);
    let on_the_way: Vec<Step> = [way_out(design, wiring, name), way_back(design, wiring, name)]
        .into_iter()
        .flatten()
        .flatten()
        .collect();
    let mut all = Vec::new();
    if !fed_without(cx, name, &|_| false) {
        let says =
            format!("{name} is not joined to both poles of the bank: the brakes have no power.");
        let remedy = format!("Wire {name} straight to a plus and a minus post of the bank.");
        return vec![said(Severity::Stop, &path, says, remedy)];
    }
    if !fed_without(cx, name, &can_open) {
        let opens: Vec<&str> = devices_of(cx, &on_the_way, can_open);
        let says = format!(
            "{name} is fed through {}: once that is open, the brakes have no power.",
            listed(&opens)
        );
        let remedy = format!(
            "Take the feed of {name} from the bank's own post, ahead of isolator and string fuses, \
             in a sleeve and by its own route."
        );
        all.push(said(Severity::Stop, &path, says, remedy));
    }
    let breakers = devices_of(cx, &on_the_way, |kind| kind == DeviceKind::Breaker);
    if !breakers.is_empty() {
        let says = format!(
            "{} stands in the feed of {name}; whether a self-resetting breaker is allowed there is \
             the brake maker's and the law's word, and this tool leaves it open.",
            listed(&breakers)
        );
        let remedy = "Ask the brake maker, and write the answer into the folder.".to_owned();
        all.push(said(Severity::Note, &format!("{path}.breaker"), says, remedy));
    }
    if cx.study.facts.blocks.iter().any(|b| !b.chemistry.is_lead()) {
        let says =
            format!("{name} hangs on an LFP bank: asleep in protection, that bank gives no brake.");
        let remedy = format!("Feed {name} from a small lead battery of its own, kept charged.");
        all.push(said(Severity::Stop, &format!("{path}.bank"), says, remedy));
    }
    let out = way_out(design, wiring, name).unwrap_or_default();
    all.extend(unsleeved(cx, name, &out));
    all
}

fn devices_of<'a>(
    cx: &Context<'a>,
    steps: &[Step],
    wanted: impl Fn(DeviceKind) -> bool,
) -> Vec<&'a str> {
    let through = steps.iter().filter_map(|step| match step {
        Step::Device(name) => cx.design().device(name),
        Step::Lead(_) => None,
    });
    let mut names: Vec<&str> =
        through.filter(|d| wanted(d.kind)).map(|d| d.part.name.as_str()).collect();
    names.dedup();
    names
}

fn unsleeved(cx: &Context<'_>, name: &str, steps: &[Step]) -> Option<Said> {
    let bare: Vec<String> = steps
        .iter()
        .filter_map(|step| match step {
            Step::Lead(id) => cx.study.wiring.lead(id),
            Step::Device(_) => None,
        })
        .filter(|l| !l.role.is_link() && l.stated.sheathed != Some(true))
        .map(|l| format!("lead {}", l.id))
        .collect();
    if bare.is_empty() {
        return None;
    }
    let says = format!(
        "Nothing says that {} to {name} {} sleeved all the way; no fuse guards this feed.",
        listed(&bare),
        if bare.len() == 1 { "is" } else { "are" }
    );
    let remedy = "Sleeve it throughout, keep it clear of edges and on its own route.".to_owned();
    Some(said(Severity::Fix, &format!("device.{name}.sheathed"), says, remedy))
}

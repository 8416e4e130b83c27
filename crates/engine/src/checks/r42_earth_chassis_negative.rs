//! R42: where the negative meets chassis, hull or earth, and by what lead.

use super::context::{CheckError, Context, Said, listed};
use super::supply::live;
use super::walk::joined_terminals;
use crate::circuit::wiring::{LeadRole, WiredLead, take_off_terminals};
use crate::finding::Severity;
use crate::model::bank::Bank;
use crate::model::device::{Device, DeviceKind};
use crate::model::lead::{Pole, Terminal};
use crate::model::rig::RigKind;
use crate::sizing::answer::LeadAnswer;
use crate::tables::Sourced;
use crate::units::conductor::{ConductorSize, Gauge};
use std::collections::BTreeSet;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank() else {
        return Ok(Vec::new());
    };
    let least = cx.limit("chassis-bond-min")?;
    let minus: Vec<Terminal> = (0..bank.parallel).map(|s| bank.string_minus(s)).collect();
    let reached = joined_terminals(cx, minus.clone(), &|_| true);
    let bonds: Vec<&Device> = cx
        .design()
        .devices_of(DeviceKind::Bond)
        .filter(|d| reached.contains(&Terminal::stud(&d.part.name, Pole::Bar)))
        .collect();
    let mut said: Vec<Said> = count(cx, &bonds, &least).into_iter().collect();
    for bond in &bonds {
        said.extend(thin(cx, bond, bank, &least));
    }
    if !bonds.is_empty() {
        said.extend(only_return(cx, minus, &least));
    }
    Ok(said)
}

/// A trailer, a van and a boat have a body to bond; a cabin has none until mains comes in.
fn has_a_body(cx: &Context<'_>) -> bool {
    match cx.design().rig.kind {
        RigKind::Trailer | RigKind::Van | RigKind::Boat => true,
        RigKind::Cabin => !live(cx).is_empty(),
    }
}

const fn body(kind: RigKind) -> &'static str {
    match kind {
        RigKind::Trailer | RigKind::Van => "the chassis",
        RigKind::Boat => "the hull or the boat's earth",
        RigKind::Cabin => "the earth electrode",
    }
}

fn count(cx: &Context<'_>, bonds: &[&Device], least: &Sourced<f64>) -> Option<Said> {
    let body = body(cx.design().rig.kind);
    let names: Vec<&str> = bonds.iter().map(|b| b.part.name.as_str()).collect();
    let (path, says, remedy) = match names.as_slice() {
        [_] => return None,
        [] if !has_a_body(cx) => return None,
        [] => (
            "device.bond".to_owned(),
            format!("Nothing in the file joins the negative to {body}."),
            format!(
                "Join the negative to {body} at one point, behind the shunt, by a lead no thinner \
                 than the main lead; write the point as a device of kind \"bond\"."
            ),
        ),
        [first, ..] => (
            format!("device.{first}"),
            format!("The negative meets {body} in {} places: {}.", names.len(), listed(&names)),
            "Leave one bond and take the others off.".to_owned(),
        ),
    };
    Some(Said {
        severity: Severity::Fix,
        path,
        part: "the negative".to_owned(),
        says,
        remedy,
        why: "One bond carries fault current only; with two the body carries load current, with \
              none a fault to it blows no fuse.",
        sources: vec![least.cite.clone()],
        gates: None,
    })
}

/// The lead to the bond against the smallest allowed and the main lead.
fn thin(cx: &Context<'_>, bond: &Device, bank: &Bank, least: &Sourced<f64>) -> Option<Said> {
    let stud = Terminal::stud(&bond.part.name, Pole::Bar);
    let thinnest = cx
        .study
        .wiring
        .at(&stud)
        .filter_map(|l| cx.answer(&l.id))
        .min_by(|a, b| a.area.as_mm2().total_cmp(&b.area.as_mm2()))?;
    let gauge = Gauge::from_text(&crate::units::show::decimal(least.value, 0))?;
    let floor = ConductorSize::Awg(gauge);
    let main = main_lead(cx, bank, &stud);
    let needed = main.map(|m| m.size).filter(|m| !is_thinner(cx, *m, floor));
    let needed = needed.unwrap_or(floor);
    if !is_thinner(cx, thinnest.size, needed) {
        return None;
    }
    let id = &thinnest.id;
    let than = match main {
        Some(main) if needed == main.size => format!("the main lead {} is {needed}", main.id),
        _ => format!("{needed} is the least"),
    };
    Some(Said {
        severity: Severity::Fix,
        path: format!("lead.{id}.size"),
        part: format!("lead {id}"),
        says: format!("Lead {id} to {} is {}; {than}.", bond.part.name, thinnest.size),
        remedy: format!("Make lead {id} of {needed} or thicker."),
        why: "In a fault to the body this lead carries what the main fuse lets through.",
        sources: vec![least.cite.clone()],
        gates: None,
    })
}

/// The thickest lead that leaves the bank at its take-off, the bond's own left out.
fn main_lead<'a>(cx: &Context<'a>, bank: &Bank, bond: &Terminal) -> Option<&'a LeadAnswer> {
    let (plus, minus) = take_off_terminals(bank);
    let leaves = |l: &&WiredLead| {
        l.role == LeadRole::Feed
            && [&l.from, &l.to].iter().any(|t| **t == plus || **t == minus)
            && [&l.from, &l.to].iter().all(|t| *t != bond)
    };
    cx.study
        .wiring
        .leads
        .iter()
        .filter(leaves)
        .filter_map(|l| cx.answer(&l.id))
        .max_by(|a, b| a.area.as_mm2().total_cmp(&b.area.as_mm2()))
}

/// Gauges are compared by number, since boat cable of a gauge holds less copper than wire of the
/// same; anything else by copper.
fn is_thinner(cx: &Context<'_>, a: ConductorSize, b: ConductorSize) -> bool {
    if let (
        ConductorSize::Awg(a) | ConductorSize::Boat(a),
        ConductorSize::Awg(b) | ConductorSize::Boat(b),
    ) = (a, b)
    {
        return b.as_number() < a.as_number();
    }
    let area = |size| cx.tables.conductor.area(size).map_or(0.0, |a| a.value.as_mm2());
    area(a) < area(b)
}

/// Loads and charge sources whose current comes back over chassis, hull or earth and no other way.
fn only_return(cx: &Context<'_>, minus: Vec<Terminal>, least: &Sourced<f64>) -> Vec<Said> {
    let no_bond = |kind: DeviceKind| kind != DeviceKind::Bond;
    let by_lead = joined_terminals(cx, minus, &no_bond);
    let mut said = Vec::new();
    for device in cx.loads().chain(cx.charge_sources()) {
        let name = &device.part.name;
        let stud = Terminal::stud(name, Pole::Minus);
        if by_lead.contains(&stud) {
            continue;
        }
        let Some(bond) = first_bond(cx, &joined_terminals(cx, vec![stud], &|_| true)) else {
            continue;
        };
        said.push(Said {
            severity: Severity::Stop,
            path: format!("device.{name}"),
            part: name.clone(),
            says: format!(
                "{name} has no way back to the bank but {bond}: the green wire would carry battery \
                 current."
            ),
            remedy: format!("Run a lead from {name} minus to the minus side of the bank."),
            why: "An earth wire is sized for a moment of fault, and where it breaks every metal \
                  part it joins stands at battery volts.",
            sources: vec![least.cite.clone()],
            gates: None,
        });
    }
    said
}

fn first_bond(cx: &Context<'_>, reached: &BTreeSet<Terminal>) -> Option<String> {
    cx.design()
        .devices_of(DeviceKind::Bond)
        .find(|d| reached.contains(&Terminal::stud(&d.part.name, Pole::Bar)))
        .map(|d| d.part.name.clone())
}

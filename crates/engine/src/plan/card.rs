//! The card that makes the rig dead, and what stays live all the same.
//!
//! Worked out from the graph: everything that still reaches a block or another source when each
//! switch that a hand can open is open.

use crate::circuit::wiring::{Wiring, joined_studs};
use crate::model::design::Design;
use crate::model::device::{Device, DeviceKind};
use crate::model::lead::{Pole, Terminal};
use std::collections::{BTreeMap, BTreeSet};

use super::words::{Words, with_kind};

/// One thing to turn off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Off {
    /// The device, array or plug.
    pub name: String,
    /// What the hand does: the verb.
    pub verb: &'static str,
    /// To what.
    pub what: String,
}

/// Something that is still live when everything is off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StillLive {
    /// What.
    pub name: String,
    /// Why, and until when.
    pub why: String,
}

/// The emergency card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// Off, in this order.
    pub off: Vec<Off>,
    /// Live all the same.
    pub live: Vec<StillLive>,
    /// First aid and fire, in the order of need.
    pub first_aid: Vec<String>,
    /// Gas.
    pub gas: Vec<String>,
}

impl Card {
    /// The card of a design at one stage.
    #[must_use]
    pub fn of(design: &Design, wiring: &Wiring) -> Self {
        let words = Words::of(&design.rig);
        Self {
            off: off_order(design, words),
            live: still_live(design, wiring, words),
            first_aid: first_aid(design),
            gas: gas(design, words),
        }
    }
}

/// Off in this order: what draws, what feeds, the switch, the fuse.
///
/// Loads come off before the switch so that it does not break their current, sources before it so
/// that nothing feeds what it leaves.
#[must_use]
pub fn off_order(design: &Design, words: Words) -> Vec<Off> {
    let mut off = Vec::new();
    let mut add = |name: &str, verb: &'static str, what: String| {
        off.push(Off { name: name.to_owned(), verb, what });
    };
    for device in design.devices_of(DeviceKind::Inverter) {
        let name = &device.part.name;
        add(name, "Switch off", format!("{name}, at its own button."));
    }
    if has_mains_source(design) {
        add("outside supply", "Pull", format!("the {}.", words.shore()));
    }
    for device in design.devices_of(DeviceKind::Generator) {
        let name = &device.part.name;
        add(name, "Stop", format!("{name} and unplug it."));
    }
    for array in &design.arrays {
        let name = &array.part.name;
        add(name, "Cover", format!("the panels of {name} AND open their own switch."));
    }
    for device in &design.devices {
        let name = &device.part.name;
        match device.kind {
            DeviceKind::TowLine => add(name, "Pull", format!("the {}.", words.tow_plug())),
            DeviceKind::Alternator | DeviceKind::DcDc => {
                add(name, "Stop", format!("the engine: it feeds {name}."));
            }
            DeviceKind::Charger if !has_mains_source(design) => {
                add(name, "Switch off", format!("{name} and unplug it."));
            }
            _ => {}
        }
    }
    for device in design.devices_of(DeviceKind::Isolator) {
        let name = &device.part.name;
        add(name, "Turn off", format!("{}.", switch_name(name, words)));
    }
    for device in design.devices.iter().filter(|d| d.kind.is_overcurrent()) {
        let name = &device.part.name;
        if device.kind == DeviceKind::Breaker {
            add(name, "Open", format!("{}.", with_kind(device)));
        } else {
            add(name, "Take out", format!("{}, with nothing running.", with_kind(device)));
        }
    }
    off
}

/// A switch by its name, with the trade's word where the name does not say it.
#[must_use]
pub fn switch_name(name: &str, words: Words) -> String {
    if name.contains(words.isolator()) || name.contains("isolator") {
        name.to_owned()
    } else {
        format!("the {} {name}", words.isolator())
    }
}

/// Whether anything brings house voltage to a charger.
#[must_use]
pub fn has_mains_source(design: &Design) -> bool {
    let on_shore =
        |d: &Device| d.kind == DeviceKind::Charger && d.fed_by.as_deref() != Some("inverter");
    design.mains.as_ref().is_some_and(|m| m.sources.iter().any(|s| s == "shore"))
        || design.devices.iter().any(on_shore)
}

/// What is live with every hand-operated switch open.
#[must_use]
pub fn still_live(design: &Design, wiring: &Wiring, words: Words) -> Vec<StillLive> {
    let mut live: Vec<StillLive> = Vec::new();
    if design.bank().is_some() {
        live.push(StillLive {
            name: "the bank itself".to_owned(),
            why: "a battery cannot be switched off: posts, links and all leads up to the first \
                  open switch or fuse holder"
                .to_owned(),
        });
    }
    let reached = reached_with_switches_open(design, wiring);
    for device in &design.devices {
        let name = &device.part.name;
        let on_bank = studs(device).iter().any(|t| reached.contains(t));
        let uses = device.kind.is_load() || device.kind.is_charge_source();
        let why = if device.kind == DeviceKind::Breakaway {
            format!("the {} must work with everything off", words.breakaway())
        } else if device.always_live == Some(true) {
            "it is wired to stay on".to_owned()
        } else if on_bank && device.kind == DeviceKind::Alarm {
            "the alarm must work with everything off".to_owned()
        } else if on_bank && uses {
            "no switch stands between it and the bank: only its fuse cuts it off".to_owned()
        } else {
            continue;
        };
        live.push(StillLive { name: name.clone(), why });
    }
    for array in &design.arrays {
        live.push(StillLive {
            name: array.part.name.clone(),
            why: "panels give their full volts in any daylight, covered or not joined".to_owned(),
        });
    }
    for device in design.devices_of(DeviceKind::Inverter) {
        live.push(StillLive {
            name: device.part.name.clone(),
            why: "its capacitors stay charged for minutes: see its own sheet".to_owned(),
        });
    }
    live
}

fn studs(device: &Device) -> Vec<Terminal> {
    [Pole::Plus, Pole::In, Pole::Out, Pole::Bar]
        .into_iter()
        .map(|pole| Terminal::stud(&device.part.name, pole))
        .collect()
}

/// Terminals of the plus side that a walk from the bank reaches without passing an open switch.
#[must_use]
pub fn reached_with_switches_open(design: &Design, wiring: &Wiring) -> BTreeSet<Terminal> {
    let opens = |t: &Terminal| {
        t.device().and_then(|d| design.device(d)).is_some_and(|d| d.kind == DeviceKind::Isolator)
    };
    let mut next: BTreeMap<Terminal, Vec<Terminal>> = BTreeMap::new();
    let studs = joined_studs(design);
    let across_switch = |a: &Terminal, b: &Terminal| a.device() == b.device() && opens(a);
    let joined = studs.iter().map(|(a, b)| (a, b)).filter(|(a, b)| !across_switch(a, b));
    for (a, b) in wiring.leads.iter().map(|l| (&l.from, &l.to)).chain(joined) {
        next.entry(a.clone()).or_default().push(b.clone());
        next.entry(b.clone()).or_default().push(a.clone());
    }
    let plus = |t: &&Terminal| matches!(t, Terminal::Post { plus: true, .. });
    let mut open: Vec<Terminal> = next.keys().filter(plus).cloned().collect();
    let mut seen = BTreeSet::new();
    while let Some(at) = open.pop() {
        if seen.insert(at.clone()) {
            open.extend(next.get(&at).into_iter().flatten().cloned());
        }
    }
    seen
}

/// Whether acid must be reckoned with: lead blocks, or blocks of which nothing is known.
fn may_hold_acid(design: &Design) -> bool {
    design
        .bank()
        .and_then(|b| design.block_model(&b.block)?.chemistry)
        .is_none_or(crate::model::block::Chemistry::is_lead)
}

fn first_aid(design: &Design) -> Vec<String> {
    let flooded_or_sealed = may_hold_acid(design);
    let mut lines = Vec::new();
    if flooded_or_sealed {
        lines.push("Acid in the eye: clean water at once, lids held open, and keep rinsing until help is there.".to_owned());
        lines.push("Acid on skin or cloth: clothes off, much water.".to_owned());
        lines.push(
            "Acid on wood, metal or floor: soda and water. Never soda into a cell.".to_owned(),
        );
    }
    lines.push("Burn: cool running water; call for help.".to_owned());
    lines.push(
        "Fire or smoke: everyone out, call the fire service, say that batteries are inside."
            .to_owned(),
    );
    lines
}

/// Rotten egg is the smell of lead-acid blocks on overcharge; lithium cells have none.
fn gas(design: &Design, words: Words) -> Vec<String> {
    let mut lines = vec![
        format!(
            "Smell of {}: shut the cylinder, open the doors, touch no switch, go outside.",
            words.gas()
        ),
        "Alarm for CO: everyone out into the air; then stop what burns.".to_owned(),
    ];
    if may_hold_acid(design) {
        lines.push("Smell of rotten egg from a battery: it is overcharging. Stop every charger, air the box, keep off.".to_owned());
    }
    lines
}

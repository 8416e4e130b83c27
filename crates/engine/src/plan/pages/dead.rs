//! G1: every source off, capacitors empty, proved dead with a meter proved before and after.

use crate::circuit::wiring::Wiring;
use crate::model::design::Design;
use crate::model::device::DeviceKind;
use crate::model::lead::{Pole, Terminal};
use crate::plan::build::{GateMark, PartRef, Reading, Step};
use crate::plan::card::{off_order, still_live};
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::readings::{range_for, tips};
use crate::plan::tools::Tool;
use crate::plan::writer::Head;
use crate::units::reading::Quantity;

/// The page.
pub fn make_dead(hands: &mut Hands<'_>) {
    let job = hands.job;
    let words = job.words();
    let present = job.standing();
    let wiring = job.before.map_or(job.wiring, |b| b.wiring);
    let mut head = Head::new(
        "Make it dead",
        "In this order: what draws, what feeds, the switch, the fuse. A battery itself cannot be \
         switched off.",
    );
    head = head.caution(cautions::hydrogen());
    if present.devices_of(DeviceKind::Inverter).next().is_some() {
        head = head.caution(cautions::capacitors());
    }
    hands.writer.page(head);
    let off = off_order(&present, words);
    if job.before.is_none() {
        let plug =
            if words.has_wheels() { format!(", {}", words.tow_plug()) } else { String::new() };
        let text = format!(
            "{}, generator{plug} pulled; any panels covered AND their switch open.",
            words.shore()
        );
        hands.step(Step::new("See", &text).tools(&[Tool::PanelCover, Tool::Lock]));
    }
    for item in &off {
        let mut step = Step::new(item.verb, &item.what).part(PartRef::Device(item.name.clone()));
        if present.arrays.iter().any(|a| a.part.name == item.name) {
            step = step.tools(&[Tool::PanelCover, Tool::Lock]);
        }
        hands.step(step);
    }
    for device in present.devices_of(DeviceKind::Inverter) {
        let text = format!("for the capacitors of {} to discharge.", device.part.name);
        hands.step(
            Step::new("Wait", &text)
                .detail("how long stands in its own sheet: find out, write it here ______ minutes")
                .part(PartRef::Device(device.part.name.clone())),
        );
    }
    let kept: Vec<String> = still_live(&present, wiring, words)
        .into_iter()
        .filter(|l| present.device(&l.name).is_some())
        .map(|l| l.name)
        .collect();
    if !kept.is_empty() {
        let text = format!(
            "{} still on: take out the fuse of each before its wire is touched.",
            kept.join(", ")
        );
        hands.step(Step::new("Mind", &text));
    }
    prove_dead(hands, &present, wiring);
    hands.gate(
        GateMark::Dead,
        "every source is off and locked or tagged, the sun is covered AND its switch is open, the \
         inverter is off and its capacitors are empty, and the meter, proved on a live source \
         before and after, shows nothing.",
    );
}

fn prove_dead(hands: &mut Hands<'_>, present: &Design, wiring: &Wiring) {
    hands.step(
        Step::new("Prove", "the meter on a live source: a block or a torch battery.")
            .tools(&[Tool::Meter]),
    );
    let live: Vec<String> =
        still_live(present, wiring, hands.job.words()).into_iter().map(|l| l.name).collect();
    let load = present.devices.iter().filter(|d| d.kind.is_load());
    let after = load.clone().find(|d| !live.contains(&d.part.name));
    if after.is_none() && present.bank().is_some() {
        // No switch stands before anything: the bank's own minus is the only way to make it dead.
        hands.step(
            Step::new("Take off", "the bank's main minus lead first: no switch stands before it.")
                .detail("minus first; tape its lug and tie it away")
                .tools(&[Tool::Spanner, Tool::Tape, Tool::Glasses]),
        );
    }
    let after = after.or_else(|| load.clone().next());
    let (red, black) = after.map_or((None, None), |d| {
        let name = &d.part.name;
        (Some(Terminal::stud(name, Pole::Plus)), Some(Terminal::stud(name, Pole::Minus)))
    });
    let probes = match (&red, &black) {
        (Some(red), Some(black)) => tips(red, black),
        _ => "across the plus and minus of the nearest load".to_owned(),
    };
    let reading = Reading {
        id: "dead".to_owned(),
        quantity: Quantity::Volts,
        expect: Some(0.0),
        low: None,
        high: None,
        range: range_for(hands.job.string_volts()),
        probes,
        between: None,
        note: Some("anything that stays above zero is a source you have not found".to_owned()),
    };
    hands.step(
        Step::new("Measure", "beyond the open switch and fuse.")
            .tools(&[Tool::Meter])
            .reading(reading),
    );
    hands
        .step(Step::new("Prove", "the meter on the same live source again.").tools(&[Tool::Meter]));
}

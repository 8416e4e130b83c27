//! R16: a fuse that cannot break the current of a dead short of this bank.

use super::context::{CheckError, Context, Said, kiloamps, owner};
use super::r18_wrong_voltage_or_kind::{family, volts_max};
use super::walk::unguarded_runs;
use crate::calc::interrupt::{FaultFacts, InterruptNeeded, interrupt_needed};
use crate::calc::short_circuit::bank_fault_current;
use crate::circuit::wiring::resolved;
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::bank::Bank;
use crate::model::device::Device;
use crate::model::lead::{Pole, Terminal};
use crate::tables::Sourced;
use crate::units::{Current, Interrupt, Voltage};

/// What a fuse of this bank must break, and in words how that is known.
struct Needed {
    interrupt: Sourced<Interrupt>,
    gives: String,
    known: bool,
}

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank() else {
        return Ok(Vec::new());
    };
    let needed = needed_of(cx, bank)?;
    let first = first_guards(cx);
    let (mains, branches): (Vec<&Device>, Vec<&Device>) = cx
        .design()
        .devices
        .iter()
        .filter(|d| d.kind.is_overcurrent())
        .partition(|d| first.contains(&d.part.name) || short_at(cx, d).is_none());
    let mut said = Vec::new();
    for device in mains {
        said.extend(judged(cx, bank, device, &needed)?);
    }
    let mains_hold = said.is_empty();
    for device in branches {
        said.extend(match short_at(cx, device).filter(|_| mains_hold && needed.known) {
            Some(short) => branch(cx, device, short)?,
            None => judged(cx, bank, device, &needed)?,
        });
    }
    Ok(said)
}

/// The devices that a short meets first on its way from the bank.
fn first_guards(cx: &Context<'_>) -> Vec<String> {
    let on_post = |d: &&Device| {
        let on = d.mounted_on.as_ref().map(|t| resolved(cx.bank(), t));
        on.is_some_and(|t| t.block().is_some())
    };
    let mounted = cx.design().devices.iter().filter(on_post).map(|d| d.part.name.clone());
    unguarded_runs(cx).into_iter().filter_map(|r| r.guard).chain(mounted).collect()
}

/// A dead short right at the studs of a device, solved with the leads up to it.
fn short_at(cx: &Context<'_>, device: &Device) -> Option<Current> {
    let share = cx.study.discharge.as_ref().ok()?;
    let at = [Pole::In, Pole::Out].map(|p| Terminal::stud(&device.part.name, p).to_string());
    let shorts = share.faults.iter().filter(|f| at.contains(&f.node));
    shorts.map(|f| f.amps).reduce(f64::max).map(Current::amps)
}

/// A device behind others that hold the whole short: weak ones are told as FIX.
fn branch(cx: &Context<'_>, device: &Device, short: Current) -> Result<Option<Said>, CheckError> {
    let name = &device.part.name;
    let (breaks, cite) = breaks(cx, device);
    let Some(breaks) = breaks else {
        return Ok(Some(Said {
            severity: Severity::Fix,
            path: format!("device.{name}.interrupt"),
            part: name.clone(),
            says: format!(
                "A dead short right behind {name} gives about {}, and what it can break is not \
                 known.",
                kiloamps(short.as_amps())
            ),
            remedy: format!("Read what {name} can break and write device.{name}.interrupt."),
            why: WHY,
            sources: vec![cite],
            gates: None,
        }));
    };
    if short.as_amps() <= breaks.as_amps() {
        return Ok(None);
    }
    Ok(Some(Said {
        severity: Severity::Fix,
        path: format!("device.{name}.interrupt"),
        part: name.clone(),
        says: format!(
            "A dead short right behind {name} gives about {}, and it breaks {}: only the fuse \
             ahead of it would stop that.",
            kiloamps(short.as_amps()),
            kiloamps(breaks.as_amps())
        ),
        remedy: use_instead(cx, Interrupt::amps(short.as_amps())),
        why: WHY,
        sources: vec![cx.limit("aic-capacity-table-max")?.cite, cite],
        gates: None,
    }))
}

const WHY: &str = "A fuse that is too weak for the short turns into an arc and feeds the fire.";

/// What a device can break at the bank's volts: its own mark, else the usual figure of its family.
fn breaks(cx: &Context<'_>, device: &Device) -> (Option<Interrupt>, Cite) {
    let usual = device.family.as_ref().and_then(|word| {
        let family = family(cx, word)?;
        cx.tables.overcurrent.interrupt(&family.word, volts_max(cx))
    });
    match (device.interrupt, usual) {
        (Some(stated), _) => (Some(stated), owner()),
        (None, Some(usual)) => (Some(usual.value), usual.cite),
        (None, None) => (None, Cite::practice("read the marking")),
    }
}

/// What a fuse must break; `None` while nothing is known to go by.
pub(super) fn needed(cx: &Context<'_>) -> Option<Interrupt> {
    let needed = needed_of(cx, cx.bank()?).ok()?;
    needed.known.then_some(needed.interrupt.value)
}

fn needed_of(cx: &Context<'_>, bank: &Bank) -> Result<Needed, CheckError> {
    let facts = facts(cx, bank);
    let answer = interrupt_needed(cx.tables, &facts);
    Ok(match (answer, facts.block) {
        (InterruptNeeded::AtLeast(interrupt), Some(block)) => {
            let sum = bank_fault_current(block, bank.parallel).as_amps();
            let gives = format!("In a dead short this bank gives about {}", kiloamps(sum));
            Needed { interrupt, gives, known: true }
        }
        (InterruptNeeded::AtLeast(interrupt), None) => {
            let gives = format!(
                "By its cranking amps this bank asks a main fuse to break {}",
                kiloamps(interrupt.value.as_amps())
            );
            Needed { interrupt, gives, known: true }
        }
        (InterruptNeeded::AskMaker, _) => {
            let high = cx.limit("aic-high-interrupt-min")?;
            let gives = format!(
                "The short-circuit current of {} is not known, so {} is asked",
                bank.block,
                kiloamps(high.value)
            );
            Needed { interrupt: high.map(Interrupt::amps), gives, known: false }
        }
    })
}

/// The block with the largest short-circuit current stands for all of them: strings add, blocks in
/// series do not. One block whose figure is missing makes the bank unknown.
fn facts(cx: &Context<'_>, bank: &Bank) -> FaultFacts {
    let mut block = Some(Current::ZERO);
    for facts in &cx.study.facts.blocks {
        block = block.zip(facts.short_circuit).map(|(most, own)| most.max(own));
    }
    let model = cx.design().block_model(&bank.block);
    FaultFacts {
        block,
        cranking: model.and_then(|m| m.cranking),
        strings: bank.parallel,
        capacity_ah: cx.bank_amp_hours().unwrap_or(f64::MAX),
        nominal: cx.nominal_volts().unwrap_or(Voltage::volts(f64::MAX)),
    }
}

fn judged(
    cx: &Context<'_>,
    bank: &Bank,
    device: &Device,
    needed: &Needed,
) -> Result<Option<Said>, CheckError> {
    let name = &device.part.name;
    let (breaks, cite) = breaks(cx, device);
    if breaks.is_some_and(|b| needed.interrupt.value <= b) {
        return Ok(None);
    }
    let can = breaks.map_or_else(
        || format!("what {name} can break is not known"),
        |b| format!("{name} breaks {}; it may arc and keep burning", kiloamps(b.as_amps())),
    );
    let ask = if needed.known {
        String::new()
    } else {
        format!(" Or ask the maker and write block.{}.short_circuit.", bank.block)
    };
    Ok(Some(Said {
        severity: Severity::Stop,
        path: format!("device.{name}.interrupt"),
        part: name.clone(),
        says: format!("{}, and {can}.", needed.gives),
        remedy: format!("{}{ask}", use_instead(cx, needed.interrupt.value)),
        why: WHY,
        sources: vec![
            cx.limit("aic-capacity-table-max")?.cite,
            needed.interrupt.cite.clone(),
            cite,
        ],
        gates: None,
    }))
}

/// Fuse families that break this much at the bank's volts, class T first where it does.
fn use_instead(cx: &Context<'_>, needed: Interrupt) -> String {
    let volts = volts_max(cx);
    let table = &cx.tables.overcurrent;
    let breaks = |word: &str| table.interrupt(word, volts).filter(|i| needed <= i.value);
    let family = ["class-t", "class-j"].into_iter().find(|w| breaks(w).is_some());
    let named = match family {
        Some("class-t") => "class T or another fuse",
        Some(_) => "class J (from memory, not verified; read its sheet) or another fuse",
        None => "a fuse",
    };
    format!(
        "Use {named} marked to break {} or more at the bank's volts.",
        kiloamps(needed.as_amps())
    )
}

//! Pre-charge, the fuse last, volts at everything that is fed.

use crate::circuit::error::SolveError;
use crate::circuit::wiring::take_off_terminals;
use crate::model::device::{Device, DeviceKind};
use crate::model::lead::{Pole, Terminal};
use crate::plan::bench::Gap;
use crate::plan::build::{GateMark, PartRef, Reading, Step};
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::order::device_depth;
use crate::plan::readings;
use crate::plan::tools::Tool;
use crate::plan::writer::Head;

use super::feed::trace;
use crate::units::reading::Quantity;

/// The pages.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn energise(hands: &mut Hands<'_>) -> Result<(), SolveError> {
    let job = hands.job;
    if job.design.bank().is_none() {
        return Ok(());
    }
    hands.writer.page(head(hands, "Before the fuse"));
    trace(hands);
    bank_volts(hands)?;
    for device in job.design.devices_of(DeviceKind::Isolator) {
        hands.close_device(&device.part.name, "Turn on", Some("with the fuse still out"))?;
    }
    let depth = |d: &&Device| device_depth(job.design, job.wiring, &d.part.name);
    let mut fuses: Vec<&Device> =
        job.design.devices.iter().filter(|d| d.kind.is_overcurrent()).collect();
    fuses.sort_by_key(|d| std::cmp::Reverse(depth(d)));
    let nearest = fuses.last().map(depth);
    let (near, far): (Vec<&Device>, Vec<&Device>) =
        fuses.into_iter().partition(|d| Some(depth(d)) == nearest);
    if near.is_empty() {
        hands.step(Step::new(
            "Stop",
            "here: this design has no fuse at all. Do not go on without one.",
        ));
    }
    // Fuses further out go in first: nothing flows as long as those at the bank are out.
    for fuse in far {
        put_in(hands, fuse)?;
    }
    for (index, fuse) in near.into_iter().enumerate() {
        last_fuse(hands, fuse, index > 0)?;
    }
    fed(hands)
}

fn head(hands: &Hands<'_>, title: &str) -> Head {
    let intro =
        "All loads off at their own switches. Nothing charges yet. The fuse is the last part in.";
    let head = Head::new(title, intro).caution(cautions::bridging(hands.job.words()));
    if hands.job.design.devices_of(DeviceKind::Inverter).next().is_some() {
        head.caution(cautions::capacitors())
    } else {
        head
    }
}

fn put_in(hands: &mut Hands<'_>, fuse: &Device) -> Result<(), SolveError> {
    let verb = if fuse.kind == DeviceKind::Breaker { "Close" } else { "Put in" };
    hands.close_device(&fuse.part.name, verb, Some(&rating_line(fuse)))
}

/// A fuse at the bank: behind the lamp and its gate, or, where it closes a loop between strings
/// that already feed, behind the gate of the loop. The lamp never bridges a gap that is measured.
fn last_fuse(hands: &mut Hands<'_>, fuse: &Device, own_page: bool) -> Result<(), SolveError> {
    let gap = hands.bench.gap_of_device(&hands.state, &fuse.part.name)?;
    if matches!(gap, Gap::Loop(_)) {
        return put_in(hands, fuse);
    }
    if own_page {
        let head = head(hands, &format!("Before the fuse {}", fuse.part.name));
        hands.writer.page(head);
    }
    volts_at(hands, fuse)?;
    pre_charge(hands, fuse);
    hands.gate(
        GateMark::Fuse,
        "no STOP stands against energising, every lead is traced, and the lamp across the empty \
         holder has gone out. A lamp that stays bright: something is still on, or a plus and a \
         minus lead are swapped.",
    );
    put_in(hands, fuse)?;
    hands.step(Step::new("Take off", "the lamp or resistor."));
    Ok(())
}

/// What must stand on the fuse that goes in.
fn rating_line(fuse: &Device) -> String {
    let rating = fuse.rating.map_or_else(
        || "find out its rating".to_owned(),
        |a| format!("read {} A on it", crate::units::show::decimal(a.as_amps(), 0)),
    );
    let family = fuse.family.clone().unwrap_or_else(|| "family: find out".to_owned());
    format!("{rating}, {family}; no other kind in its place")
}

fn bank_volts(hands: &mut Hands<'_>) -> Result<(), SolveError> {
    let job = hands.job;
    let Some(bank) = job.design.bank() else {
        return Ok(());
    };
    let (plus, minus) = take_off_terminals(bank);
    let reading = readings::volts(job, &hands.bench, &hands.state, "bank", (&plus, &minus))?;
    if reading.expect.is_none() {
        // The take-off is a bar whose string fuses are still out: there is nothing to read yet.
        return Ok(());
    }
    let step = Step::new("Measure", "the bank where the main leads leave.")
        .tools(&[Tool::Meter])
        .part(PartRef::Terminal(plus))
        .part(PartRef::Terminal(minus))
        .reading(reading);
    hands.step(step);
    Ok(())
}

/// Volts and sign at the bank's side of an open fuse: the last look at the bank's own polarity.
fn volts_at(hands: &mut Hands<'_>, fuse: &Device) -> Result<(), SolveError> {
    let job = hands.job;
    let Some(bank) = job.design.bank() else {
        return Ok(());
    };
    let name = &fuse.part.name;
    let (_, minus) = take_off_terminals(bank);
    let plus = Terminal::stud(name, Pole::In);
    let id = format!("before {name}");
    let reading = readings::volts(job, &hands.bench, &hands.state, &id, (&plus, &minus))?;
    if reading.expect.is_some() {
        let step = Step::new("Measure", &format!("at the bank's side of the open {name}."))
            .tools(&[Tool::Meter])
            .part(PartRef::Terminal(plus))
            .reading(reading);
        hands.step(step);
    }
    Ok(())
}

fn pre_charge(hands: &mut Hands<'_>, main: &Device) {
    let name = &main.part.name;
    let own = hands.job.design.devices_of(DeviceKind::Precharge).next();
    let with = own.map_or_else(
        || "a lamp or resistor for the bank's volts".to_owned(),
        |d| format!("the pre-charge {}", d.part.name),
    );
    let (red, black) = (Terminal::stud(name, Pole::In), Terminal::stud(name, Pole::Out));
    let reading = Reading {
        id: format!("across {name}"),
        quantity: Quantity::Volts,
        expect: Some(0.0),
        low: None,
        high: None,
        range: readings::range_for(hands.job.string_volts()),
        probes: readings::tips(&red, &black),
        between: None,
        note: Some("falls to near zero as the capacitors fill; if it stays up, stop".to_owned()),
    };
    let step =
        Step::new("Bridge", &format!("the empty {name} with {with} and watch the volts fall."))
            .detail("clips with long handles; leave it on until the fuse is in")
            .tools(&[Tool::Lamp, Tool::Meter])
            .part(PartRef::Device(name.clone()))
            .reading(reading);
    hands.step(step);
}

/// Volts and polarity at everything on the bank.
fn fed(hands: &mut Hands<'_>) -> Result<(), SolveError> {
    let job = hands.job;
    hands.writer.page(
        Head::new("Volts at every device", "Everything still off. Red on plus, black on minus.")
            .caution(cautions::bridging(job.words())),
    );
    for device in
        job.design.devices.iter().filter(|d| d.kind.is_load() || d.kind.is_charge_source())
    {
        let name = &device.part.name;
        let (red, black) = (Terminal::stud(name, Pole::Plus), Terminal::stud(name, Pole::Minus));
        let id = format!("at {name}");
        let reading = readings::volts(job, &hands.bench, &hands.state, &id, (&red, &black))?;
        if reading.expect.is_none() {
            continue;
        }
        let step = Step::new("Measure", &format!("at {name}."))
            .tools(&[Tool::Meter])
            .part(PartRef::Device(name.clone()))
            .reading(reading);
        hands.step(step);
    }
    Ok(())
}

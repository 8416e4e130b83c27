//! Bolting a lead on and putting a device in: the lines, the gate where a loop closes, the state.

use super::bench::{Bench, Gap, State};
use super::build::{Change, GateBar, GateMark, Meaning, PartRef, Reading, Step};
use super::job::Job;
use super::order::depths;
use super::readings;
use super::tools::Tool;
use super::writer::{Head, Writer};
use crate::circuit::error::SolveError;
use crate::circuit::wiring::WiredLead;
use crate::model::bank::BlockId;
use crate::model::lead::{Pole, Terminal};
use crate::units::show;
use std::collections::BTreeMap;

/// The hands at work: what has been written and what is bolted so far.
pub struct Hands<'a> {
    /// The work.
    pub job: &'a Job<'a>,
    /// The circuit.
    pub bench: Bench<'a>,
    /// What is bolted and closed.
    pub state: State,
    /// The pages.
    pub writer: Writer,
    /// Leads that still go on, in order.
    pub to_come: Vec<&'a WiredLead>,
    /// Steps from the bank to each terminal.
    depths: BTreeMap<Terminal, usize>,
}

/// What closes a gap: a lead or a device.
struct Closing {
    name: String,
    part: PartRef,
    change: Change,
    red: Terminal,
    black: Terminal,
}

impl<'a> Hands<'a> {
    /// Hands that have done nothing yet.
    #[must_use]
    pub fn new(job: &'a Job<'a>) -> Self {
        Self {
            job,
            bench: job.bench(),
            state: job.start(),
            writer: Writer::default(),
            to_come: job.fitted_leads(),
            depths: depths(job.design, job.wiring),
        }
    }

    /// Writes a step and does what it says.
    pub fn step(&mut self, step: Step) {
        if let Some(change) = &step.change {
            self.state.apply(change);
        }
        self.writer.step(step);
    }

    /// Writes a gate.
    pub fn gate(&mut self, mark: GateMark, unless: &str) {
        self.writer.gate(bar(mark, unless));
    }

    /// What a lead would do now.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn gap(&self, lead: &WiredLead) -> Result<Gap, SolveError> {
        self.bench.gap(&self.state, lead)
    }

    /// Bolts a lead on; where it closes a loop, on a page of its own behind a gate.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn fit(&mut self, lead: &'a WiredLead, extra: Option<Reading>) -> Result<(), SolveError> {
        let gap = self.gap(lead)?;
        self.to_come.retain(|l| l.id != lead.id);
        if let Gap::Loop(volts) = gap {
            return self.close_with_lead(lead, volts);
        }
        let (first, then) = self.ends_in_order(lead);
        let text = if lead.role.is_link() {
            format!("lead {} from {first} to {then}.", lead.id)
        } else {
            format!("lead {} to {first} first, then to {then}.", lead.id)
        };
        let mut step = Step::new("Fit", &text)
            .detail(self.lead_detail(lead))
            .detail(self.end_detail(lead, &[first, then]))
            .tools(&[Tool::Spanner, Tool::TorqueWrench, Tool::Tape])
            .part(PartRef::Lead(lead.id.clone()))
            .changes(Change::Fits(lead.id.clone()));
        if gap == Gap::Metal {
            step = step.detail(
                "Both posts are one piece of metal already: this lead shares their \
                                current.",
            );
        }
        step.readings.extend(extra);
        self.step(step);
        Ok(())
    }

    /// Links go on as they are named; a lead beyond the bank goes on at its far end first, so that
    /// no hand holds a lug that is live.
    fn ends_in_order<'l>(&self, lead: &'l WiredLead) -> (&'l Terminal, &'l Terminal) {
        if lead.role.is_link() {
            return (&lead.from, &lead.to);
        }
        let depth = |t: &Terminal| self.depths.get(t).copied().unwrap_or(usize::MAX);
        if depth(&lead.to) >= depth(&lead.from) {
            (&lead.to, &lead.from)
        } else {
            (&lead.from, &lead.to)
        }
    }

    fn close_with_lead(&mut self, lead: &'a WiredLead, volts: f64) -> Result<(), SolveError> {
        let title = format!("Close the loop: lead {}", lead.id);
        self.loop_page(&title);
        let first = format!("one end of lead {} on {}. Tape the other lug.", lead.id, lead.from);
        let first = Step::new("Bolt", &first)
            .detail(self.lead_detail(lead))
            .detail(self.end_detail(lead, &[&lead.from]))
            .tools(&[Tool::Spanner, Tool::TorqueWrench, Tool::Tape])
            .part(PartRef::Lead(lead.id.clone()));
        self.step(first);
        let closing = Closing {
            name: lead.id.clone(),
            part: PartRef::Lead(lead.id.clone()),
            change: Change::Fits(lead.id.clone()),
            red: lead.from.clone(),
            black: lead.to.clone(),
        };
        let what = format!("from the loose lug of lead {} to {}.", lead.id, lead.to);
        let probes = format!("red on the loose lug, black on {}", lead.to);
        self.measure_gap(&closing, volts, (&what, &probes))?;
        let text = format!("the other end of lead {} to {}.", lead.id, lead.to);
        let last = Step::new("Fit", &text)
            .detail(self.end_detail(lead, &[&lead.to]))
            .tools(&[Tool::Spanner, Tool::TorqueWrench]);
        self.close(last, closing, volts);
        Ok(())
    }

    /// Puts in a fuse or closes a switch; where that closes a loop, behind a gate.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn close_device(
        &mut self,
        device: &str,
        verb: &str,
        detail: Option<&str>,
    ) -> Result<(), SolveError> {
        let mut step = Step::new(verb, &format!("{device}."));
        step.detail.extend(detail.map(str::to_owned));
        let Gap::Loop(volts) = self.bench.gap_of_device(&self.state, device)? else {
            let step = step
                .part(PartRef::Device(device.to_owned()))
                .changes(Change::Closes(device.to_owned()));
            self.step(step);
            return Ok(());
        };
        self.loop_page(&format!("Close the loop: {device}"));
        let closing = Closing {
            name: device.to_owned(),
            part: PartRef::Device(device.to_owned()),
            change: Change::Closes(device.to_owned()),
            red: Terminal::stud(device, Pole::In),
            black: Terminal::stud(device, Pole::Out),
        };
        let what = format!("across the open {device}.");
        let probes = readings::tips(&closing.red, &closing.black);
        self.measure_gap(&closing, volts, (&what, &probes))?;
        self.close(step, closing, volts);
        Ok(())
    }

    fn loop_page(&mut self, title: &str) {
        let words = self.job.words();
        let intro = "This part closes a loop through the blocks. If anything is the wrong way \
                     round, the last touch is a dead short. Measure first.";
        self.writer.page(Head::new(title, intro).caution(super::cautions::bridging(words)));
    }

    /// Proves the meter, measures the gap, and sets the gate.
    fn measure_gap(
        &mut self,
        closing: &Closing,
        volts: f64,
        said: (&str, &str),
    ) -> Result<(), SolveError> {
        self.prove_meter(closing)?;
        let step = Step::new("Measure", said.0)
            .detail("write it in the dark bar; do not let the parts touch")
            .tools(&[Tool::Meter])
            .part(closing.part.clone());
        self.step(step);
        let mut reading =
            readings::gap(self.job, &closing.name, (&closing.red, &closing.black), volts);
        said.1.clone_into(&mut reading.probes);
        let limit = readings::gap_limit(self.job);
        let unless = if volts.abs() <= limit {
            let limit = show::decimal(limit, 2);
            format!("the gap reads within {limit} V of zero, on a meter proved just before.")
        } else {
            let shown = show::fixed(volts.abs(), 2);
            format!(
                "the gap reads within {} V of zero. By this design it reads {shown} V: do not close \
                 it. Find what differs between the strings, or charge each alone, first.",
                show::decimal(limit, 2)
            )
        };
        let mut gate = bar(GateMark::Loop, &unless);
        gate.meanings = readings::gap_meanings(self.job);
        gate.reading = Some(reading);
        self.writer.gate(gate);
        Ok(())
    }

    /// A reading on blocks that must be live, so that a zero at the gap is a zero: those at both
    /// sides of the gap, or the first of each string where the gap lies beyond them.
    fn prove_meter(&mut self, closing: &Closing) -> Result<(), SolveError> {
        let mut blocks: Vec<BlockId> = match (closing.red.block(), closing.black.block()) {
            (Some(a), Some(b)) => vec![a, b],
            _ => self.first_blocks(),
        };
        blocks.dedup();
        let names: Vec<String> = blocks.iter().map(ToString::to_string).collect();
        let text = format!("the meter on block {}, just before.", names.join(" and "));
        let mut step = Step::new("Prove", &text).tools(&[Tool::Meter]);
        for id in blocks {
            let posts = (Terminal::plus(id), Terminal::minus(id));
            let name = format!("proof {} {id}", closing.name);
            let between = (&posts.0, &posts.1);
            let reading = readings::volts(self.job, &self.bench, &self.state, &name, between)?;
            step = step.part(PartRef::Block(id)).reading(reading);
        }
        self.step(step);
        Ok(())
    }

    /// The first block of each string, of the first four at most.
    fn first_blocks(&self) -> Vec<BlockId> {
        let ids = self.job.facts.blocks.iter().map(|b| b.id);
        ids.filter(|id| id.place == 0).take(4).collect()
    }

    /// The line that closes the gap; by a design that is wrong, the line that forbids it.
    fn close(&mut self, step: Step, closing: Closing, volts: f64) {
        if volts.abs() > readings::gap_limit(self.job) {
            let text = format!("{}: the gap is not zero by this very design.", closing.name);
            self.step(Step::new("Leave off", &text).part(closing.part));
            return;
        }
        self.step(step.part(closing.part).changes(closing.change));
    }

    /// Size, colour and length of a lead, as far as the sizing knows them.
    fn lead_detail(&self, lead: &WiredLead) -> String {
        let Some(answer) = self.job.answer(&lead.id) else {
            return format!("label it {} at both ends before it goes on", lead.id);
        };
        let cut = show::length(answer.length.cut, self.job.design.rig.units);
        format!("{}, {}, cut {cut}", answer.size, answer.colour)
    }

    /// Torque or a blank, and what lies on what, at the named ends.
    fn end_detail(&self, lead: &WiredLead, ends: &[&Terminal]) -> String {
        let mut parts: Vec<String> = ends.iter().map(|end| self.one_end(lead, end)).collect();
        parts.push("lug flat on the metal, then flat washer, spring washer, nut".to_owned());
        parts.join("; ")
    }

    fn one_end(&self, lead: &WiredLead, end: &Terminal) -> String {
        let on = |l: &&WiredLead| l.id != lead.id && (l.from == *end || l.to == *end);
        if let Some(next) = self.to_come.iter().find(|l| on(l)) {
            return format!("{end}: finger tight, lead {} still comes on it", next.id);
        }
        let stud = self.job.stud_at(end).map(|s| format!(" ({} stud)", self.job.studs.name(s)));
        let end_name = format!("{end}{}", stud.unwrap_or_default());
        let torque = self.job.torque_at(end).map_or_else(
            || "torque from the maker's own sheet, write it here ______".to_owned(),
            |t| show::torque(t, self.job.design.rig.units),
        );
        let under = self.job.wiring.leads.iter().filter(|l| self.state.leads.contains(&l.id));
        let others: Vec<&str> = under.filter(on).map(|l| l.id.as_str()).collect();
        match others.as_slice() {
            [] => format!("{end_name}: {torque}"),
            more => {
                format!("{end_name}: largest lug lowest, with lead {}; {torque}", more.join(", "))
            }
        }
    }
}

/// A gate bar with what holds it.
#[must_use]
pub fn bar(mark: GateMark, unless: &str) -> GateBar {
    GateBar {
        mark,
        after: 0,
        unless: unless.to_owned(),
        meanings: Vec::<Meaning>::new(),
        reading: None,
        held_by: mark.held_by().to_vec(),
        if_not: None,
    }
}

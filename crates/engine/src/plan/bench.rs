//! The bank on the bench: what a meter shows between two points of a circuit half built.

use crate::circuit::error::SolveError;
use crate::circuit::netlist::{Fitted, LeadOhms, Netlist};
use crate::circuit::network::Terminals;
use crate::circuit::wiring::{WiredLead, Wiring};
use crate::facts::Facts;
use crate::model::bank::BlockId;
use crate::model::design::Design;
use crate::model::lead::{Pole, Terminal};
use crate::units::Voltage;
use std::collections::{BTreeMap, BTreeSet};

use super::build::{Build, Change, Reading};
use super::metal::Ways;

/// What is bolted and closed at a moment of the work.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct State {
    /// Leads bolted at both ends.
    pub leads: BTreeSet<String>,
    /// Pass-through devices that are in and closed.
    pub devices: BTreeSet<String>,
}

impl State {
    /// Does what a line says.
    pub fn apply(&mut self, change: &Change) {
        match change {
            Change::Fits(lead) => {
                self.leads.insert(lead.clone());
            }
            Change::Closes(device) => {
                self.devices.insert(device.clone());
            }
            Change::Opens(device) => {
                self.devices.remove(device);
            }
        }
    }
}

/// What a meter shows between two points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Across {
    /// These volts, red above black.
    Volts(f64),
    /// Nothing that means anything: no conductor joins the two.
    Floating,
}

impl Across {
    /// The volts, where there are any.
    #[must_use]
    pub const fn volts(self) -> Option<f64> {
        match self {
            Self::Volts(v) => Some(v),
            Self::Floating => None,
        }
    }
}

/// What closing a gap does to the circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gap {
    /// It joins two parts that have nothing in common: it reads nothing, and proves nothing.
    Open,
    /// Both sides are one piece of metal already.
    Metal,
    /// It closes a loop through blocks: these volts stand across it [V].
    Loop(f64),
}

/// Which rest volts the blocks are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Charge {
    /// The lowest that passes.
    Low,
    /// As stated.
    Stated,
}

/// A design with its facts, ready to be measured at any state of the work.
pub struct Bench<'a> {
    design: &'a Design,
    wiring: &'a Wiring,
    ohms: &'a [LeadOhms],
    stated: Facts,
    low: Facts,
    ways: Ways<'a>,
}

impl<'a> Bench<'a> {
    /// A bench on which every block stands the right way round, as the plan wants it.
    #[must_use]
    pub fn new(
        design: &'a Design,
        wiring: &'a Wiring,
        facts: &Facts,
        ohms: &'a [LeadOhms],
        bands: &BTreeMap<BlockId, (f64, f64)>,
    ) -> Self {
        let mut stated = facts.clone();
        for block in &mut stated.blocks {
            block.reversed = false;
        }
        let mut low = stated.clone();
        for block in &mut low.blocks {
            if let Some((volts, _)) = bands.get(&block.id) {
                block.emf = Voltage::volts(*volts);
            }
        }
        Self::with(design, wiring, ohms, (stated, low))
    }

    /// A bench with the blocks exactly as the facts have them, reversed ones too: what is really
    /// in the box, for judging the readings of a build.
    #[must_use]
    pub fn actual(
        design: &'a Design,
        wiring: &'a Wiring,
        facts: &Facts,
        ohms: &'a [LeadOhms],
    ) -> Self {
        Self::with(design, wiring, ohms, (facts.clone(), facts.clone()))
    }

    fn with(
        design: &'a Design,
        wiring: &'a Wiring,
        ohms: &'a [LeadOhms],
        facts: (Facts, Facts),
    ) -> Self {
        let ways = Ways::of(design, wiring, &facts.0);
        Self { design, wiring, ohms, stated: facts.0, low: facts.1, ways }
    }

    fn netlist(&self, facts: &Facts, state: &State) -> Netlist {
        let lead = |id: &str| state.leads.contains(id);
        let device = |name: &str| state.devices.contains(name);
        let fitted = Fitted { lead: &lead, device: &device };
        Netlist::of(self.design, self.wiring, facts, self.ohms, &fitted)
    }

    /// What a meter shows, red on the first point, with nothing drawn.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn across(
        &self,
        state: &State,
        red: &Terminal,
        black: &Terminal,
    ) -> Result<Across, SolveError> {
        self.across_at(Charge::Stated, state, (red, black))
    }

    /// As [`Self::across`], with the blocks at another charge.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn across_at(
        &self,
        charge: Charge,
        state: &State,
        between: (&Terminal, &Terminal),
    ) -> Result<Across, SolveError> {
        let facts = match charge {
            Charge::Low => &self.low,
            Charge::Stated => &self.stated,
        };
        measure(&self.netlist(facts, state), between)
    }

    /// What bolting a lead at its second end would do.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn gap(&self, state: &State, lead: &WiredLead) -> Result<Gap, SolveError> {
        self.gap_between(state, &lead.from, &lead.to)
    }

    /// What putting in a fuse or closing a switch would do.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn gap_of_device(&self, state: &State, device: &str) -> Result<Gap, SolveError> {
        let ends = (Terminal::stud(device, Pole::In), Terminal::stud(device, Pole::Out));
        self.gap_between(state, &ends.0, &ends.1)
    }

    fn gap_between(&self, state: &State, a: &Terminal, b: &Terminal) -> Result<Gap, SolveError> {
        if self.ways.joined(state, false, [a, b]) {
            return Ok(Gap::Metal);
        }
        if !self.ways.joined(state, true, [a, b]) {
            return Ok(Gap::Open);
        }
        Ok(match self.across(state, a, b)? {
            Across::Volts(volts) => Gap::Loop(volts),
            Across::Floating => Gap::Open,
        })
    }
}

fn measure(netlist: &Netlist, between: (&Terminal, &Terminal)) -> Result<Across, SolveError> {
    let nodes = (netlist.nodes.get(between.0), netlist.nodes.get(between.1));
    let (Some(plus), Some(minus)) = nodes else {
        return Ok(Across::Floating);
    };
    let solution = netlist.network.factor()?.solve()?;
    let at = Terminals { plus: *plus, minus: *minus };
    Ok(solution.volts_between(at).map_or(Across::Floating, Across::Volts))
}

/// A reading of the build that the circuit as it really is does not pass.
#[derive(Clone, Debug, PartialEq)]
pub struct Miss {
    /// The page it stands on.
    pub page: u32,
    /// Its name.
    pub id: String,
    /// What the meter would show; `None` when the two points have nothing in common.
    pub shows_v: Option<f64>,
    /// It belongs to a gate rather than to a line.
    pub at_gate: bool,
    /// A fuse, a switch or a lead that closed a loop went in before it was met.
    pub after_loop: bool,
}

/// Walks a build line by line on the circuit as it really is and reports every reading between
/// two points that misses its band.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn misses(build: &Build, start: &State, actual: &Bench<'_>) -> Result<Vec<Miss>, SolveError> {
    let mut state = start.clone();
    let mut found = Vec::new();
    let mut after_loop = false;
    for page in &build.pages {
        for (index, step) in page.steps.iter().enumerate() {
            if let Some(gate) = page.gate.as_ref().filter(|g| g.after == index) {
                let reading = gate.reading.as_ref();
                found.extend(
                    judged(actual, &state, reading)?
                        .map(|m| place(m, page.number, true, after_loop)),
                );
            }
            if let Some(change) = &step.change {
                after_loop |= closes(actual, &state, change)?;
                state.apply(change);
            }
            for reading in &step.readings {
                found.extend(
                    judged(actual, &state, Some(reading))?
                        .map(|m| place(m, page.number, false, after_loop)),
                );
            }
        }
        if let Some(gate) = page.gate.as_ref().filter(|g| g.after >= page.steps.len()) {
            found.extend(
                judged(actual, &state, gate.reading.as_ref())?
                    .map(|m| place(m, page.number, true, after_loop)),
            );
        }
    }
    Ok(found)
}

const fn place(mut miss: Miss, page: u32, at_gate: bool, after_loop: bool) -> Miss {
    miss.page = page;
    miss.at_gate = at_gate;
    miss.after_loop = after_loop;
    miss
}

fn judged(
    actual: &Bench<'_>,
    state: &State,
    reading: Option<&Reading>,
) -> Result<Option<Miss>, SolveError> {
    let Some((reading, (red, black))) = reading.and_then(|r| Some((r, r.between.as_ref()?))) else {
        return Ok(None);
    };
    let shows = actual.across(state, red, black)?.volts();
    let passes = shows.and_then(|v| reading.passes(v)).unwrap_or(reading.low.is_none());
    Ok((!passes).then(|| Miss {
        page: 0,
        id: reading.id.clone(),
        shows_v: shows,
        at_gate: false,
        after_loop: false,
    }))
}

/// Whether a line closes a loop through blocks.
fn closes(actual: &Bench<'_>, state: &State, change: &Change) -> Result<bool, SolveError> {
    let gap = match change {
        Change::Fits(id) => match actual.wiring.lead(id) {
            Some(lead) => actual.gap(state, lead)?,
            None => Gap::Open,
        },
        Change::Closes(device) => actual.gap_of_device(state, device)?,
        Change::Opens(_) => Gap::Open,
    };
    Ok(matches!(gap, Gap::Loop(_)))
}

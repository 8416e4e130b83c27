//! The rig as branches between points, with a name for each, and the circuit of each test.

use super::net::{Branch, Probe, Values};
use super::{At, Clamped, Point};
use crate::circuit::netlist::{Fitted, LeadOhms, Netlist};
use crate::circuit::network::Element;
use crate::circuit::wiring::Wiring;
use crate::facts::Facts;
use crate::model::bank::BlockId;
use crate::model::design::Design;
use crate::model::lead::Terminal;
use crate::plan::bench::State;
use crate::units::Resistance;
use std::collections::BTreeMap;

/// The least resistance of a joint or device here: far under what a meter can tell from nothing,
/// and enough to keep every joint a part of its own.
const OHM_MIN: f64 = 1e-7;

/// What a branch is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Piece {
    /// A block, by its place among the facts.
    Block(usize),
    /// The joint at the start of a lead, by its place in the wiring.
    Start(usize),
    /// A lead's conductor.
    Conductor(usize),
    /// The joint at the end of a lead.
    End(usize),
    /// A fuse, switch or shunt, by its place among the names.
    Device(usize),
}

/// The branches of a lead.
#[derive(Clone, Copy, Debug)]
pub(super) struct LeadBranches {
    /// The joint at its start.
    pub(super) start: usize,
    /// Its conductor.
    pub(super) conductor: usize,
    /// The joint at its end.
    pub(super) end: usize,
}

/// Every branch of a rig.
#[derive(Clone, Debug)]
pub(super) struct Rig {
    /// Number of points.
    pub(super) points: usize,
    /// Where each branch lies.
    pub(super) branches: Vec<Branch>,
    /// What each branch is.
    pub(super) pieces: Vec<Piece>,
    /// As planned.
    pub(super) values: Values,
    /// The branch of every block, in the order of the facts.
    pub(super) blocks: Vec<usize>,
    /// The branches of every lead, in wiring order.
    pub(super) leads: Vec<LeadBranches>,
    /// Pass-through devices by name, with their branch.
    pub(super) devices: Vec<(String, usize)>,
    /// The point of every terminal.
    terminals: BTreeMap<Terminal, usize>,
    /// Names of the leads.
    names: Vec<String>,
    ids: Vec<BlockId>,
}

/// The facts with every block the right way round and no part without resistance.
fn tidied(design: &Design, facts: &Facts) -> Facts {
    let mut facts = facts.clone();
    for block in &mut facts.blocks {
        block.reversed = false;
        block.resistance = block.resistance.max(Resistance::ohms(OHM_MIN));
    }
    for device in design.devices.iter().filter(|d| d.kind.passes_through()) {
        let ohm = facts.devices.entry(device.part.name.clone()).or_insert(Resistance::ohms(0.0));
        *ohm = ohm.max(Resistance::ohms(OHM_MIN));
    }
    facts
}

impl Rig {
    pub(super) fn of(design: &Design, wiring: &Wiring, facts: &Facts, ohms: &[LeadOhms]) -> Self {
        let ohms: Vec<LeadOhms> = ohms
            .iter()
            .map(|o| LeadOhms {
                from_joint: o.from_joint.max(OHM_MIN),
                conductor: o.conductor.max(OHM_MIN),
                to_joint: o.to_joint.max(OHM_MIN),
            })
            .collect();
        let netlist = Netlist::of(design, wiring, &tidied(design, facts), &ohms, &Fitted::ALL);
        let network = &netlist.network;
        let mut rig = Self {
            points: network.node_count(),
            branches: Vec::new(),
            pieces: Vec::new(),
            values: Values { ohm: Vec::new(), emf: Vec::new() },
            blocks: netlist.blocks.iter().map(|(_, e)| e.index()).collect(),
            leads: Vec::new(),
            devices: netlist.devices.iter().map(|(n, e)| (n.clone(), e.index())).collect(),
            terminals: BTreeMap::new(),
            names: wiring.leads.iter().map(|l| l.id.clone()).collect(),
            ids: facts.blocks.iter().map(|b| b.id).collect(),
        };
        for (_, element) in network.elements() {
            let (first, second) = element.ends();
            let (first, second) = (network.root(first), network.root(second));
            let (branch, ohm, emf) = match element {
                Element::Source(s) => (Branch { a: second, b: first }, s.ohm, s.emf_v),
                Element::Resistance(r) => (Branch { a: first, b: second }, r.ohm, 0.0),
                Element::Injection(_) => continue,
            };
            rig.branches.push(branch);
            rig.values.ohm.push(ohm);
            rig.values.emf.push(emf);
            rig.pieces.push(Piece::Device(usize::MAX));
        }
        for (terminal, node) in &netlist.nodes {
            rig.terminals.insert(terminal.clone(), network.root(*node));
        }
        for lead in &netlist.leads {
            let conductor = lead.conductor.index();
            // A joint of some resistance stands right before and right behind its conductor.
            rig.leads.push(LeadBranches { start: conductor - 1, conductor, end: conductor + 1 });
        }
        rig.name_pieces();
        rig
    }

    fn name_pieces(&mut self) {
        for (index, branch) in self.blocks.iter().enumerate() {
            self.pieces[*branch] = Piece::Block(index);
        }
        for (index, lead) in self.leads.iter().enumerate() {
            self.pieces[lead.start] = Piece::Start(index);
            self.pieces[lead.conductor] = Piece::Conductor(index);
            self.pieces[lead.end] = Piece::End(index);
        }
        for (index, (_, branch)) in self.devices.iter().enumerate() {
            self.pieces[*branch] = Piece::Device(index);
        }
    }

    /// The point of a terminal; nothing for a stud that nothing is bolted to.
    pub(super) fn terminal(&self, terminal: &Terminal) -> Option<usize> {
        self.terminals.get(terminal).copied()
    }

    /// A lead's place in the wiring.
    pub(super) fn lead(&self, id: &str) -> Option<usize> {
        self.names.iter().position(|n| n == id)
    }

    /// The point a tip is put to.
    fn point(&self, point: &Point) -> Option<usize> {
        match point {
            Point::Terminal(terminal) => self.terminal(terminal),
            Point::Lug { lead, at_start } => {
                let lead = self.leads.get(self.lead(lead)?)?;
                let conductor = self.branches[lead.conductor];
                Some(if *at_start { conductor.a } else { conductor.b })
            }
        }
    }

    /// Where the meter goes, and the sign of what it shows.
    pub(super) fn probe(&self, at: &At) -> Option<(Probe, f64)> {
        match at {
            At::Between { red, black, .. } => {
                Some((Probe::Volts(self.point(red)?, self.point(black)?), 1.0))
            }
            At::Clamp(Clamped::Lead { lead, backwards }) => {
                let lead = self.leads.get(self.lead(lead)?)?;
                Some((Probe::Amps(lead.conductor), if *backwards { -1.0 } else { 1.0 }))
            }
            At::Clamp(Clamped::Block(id)) => {
                let place = self.ids.iter().position(|i| i == id)?;
                Some((Probe::Amps(self.blocks[place]), 1.0))
            }
            At::Clamp(Clamped::Drawn) => Some((Probe::Drawn, 1.0)),
            At::Standby => None,
        }
    }

    /// The branches that are there in a state of the work.
    pub(super) fn fitted(&self, state: &State) -> Vec<Option<Branch>> {
        let there = |piece: &Piece| match piece {
            Piece::Block(_) => true,
            Piece::Start(l) | Piece::Conductor(l) | Piece::End(l) => {
                state.leads.contains(&self.names[*l])
            }
            Piece::Device(d) => {
                self.devices.get(*d).is_some_and(|(n, _)| state.devices.contains(n))
            }
        };
        let all = self.branches.iter().zip(&self.pieces);
        all.map(|(branch, piece)| there(piece).then_some(*branch)).collect()
    }
}

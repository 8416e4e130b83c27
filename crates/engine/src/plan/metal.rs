//! Which points of a circuit half built are joined, by metal alone or through blocks as well. Whether
//! they are is a matter of pieces, not of ohms: nothing is solved for it.

use super::bench::State;
use crate::circuit::netlist::{is_closed, mounted};
use crate::circuit::wiring::Wiring;
use crate::facts::Facts;
use crate::model::design::Design;
use crate::model::lead::{Pole, Terminal};
use std::collections::BTreeMap;

/// Two terminals by their numbers.
type Pair = (usize, usize);

/// Every way from terminal to terminal that the circuit can have.
pub(super) struct Ways<'a> {
    numbers: BTreeMap<Terminal, usize>,
    /// There at every moment: what is bolted straight onto something.
    always: Vec<Pair>,
    leads: Vec<(&'a str, Pair)>,
    devices: Vec<(&'a str, Pair)>,
    blocks: Vec<Pair>,
}

impl<'a> Ways<'a> {
    pub(super) fn of(design: &'a Design, wiring: &'a Wiring, facts: &Facts) -> Self {
        let mut numbers = BTreeMap::new();
        let mut number = |terminal: &Terminal| {
            let next = numbers.len();
            *numbers.entry(terminal.clone()).or_insert(next)
        };
        let blocks = facts.blocks.iter();
        let blocks = blocks
            .map(|b| (number(&Terminal::plus(b.id)), number(&Terminal::minus(b.id))))
            .collect();
        let always = mounted(design).iter().map(|(a, b)| (number(a), number(b))).collect();
        let leads = wiring.leads.iter();
        let leads = leads.map(|l| (l.id.as_str(), (number(&l.from), number(&l.to)))).collect();
        let devices = design.devices.iter().filter(|d| is_closed(d.kind));
        let devices = devices
            .map(|d| {
                let name = d.part.name.as_str();
                let studs = [Pole::In, Pole::Out].map(|pole| Terminal::stud(name, pole));
                (name, (number(&studs[0]), number(&studs[1])))
            })
            .collect();
        Self { numbers, always, leads, devices, blocks }
    }

    /// Whether two terminals are joined at a moment of the work, without blocks or through them.
    pub(super) fn joined(&self, state: &State, through_blocks: bool, ends: [&Terminal; 2]) -> bool {
        let [Some(a), Some(b)] = ends.map(|end| self.numbers.get(end)) else {
            return false;
        };
        let mut pieces = Pieces { above: (0..self.numbers.len()).collect() };
        let leads = self.leads.iter().filter(|(id, _)| state.leads.contains(*id));
        let devices = self.devices.iter().filter(|(name, _)| state.devices.contains(*name));
        let blocks: &[Pair] = if through_blocks { &self.blocks } else { &[] };
        let parts = leads.chain(devices).map(|(_, pair)| pair);
        for (a, b) in self.always.iter().chain(blocks).chain(parts) {
            pieces.join(*a, *b);
        }
        pieces.of(*a) == pieces.of(*b)
    }
}

/// Terminals gathered into pieces: each points at another of its piece, the last at itself.
struct Pieces {
    above: Vec<usize>,
}

impl Pieces {
    fn of(&mut self, mut at: usize) -> usize {
        while self.above[at] != at {
            // Halving the way keeps it short for the next who asks.
            self.above[at] = self.above[self.above[at]];
            at = self.above[at];
        }
        at
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.of(a), self.of(b));
        self.above[a] = b;
    }
}

//! The network of a rig: every block, lead, joint and pass-through device as an element with a name.
//!
//! A lead is three resistances in a row: the joint at its start, its conductor, the joint at its
//! end. A joint of no resistance joins its two nodes. Loads and charge sources are not elements
//! here; they are drawn between the terminals this netlist names.

use super::network::{ElementId, Network, NodeId, Resistance, Source, Terminals};
use super::wiring::{Wiring, joined_studs, take_off_terminals};
use crate::facts::Facts;
use crate::model::bank::BlockId;
use crate::model::design::Design;
use crate::model::device::DeviceKind;
use crate::model::lead::{Pole, Terminal};
use std::collections::BTreeMap;

/// Resistances of one lead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadOhms {
    /// The joint at its start [ohm].
    pub from_joint: f64,
    /// Its conductor [ohm].
    pub conductor: f64,
    /// The joint at its end [ohm].
    pub to_joint: f64,
}

impl LeadOhms {
    /// From stud to stud [ohm].
    #[must_use]
    pub fn total(self) -> f64 {
        self.from_joint + self.conductor + self.to_joint
    }
}

/// A lead in the network.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadElement {
    /// The lead's name.
    pub id: String,
    /// Its conductor.
    pub conductor: ElementId,
    /// Its resistances.
    pub ohms: LeadOhms,
}

/// The network and the way back from its elements to the parts of the rig.
#[derive(Clone, Debug)]
pub struct Netlist {
    /// The network.
    pub network: Network,
    /// The node of every terminal.
    pub nodes: BTreeMap<Terminal, NodeId>,
    /// The source of every block.
    pub blocks: Vec<(BlockId, ElementId)>,
    /// The leads, in wiring order.
    pub leads: Vec<LeadElement>,
    /// Pass-through devices by name.
    pub devices: Vec<(String, ElementId)>,
    /// Where the main leads leave, when both ends are there.
    pub bank: Option<Terminals>,
}

/// What is left out of a netlist: parts not yet fitted, switches that are open.
pub struct Fitted<'a> {
    /// Whether a lead is bolted at both ends.
    pub lead: &'a dyn Fn(&str) -> bool,
    /// Whether a pass-through device is in and closed.
    pub device: &'a dyn Fn(&str) -> bool,
}

impl Fitted<'_> {
    /// Everything is in and closed.
    pub const ALL: Fitted<'static> = Fitted { lead: &|_| true, device: &|_| true };
}

impl Netlist {
    /// Builds the network of a design taken at one stage; `ohms` gives each lead's resistances.
    #[must_use]
    pub fn of(
        design: &Design,
        wiring: &Wiring,
        facts: &Facts,
        ohms: &[LeadOhms],
        fitted: &Fitted<'_>,
    ) -> Self {
        let mut builder = Builder { network: Network::new(), nodes: BTreeMap::new() };
        let blocks = builder.add_blocks(facts);
        for (a, b) in mounted(design) {
            let (a, b) = (builder.node(&a), builder.node(&b));
            builder.network.join(a, b);
        }
        let mut leads = Vec::new();
        for (lead, ohms) in wiring.leads.iter().zip(ohms) {
            if (fitted.lead)(&lead.id) {
                leads.push(builder.add_lead(&lead.id, (&lead.from, &lead.to), *ohms));
            }
        }
        let mut devices = Vec::new();
        for device in design.devices.iter().filter(|d| is_closed(d.kind)) {
            let name = &device.part.name;
            if !(fitted.device)(name) {
                continue;
            }
            let ohm = facts.devices.get(name).map_or(0.0, |r| r.as_ohms());
            if let Some(element) = builder.add_through(name, ohm) {
                devices.push((name.clone(), element));
            }
        }
        let bank = design.bank().map(take_off_terminals).map(|(plus, minus)| Terminals {
            plus: builder.node(&plus),
            minus: builder.node(&minus),
        });
        Self { network: builder.network, nodes: builder.nodes, blocks, leads, devices, bank }
    }

    /// The plus and minus studs of a load or charge source.
    #[must_use]
    pub fn device_terminals(&self, device: &str) -> Option<Terminals> {
        let plus = self.nodes.get(&Terminal::stud(device, Pole::Plus))?;
        let minus = self.nodes.get(&Terminal::stud(device, Pole::Minus))?;
        Some(Terminals { plus: *plus, minus: *minus })
    }

    /// A lead's place in the network.
    #[must_use]
    pub fn lead(&self, id: &str) -> Option<&LeadElement> {
        self.leads.iter().find(|l| l.id == id)
    }
}

/// A pre-charge path is open once the inverter's capacitors are full.
pub(crate) const fn is_closed(kind: DeviceKind) -> bool {
    kind.passes_through() && !matches!(kind, DeviceKind::Precharge)
}

/// Terminals that are one piece of metal: a device bolted straight onto a post.
pub(crate) fn mounted(design: &Design) -> Vec<(Terminal, Terminal)> {
    joined_studs(design)
        .into_iter()
        .filter(|(a, b)| a.device() != b.device() || a.device().is_none())
        .collect()
}

struct Builder {
    network: Network,
    nodes: BTreeMap<Terminal, NodeId>,
}

impl Builder {
    fn node(&mut self, terminal: &Terminal) -> NodeId {
        if let Some(node) = self.nodes.get(terminal) {
            return *node;
        }
        let node = self.network.add_node(&terminal.to_string().replace('\u{a0}', " "));
        self.nodes.insert(terminal.clone(), node);
        node
    }

    fn add_blocks(&mut self, facts: &Facts) -> Vec<(BlockId, ElementId)> {
        let mut blocks = Vec::new();
        for block in &facts.blocks {
            let plus = self.node(&Terminal::plus(block.id));
            let minus = self.node(&Terminal::minus(block.id));
            let (plus, minus) = if block.reversed { (minus, plus) } else { (plus, minus) };
            let source = Source {
                name: block.id.to_string(),
                plus,
                minus,
                emf_v: block.emf.as_volts(),
                ohm: block.resistance.as_ohms(),
            };
            blocks.push((block.id, self.network.add_source(source)));
        }
        blocks
    }

    fn add_lead(&mut self, id: &str, ends: (&Terminal, &Terminal), ohms: LeadOhms) -> LeadElement {
        let from = self.node(ends.0);
        let to = self.node(ends.1);
        let from_lug = self.network.add_node(&format!("lead {id} lug at from"));
        let to_lug = self.network.add_node(&format!("lead {id} lug at to"));
        self.add_joint(&format!("{id}.from"), (from, from_lug), ohms.from_joint);
        let name = format!("lead {id}");
        let part = Resistance { name, a: from_lug, b: to_lug, ohm: ohms.conductor };
        let conductor = self.network.add_resistance(part);
        self.add_joint(&format!("{id}.to"), (to_lug, to), ohms.to_joint);
        LeadElement { id: id.to_owned(), conductor, ohms }
    }

    fn add_joint(&mut self, name: &str, ends: (NodeId, NodeId), ohm: f64) {
        if ohm > 0.0 {
            let part = Resistance { name: name.to_owned(), a: ends.0, b: ends.1, ohm };
            self.network.add_resistance(part);
        } else {
            self.network.join(ends.0, ends.1);
        }
    }

    /// A fuse, switch or shunt; without resistance its two studs are one node.
    fn add_through(&mut self, name: &str, ohm: f64) -> Option<ElementId> {
        let a = self.node(&Terminal::stud(name, Pole::In));
        let b = self.node(&Terminal::stud(name, Pole::Out));
        if ohm > 0.0 {
            let part = Resistance { name: name.to_owned(), a, b, ohm };
            return Some(self.network.add_resistance(part));
        }
        self.network.join(a, b);
        None
    }
}

//! The circuit of one rig at each moment of the work, as numbers for ngspice.

use crate::dice::Dice;
use crate::fault::{Demo, Fault, moved};
use engine::circuit::netlist::{Fitted, LeadOhms, Netlist};
use engine::circuit::network::{Injection, Terminals};
use engine::circuit::spice::deck;
use engine::circuit::wiring::Wiring;
use engine::evidence::readings::Readings;
use engine::facts::Facts;
use engine::model::bank::BlockId;
use engine::model::lead::Terminal;
use engine::plan::bench::State;
use engine::prove::sheet::expected;
use engine::prove::{Drawn, Expected, Test};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::{Resistance, Voltage};
use std::collections::BTreeMap;

/// A moment at which meters are held to the rig: what is bolted and closed, and what is drawn.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Moment {
    pub(crate) test: Test,
    state: State,
    drawn: Option<Drawn>,
}

/// The readings of a demo and the moments in which they are taken.
pub(crate) struct Tests {
    /// Every reading that may be taken, in the order of the work.
    pub(crate) expected: Vec<Expected>,
    /// The moments, in the order of the work.
    pub(crate) moments: Vec<Moment>,
    /// The moment of each reading.
    pub(crate) moment_of: Vec<usize>,
    /// The moment at which nothing is drawn, for readings of how far a figure moves from there.
    pub(crate) rest_of: Vec<Option<usize>>,
}

impl Tests {
    pub(crate) fn of(demo: &Demo, tables: &Tables) -> Self {
        let nothing_said = Readings::default();
        let expected = expected(&demo.study, tables, &nothing_said).expect("the network answers");
        let mut moments: Vec<Moment> = Vec::new();
        let mut place = |moment: Moment| {
            moments.iter().position(|m| *m == moment).unwrap_or_else(|| {
                moments.push(moment);
                moments.len() - 1
            })
        };
        let (mut moment_of, mut rest_of) = (Vec::new(), Vec::new());
        for reading in &expected {
            let Expected { test, state, drawn, .. } = reading;
            let idle = Moment { test: Test::Rest, state: state.clone(), drawn: None };
            rest_of.push(reading.moves.then(|| place(idle)));
            moment_of.push(place(Moment {
                test: *test,
                state: state.clone(),
                drawn: drawn.clone(),
            }));
        }
        Self { expected, moments, moment_of, rest_of }
    }

    /// Amps of the test load and of the charge, as planned.
    pub(crate) fn planned(&self, test: Test) -> Option<f64> {
        let moment = self.moments.iter().find(|m| m.test == test)?;
        moment.drawn.as_ref().map(|d| d.amps.abs())
    }
}

/// One rig with everything that nobody knows of it.
pub(crate) struct Rig<'a> {
    pub(crate) study: &'a Study,
    pub(crate) tests: &'a Tests,
    wiring: Wiring,
    facts: Facts,
    ohms: Vec<LeadOhms>,
    /// What the test really draws and the charger really gives, as a share of what was meant.
    pub(crate) draw_share: f64,
}

/// Spread of what nobody knows: block resistance, rest volts [V], lead length.
pub(crate) const RESISTANCE_SPREAD: f64 = 0.2;
pub(crate) const REST_SPREAD_V: f64 = 0.05;
pub(crate) const LENGTH_SPREAD: f64 = 0.05;
/// A load set by hand is met to this share.
pub(crate) const DRAW_SPREAD: f64 = 0.05;

impl<'a> Rig<'a> {
    /// The rig of a fault exactly as the design has it.
    pub(crate) fn exact(study: &'a Study, tests: &'a Tests, fault: &Fault) -> Self {
        let mut wiring = study.wiring.clone();
        moved(&mut wiring.leads, fault);
        let (facts, ohms) = (study.facts.clone(), study.ohms.clone());
        Self { study, tests, wiring, facts, ohms, draw_share: 1.0 }
    }

    /// The same with every block, length and load a little off.
    pub(crate) fn spread(mut self, dice: &mut Dice) -> Self {
        for block in &mut self.facts.blocks {
            let times = dice.between(1.0 - RESISTANCE_SPREAD, 1.0 + RESISTANCE_SPREAD);
            block.resistance = Resistance::ohms(block.resistance.as_ohms() * times);
            let off = dice.between(-REST_SPREAD_V, REST_SPREAD_V);
            block.emf = Voltage::volts(block.emf.as_volts() + off);
        }
        for ohms in &mut self.ohms {
            ohms.conductor *= dice.between(1.0 - LENGTH_SPREAD, 1.0 + LENGTH_SPREAD);
        }
        self.draw_share = dice.between(1.0 - DRAW_SPREAD, 1.0 + DRAW_SPREAD);
        self
    }

    fn netlist(&self, moment: &Moment) -> Netlist {
        let lead = |id: &str| moment.state.leads.contains(id);
        let device = |name: &str| moment.state.devices.contains(name);
        let fitted = Fitted { lead: &lead, device: &device };
        Netlist::of(&self.study.design, &self.wiring, &self.facts, &self.ohms, &fitted)
    }

    /// Resistance of a lead's conductor [ohm].
    pub(crate) fn conductor(&self, lead: &str) -> Option<f64> {
        let place = self.wiring.leads.iter().position(|l| l.id == lead)?;
        self.ohms.get(place).map(|o| o.conductor)
    }

    /// The ends of a lead as it really is bolted.
    pub(crate) fn ends(&self, lead: &str) -> Option<(Terminal, Terminal)> {
        self.wiring.lead(lead).map(|l| (l.from.clone(), l.to.clone()))
    }

    /// The moment as a deck, with the names under which it prints. Where a draw finds no closed
    /// circuit, nothing flows.
    pub(crate) fn deck(&self, moment: &Moment) -> Deck {
        let netlist = self.netlist(moment);
        let bank = &self.study.design.bank().expect("every demo has a bank").block_ids();
        let first = bank.first().copied().expect("a bank has a block");
        let node = |t: &Terminal| netlist.nodes.get(t).copied();
        let ends = node(&Terminal::plus(first)).zip(node(&Terminal::minus(first)));
        let (plus, minus) = ends.expect("a block has two posts");
        let at = Terminals { plus, minus };
        let mut network = netlist.network.clone();
        let taken = moment.drawn.as_ref().and_then(|drawn| {
            let device = drawn.device.as_ref();
            let at = device.map_or(netlist.bank, |name| netlist.device_terminals(name))?;
            let amp = drawn.amps * self.draw_share;
            Some(Injection { name: "draw".to_owned(), from: at.plus, to: at.minus, amp })
        });
        let amps = taken.as_ref().map(|t| t.amp);
        if let Some(injection) = taken {
            network.add_injection(injection);
        }
        match deck(&network, "sheet", at) {
            Ok(deck) => Deck::of(&deck.text, &netlist, amps),
            // The draw finds no closed circuit: nothing flows.
            Err(_) => {
                let idle = deck(&netlist.network, "sheet", at);
                let idle = idle.unwrap_or_else(|e| panic!("{:?}: {e}", moment.test));
                Deck::of(&idle.text, &netlist, None)
            }
        }
    }
}

/// A deck's elements and the names of its points.
pub(crate) struct Deck {
    /// Lines of elements.
    pub(crate) elements: Vec<String>,
    /// Point of each terminal and lug, by the name it has in the rig.
    points: BTreeMap<String, String>,
    /// Branch of each block's source.
    branches: Vec<(BlockId, String)>,
    /// Points joined by elements have the same island.
    islands: BTreeMap<String, usize>,
    /// Amps that are drawn.
    drawn: f64,
}

impl Deck {
    fn of(text: &str, netlist: &Netlist, drawn: Option<f64>) -> Self {
        let mut points = BTreeMap::new();
        let mut parts = BTreeMap::new();
        let mut elements = Vec::new();
        for line in text.lines() {
            if let Some((name, what)) =
                line.strip_prefix("* node ").and_then(|l| l.split_once(" = "))
            {
                points.insert(what.to_owned(), name.to_owned());
            } else if let Some((name, what)) =
                line.strip_prefix("* part ").and_then(|l| l.split_once(" = "))
            {
                parts.insert(what.to_owned(), name.to_owned());
            } else if line.starts_with(['r', 'v', 'i']) {
                elements.push(line.to_owned());
            } else if line.starts_with('.') {
                break;
            }
        }
        let branches = netlist
            .blocks
            .iter()
            .filter_map(|(id, _)| Some((*id, format!("v_{}", parts.get(&id.to_string())?))))
            .collect();
        let islands = islands(&elements);
        Self { elements, points, branches, islands, drawn: drawn.unwrap_or(0.0) }
    }
}

/// Which points hang together by resistances and sources of the rig; ties to nought join nothing.
fn islands(elements: &[String]) -> BTreeMap<String, usize> {
    let mut group: BTreeMap<String, usize> = BTreeMap::new();
    let mut next = 0;
    for line in elements.iter().filter(|l| !l.starts_with('i')) {
        let mut words = line.split(' ').skip(1);
        let (Some(a), Some(b)) = (words.next(), words.next()) else { continue };
        if a == "0" || b == "0" {
            continue;
        }
        let mut of = |name: &str| {
            *group.entry(name.to_owned()).or_insert_with(|| {
                next += 1;
                next
            })
        };
        let (keep, give) = (of(a), of(b));
        if keep != give {
            group.values_mut().filter(|g| **g == give).for_each(|g| *g = keep);
        }
    }
    group
}

/// What ngspice said of a moment.
pub(crate) struct Solved {
    volts: BTreeMap<String, f64>,
    /// Amps out of each block's own plus pole.
    amps: BTreeMap<BlockId, f64>,
    islands: BTreeMap<String, usize>,
    /// Amps that are drawn.
    pub(crate) drawn: f64,
}

impl Solved {
    /// Takes the values that ngspice printed for this deck; `printed` gives a value by its name.
    pub(crate) fn of(deck: &Deck, printed: &dyn Fn(&str) -> Option<f64>) -> Self {
        let mut volts = BTreeMap::new();
        let mut islands = BTreeMap::new();
        for (what, point) in &deck.points {
            // A point that nothing ends at is no part of the deck; a meter shows nothing there.
            if let (Some(value), Some(island)) = (printed(point), deck.islands.get(point)) {
                volts.insert(what.clone(), value);
                islands.insert(what.clone(), *island);
            }
        }
        let branch = |name: &str| printed(&format!("{name}#branch"));
        // SPICE counts a current into the plus pole as positive; a discharge leaves it.
        let amps = deck.branches.iter().filter_map(|(id, name)| Some((*id, -branch(name)?)));
        Self { amps: amps.collect(), volts, islands, drawn: deck.drawn }
    }

    /// What a meter shows, red above black; nothing steady where no conductor joins the two.
    pub(crate) fn across(&self, red: &str, black: &str) -> f64 {
        let joined = self.islands.get(red).is_some_and(|i| self.islands.get(black) == Some(i));
        let at = |name: &str| self.volts.get(name).copied().unwrap_or(0.0);
        if joined { at(red) - at(black) } else { 0.0 }
    }

    /// Amps out of a block.
    pub(crate) fn amps(&self, id: BlockId) -> f64 {
        self.amps.get(&id).copied().unwrap_or(0.0)
    }

    /// The largest current in any block.
    pub(crate) fn largest(&self) -> f64 {
        self.amps.values().fold(0.0, |most, a| most.max(a.abs()))
    }
}

/// The name of a terminal as decks list it.
pub(crate) fn listed(terminal: &Terminal) -> String {
    terminal.to_string().replace('\u{a0}', " ")
}

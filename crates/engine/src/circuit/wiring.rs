//! Which leads there are: the links that the bank's shape implies and the leads the owner named,
//! each with its two ends resolved and its side of the bank known.
//!
//! Lengths, sizes and currents are not known here.

use crate::model::bank::{Bank, TakeOff};
use crate::model::design::Design;
use crate::model::device::DeviceKind;
use crate::model::lead::{Lead, LeadEnd, Pole, Terminal};
use std::collections::{BTreeMap, BTreeSet};

/// The reserved part name by which a lead reaches whichever post the take-off names.
pub const BANK: &str = "bank";

/// What a lead does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LeadRole {
    /// Joins two blocks of one string.
    SeriesLink,
    /// Joins the plus posts of two neighbouring strings.
    PlusLink,
    /// Joins the minus posts of two neighbouring strings.
    MinusLink,
    /// Joins a string's plus post to the plus busbar.
    StringPlus,
    /// Joins a string's minus post to the minus busbar.
    StringMinus,
    /// Anything outside the bank.
    Feed,
}

impl LeadRole {
    /// Inside the bank.
    #[must_use]
    pub const fn is_link(self) -> bool {
        !matches!(self, Self::Feed)
    }
}

/// Which side of the bank a lead belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Polarity {
    /// Reaches the plus end of the bank without passing a block.
    Plus,
    /// Reaches the minus end.
    Minus,
    /// Lies between two blocks of a string.
    Between,
    /// Reaches both ends: a short circuit.
    Both,
    /// Reaches neither: mains side, array side, or left loose.
    Neither,
}

/// A lead with both ends known.
#[derive(Clone, Debug, PartialEq)]
pub struct WiredLead {
    /// Its name.
    pub id: String,
    /// Where it starts.
    pub from: Terminal,
    /// Where it ends.
    pub to: Terminal,
    /// What it does.
    pub role: LeadRole,
    /// Which side it belongs to.
    pub polarity: Polarity,
    /// What the owner said of it; only the name when nothing.
    pub stated: Lead,
    /// The owner wrote this lead, rather than the bank implying it.
    pub written: bool,
}

impl WiredLead {
    /// Whether a boot goes over one of its ends: as the owner says, else over every post of a block
    /// and every stud that is live above the minus.
    #[must_use]
    pub fn booted(&self, at: &Terminal, end: &LeadEnd) -> bool {
        end.boot.unwrap_or(self.polarity != Polarity::Minus || at.block().is_some())
    }
}

/// Every lead of the rig at one stage, and every pass-through device with its side.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Wiring {
    /// The leads: bank links first, then the owner's in file order.
    pub leads: Vec<WiredLead>,
    /// Owner leads that could not be wired because an end is missing, by name.
    pub loose: Vec<String>,
}

impl Wiring {
    /// A lead by name.
    #[must_use]
    pub fn lead(&self, id: &str) -> Option<&WiredLead> {
        self.leads.iter().find(|l| l.id == id)
    }

    /// Leads that end on a terminal.
    pub fn at<'a>(&'a self, terminal: &'a Terminal) -> impl Iterator<Item = &'a WiredLead> {
        self.leads.iter().filter(move |l| l.from == *terminal || l.to == *terminal)
    }

    /// Wires a design taken at one stage.
    #[must_use]
    pub fn of(design: &Design) -> Self {
        let mut wiring = Self::default();
        if let Some(bank) = design.bank() {
            wiring.add_links(design, bank);
        }
        wiring.add_owner_leads(design);
        wiring.move_to_post_fuses(design);
        let sides = Sides::of(design, &wiring.leads);
        for lead in &mut wiring.leads {
            lead.polarity = sides.of_lead(lead);
        }
        wiring
    }

    /// A fuse bolted onto a string's plus post takes the string's lead to the busbar, and the main lead
    /// where the take-off is that post. The parallel links move too, but only when every string has
    /// such a fuse: a single one on the take-off post is the main fuse, and the links stay below it.
    fn move_to_post_fuses(&mut self, design: &Design) {
        let every_string = design.bank().is_some_and(|b| {
            (0..b.parallel).all(|s| post_fuse(design, &Bank::string_plus(s)).is_some())
        });
        for lead in &mut self.leads {
            let follows = match lead.role {
                LeadRole::StringPlus => [true, true],
                LeadRole::PlusLink => [every_string, every_string],
                LeadRole::Feed => [&lead.stated.from, &lead.stated.to]
                    .map(|end| end.as_ref().and_then(Terminal::device) == Some(BANK)),
                LeadRole::SeriesLink | LeadRole::MinusLink | LeadRole::StringMinus => continue,
            };
            for (end, follow) in [&mut lead.from, &mut lead.to].into_iter().zip(follows) {
                // A fuse on the busbar guards what leaves the bar, not what feeds it.
                let follow = follow && (end.block().is_some() || lead.role == LeadRole::Feed);
                if let Some(fuse) = post_fuse(design, end).filter(|_| follow) {
                    *end = Terminal::stud(fuse, Pole::Out);
                }
            }
        }
    }

    fn add_links(&mut self, design: &Design, bank: &Bank) {
        let taken: BTreeSet<&str> = design
            .leads
            .iter()
            .filter(|l| l.from.is_some() && l.to.is_some())
            .map(|l| l.part.name.as_str())
            .collect();
        let mut number = 0_u32;
        for (role, from, to) in bank_links(bank) {
            if fused_way(design, &from, &to).is_some() {
                continue;
            }
            let written = design.leads.iter().find(|l| joins(l, bank, &from, &to));
            let id = loop {
                number += 1;
                let id = number.to_string();
                let own = written.is_some_and(|l| l.part.name == id);
                if own || !taken.contains(id.as_str()) {
                    break id;
                }
            };
            let id = written.map_or(id, |l| l.part.name.clone());
            let stated = written
                .or_else(|| design.leads.iter().find(|l| l.part.name == id && l.from.is_none()))
                .cloned()
                .unwrap_or_else(|| Lead::named(&id));
            let polarity = Polarity::Neither;
            let written = written.is_some();
            self.leads.push(WiredLead { id, from, to, role, polarity, stated, written });
        }
    }

    fn add_owner_leads(&mut self, design: &Design) {
        for lead in &design.leads {
            if self.leads.iter().any(|l| l.id == lead.part.name) {
                continue;
            }
            let ends = (lead.from.as_ref(), lead.to.as_ref());
            let (Some(from), Some(to)) = ends else {
                self.loose.push(lead.part.name.clone());
                continue;
            };
            let role = string_role(design, &lead.part.name).unwrap_or(LeadRole::Feed);
            self.leads.push(WiredLead {
                id: lead.part.name.clone(),
                from: resolved(design.bank(), from),
                to: resolved(design.bank(), to),
                role,
                polarity: Polarity::Neither,
                stated: lead.clone(),
                written: true,
            });
        }
    }
}

/// The fuse or breaker bolted straight onto a terminal, by name.
#[must_use]
pub fn post_fuse<'a>(design: &'a Design, terminal: &Terminal) -> Option<&'a str> {
    design
        .devices
        .iter()
        .filter(|d| d.kind.is_overcurrent())
        .find(|d| d.mounted_on.as_ref().is_some_and(|on| resolved(design.bank(), on) == *terminal))
        .map(|d| d.part.name.as_str())
}

/// The two owner leads that join a post to a busbar through a fuse of their own; they stand in
/// for the lead that the bank's shape implies.
fn fused_way<'a>(design: &'a Design, post: &Terminal, bar: &Terminal) -> Option<[&'a Lead; 2]> {
    let bank = design.bank()?;
    bar.device()?;
    let between = |a: &Terminal, b: &Terminal| design.leads.iter().find(|l| joins(l, bank, a, b));
    for fuse in design.devices.iter().filter(|d| d.kind.is_overcurrent()) {
        let name = &fuse.part.name;
        for (near, far) in [(Pole::In, Pole::Out), (Pole::Out, Pole::In)] {
            let first = between(post, &Terminal::stud(name, near));
            let second = between(&Terminal::stud(name, far), bar);
            if let (Some(first), Some(second)) = (first, second) {
                return Some([first, second]);
            }
        }
    }
    None
}

/// The part an owner lead plays between a string and its busbar, when it is half of a fused way.
fn string_role(design: &Design, name: &str) -> Option<LeadRole> {
    bank_links(design.bank()?).into_iter().find_map(|(role, from, to)| {
        let way = fused_way(design, &from, &to)?;
        way.iter().any(|l| l.part.name == name).then_some(role)
    })
}

fn joins(lead: &Lead, bank: &Bank, from: &Terminal, to: &Terminal) -> bool {
    let (Some(a), Some(b)) = (&lead.from, &lead.to) else {
        return false;
    };
    let (a, b) = (resolved(Some(bank), a), resolved(Some(bank), b));
    (a == *from && b == *to) || (a == *to && b == *from)
}

/// The post or bar that a written end means; `bank +` follows the take-off.
#[must_use]
pub fn resolved(bank: Option<&Bank>, terminal: &Terminal) -> Terminal {
    let (Some(bank), Terminal::Stud { device, pole }) = (bank, terminal) else {
        return terminal.clone();
    };
    if device != BANK {
        return terminal.clone();
    }
    let (plus, minus) = take_off_terminals(bank);
    if *pole == Pole::Minus { minus } else { plus }
}

/// The two terminals from which the main leads leave.
#[must_use]
pub fn take_off_terminals(bank: &Bank) -> (Terminal, Terminal) {
    let last = bank.parallel.saturating_sub(1);
    match &bank.takeoff {
        TakeOff::SameEnd => (Bank::string_plus(0), bank.string_minus(0)),
        TakeOff::OppositeCorners => (Bank::string_plus(0), bank.string_minus(last)),
        TakeOff::Posts { plus, minus } => (plus.clone(), minus.clone()),
        TakeOff::Busbars { plus, minus } => {
            (Terminal::stud(plus, Pole::Bar), Terminal::stud(minus, Pole::Bar))
        }
    }
}

/// The links that the shape of the bank implies, in the order of their numbers.
#[must_use]
pub(crate) fn bank_links(bank: &Bank) -> Vec<(LeadRole, Terminal, Terminal)> {
    use crate::model::bank::BlockId;
    let mut links = Vec::new();
    for string in 0..bank.parallel {
        for place in 1..bank.series {
            let upper = BlockId { string, place: place - 1 };
            let lower = BlockId { string, place };
            let ends = (Terminal::minus(upper), Terminal::plus(lower));
            links.push((LeadRole::SeriesLink, ends.0, ends.1));
        }
    }
    if let TakeOff::Busbars { plus, minus } = &bank.takeoff {
        for string in 0..bank.parallel {
            let bar = Terminal::stud(plus, Pole::Bar);
            links.push((LeadRole::StringPlus, Bank::string_plus(string), bar));
        }
        for string in 0..bank.parallel {
            let bar = Terminal::stud(minus, Pole::Bar);
            links.push((LeadRole::StringMinus, bank.string_minus(string), bar));
        }
        return links;
    }
    for string in 1..bank.parallel {
        let ends = (Bank::string_plus(string - 1), Bank::string_plus(string));
        links.push((LeadRole::PlusLink, ends.0, ends.1));
    }
    for string in 1..bank.parallel {
        let ends = (bank.string_minus(string - 1), bank.string_minus(string));
        links.push((LeadRole::MinusLink, ends.0, ends.1));
    }
    links
}

/// Which terminals reach which end of the bank without passing a block.
struct Sides {
    plus: BTreeSet<Terminal>,
    minus: BTreeSet<Terminal>,
}

impl Sides {
    fn of(design: &Design, leads: &[WiredLead]) -> Self {
        let mut next: BTreeMap<Terminal, Vec<Terminal>> = BTreeMap::new();
        let mut join = |a: &Terminal, b: &Terminal| {
            next.entry(a.clone()).or_default().push(b.clone());
            next.entry(b.clone()).or_default().push(a.clone());
        };
        for lead in leads {
            join(&lead.from, &lead.to);
        }
        for (a, b) in joined_studs(design) {
            join(&a, &b);
        }
        let Some(bank) = design.bank() else {
            return Self { plus: BTreeSet::new(), minus: BTreeSet::new() };
        };
        let plus = (0..bank.parallel).map(Bank::string_plus).collect();
        let minus = (0..bank.parallel).map(|s| bank.string_minus(s)).collect();
        Self { plus: flood(&next, plus), minus: flood(&next, minus) }
    }

    fn of_lead(&self, lead: &WiredLead) -> Polarity {
        if lead.role == LeadRole::SeriesLink {
            return Polarity::Between;
        }
        let plus = self.plus.contains(&lead.from) || self.plus.contains(&lead.to);
        let minus = self.minus.contains(&lead.from) || self.minus.contains(&lead.to);
        match (plus, minus) {
            (true, true) => Polarity::Both,
            (true, false) => Polarity::Plus,
            (false, true) => Polarity::Minus,
            (false, false) => Polarity::Neither,
        }
    }
}

/// Pairs of terminals that a device joins: through fuses and switches, along bars, on posts.
#[must_use]
pub fn joined_studs(design: &Design) -> Vec<(Terminal, Terminal)> {
    let mut pairs = Vec::new();
    for device in &design.devices {
        let name = &device.part.name;
        if device.kind.passes_through() {
            pairs.push((Terminal::stud(name, Pole::In), Terminal::stud(name, Pole::Out)));
        }
        if let Some(on) = &device.mounted_on {
            let pole = if device.kind.passes_through() { Pole::In } else { Pole::Bar };
            pairs.push((resolved(design.bank(), on), Terminal::stud(name, pole)));
        }
    }
    pairs
}

fn flood(next: &BTreeMap<Terminal, Vec<Terminal>>, start: Vec<Terminal>) -> BTreeSet<Terminal> {
    let mut seen: BTreeSet<Terminal> = BTreeSet::new();
    let mut open = start;
    while let Some(at) = open.pop() {
        if seen.insert(at.clone()) {
            open.extend(next.get(&at).into_iter().flatten().cloned());
        }
    }
    seen
}

/// Whether a terminal can exist: its block or device is there and has that pole.
#[must_use]
pub fn terminal_exists(design: &Design, terminal: &Terminal) -> bool {
    match terminal {
        Terminal::Post { block, .. } => {
            design.bank().is_some_and(|b| block.string < b.parallel && block.place < b.series)
        }
        Terminal::Stud { device, pole } => {
            if device == BANK {
                return matches!(pole, Pole::Plus | Pole::Minus) && design.bank().is_some();
            }
            design.device(device).is_some_and(|d| has_pole(d.kind, *pole))
        }
    }
}

/// Whether a kind of device has a stud of that name.
#[must_use]
pub const fn has_pole(kind: DeviceKind, pole: Pole) -> bool {
    match pole {
        Pole::In | Pole::Out => {
            kind.passes_through() || matches!(kind, DeviceKind::StepDown | DeviceKind::DcDc)
        }
        Pole::Bar => matches!(kind, DeviceKind::Busbar | DeviceKind::Bond),
        Pole::Plus | Pole::Minus => {
            !kind.passes_through() && !matches!(kind, DeviceKind::Busbar | DeviceKind::Bond)
        }
    }
}

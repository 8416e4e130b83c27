//! The way from the bank's take-off to a device and back, lead by lead.

use super::wiring::{WiredLead, Wiring, joined_studs, take_off_terminals};
use crate::model::design::Design;
use crate::model::lead::{Pole, Terminal};
use std::collections::{BTreeMap, VecDeque};

/// One step of a way: over a lead, through a device, or straight across a mounted stud.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// Along a lead, by name.
    Lead(String),
    /// Through a device, by name.
    Device(String),
}

impl Step {
    /// The lead's name, where this is one.
    #[must_use]
    pub fn lead(&self) -> Option<String> {
        match self {
            Self::Lead(id) => Some(id.clone()),
            Self::Device(_) => None,
        }
    }
}

/// The steps from the bank's plus take-off to a device's plus stud, fewest leads first found.
#[must_use]
pub fn way_out(design: &Design, wiring: &Wiring, device: &str) -> Option<Vec<Step>> {
    WayMap::of(design, wiring).out(device)
}

/// The steps from a device's minus stud back to the bank's minus take-off.
#[must_use]
pub fn way_back(design: &Design, wiring: &Wiring, device: &str) -> Option<Vec<Step>> {
    WayMap::of(design, wiring).back(device)
}

/// Every lead and device of a rig as the steps one can take; made once for many ways.
pub struct WayMap {
    take_off: Option<(Terminal, Terminal)>,
    next: Neighbours,
}

type Neighbours = BTreeMap<Terminal, Vec<(Terminal, Option<Step>)>>;

impl WayMap {
    /// The map of a rig.
    ///
    /// Links of the bank are used only when nothing else leads there, since the take-off is where
    /// the bank's own sharing ends.
    #[must_use]
    pub fn of(design: &Design, wiring: &Wiring) -> Self {
        let take_off = design.bank().map(take_off_terminals);
        Self { take_off, next: neighbours(design, wiring) }
    }

    /// The steps from the bank's plus take-off to a device's plus stud.
    #[must_use]
    pub fn out(&self, device: &str) -> Option<Vec<Step>> {
        let (plus, _) = self.take_off.as_ref()?;
        self.way(plus, &Terminal::stud(device, Pole::Plus))
    }

    /// The steps from a device's minus stud back to the bank's minus take-off.
    #[must_use]
    pub fn back(&self, device: &str) -> Option<Vec<Step>> {
        let (_, minus) = self.take_off.as_ref()?;
        self.way(&Terminal::stud(device, Pole::Minus), minus)
    }

    /// The steps between two terminals that pass no block.
    #[must_use]
    pub fn way(&self, from: &Terminal, to: &Terminal) -> Option<Vec<Step>> {
        let mut came: Came<'_> = BTreeMap::from([(from, None)]);
        let mut open = VecDeque::from([from]);
        while let Some(at) = open.pop_front() {
            if at == to {
                return Some(traced(&came, to));
            }
            for (there, step) in self.next.get(at).into_iter().flatten() {
                if !came.contains_key(there) {
                    came.insert(there, Some((at, step.as_ref())));
                    open.push_back(there);
                }
            }
        }
        None
    }
}

/// From where, and by which step, each terminal was first reached.
type Came<'a> = BTreeMap<&'a Terminal, Option<(&'a Terminal, Option<&'a Step>)>>;

fn neighbours(design: &Design, wiring: &Wiring) -> Neighbours {
    let mut next: Neighbours = BTreeMap::new();
    let mut add = |a: &Terminal, b: &Terminal, step: Option<Step>| {
        next.entry(a.clone()).or_default().push((b.clone(), step.clone()));
        next.entry(b.clone()).or_default().push((a.clone(), step));
    };
    let feeds = |l: &&WiredLead| !l.role.is_link();
    for lead in wiring.leads.iter().filter(feeds) {
        add(&lead.from, &lead.to, Some(Step::Lead(lead.id.clone())));
    }
    for lead in wiring.leads.iter().filter(|l| l.role.is_link()) {
        add(&lead.from, &lead.to, Some(Step::Lead(lead.id.clone())));
    }
    for (a, b) in joined_studs(design) {
        let step = match (a.device(), b.device()) {
            (Some(x), Some(y)) if x == y => Some(Step::Device(x.to_owned())),
            _ => None,
        };
        add(&a, &b, step);
    }
    next
}

fn traced(came: &Came<'_>, to: &Terminal) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut at = to;
    while let Some(Some((before, step))) = came.get(at) {
        steps.extend(step.cloned());
        at = before;
    }
    steps.reverse();
    steps
}

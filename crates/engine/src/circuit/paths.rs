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

/// The steps from the bank's plus take-off to a device's plus stud, fewest leads first found.
#[must_use]
pub fn way_out(design: &Design, wiring: &Wiring, device: &str) -> Option<Vec<Step>> {
    let (plus, _) = take_off_terminals(design.bank()?);
    way(design, wiring, &plus, &Terminal::stud(device, Pole::Plus))
}

/// The steps from a device's minus stud back to the bank's minus take-off.
#[must_use]
pub fn way_back(design: &Design, wiring: &Wiring, device: &str) -> Option<Vec<Step>> {
    let (_, minus) = take_off_terminals(design.bank()?);
    way(design, wiring, &Terminal::stud(device, Pole::Minus), &minus)
}

/// Names of the leads on the way to a device and back.
#[must_use]
pub fn leads_to(design: &Design, wiring: &Wiring, device: &str) -> Vec<String> {
    let steps = [way_out(design, wiring, device), way_back(design, wiring, device)];
    steps
        .into_iter()
        .flatten()
        .flatten()
        .filter_map(|step| match step {
            Step::Lead(id) => Some(id),
            Step::Device(_) => None,
        })
        .collect()
}

/// The steps between two terminals that pass no block.
///
/// Links of the bank are used only when nothing else leads there, since the take-off is where the
/// bank's own sharing ends.
#[must_use]
pub fn way(design: &Design, wiring: &Wiring, from: &Terminal, to: &Terminal) -> Option<Vec<Step>> {
    let next = neighbours(design, wiring);
    let mut came: BTreeMap<Terminal, Option<(Terminal, Option<Step>)>> = BTreeMap::new();
    let mut open = VecDeque::from([from.clone()]);
    came.insert(from.clone(), None);
    while let Some(at) = open.pop_front() {
        if at == *to {
            return Some(traced(&came, to));
        }
        for (there, step) in next.get(&at).into_iter().flatten() {
            if !came.contains_key(there) {
                came.insert(there.clone(), Some((at.clone(), step.clone())));
                open.push_back(there.clone());
            }
        }
    }
    None
}

type Neighbours = BTreeMap<Terminal, Vec<(Terminal, Option<Step>)>>;

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

fn traced(came: &BTreeMap<Terminal, Option<(Terminal, Option<Step>)>>, to: &Terminal) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut at = to;
    while let Some(Some((before, step))) = came.get(at) {
        steps.extend(step.clone());
        at = before;
    }
    steps.reverse();
    steps
}

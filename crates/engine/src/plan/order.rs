//! In which order leads go on: the order of hands, not of the circuit.
//!
//! Series links string by string, then the plus side, then the minus side, then everything beyond
//! the bank from the far end inwards, plus before minus, so that the last lug to go on is the one
//! at the bank's minus.

use crate::circuit::wiring::{LeadRole, Polarity, WiredLead, Wiring, joined_studs};
use crate::model::design::Design;
use crate::model::lead::{Pole, Terminal};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// A part of the work on leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Phase {
    /// Links inside the strings.
    Series,
    /// Strings joined on the plus side.
    PlusSide,
    /// Strings joined on the minus side.
    MinusSide,
    /// Leads beyond the bank, plus.
    FeedPlus,
    /// Leads beyond the bank that belong to neither side: panels to controller, and such.
    FeedOther,
    /// Leads beyond the bank, minus.
    FeedMinus,
    /// A lead that would join plus and minus: never fitted.
    Short,
}

/// The phase a lead belongs to.
#[must_use]
pub const fn phase(lead: &WiredLead) -> Phase {
    match lead.role {
        LeadRole::SeriesLink => Phase::Series,
        LeadRole::PlusLink | LeadRole::StringPlus => Phase::PlusSide,
        LeadRole::MinusLink | LeadRole::StringMinus => Phase::MinusSide,
        LeadRole::Feed => match lead.polarity {
            Polarity::Plus => Phase::FeedPlus,
            Polarity::Minus => Phase::FeedMinus,
            Polarity::Both => Phase::Short,
            Polarity::Between | Polarity::Neither => Phase::FeedOther,
        },
    }
}

/// All leads in the order in which they go on.
#[must_use]
pub fn in_order<'a>(design: &Design, wiring: &'a Wiring) -> Vec<&'a WiredLead> {
    let depth = depths(design, wiring);
    let mut leads: Vec<(usize, &WiredLead)> = wiring.leads.iter().enumerate().collect();
    leads.sort_by_key(|(index, lead)| {
        let phase = phase(lead);
        let inwards = if lead.role.is_link() { 0 } else { usize::MAX - nearest(&depth, lead) };
        (phase, inwards, *index)
    });
    leads.into_iter().map(|(_, lead)| lead).collect()
}

/// How many leads and devices lie between the bank and the nearer end of a lead.
fn nearest(depth: &BTreeMap<Terminal, usize>, lead: &WiredLead) -> usize {
    let far = usize::MAX / 2;
    let of = |t: &Terminal| depth.get(t).copied().unwrap_or(far);
    of(&lead.from).min(of(&lead.to))
}

/// How many leads and devices lie between the bank and a pass-through device.
#[must_use]
pub fn device_depth(design: &Design, wiring: &Wiring, device: &str) -> usize {
    let depth = depths(design, wiring);
    let of = |pole| depth.get(&Terminal::stud(device, pole)).copied().unwrap_or(usize::MAX / 2);
    of(Pole::In).min(of(Pole::Out))
}

/// Steps from the bank's posts and bars outwards.
#[must_use]
pub fn depths(design: &Design, wiring: &Wiring) -> BTreeMap<Terminal, usize> {
    let mut next: BTreeMap<&Terminal, BTreeSet<&Terminal>> = BTreeMap::new();
    let studs = joined_studs(design);
    let feeds = wiring.leads.iter().filter(|l| !l.role.is_link()).map(|l| (&l.from, &l.to));
    for (a, b) in feeds.chain(studs.iter().map(|(a, b)| (a, b))) {
        next.entry(a).or_default().insert(b);
        next.entry(b).or_default().insert(a);
    }
    let links = wiring.leads.iter().filter(|l| l.role.is_link());
    let mut starts: BTreeSet<&Terminal> = links.flat_map(|l| [&l.from, &l.to]).collect();
    starts.extend(next.keys().filter(|t| t.block().is_some()));
    let mut depth: BTreeMap<Terminal, usize> = starts.iter().map(|t| ((*t).clone(), 0)).collect();
    let mut open: VecDeque<&Terminal> = starts.into_iter().collect();
    while let Some(at) = open.pop_front() {
        let here = depth.get(at).copied().unwrap_or(0);
        for there in next.get(at).into_iter().flatten() {
            if !depth.contains_key(*there) {
                depth.insert((*there).clone(), here + 1);
                open.push_back(there);
            }
        }
    }
    depth
}

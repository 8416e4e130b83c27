//! Ways along the plus side of the bank, counted in conductor length.

use super::context::Context;
use crate::circuit::wiring::{LeadRole, Polarity, WiredLead, joined_studs, post_fuse};
use crate::model::bank::Bank;
use crate::model::device::DeviceKind;
use crate::model::lead::{Pole, Terminal};
use crate::units::Length;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// A way from a plus post of the bank outwards, up to the first fuse or breaker or to its end.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Leads along it, the one on the post first; never empty.
    pub leads: Vec<String>,
    /// Conductor length in all.
    pub length: Length,
    /// The fuse or breaker at its end; `None` when there is none.
    pub guard: Option<String>,
    /// Where it ends.
    pub end: Terminal,
    /// Every lead along it is sheathed.
    pub sheathed: bool,
}

/// Every way from the bank's plus posts that nothing guards yet.
///
/// Links between plus posts are part of the bank: each string's plus post is a start, so such a
/// link is walked only where an end of it has moved onto a fuse.
#[must_use]
pub fn unguarded_runs(cx: &Context<'_>) -> Vec<Run> {
    let Some(bank) = cx.bank() else {
        return Vec::new();
    };
    let next = joins(cx);
    let starts: Vec<Terminal> = (0..bank.parallel).map(Bank::string_plus).collect();
    let mut seen: BTreeSet<Terminal> = starts.iter().cloned().collect();
    let mut open: VecDeque<(Terminal, Option<Run>)> =
        starts.into_iter().map(|t| (t, None)).collect();
    let mut done = Vec::new();
    while let Some((at, run)) = open.pop_front() {
        let guard = guard_at(cx, &at);
        let mut went_on = guard.is_some();
        if guard.is_some() {
            done.extend(run.clone().map(|r| Run { guard, ..r }));
        }
        for (there, lead) in next.get(&at).into_iter().flatten() {
            if seen.insert(there.clone()) {
                went_on = true;
                open.push_back((there.clone(), lengthened(cx, run.as_ref(), *lead, there)));
            }
        }
        if !went_on {
            done.extend(run);
        }
    }
    done
}

type Joins<'a> = BTreeMap<Terminal, Vec<(Terminal, Option<&'a WiredLead>)>>;

fn joins<'a>(cx: &Context<'a>) -> Joins<'a> {
    let mut next: Joins<'a> = BTreeMap::new();
    let mut add = |a: &Terminal, b: &Terminal, lead: Option<&'a WiredLead>| {
        next.entry(a.clone()).or_default().push((b.clone(), lead));
        next.entry(b.clone()).or_default().push((a.clone(), lead));
    };
    for (a, b) in joined_studs(cx.design()) {
        // The way through a fuse is guarded by it; what shares a stud with it is not.
        let through_fuse = a.device() == b.device() && guard_at(cx, &a).is_some();
        if !through_fuse {
            add(&a, &b, None);
        }
    }
    let plus_side =
        |l: &&WiredLead| l.polarity == Polarity::Plus && !matches!(l.role, LeadRole::SeriesLink);
    for lead in cx.study.wiring.leads.iter().filter(plus_side) {
        add(&lead.from, &lead.to, Some(lead));
    }
    next
}

fn lengthened(
    cx: &Context<'_>,
    run: Option<&Run>,
    lead: Option<&WiredLead>,
    end: &Terminal,
) -> Option<Run> {
    let Some(lead) = lead else {
        return run.map(|r| Run { end: end.clone(), ..r.clone() });
    };
    let mut run = run.cloned().unwrap_or(Run {
        leads: Vec::new(),
        length: Length::ZERO,
        guard: None,
        end: end.clone(),
        sheathed: true,
    });
    run.leads.push(lead.id.clone());
    run.length = run.length + cx.route(&lead.id);
    run.sheathed &= lead.stated.sheathed == Some(true);
    run.end = end.clone();
    Some(run)
}

fn guard_at(cx: &Context<'_>, at: &Terminal) -> Option<String> {
    let device = cx.design().device(at.device()?)?;
    device.kind.is_overcurrent().then(|| device.part.name.clone())
}

/// The fuse or breaker that guards one string at a post: bolted onto it, or standing in the string's
/// own lead to a busbar.
#[must_use]
pub fn string_guard(cx: &Context<'_>, post: &Terminal) -> Option<String> {
    if let Some(name) = post_fuse(cx.design(), post) {
        return Some(name.to_owned());
    }
    let own = |l: &&WiredLead| matches!(l.role, LeadRole::StringPlus | LeadRole::StringMinus);
    cx.study
        .wiring
        .at(post)
        .filter(own)
        .find_map(|lead| guard_at(cx, if lead.from == *post { &lead.to } else { &lead.from }))
}

/// Every terminal that is reached from a start along leads and through devices, without passing
/// a device that `shut` names and without passing a block.
#[must_use]
pub fn reach(
    cx: &Context<'_>,
    starts: Vec<Terminal>,
    shut: &dyn Fn(DeviceKind) -> bool,
) -> BTreeSet<Terminal> {
    let mut next: BTreeMap<Terminal, Vec<Terminal>> = BTreeMap::new();
    let mut add = |a: &Terminal, b: &Terminal| {
        next.entry(a.clone()).or_default().push(b.clone());
        next.entry(b.clone()).or_default().push(a.clone());
    };
    for lead in &cx.study.wiring.leads {
        add(&lead.from, &lead.to);
    }
    for (a, b) in joined_studs(cx.design()) {
        let through = a.device().is_some() && a.device() == b.device();
        let kind = a.device().and_then(|d| cx.design().device(d)).map(|d| d.kind);
        if !(through && kind.is_some_and(shut)) {
            add(&a, &b);
        }
    }
    let mut seen: BTreeSet<Terminal> = BTreeSet::new();
    let mut open = starts;
    while let Some(at) = open.pop() {
        if seen.insert(at.clone()) {
            open.extend(next.get(&at).into_iter().flatten().cloned());
        }
    }
    seen
}

/// Every terminal reached from some along leads and through devices, going on only where `through`
/// allows the kind of device the terminal belongs to; posts of blocks always are.
#[must_use]
pub fn joined_terminals(
    cx: &Context<'_>,
    starts: Vec<Terminal>,
    through: &dyn Fn(DeviceKind) -> bool,
) -> BTreeSet<Terminal> {
    let pairs = joined_studs(cx.design());
    let mut seen: BTreeSet<Terminal> = BTreeSet::new();
    let mut open = starts;
    while let Some(at) = open.pop() {
        let kind = at.device().and_then(|d| cx.design().device(d)).map(|d| d.kind);
        if kind.is_some_and(|k| !through(k)) || !seen.insert(at.clone()) {
            continue;
        }
        for lead in cx.study.wiring.at(&at) {
            open.push(if lead.from == at { lead.to.clone() } else { lead.from.clone() });
        }
        for (a, b) in &pairs {
            if *a == at {
                open.push(b.clone());
            } else if *b == at {
                open.push(a.clone());
            }
        }
    }
    seen
}

/// Whether both studs of a device are reached from the bank without passing what `shut` names.
#[must_use]
pub fn fed_without(cx: &Context<'_>, device: &str, shut: &dyn Fn(DeviceKind) -> bool) -> bool {
    let Some(bank) = cx.bank() else {
        return false;
    };
    let plus = (0..bank.parallel).map(Bank::string_plus).collect();
    let minus = (0..bank.parallel).map(|s| bank.string_minus(s)).collect();
    reach(cx, plus, shut).contains(&Terminal::stud(device, Pole::Plus))
        && reach(cx, minus, shut).contains(&Terminal::stud(device, Pole::Minus))
}

//! Which devices a lead feeds, which overcurrent device guards it, and how far along the conductor
//! that device is. Sizes and currents play no part here.

use super::currents::FarEnd;
use crate::circuit::paths::{Step, WayMap};
use crate::circuit::wiring::{LeadRole, Polarity, WiredLead, Wiring, take_off_terminals};
use crate::model::design::Design;
use crate::model::device::DeviceKind;
use crate::model::lead::Terminal;

/// The way from the bank to a device and back.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Way {
    pub(super) device: String,
    pub(super) out: Vec<Step>,
    pub(super) back: Vec<Step>,
}

/// What guards some leads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum GuardBy {
    /// An overcurrent device of the design.
    Device(String),
    /// Nothing yet: a device is wanted where this lead, by number, leaves the bank.
    Wanted(usize),
    /// A string's own device is wanted beside this link, by number.
    StringWanted(usize),
}

/// An overcurrent device, there or wanted.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Guard {
    pub(super) by: GuardBy,
    /// Leads between the bank and it, by number, from the bank outwards.
    pub(super) before: Vec<usize>,
    /// The first overcurrent device from the bank.
    pub(super) main: bool,
}

/// The ways and guards of a rig.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Topology {
    pub(super) ways: Vec<Way>,
    pub(super) guards: Vec<Guard>,
    /// For each lead the number of its guard.
    pub(super) guard_of: Vec<Option<usize>>,
    /// For each lead how many devices like its guard feed it side by side: behind the busbar of
    /// fused strings a fault is fed through every string's fuse at once.
    pub(super) side_by_side: Vec<u32>,
    pub(super) far: Vec<FarEnd>,
}

impl Topology {
    pub(super) fn of(design: &Design, wiring: &Wiring, string_fuses: bool) -> Self {
        let map = WayMap::of(design, wiring);
        let ways = design
            .devices
            .iter()
            .filter(|d| d.kind.is_load() || d.kind.is_charge_source())
            .filter_map(|d| {
                let device = d.part.name.clone();
                let out = map.out(&device)?;
                let back = map.back(&device)?;
                Some(Way { device, out, back })
            })
            .collect();
        let mut walk = Walk { design, wiring, map, ways, guards: Vec::new() };
        let count = wiring.leads.len();
        let mut guard_of = vec![None; count];
        let mut far = vec![FarEnd::None; count];
        for n in 0..count {
            if wiring.leads[n].polarity == Polarity::Plus && !wiring.leads[n].role.is_link() {
                guard_of[n] = walk.plus_guard(n);
                far[n] = walk.far_end(n);
            }
            if guard_of[n].is_none() {
                guard_of[n] = walk.string_guard(n);
            }
        }
        for n in 0..count {
            if wiring.leads[n].polarity == Polarity::Minus && !wiring.leads[n].role.is_link() {
                guard_of[n] = walk.minus_guard(n, &guard_of);
                far[n] = walk.far_end(n);
            }
        }
        if string_fuses {
            walk.want_string_guards(&mut guard_of);
        }
        let side_by_side = walk.side_by_side(&guard_of);
        Self { ways: walk.ways, guards: walk.guards, guard_of, side_by_side, far }
    }
}

/// The number of a lead by its name.
pub(super) fn number(wiring: &Wiring, id: &str) -> Option<usize> {
    wiring.leads.iter().position(|l| l.id == id)
}

struct Walk<'a> {
    design: &'a Design,
    wiring: &'a Wiring,
    map: WayMap,
    ways: Vec<Way>,
    guards: Vec<Guard>,
}

impl Walk<'_> {
    fn lead(&self, n: usize) -> &WiredLead {
        &self.wiring.leads[n]
    }

    fn is_overcurrent(&self, step: &Step) -> Option<String> {
        let Step::Device(name) = step else {
            return None;
        };
        self.design.device(name).filter(|d| d.kind.is_overcurrent()).map(|_| name.clone())
    }

    fn leads_in(&self, steps: &[Step]) -> Vec<usize> {
        steps
            .iter()
            .filter_map(|s| match s {
                Step::Lead(id) => number(self.wiring, id),
                Step::Device(_) => None,
            })
            .collect()
    }

    /// The steps from the plus take-off to the nearer end of a lead.
    fn steps_before(&self, n: usize) -> Option<Vec<Step>> {
        let step = Step::Lead(self.lead(n).id.clone());
        for way in &self.ways {
            if let Some(at) = way.out.iter().position(|s| *s == step) {
                return Some(way.out[..at].to_vec());
            }
        }
        let (plus, _) = take_off_terminals(self.design.bank()?);
        self.steps_to_near_end(n, &plus)
    }

    fn steps_to_near_end(&self, n: usize, from: &Terminal) -> Option<Vec<Step>> {
        let lead = self.lead(n);
        let step = Step::Lead(lead.id.clone());
        [&lead.from, &lead.to]
            .into_iter()
            .filter_map(|end| self.map.way(from, end))
            .find(|steps| !steps.contains(&step))
    }

    /// The end of a lead that is further from the bank.
    fn far_end(&self, n: usize) -> FarEnd {
        let Some(bank) = self.design.bank() else {
            return FarEnd::None;
        };
        let lead = self.lead(n);
        let minus = lead.polarity == Polarity::Minus;
        let (plus_post, minus_post) = take_off_terminals(bank);
        let post = if minus { minus_post } else { plus_post };
        let step = Step::Lead(lead.id.clone());
        let over_lead =
            |end: &Terminal| self.map.way(&post, end).is_some_and(|steps| steps.contains(&step));
        if over_lead(&lead.to) {
            FarEnd::To { minus }
        } else if over_lead(&lead.from) {
            FarEnd::From { minus }
        } else {
            FarEnd::None
        }
    }

    /// Starter leads are exempt, and the breakaway lead is judged by its own rule.
    fn is_exempt(&self, n: usize) -> bool {
        let lead = self.lead(n);
        if lead.stated.starter == Some(true) {
            return true;
        }
        let step = Step::Lead(lead.id.clone());
        let mut fed = self.ways.iter().filter(|w| w.out.contains(&step)).peekable();
        let breakaway = |w: &Way| {
            self.design.device(&w.device).is_some_and(|d| d.kind == DeviceKind::Breakaway)
        };
        fed.peek().is_some() && fed.all(breakaway)
    }

    fn plus_guard(&mut self, n: usize) -> Option<usize> {
        if self.is_exempt(n) {
            return None;
        }
        let before = self.steps_before(n)?;
        let upstream = before.iter().rposition(|s| self.is_overcurrent(s).is_some());
        if let Some(at) = upstream {
            let device = self.is_overcurrent(&before[at])?;
            let main = before[..at].iter().all(|s| self.is_overcurrent(s).is_none());
            let leads = self.leads_in(&before[..at]);
            return Some(self.guard(GuardBy::Device(device), leads, main));
        }
        let strings = self.string_devices();
        let own_end = [&self.lead(n).from, &self.lead(n).to].into_iter().any(|end| {
            let device = end.device().and_then(|name| self.design.device(name));
            device.is_some_and(|d| d.kind.is_overcurrent())
        });
        // Behind strings that each have a fuse, only a tap that ends on its own fuse is guarded by
        // what comes after it: whatever feeds the bar is stopped by the strings' fuses.
        if let (Some(first), false) = (strings.first(), own_end) {
            let device = first.clone();
            return Some(self.guard(GuardBy::Device(device), Vec::new(), false));
        }
        if let Some((device, leads)) = self.next_device(n) {
            return Some(self.guard(GuardBy::Device(device), leads, strings.is_empty()));
        }
        let mut leads = self.leads_in(&before);
        leads.push(n);
        let feeds = leads.iter().copied().find(|l| !self.lead(*l).role.is_link());
        let first = feeds.unwrap_or(n);
        Some(self.guard(GuardBy::Wanted(first), Vec::new(), true))
    }

    /// For each lead how many devices like its guard feed it side by side.
    fn side_by_side(&self, guard_of: &[Option<usize>]) -> Vec<u32> {
        let strings = self.string_devices();
        let many = u32::try_from(strings.len()).unwrap_or(1).max(1);
        let fed_by_all = |n: usize, guard: Option<usize>| {
            let behind = self.lead(n).role != LeadRole::StringPlus;
            let guard = guard.map(|g| &self.guards[g].by);
            behind && matches!(guard, Some(GuardBy::Device(name)) if strings.contains(name))
        };
        let each = guard_of.iter().enumerate();
        each.map(|(n, guard)| if fed_by_all(n, *guard) { many } else { 1 }).collect()
    }

    /// The strings' own overcurrent devices, in the order of the leads; none when a string lacks one.
    fn string_devices(&self) -> Vec<String> {
        let mut devices: Vec<String> = Vec::new();
        for lead in self.wiring.leads.iter().filter(|l| l.role == LeadRole::StringPlus) {
            for name in [&lead.from, &lead.to].into_iter().filter_map(Terminal::device) {
                let guards = self.design.device(name).is_some_and(|d| d.kind.is_overcurrent());
                if guards && devices.iter().all(|d| d != name) {
                    devices.push(name.to_owned());
                }
            }
        }
        let strings = self.design.bank().map_or(0, |b| b.parallel);
        if u32::try_from(devices.len()) == Ok(strings) { devices } else { Vec::new() }
    }

    /// The first overcurrent device after a lead, when every way over it meets the same.
    fn next_device(&self, n: usize) -> Option<(String, Vec<usize>)> {
        let step = Step::Lead(self.lead(n).id.clone());
        let mut found: Option<(String, Vec<usize>)> = None;
        for way in &self.ways {
            let Some(at) = way.out.iter().position(|s| *s == step) else {
                continue;
            };
            let after =
                (at..way.out.len()).find(|i| self.is_overcurrent(&way.out[*i]).is_some())?;
            let device = self.is_overcurrent(&way.out[after])?;
            match &found {
                Some((name, _)) if *name != device => return None,
                Some(_) => {}
                None => found = Some((device, self.leads_in(&way.out[..after]))),
            }
        }
        found
    }

    fn guard(&mut self, by: GuardBy, before: Vec<usize>, main: bool) -> usize {
        if let Some(at) = self.guards.iter().position(|g| g.by == by) {
            return at;
        }
        self.guards.push(Guard { by, before, main });
        self.guards.len() - 1
    }

    /// A fault through a minus lead comes over the plus side: the guard furthest out that every
    /// way over this lead has in common.
    fn minus_guard(&self, n: usize, guard_of: &[Option<usize>]) -> Option<usize> {
        let step = Step::Lead(self.lead(n).id.clone());
        let mut common: Option<Vec<usize>> = None;
        for way in self.ways.iter().filter(|w| w.back.contains(&step)) {
            let on: Vec<usize> =
                self.leads_in(&way.out).iter().filter_map(|l| guard_of[*l]).collect();
            let exempt = on.is_empty();
            common = match common {
                _ if exempt => common,
                None => Some(on),
                Some(so_far) => Some(so_far.into_iter().filter(|g| on.contains(g)).collect()),
            };
        }
        common?.last().copied()
    }

    /// A string's own device guards both halves of its lead to the bar.
    fn string_guard(&mut self, n: usize) -> Option<usize> {
        let lead = self.lead(n);
        if lead.role != LeadRole::StringPlus {
            return None;
        }
        let (from, to) = (lead.from.clone(), lead.to.clone());
        let device = [&from, &to]
            .into_iter()
            .filter_map(Terminal::device)
            .find(|name| self.design.device(name).is_some_and(|d| d.kind.is_overcurrent()))?;
        let device = device.to_owned();
        let post = [&from, &to].into_iter().any(|t| t.block().is_some());
        let before = if post { vec![n] } else { Vec::new() };
        let at = self.guard(GuardBy::Device(device), before.clone(), false);
        // The half from the post is the one that says how far the device is from it.
        if post {
            self.guards[at].before = before;
        }
        Some(at)
    }

    /// A device for every string that has none of its own. Along a chain of plus links each link names
    /// the string it brings in; the string the chain begins with is named by its first series link.
    fn want_string_guards(&mut self, guard_of: &mut [Option<usize>]) {
        let chain = (0..guard_of.len()).any(|n| self.lead(n).role == LeadRole::PlusLink);
        let first = (0..guard_of.len()).find(|n| self.lead(*n).role == LeadRole::SeriesLink);
        for (n, guard) in guard_of.iter_mut().enumerate() {
            let role = self.lead(n).role;
            let across = matches!(role, LeadRole::StringPlus | LeadRole::PlusLink)
                || (chain && first == Some(n));
            if across && guard.is_none() {
                *guard = Some(self.guard(GuardBy::StringWanted(n), Vec::new(), false));
            }
        }
    }
}

//! The sizes of all leads together: what each lead needs for its current, its fuse and a short,
//! what the paths need for their drop, what partners need to be alike; and again with the currents
//! that those sizes give, until nothing changes.

use super::SizingInput;
use super::ampacity::{self, Allowed, Bed};
use super::currents::{FarEnd, Flows, LeadAmps};
use super::fuse::{self, Asked, Picked};
use super::partners::{Held, raised};
use super::paths::{self, Limit};
use super::rules::Rules;
use super::topology::{GuardBy, Topology};
use super::withstand;
use crate::calc::resistance::ohm_per_m;
use crate::circuit::netlist::LeadOhms;
use crate::circuit::wiring::take_off_terminals;
use crate::cite::Cite;
use crate::model::device::DeviceKind;
use crate::model::lead::Terminal;
use crate::tables::conductor::Finish;
use crate::units::conductor::ConductorSize;
use crate::units::{Current, Duration, Temperature, Voltage};

/// Rounds of sizes and currents; the second usually changes nothing.
const ROUNDS: u32 = 5;

/// From this round on a size may only grow, so that two answers cannot take turns for ever.
const GROW_FROM: u32 = 2;

/// What decided a size.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Reason {
    /// Nothing asks for more than the smallest size allowed.
    SmallestAllowed,
    /// The steady current.
    Current,
    /// The device that guards it.
    Fuse { rating_a: f64, name: String },
    /// A short at its far end.
    Short { fault_a: f64, time: Duration, area_mm2: f64 },
    /// The drop over the path to a device.
    Drop { device: String, allowed: Voltage, percent: Option<f64>, proven: bool },
    /// Its partners.
    Partners,
    /// A bonding lead must carry what a main lead can.
    Bond,
    /// No size on sale holds: what fails, in words.
    None(&'static str),
}

/// What is known of a lead before its size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Given {
    pub(super) decided: Option<ConductorSize>,
    pub(super) bed: Bed,
    /// Stud to stud as made [m].
    pub(super) made_m: f64,
    /// The two joints together [ohm].
    pub(super) joints: [f64; 2],
    /// Temperature its resistance is taken at.
    pub(super) temperature: Temperature,
}

/// The answer for one lead.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fitted {
    /// The number of the size it needs.
    pub(super) needs: usize,
    pub(super) size: ConductorSize,
    pub(super) reason: Reason,
    pub(super) amps: LeadAmps,
    pub(super) cites: Vec<Cite>,
}

/// The answer for all.
pub(super) struct Fit {
    pub(super) leads: Vec<Fitted>,
    /// The device of each guard, where one could be chosen.
    pub(super) devices: Vec<Option<Picked>>,
    /// What flows with these sizes.
    pub(super) flows: Flows,
}

/// Which sizes stand before the search.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Decided<'a> {
    /// The owner's sizes stand; leads on a path they spoil take these sizes.
    Kept(&'a [usize]),
    /// Every size is free.
    Free,
}

#[derive(Clone, Copy)]
pub(super) struct Fitting<'a> {
    pub(super) input: &'a SizingInput<'a>,
    pub(super) rules: &'a Rules<'a>,
    pub(super) topology: &'a Topology,
    pub(super) given: &'a [Given],
    pub(super) breaks: &'a fuse::Prospective,
    pub(super) charged: Voltage,
    /// Shorts of sizes near these, where they are known already.
    pub(super) shorts: Option<&'a [Option<f64>]>,
}

/// One round's needs of a lead.
pub(super) struct Need {
    pub(super) size: usize,
    pub(super) reason: Reason,
    pub(super) cites: Vec<Cite>,
}

impl Need {
    /// Takes the larger of two needs; the earlier reason stays when they are equal.
    pub(super) fn raise(&mut self, size: usize, reason: Reason, cites: Vec<Cite>) {
        if self.size < size {
            *self = Self { size, reason, cites };
        }
    }
}

impl Fitting<'_> {
    pub(super) fn run(&self, decided: Decided<'_>) -> Fit {
        // From the thinnest up: a thick lead lets a larger short through and would justify itself.
        let mut sizes: Vec<usize> = vec![0; self.given.len()];
        let on_sale = self.ohms_on_sale(decided);
        let mut round = 0;
        loop {
            let now = self.sizes(&sizes, decided);
            let far = &self.topology.far;
            let flows = Flows::of(self.input, &self.ohms(&now), far, self.shorts);
            let devices = self.devices(&flows);
            let mut needs = self.needs(&flows, &devices);
            self.drops(&mut needs, &flows, decided, &on_sale);
            self.partners(&mut needs, decided);
            if GROW_FROM <= round {
                for (need, before) in needs.iter_mut().zip(&sizes) {
                    need.size = need.size.max(*before);
                }
            }
            let found: Vec<usize> = needs.iter().map(|n| n.size).collect();
            round += 1;
            if found == sizes || ROUNDS <= round {
                return self.finish(needs, flows, &devices, decided);
            }
            sizes = found;
        }
    }

    fn finish(
        &self,
        needs: Vec<Need>,
        flows: Flows,
        devices: &[Option<Picked>],
        decided: Decided<'_>,
    ) -> Fit {
        let numbers: Vec<usize> = needs.iter().map(|n| n.size).collect();
        let sizes = self.sizes(&numbers, decided);
        let devices = self.preferred(devices, &sizes, &flows);
        let leads = needs
            .into_iter()
            .zip(sizes)
            .zip(&flows.leads)
            .map(|((need, size), amps)| Fitted {
                needs: need.size,
                size,
                reason: need.reason,
                amps: amps.clone(),
                cites: need.cites,
            })
            .collect();
        Fit { leads, devices, flows }
    }

    /// The sizes in force: the owner's where they stand.
    fn sizes(&self, numbers: &[usize], decided: Decided<'_>) -> Vec<ConductorSize> {
        let own = |given: &Given| given.decided.filter(|_| decided != Decided::Free);
        self.given
            .iter()
            .zip(numbers)
            .map(|(given, n)| own(given).unwrap_or(self.rules.sizes[*n].size))
            .collect()
    }

    /// Resistance of a conductor over a lead's length. A size without a row has none on sale, and
    /// a lead of no length is taken as a millimetre, so that the network can be solved.
    pub(super) fn conductor_ohm(&self, n: usize, size: ConductorSize) -> f64 {
        let given = &self.given[n];
        let per_m = ohm_per_m(self.input.tables, size, Finish::Plain, given.temperature);
        per_m.map_or(1.0, |r| r.value) * given.made_m.max(0.001)
    }

    /// Resistance of every size on sale over each lead's length, worked out once for all rounds;
    /// none for a lead whose size stands.
    fn ohms_on_sale(&self, decided: Decided<'_>) -> Vec<Vec<f64>> {
        let stands = |n: usize| decided != Decided::Free && self.given[n].decided.is_some();
        let of = |n: usize| self.rules.sizes.iter().map(move |c| self.conductor_ohm(n, c.size));
        let leads = 0..self.given.len();
        leads.map(|n| if stands(n) { Vec::new() } else { of(n).collect() }).collect()
    }

    /// Each lead as one resistance, its joints with it: the currents are the same and the network
    /// is a third of the size.
    fn ohms(&self, sizes: &[ConductorSize]) -> Vec<LeadOhms> {
        sizes
            .iter()
            .enumerate()
            .map(|(n, size)| {
                let joints: f64 = self.given[n].joints.iter().sum();
                let conductor = self.conductor_ohm(n, *size) + joints;
                LeadOhms { from_joint: 0.0, conductor, to_joint: 0.0 }
            })
            .collect()
    }

    /// Steady current through the device of a guard.
    pub(super) fn guard_amps(&self, guard: usize, flows: &Flows) -> f64 {
        match &self.topology.guards[guard].by {
            GuardBy::Wanted(n) => flows.leads[*n].amps,
            GuardBy::StringWanted(n) => {
                let lead = &self.input.wiring.leads[*n];
                let block = [&lead.to, &lead.from].into_iter().find_map(Terminal::block);
                block.and_then(|b| flows.strings.get(&b.string).copied()).unwrap_or(0.0)
            }
            GuardBy::Device(name) => {
                let beside =
                    self.input.wiring.leads.iter().zip(&flows.leads).filter(|(l, _)| {
                        l.from.device() == Some(name) || l.to.device() == Some(name)
                    });
                let most = beside.map(|(_, f)| f.amps).fold(0.0, f64::max);
                flows.devices.get(name).copied().unwrap_or(most)
            }
        }
    }

    pub(super) fn asked(&self, guard: usize, flows: &Flows) -> Asked {
        let on_post = match &self.topology.guards[guard].by {
            GuardBy::Device(name) => {
                let device = self.input.design.device(name);
                device.and_then(|d| d.mounted_on.as_ref()).is_some_and(|t| t.block().is_some())
            }
            GuardBy::Wanted(n) | GuardBy::StringWanted(n) => {
                let lead = &self.input.wiring.leads[*n];
                [&lead.from, &lead.to].into_iter().any(|t| t.block().is_some())
            }
        };
        let item = &self.topology.guards[guard];
        // Behind another device a short is what the leads up to there let through.
        let seen = item.before.last().filter(|_| !item.main).and_then(|n| flows.shorts[*n]);
        let (break_a, break_says) = match seen.filter(|s| *s < self.breaks.branch_a) {
            _ if item.main => (self.breaks.main_a, self.breaks.main_says),
            Some(seen) => (seen, fuse::THROUGH_LEADS),
            None => (self.breaks.branch_a, self.breaks.branch_says),
        };
        Asked {
            charged: self.charged,
            break_a,
            break_says,
            least_a: fuse::least_rating(self.input.tables, self.guard_amps(guard, flows)),
            on_post,
        }
    }

    fn devices(&self, flows: &Flows) -> Vec<Option<Picked>> {
        let tables = self.input.tables;
        (0..self.topology.guards.len())
            .map(|g| {
                let asked = self.asked(g, flows);
                match &self.topology.guards[g].by {
                    GuardBy::Device(name) => {
                        fuse::of_device(tables, self.input.design.device(name)?, &asked)
                    }
                    GuardBy::Wanted(_) | GuardBy::StringWanted(_) => fuse::pick(tables, &asked),
                }
            })
            .collect()
    }

    /// The ratings to buy, where the owner has not said one: the middle of the window that the
    /// thinnest lead behind the device leaves.
    fn preferred(
        &self,
        devices: &[Option<Picked>],
        sizes: &[ConductorSize],
        flows: &Flows,
    ) -> Vec<Option<Picked>> {
        let mut all = devices.to_vec();
        for (g, device) in all.iter_mut().enumerate() {
            let Some(picked) = device.as_mut().filter(|_| !self.has_rating(g)) else {
                continue;
            };
            let amps = self.guard_amps(g, flows);
            let mut thinnest = f64::INFINITY;
            for (n, guard) in self.topology.guard_of.iter().enumerate() {
                if *guard == Some(g) {
                    let allowed = self.allowed_amps(n, sizes[n], picked.rating_a);
                    thinnest = thinnest.min(allowed.unwrap_or(0.0));
                }
            }
            if !thinnest.is_finite() {
                continue;
            }
            let tables = self.input.tables;
            let stock = fuse::stock(tables, &picked.family);
            let ends = (Current::amps(amps), Current::amps(thinnest));
            let rating = fuse::preferred_rating(&stock, ends.0, ends.1, self.rules, tables);
            picked.rating_a = rating.unwrap_or(picked.rating_a);
        }
        all
    }

    fn has_rating(&self, guard: usize) -> bool {
        match &self.topology.guards[guard].by {
            GuardBy::Device(name) => {
                self.input.design.device(name).is_some_and(|d| d.rating.is_some())
            }
            GuardBy::Wanted(_) | GuardBy::StringWanted(_) => false,
        }
    }

    pub(super) fn allowed(&self, n: usize, size: ConductorSize, circuit_a: f64) -> Option<Allowed> {
        ampacity::allowed(self.input.tables, self.rules, size, &self.given[n].bed, circuit_a)
    }

    fn allowed_amps(&self, n: usize, size: ConductorSize, circuit_a: f64) -> Option<f64> {
        ampacity::allowed_amps(self.input.tables, self.rules, size, &self.given[n].bed, circuit_a)
    }

    /// What each lead needs on its own.
    fn needs(&self, flows: &Flows, devices: &[Option<Picked>]) -> Vec<Need> {
        (0..self.given.len()).map(|n| self.need(n, flows, devices)).collect()
    }

    pub(super) fn need(&self, n: usize, flows: &Flows, devices: &[Option<Picked>]) -> Need {
        let (tables, rules) = (self.input.tables, self.rules);
        let last = rules.sizes.len() - 1;
        let least = vec![rules.settings.size_min.cite.clone()];
        let mut need = Need { size: 0, reason: Reason::SmallestAllowed, cites: least };
        let guard = self.topology.guard_of[n].and_then(|g| devices[g].as_ref());
        let amps = flows.leads[n].amps;
        let many = f64::from(self.topology.side_by_side[n]);
        let circuit_a = guard.map_or(amps, |g| (g.rating_a * many).max(amps));
        match ampacity::smallest(tables, rules, &self.given[n].bed, amps, circuit_a) {
            Some(size) => need.raise(size, Reason::Current, Vec::new()),
            None => need.raise(last, Reason::None("its steady current"), Vec::new()),
        }
        let Some(device) = guard else {
            return need;
        };
        let stock = fuse::stock(tables, &device.family);
        let ampacity = |i: usize| self.allowed_amps(n, rules.sizes[i].size, circuit_a);
        let ceiling = vec![rules.ceiling.cite.clone()];
        let rating_a = device.rating_a * many;
        let reason = Reason::Fuse { rating_a, name: device.name.clone() };
        match fuse::smallest(rules, &stock, rating_a, ampacity) {
            Some(size) => need.raise(size, reason, ceiling),
            None => need.raise(last, Reason::None("the fuse that guards it"), ceiling),
        }
        if let Some(fault_a) = flows.shorts[n] {
            self.withstand(n, fault_a, device, &mut need);
        }
        need
    }

    fn withstand(&self, n: usize, fault_a: f64, device: &Picked, need: &mut Need) {
        let guard = (device.family.as_str(), Current::amps(device.rating_a));
        let insulation = self.given[n].bed.insulation;
        let Some(asks) = withstand::asks(self.input.tables, insulation, guard, fault_a) else {
            return;
        };
        let area_mm2 = asks.area_mm2;
        let holds = self.rules.sizes.iter().position(|c| area_mm2 <= c.area_mm2);
        let last = self.rules.sizes.len() - 1;
        let reason = match holds {
            Some(_) => Reason::Short { fault_a, time: asks.time, area_mm2 },
            None => Reason::None("a short at its far end"),
        };
        need.raise(holds.unwrap_or(last), reason, asks.cites);
    }

    pub(super) fn limits(&self, flows: &Flows, joints: &dyn Fn(usize) -> f64) -> Vec<Limit> {
        paths::limits(self.input, self.rules, self.topology, flows, joints)
    }

    /// Shares the allowed drop of every path out over its leads.
    fn drops(&self, needs: &mut [Need], flows: &Flows, decided: Decided<'_>, on_sale: &[Vec<f64>]) {
        let floors: Vec<usize> = needs.iter().map(|n| n.size).collect();
        let choices = |n: usize| -> Vec<(f64, f64)> {
            let length = self.given[n].made_m.max(0.001);
            let own = self.given[n].decided.filter(|_| decided != Decided::Free);
            if let Some(size) = own {
                return vec![(0.0, self.conductor_ohm(n, size))];
            }
            let sizes = self.rules.sizes.iter().zip(&on_sale[n]).skip(floors[n]);
            sizes.map(|(c, ohm)| (length * c.area_mm2, *ohm)).collect()
        };
        let joints = |n: usize| self.given[n].joints.iter().sum();
        let limits = self.limits(flows, &joints);
        let spoilt = match decided {
            Decided::Kept(free) => Some(free),
            Decided::Free => None,
        };
        for raise in paths::share_out(&limits, &choices, spoilt, &floors) {
            let (reason, cites) = match raise.hopeless {
                true => (Reason::None("the drop over its path"), raise.cites),
                false => {
                    let (device, allowed) = (raise.device, raise.allowed);
                    let (percent, proven) = (raise.percent, raise.proven);
                    (Reason::Drop { device, allowed, percent, proven }, raise.cites)
                }
            };
            let size = raise.size.min(self.rules.sizes.len() - 1);
            needs[raise.lead].raise(size, reason, cites);
        }
    }

    pub(super) fn partners(&self, needs: &mut [Need], decided: Decided<'_>) {
        let numbers: Vec<usize> = needs.iter().map(|n| n.size).collect();
        let leads = &self.input.wiring.leads;
        let mut mains = Vec::new();
        if let Some((plus, minus)) = self.input.design.bank().map(take_off_terminals) {
            let ends_on = |t: &Terminal| *t == plus || *t == minus;
            for (n, lead) in leads.iter().enumerate() {
                // A brake lead on the same post is no main lead: links are not measured by it.
                let main = !lead.role.is_link() && self.topology.far[n] != FarEnd::None;
                if main && (ends_on(&lead.from) || ends_on(&lead.to)) {
                    let own = self.given[n].decided.filter(|_| decided != Decided::Free);
                    mains.push(own.map_or(numbers[n], |size| self.number_of(size)));
                }
            }
        }
        for (need, held) in needs.iter_mut().zip(raised(leads, &numbers, &mains)) {
            if let Held::Raised(size) = held {
                let rule = Cite::practice("rule R02: links alike and as thick as the main leads");
                need.raise(size, Reason::Partners, vec![rule]);
            }
        }
        self.bonds(needs, mains.into_iter().max().unwrap_or(0));
    }

    /// The lead to chassis, hull or earth carries a fault and nothing else: it is no thinner than
    /// the main leads, and never under the least bond.
    fn bonds(&self, needs: &mut [Need], main: usize) {
        let limit = self.input.tables.limits.value("chassis-bond-min");
        let gauge = self.rules.sizes.iter().position(|c| match c.size {
            ConductorSize::Awg(g) | ConductorSize::Boat(g) => {
                f64::from(g.as_number()) <= limit.value
            }
            ConductorSize::Metric(_) => false,
        });
        let least = main.max(gauge.unwrap_or(0));
        let bonds = |t: &Terminal| {
            let device = t.device().and_then(|d| self.input.design.device(d));
            device.is_some_and(|d| d.kind == DeviceKind::Bond)
        };
        for (need, lead) in needs.iter_mut().zip(&self.input.wiring.leads) {
            if bonds(&lead.from) || bonds(&lead.to) {
                need.raise(least, Reason::Bond, vec![limit.cite.clone()]);
            }
        }
    }

    /// The number of the size on sale that stands for an owner's size: itself, the same gauge of
    /// the family on sale, or the next with as much copper.
    pub(super) fn number_of(&self, size: ConductorSize) -> usize {
        let sizes = &self.rules.sizes;
        let gauge = |s: ConductorSize| match s {
            ConductorSize::Awg(g) | ConductorSize::Boat(g) => Some(g),
            ConductorSize::Metric(_) => None,
        };
        let same = sizes.iter().position(|c| c.size == size);
        let alike =
            || sizes.iter().position(|c| gauge(size).is_some() && gauge(c.size) == gauge(size));
        let area = self.input.tables.conductor.area(size).map_or(0.0, |a| a.value.as_mm2());
        same.or_else(alike).unwrap_or_else(|| self.rules.not_below(area))
    }
}

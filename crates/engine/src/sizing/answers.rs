//! The answer for each lead, put together from the sizes, the devices and the plan.

use super::ampacity::Allowed;
use super::answer::{LeadAnswer, LugChoice, Reuse, ShrinkChoice};
use super::explain::{Story, governed_by};
use super::fit::{Fit, Fitted, Fitting, Reason};
use super::reuse::{self, InHand};
use super::{colour, guard, length, lug};
use crate::cite::{Cite, Status};
use crate::units::conductor::ConductorSize;
use crate::units::{Area, Current, Length};

/// Both ends of a lead.
struct Ends {
    from: LugChoice,
    to: LugChoice,
    shrink: Option<ShrinkChoice>,
    cites: Vec<Cite>,
}

/// Puts the answers together.
pub(super) struct Answers<'a> {
    pub(super) fitting: &'a Fitting<'a>,
    /// With the owner's sizes as they are.
    pub(super) fit: &'a Fit,
    /// What would be enough for each lead, beside the others.
    pub(super) enough: Vec<Fitted>,
}

impl Answers<'_> {
    pub(super) fn answer(&self, n: usize) -> LeadAnswer {
        let input = self.fitting.input;
        let lead = &input.wiring.leads[n];
        let given = &self.fitting.given[n];
        let fitted = &self.fit.leads[n];
        let wanted = &self.enough[n];
        let decided = given.decided.is_some();
        let smallest = self.fitting.rules.sizes[wanted.needs].size;
        let allowed = self.allowed(n, fitted.size);
        let of_smallest = self.allowed(n, smallest);
        let story = Story {
            tables: input.tables,
            rules: self.fitting.rules,
            fitted: wanted,
            smallest,
            allowed: of_smallest.as_ref(),
            decided,
        };
        let path = input.layout.leads.get(n);
        let ends = self.ends(n, fitted.size);
        let (colour, colour_cite) = colour::colour(input.design, self.fitting.rules, lead);
        let (status, mut cites) = self.rests_on(n, allowed.as_ref());
        cites.extend(ends.cites.iter().cloned());
        cites.push(colour_cite);
        cites.sort();
        cites.dedup();
        LeadAnswer {
            id: lead.id.clone(),
            from: lead.from.clone(),
            to: lead.to.clone(),
            role: lead.role,
            polarity: lead.polarity,
            size: fitted.size,
            smallest,
            decided,
            insulation: given.bed.insulation,
            area: input.tables.conductor.area(fitted.size).map_or(Area::ZERO, |a| a.value),
            length: length::cut_length(path.map(|p| &p.length)),
            ampacity: Current::amps(allowed.as_ref().map_or(0.0, |a| a.amps)),
            design_amps: Current::amps(fitted.amps.amps),
            design_why: fitted.amps.why.clone(),
            fuse: guard::choice(self.fitting, self.fit, n),
            why: story.tell(),
            governed_by: governed_by(&wanted.reason, decided).to_owned(),
            reuse: self.reuse(n, [&ends.from, &ends.to], smallest),
            lug_from: ends.from,
            lug_to: ends.to,
            lug_angle: path.map(|p| p.lug_angle),
            shrink: ends.shrink,
            colour,
            other_practice: Vec::new(),
            status,
            cites,
        }
    }

    fn allowed(&self, n: usize, size: ConductorSize) -> Option<Allowed> {
        let amps = self.fit.leads[n].amps.amps;
        let guard = self.fitting.topology.guard_of[n].and_then(|g| self.fit.devices[g].as_ref());
        let circuit_a = guard.map_or(amps, |g| g.rating_a.max(amps));
        self.fitting.allowed(n, size, circuit_a)
    }

    /// The rows behind the size and its device, and the weakest of them. Colour and lug rows are
    /// shown with their own status and do not make a size doubtful.
    fn rests_on(&self, n: usize, allowed: Option<&Allowed>) -> (Status, Vec<Cite>) {
        let mut cites: Vec<Cite> = allowed.iter().flat_map(|a| a.cites.clone()).collect();
        cites.extend(self.enough[n].cites.iter().cloned());
        cites.extend(guard::cites(self.fitting, self.fit, n));
        let status = cites.iter().map(|c| c.status).max().unwrap_or(Status::Computed);
        (allowed.map_or(status, |a| status.weaker(a.status)), cites)
    }

    fn ends(&self, n: usize, size: ConductorSize) -> Ends {
        let input = self.fitting.input;
        let lead = &input.wiring.leads[n];
        let ends = [(&lead.from, &lead.stated.from_end), (&lead.to, &lead.stated.to_end)];
        let [mut from, mut to] =
            ends.map(|end| lug::lug(input.design, input.tables, lead, end, size));
        // A lug that finds no way out straight is bent as the layout found.
        if let Some(route) = input.layout.lead(&lead.id).and_then(|path| path.route.as_ref()) {
            [from.choice.form, to.choice.form] = route.lugs;
        }
        let barrel = input
            .layout
            .leads
            .get(n)
            .map_or(Length::ZERO, |p| p.length.lug_from.barrel.max(p.length.lug_to.barrel));
        let shrink = lug::shrink(input.tables, size, barrel);
        let mut cites = from.cites;
        cites.extend(to.cites);
        cites.extend(shrink.as_ref().map(|s| s.1.clone()));
        Ends { from: from.choice, to: to.choice, shrink: shrink.map(|s| s.0), cites }
    }

    fn reuse(&self, n: usize, lugs: [&LugChoice; 2], smallest: ConductorSize) -> Reuse {
        let input = self.fitting.input;
        let in_hand = InHand {
            lead: &input.wiring.leads[n],
            length: input.layout.leads.get(n).map(|p| &p.length),
            lugs,
            needed_size: self.too_thin(n, smallest),
        };
        reuse::reuse(input.tables, &in_hand)
    }

    /// The size a lead should have, when what it has does not hold for current, fuse or short.
    fn too_thin(&self, n: usize, smallest: ConductorSize) -> Option<ConductorSize> {
        let area = |size| self.fitting.input.tables.conductor.area(size).map(|a| a.value.as_mm2());
        let own = self.fitting.given[n].decided?;
        let governed = matches!(
            self.enough[n].reason,
            Reason::Current | Reason::Fuse { .. } | Reason::Short { .. }
        );
        (governed && area(own)? < area(smallest)? * 0.99).then_some(smallest)
    }
}

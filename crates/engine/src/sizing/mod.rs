//! The size, fuse and ends of every lead, each number with the rule that made it so.
//!
//! Every lead of the wiring gets an answer, in the order of the wiring. Sizes are found together,
//! because the drop is shared along a path and links must be alike; see `fit`.

pub mod answer;
pub mod drop;
pub mod reuse;
mod ampacity;
mod beside;
mod colour;
mod currents;
mod explain;
mod fit;
mod fuse;
mod guard;
mod length;
mod lug;
mod other_practice;
mod partners;
mod paths;
mod rules;
mod topology;
mod withstand;

use crate::circuit::wiring::Wiring;
use crate::cite::{Cite, Status};
use crate::facts::Facts;
use crate::facts::device::DeviceCurrent;
use crate::layout::Layout;
use crate::model::design::Design;
use crate::tables::Tables;
use crate::tables::ampacity::Surroundings;
use crate::tables::error::TableError;
use crate::units::capacity::Rating;
use crate::units::conductor::ConductorSize;
use crate::units::{Area, Current, Length, Resistance, Temperature};
use ampacity::Bed;
use answer::{LeadAnswer, OtherPractice};
use explain::{Story, governed_by};
use fit::{Decided, Fit, Fitted, Fitting, Given, Reason};
use reuse::InHand;
use rules::Rules;
use topology::Topology;

/// Everything the sizing goes by.
pub struct SizingInput<'a> {
    /// The design at one stage.
    pub design: &'a Design,
    /// Published numbers.
    pub tables: &'a Tables,
    /// Its leads.
    pub wiring: &'a Wiring,
    /// What is known or assumed of its parts.
    pub facts: &'a Facts,
    /// Where things lie and how long the leads are.
    pub layout: &'a Layout,
    /// Design currents of loads and charge sources.
    pub currents: &'a [DeviceCurrent],
}

/// Sizes every lead, in wiring order.
///
/// # Errors
/// When a published table lacks what a practice setting names.
pub fn size_leads(input: &SizingInput<'_>) -> Result<Vec<LeadAnswer>, TableError> {
    let rules = Rules::of(input.design, input.tables, input.design.rig.practice)?;
    let topology = Topology::of(input.design, input.wiring, wants_string_fuses(input));
    let breaks = fuse::prospective(input.design, input.tables, input.facts);
    let charged = fuse::volts_charged(input.design, input.tables, input.facts);
    let leads = given(input, &rules);
    let fitting = Fitting {
        input,
        rules: &rules,
        topology: &topology,
        given: &leads,
        breaks: &breaks,
        charged,
        shorts: None,
    };
    let free = fitting.run(Decided::Free);
    let numbers: Vec<usize> = free.leads.iter().map(|l| l.needs).collect();
    let decided = leads.iter().any(|l| l.decided.is_some());
    let kept = if decided { Some(fitting.run(Decided::Kept(&numbers))) } else { None };
    let fit = kept.as_ref().unwrap_or(&free);
    let others = other_practice::all(&fitting, &free.flows.shorts)?;
    let answers = Answers { fitting: &fitting, fit, enough: fitting.enough(fit, &free) };
    Ok(others.into_iter().enumerate().map(|(n, others)| answers.answer(n, others)).collect())
}

/// Rule R17: each string wants a device of its own on a large boat bank, and elsewhere from three
/// strings on.
fn wants_string_fuses(input: &SizingInput<'_>) -> bool {
    let Some(bank) = input.design.bank() else {
        return false;
    };
    let limits = &input.tables.limits;
    let capacity = input.design.block_model(&bank.block).and_then(|m| m.rating);
    let amp_hours = capacity
        .and_then(Rating::capacity)
        .map_or(0.0, |c| c.in_parallel(bank.parallel).as_amp_hours());
    let strings = f64::from(bank.parallel);
    if input.design.rig.practice.is_boat() {
        return 2.0 <= strings && limits.value("string-fuse-boat-capacity").value < amp_hours;
    }
    limits.value("string-fuse-strings-note").value <= strings
}

/// What is known of every lead before its size, in wiring order.
fn given(input: &SizingInput<'_>, rules: &Rules<'_>) -> Vec<Given> {
    let bank = input.design.bank();
    let stock = input.design.stock.insulation_c.map(Temperature::celsius);
    let warm = Temperature::celsius(input.tables.limits.value("copper-working-temperature").value);
    let mut all = Vec::with_capacity(input.wiring.leads.len());
    for (n, lead) in input.wiring.leads.iter().enumerate() {
        let own = &lead.stated;
        let link = bank.filter(|_| lead.role.is_link());
        let joint = |stated: Option<Resistance>| stated.unwrap_or(input.facts.joint).as_ohms();
        let made = input.layout.leads.get(n).map_or(Length::ZERO, |l| l.length.made.length());
        all.push(Given {
            decided: own.size.or(link.and_then(|b| b.link_size)),
            bed: Bed {
                insulation: own.insulation.or(stock).unwrap_or(rules.settings.insulation.value),
                around: Surroundings {
                    engine_space: own.engine_space == Some(true),
                    conductors: own.bundled.unwrap_or(1).max(1),
                    ambient: input.facts.ambient,
                },
            },
            made_m: made.as_m(),
            joints: [joint(own.from_end.joint), joint(own.to_end.joint)],
            temperature: own.temperature.or(link.and_then(|b| b.link_temperature)).unwrap_or(warm),
        });
    }
    all
}

/// Puts the answers together.
struct Answers<'a> {
    fitting: &'a Fitting<'a>,
    /// With the owner's sizes as they are.
    fit: &'a Fit,
    /// What would be enough for each lead, beside the others.
    enough: Vec<Fitted>,
}

impl Answers<'_> {
    fn answer(&self, n: usize, other_practice: Vec<OtherPractice>) -> LeadAnswer {
        let input = self.fitting.input;
        let lead = &input.wiring.leads[n];
        let given = &self.fitting.given[n];
        let decided = given.decided.is_some();
        let fitted = &self.fit.leads[n];
        let wanted = &self.enough[n];
        let smallest = self.fitting.rules.sizes[wanted.needs].size;
        let guard = self.fitting.topology.guard_of[n].and_then(|g| self.fit.devices[g].as_ref());
        let circuit_a = guard.map_or(fitted.amps.amps, |g| g.rating_a.max(fitted.amps.amps));
        let allowed = self.fitting.allowed(n, fitted.size, circuit_a);
        let of_smallest = self.fitting.allowed(n, smallest, circuit_a);
        let story = Story {
            tables: input.tables,
            rules: self.fitting.rules,
            fitted: wanted,
            smallest,
            allowed: of_smallest.as_ref(),
            decided,
        };
        let path = input.layout.leads.get(n);
        let ends = [(&lead.from, &lead.stated.from_end), (&lead.to, &lead.stated.to_end)];
        let [from, to] =
            ends.map(|end| lug::lug(input.design, input.tables, lead, end, fitted.size));
        let barrel =
            path.map_or(Length::ZERO, |p| p.length.lug_from.barrel.max(p.length.lug_to.barrel));
        let shrink = lug::shrink(input.tables, fitted.size, barrel);
        let (colour, colour_cite) = colour::colour(input.design, self.fitting.rules, lead);
        let mut cites: Vec<Cite> = allowed.iter().flat_map(|a| a.cites.clone()).collect();
        cites.extend(wanted.cites.iter().cloned());
        cites.extend(guard::cites(self.fitting, self.fit, n));
        // The size and its device are as good as the weakest of these; colour and lug rows are
        // shown with their own status and do not make a size doubtful.
        let status = cites.iter().map(|c| c.status).max().unwrap_or(Status::Computed);
        let status = allowed.as_ref().map_or(status, |a| status.weaker(a.status));
        cites.extend(from.cites.into_iter().chain(to.cites));
        cites.extend(shrink.as_ref().map(|s| s.1.clone()));
        cites.push(colour_cite);
        cites.sort();
        cites.dedup();
        let in_hand = InHand {
            lead,
            length: path.map(|p| &p.length),
            lugs: [&from.choice, &to.choice],
            needed_size: self.too_thin(n, smallest),
        };
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
            reuse: reuse::reuse(input.tables, &in_hand),
            lug_from: from.choice,
            lug_to: to.choice,
            lug_angle: path.map(|p| p.lug_angle),
            shrink: shrink.map(|s| s.0),
            colour,
            other_practice,
            status,
            cites,
        }
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

//! The size, fuse and ends of every lead, each number with the rule that made it so.
//!
//! Every lead of the wiring gets an answer, in the order of the wiring. Sizes are found together,
//! because the drop is shared along a path and links must be alike; see `fit`.

mod ampacity;
pub mod answer;
mod answers;
mod beside;
mod colour;
mod currents;
pub mod drop;
mod explain;
mod fit;
mod fuse;
mod guard;
mod length;
mod lug;
mod other_practice;
mod partners;
mod paths;
pub mod reuse;
mod rules;
mod topology;
mod withstand;

use crate::circuit::wiring::Wiring;
use crate::facts::Facts;
use crate::facts::device::DeviceCurrent;
use crate::layout::Layout;
use crate::model::design::Design;
use crate::tables::Tables;
use crate::tables::ampacity::Surroundings;
use crate::tables::error::TableError;
use crate::units::capacity::Rating;
use crate::units::conductor::ConductorSize;
use crate::units::{Length, Resistance, Temperature, Voltage};
use ampacity::Bed;
use answer::{LeadAnswer, OtherPractice};
use answers::Answers;
use fit::{Decided, Fit, Fitting, Given};
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

/// The sizes of all leads, found together, in wiring order. The answers are told from them later: a
/// first layout needs the sizes and nothing else.
pub struct LeadSizes<'a> {
    rules: Rules<'a>,
    common: Common,
    given: Vec<Given>,
    /// With every size free.
    free: Fit,
    /// With the owner's sizes, where there are any.
    kept: Option<Fit>,
}

impl<'a> LeadSizes<'a> {
    /// Sizes every lead.
    ///
    /// # Errors
    /// When a published table lacks what a practice setting names.
    pub fn of(input: &SizingInput<'a>) -> Result<Self, TableError> {
        let rules = Rules::of(input.design, input.tables, input.design.rig.practice)?;
        let common = Common::of(input);
        let given = given(input, &rules);
        let fitting = common.fitting(input, &rules, &given);
        let free = fitting.run(Decided::Free);
        let numbers: Vec<usize> = free.leads.iter().map(|l| l.needs).collect();
        let decided = given.iter().any(|l| l.decided.is_some());
        let kept = if decided { Some(fitting.run(Decided::Kept(&numbers))) } else { None };
        Ok(Self { rules, common, given, free, kept })
    }

    /// The sizes on another layout: these again where no lead is made to another length on it, for
    /// a layout tells the sizes nothing else.
    ///
    /// # Errors
    /// When a published table lacks what a practice setting names.
    pub fn on(self, input: &SizingInput<'a>) -> Result<Self, TableError> {
        if given(input, &self.rules) == self.given { Ok(self) } else { Self::of(input) }
    }

    /// The size of a lead by its place in the wiring.
    #[must_use]
    pub fn size(&self, n: usize) -> Option<ConductorSize> {
        self.fit().leads.get(n).map(|l| l.size)
    }

    /// What there is to say of every lead, in wiring order. What the other settings would choose is
    /// left empty; see [`other_practices`].
    #[must_use]
    pub fn answers(&self, input: &SizingInput<'_>) -> Vec<LeadAnswer> {
        let fitting = self.common.fitting(input, &self.rules, &self.given);
        let enough = fitting.enough(self.fit(), &self.free);
        let answers = Answers { fitting: &fitting, fit: self.fit(), enough };
        (0..self.given.len()).map(|n| answers.answer(n)).collect()
    }

    fn fit(&self) -> &Fit {
        self.kept.as_ref().unwrap_or(&self.free)
    }
}

/// What each lead would be under the other settings, in wiring order. It costs several times what
/// the sizes themselves cost, so only who shows it asks for it.
///
/// # Errors
/// When a published table lacks what a practice setting names.
pub fn other_practices(input: &SizingInput<'_>) -> Result<Vec<Vec<OtherPractice>>, TableError> {
    let rules = Rules::of(input.design, input.tables, input.design.rig.practice)?;
    let common = Common::of(input);
    let leads = given(input, &rules);
    let fitting = common.fitting(input, &rules, &leads);
    let free = fitting.run(Decided::Free);
    other_practice::all(&fitting, &free.flows.shorts)
}

/// What is the same under every setting.
struct Common {
    topology: Topology,
    breaks: fuse::Prospective,
    charged: Voltage,
}

impl Common {
    fn of(input: &SizingInput<'_>) -> Self {
        Self {
            topology: Topology::of(input.design, input.wiring, wants_string_fuses(input)),
            breaks: fuse::prospective(input.design, input.tables, input.facts),
            charged: input.facts.volts_charged(input.design, input.tables),
        }
    }

    fn fitting<'a>(
        &'a self,
        input: &'a SizingInput<'a>,
        rules: &'a Rules<'a>,
        given: &'a [Given],
    ) -> Fitting<'a> {
        let (topology, breaks, charged) = (&self.topology, &self.breaks, self.charged);
        Fitting { input, rules, topology, given, breaks, charged, shorts: None }
    }
}

/// Rule R17: each string wants a device of its own on a large boat bank, and otherwise from three
/// strings on. Amp-hours that nobody has written count as many.
fn wants_string_fuses(input: &SizingInput<'_>) -> bool {
    let Some(bank) = input.design.bank() else {
        return false;
    };
    let limits = &input.tables.limits;
    let capacity = input.design.block_model(&bank.block).and_then(|m| m.rating);
    let amp_hours = capacity
        .and_then(Rating::capacity)
        .map_or(f64::MAX, |c| c.in_parallel(bank.parallel).as_amp_hours());
    let strings = f64::from(bank.parallel);
    let boat = input.design.rig.practice.is_boat();
    (boat && 2.0 <= strings && limits.value("string-fuse-boat-capacity").value < amp_hours)
        || limits.value("string-fuse-strings-note").value <= strings
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
        let usual = input.facts.joint_of(lead.role.is_link());
        let joint = |stated: Option<Resistance>| stated.unwrap_or(usual).as_ohms();
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

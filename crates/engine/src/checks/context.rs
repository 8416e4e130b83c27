//! What a rule looks at and what it hands back.

use crate::circuit::error::SolveError;
use crate::cite::{Cite, Status};
use crate::evidence::Evidence;
use crate::finding::{Gate, Severity};
use crate::model::bank::{Bank, BlockId};
use crate::model::block::BlockModel;
use crate::model::design::Design;
use crate::model::device::Device;
use crate::model::lead::Terminal;
use crate::sizing::answer::LeadAnswer;
use crate::study::Study;
use crate::tables::practice::PracticeSettings;
use crate::tables::{Sourced, Tables};
use crate::units::show::UnitSystem;
use crate::units::{Current, Length, Voltage};

/// Everything a rule may look at.
pub struct Context<'a> {
    /// The stage worked through; its `design` holds only what stands at that stage.
    pub study: &'a Study,
    /// The published figures.
    pub tables: &'a Tables,
    /// The whole design, all stages, for the rules that look ahead.
    pub whole: &'a Design,
    /// What was measured and done, beside the design.
    pub evidence: &'a Evidence,
}

/// Why a rule could not be asked at all. It never passes in silence: [`super::run`] makes
/// a finding of it that holds every gate of the rule.
#[derive(Clone, Debug, PartialEq)]
pub enum CheckError {
    /// A published figure is not in the data.
    NoFigure(String),
    /// A network has no answer; the error names the part.
    Solve(SolveError),
}

impl std::fmt::Display for CheckError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoFigure(id) => write!(f, "The figure \"{id}\" is missing from the tables."),
            Self::Solve(error) => error.fmt(f),
        }
    }
}

impl From<SolveError> for CheckError {
    fn from(error: SolveError) -> Self {
        Self::Solve(error)
    }
}

/// What a rule says; [`super::run`] adds the rule's code, its gates and the stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// How bad.
    pub severity: Severity,
    /// Path in the design file of the thing it speaks of.
    pub path: String,
    /// The same thing as a reader knows it.
    pub part: String,
    /// What is, with numbers and part names.
    pub says: String,
    /// What to do; starts with a verb.
    pub remedy: String,
    /// Why, in one line.
    pub why: &'static str,
    /// The figures behind it.
    pub sources: Vec<Cite>,
    /// Gates, where this one holds fewer than its rule does; `None` means the rule's own.
    pub gates: Option<&'static [Gate]>,
}

impl Said {
    /// Says it with a single source.
    #[must_use]
    pub fn from_source(mut self, cite: Cite) -> Self {
        self.sources.push(cite);
        self
    }

    /// Holds only these gates.
    #[must_use]
    pub const fn only(mut self, gates: &'static [Gate]) -> Self {
        self.gates = Some(gates);
        self
    }
}

impl<'a> Context<'a> {
    /// The design as it stands at this stage.
    #[must_use]
    pub const fn design(&self) -> &'a Design {
        &self.study.design
    }

    /// The bank of this stage.
    #[must_use]
    pub fn bank(&self) -> Option<&'a Bank> {
        self.study.design.bank()
    }

    /// The units the reader wants.
    #[must_use]
    pub const fn units(&self) -> UnitSystem {
        self.study.design.rig.units
    }

    /// A single published figure.
    ///
    /// # Errors
    /// When the data holds no row of that name.
    pub fn limit(&self, id: &str) -> Result<Sourced<f64>, CheckError> {
        let found = self.tables.limits.get(id);
        let limit = found.ok_or_else(|| CheckError::NoFigure(id.to_owned()))?;
        Ok(Sourced::new(limit.value, limit.cite.clone()))
    }

    /// What the chosen practice asks.
    ///
    /// # Errors
    /// When the data holds no such practice.
    pub fn practice(&self) -> Result<&'a PracticeSettings, CheckError> {
        let word = self.design().rig.practice.word();
        self.tables.practices.of(word).ok_or_else(|| CheckError::NoFigure(word.to_owned()))
    }

    /// What the sizing says of a lead.
    #[must_use]
    pub fn answer(&self, lead: &str) -> Option<&'a LeadAnswer> {
        self.study.leads.iter().find(|l| l.id == lead)
    }

    /// Stud-to-stud length of a lead along its route.
    #[must_use]
    pub fn route(&self, lead: &str) -> Length {
        self.answer(lead).map_or(Length::ZERO, |a| a.length.route.length())
    }

    /// The model of a block of the bank.
    #[must_use]
    pub fn model(&self, id: BlockId) -> Option<&'a BlockModel> {
        let facts = self.study.facts.block(id)?;
        self.study.design.block_model(&facts.model)
    }

    /// Nominal volts of the bank, assumed ones included.
    #[must_use]
    pub fn nominal_volts(&self) -> Option<Voltage> {
        let bank = self.bank()?;
        let block = self.study.facts.blocks.first()?;
        Some(block.nominal.in_series(bank.series).voltage())
    }

    /// Amp-hours of the bank as on the label, times its strings; `None` when the label gives
    /// something else or nothing.
    #[must_use]
    pub fn bank_amp_hours(&self) -> Option<f64> {
        let bank = self.bank()?;
        let model = self.study.design.block_model(&bank.block)?;
        let capacity = model.rating?.capacity()?;
        Some(capacity.in_parallel(bank.parallel).as_amp_hours())
    }

    /// Steady amps a device draws from the bank; negative when it charges.
    #[must_use]
    pub fn steady(&self, device: &str) -> Option<Current> {
        self.study.currents.iter().find(|c| c.device == device).map(|c| c.current.steady)
    }

    /// Loads that take current from the bank, in file order.
    pub fn loads(&self) -> impl Iterator<Item = &'a Device> {
        self.study.design.devices.iter().filter(|d| d.kind.is_load())
    }

    /// What gives current to the bank, in file order.
    pub fn charge_sources(&self) -> impl Iterator<Item = &'a Device> {
        self.study.design.devices.iter().filter(|d| d.kind.is_charge_source())
    }
}

/// The owner's own words as a source.
#[must_use]
pub fn owner() -> Cite {
    Cite::new("owner", "the design file", Status::Read)
}

/// A list as a person says it: `A, B and C`.
#[must_use]
pub fn listed<T: AsRef<str>>(items: &[T]) -> String {
    match items {
        [] => "nothing".to_owned(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

/// Posts by name, or their number where every one of many is meant.
#[must_use]
pub fn posts_listed(posts: &[String], of: usize, word: &str) -> String {
    if 4 < posts.len() && posts.len() == of {
        format!("any of the {of} {word} of the bank")
    } else {
        listed(posts)
    }
}

/// Path of a post or stud in the `as_built` part of the file.
#[must_use]
pub fn post_path(terminal: &Terminal) -> String {
    let name = terminal.to_string().replace('\u{a0}', " ").replace('−', "-");
    format!("as_built.post.\"{name}\"")
}

/// A large current in kiloamperes.
#[must_use]
pub fn kiloamps(amps: f64) -> String {
    format!("{} kA", crate::units::show::decimal(amps / 1000.0, 1))
}

#[cfg(test)]
mod tests {
    use super::{kiloamps, listed};

    #[test]
    fn lists_read_as_spoken() {
        for (items, shown) in
            [(vec!["a"], "a"), (vec!["a", "b"], "a and b"), (vec!["a", "b", "c"], "a, b and c")]
        {
            assert_eq!(listed(&items), shown, "{items:?}");
        }
        assert_eq!(kiloamps(7200.0), "7.2 kA", "six blocks");
    }
}

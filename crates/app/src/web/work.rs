//! A text worked through: what the sheet is drawn from.

use super::brought::laid_into;
use design_file::fault::Fault;
use design_file::read::{ReadResult, read};
use engine::evidence::Evidence;
use engine::evidence::readings::Readings;
use engine::facts::Ambient;
use engine::facts::block::reference_temperature;
use engine::model::design::Design;
use engine::report::Report;
use engine::tables::Tables;
use engine::units::show::UnitSystem;

/// What every text of a session is worked through with.
#[derive(Debug)]
pub(super) struct Ground {
    /// Published numbers, read once.
    pub(super) tables: Tables,
    /// What was measured and done.
    pub(super) evidence: Evidence,
    /// What a file of readings says that was read in: the checks go by it as if the design said it.
    pub(super) read_in: Option<Readings>,
}

/// How the sheet is looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Look {
    /// The stage by name; `None` is the one being built.
    pub(super) stage: Option<String>,
    /// Units in place of the rig's own.
    pub(super) units: Option<UnitSystem>,
}

/// One text, understood and judged.
#[derive(Debug)]
pub(super) struct Work {
    /// What was understood of it, with lines.
    pub(super) read: ReadResult,
    /// The rig with every stage, in the units that are shown.
    pub(super) whole: Design,
    /// The stage that is shown.
    pub(super) report: Report,
}

impl Work {
    /// Works a text through.
    pub(super) fn of(text: &str, look: &Look, ground: &Ground) -> Result<Self, NoWork> {
        Self::after(text, look, ground, None)
    }

    /// The same at a glance, for a text that moves something of what was worked through before; what is
    /// put down is worked through anew.
    pub(super) fn glance(
        text: &str,
        look: &Look,
        ground: &Ground,
        before: &Self,
    ) -> Result<Self, NoWork> {
        Self::after(text, look, ground, Some(before))
    }

    fn after(
        text: &str,
        look: &Look,
        ground: &Ground,
        before: Option<&Self>,
    ) -> Result<Self, NoWork> {
        let read = read(text);
        let Some(mut whole) = read.design.clone() else {
            return Err(NoWork::Unread(read.faults));
        };
        if let Some(units) = look.units {
            whole.rig.units = units;
        }
        if let Some(day) = &ground.read_in {
            laid_into(&mut whole, day);
        }
        let named = look.stage.as_ref().and_then(|s| whole.stage_index(s));
        let stage = named.unwrap_or_else(|| whole.present_stage());
        let ambient = Ambient { soc: None, temperature: reference_temperature() };
        let (tables, evidence) = (&ground.tables, &ground.evidence);
        let before = before.map(|work| &work.report.study).filter(|study| study.stage == stage);
        let report = match before {
            Some(study) => Report::following(study, &whole, tables, evidence),
            None => Report::with(&whole, stage, tables, ambient, evidence),
        };
        let report = report.map_err(|e| NoWork::Table(e.to_string()))?;
        Ok(Self { read, whole, report })
    }

    /// The name of the stage that is shown.
    pub(super) fn stage_name(&self) -> &str {
        &self.report.stage
    }

    /// The units that are shown.
    pub(super) const fn units(&self) -> UnitSystem {
        self.whole.rig.units
    }
}

/// Why a text could not be worked through.
#[derive(Debug)]
pub(super) enum NoWork {
    /// It says too little.
    Unread(Vec<Fault>),
    /// A published table lacks a row.
    Table(String),
}

impl NoWork {
    /// In words, each fault on its own.
    pub(super) fn says(&self) -> Vec<String> {
        match self {
            Self::Unread(faults) => faults.iter().map(Fault::one_line).collect(),
            Self::Table(says) => vec![says.clone()],
        }
    }
}

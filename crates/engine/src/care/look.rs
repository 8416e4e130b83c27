//! What every part of the care looks at: the bank of a stage and the entries that are believed.

use super::believed::{Believed, believed};
use crate::cite::{Cite, Status};
use crate::evidence::Evidence;
use crate::evidence::log::{Entry, Subject};
use crate::facts::block::BlockFacts;
use crate::model::bank::{Bank, BlockId};
use crate::model::block::{BlockModel, Chemistry};
use crate::study::Study;
use crate::tables::{Sourced, Tables};
use jiff::civil::Date;

/// Days in a year.
pub(super) const YEAR_DAYS: f64 = 365.25;

/// The bank of a stage, the tables, and the entries that are believed.
pub struct Look<'a> {
    /// The stage.
    pub study: &'a Study,
    /// Published figures.
    pub tables: &'a Tables,
    /// The day it is looked at.
    pub today: Option<Date>,
    /// What the log says, entries in doubt left out.
    pub believed: Believed<'a>,
}

impl<'a> Look<'a> {
    /// Looks at the log of a bank.
    #[must_use]
    pub fn of(study: &'a Study, tables: &'a Tables, evidence: &'a Evidence) -> Self {
        let believed = believed(study, tables, evidence);
        Self { study, tables, today: evidence.today, believed }
    }

    /// The entries that are believed, oldest first.
    #[must_use]
    pub fn entries(&self) -> &[&'a Entry] {
        &self.believed.entries
    }

    /// A single published figure.
    #[must_use]
    pub fn limit(&self, id: &str) -> Sourced<f64> {
        self.tables.limits.value(id)
    }

    /// The day the log is read: today, else that of its last entry.
    #[must_use]
    pub fn now(&self) -> Option<Date> {
        self.today.or_else(|| self.entries().last().map(|e| e.at.date()))
    }

    /// Chemistry of the bank.
    #[must_use]
    pub fn chemistry(&self) -> Option<Chemistry> {
        self.study.facts.blocks.first().map(|b| b.chemistry)
    }

    pub(super) fn blocks(&self) -> &'a [BlockFacts] {
        &self.study.facts.blocks
    }

    pub(super) fn bank(&self) -> Option<&'a Bank> {
        self.study.design.bank()
    }

    pub(super) fn model(&self) -> Option<&'a BlockModel> {
        self.study.design.block_model(&self.blocks().first()?.model)
    }

    /// Amp-hours on the label of the bank, all its strings.
    pub(super) fn label_ah(&self) -> Option<f64> {
        let capacity = self.model()?.rating?.capacity()?;
        Some(capacity.in_parallel(self.bank()?.parallel).as_amp_hours()).filter(|ah| *ah > 0.0)
    }

    /// Cells in series from the bank's minus to its plus.
    pub(super) fn cells_in_series(&self) -> u32 {
        self.blocks().iter().filter(|b| b.id.string == 0).map(|b| b.cells).sum()
    }

    /// Cells in series in a part, for its volts; `None` for a joint and for a part that is not there.
    pub(super) fn cells_of(&self, subject: &Subject) -> Option<u32> {
        cells_of(self.blocks(), subject)
    }
}

pub(super) fn cells_of(blocks: &[BlockFacts], subject: &Subject) -> Option<u32> {
    let of_string = |string: u32| -> u32 {
        blocks.iter().filter(|b| b.id.string == string).map(|b| b.cells).sum()
    };
    let cells = match subject {
        Subject::Bank => of_string(0),
        Subject::String(string) => of_string(*string),
        Subject::Block(id) => blocks.iter().find(|b| b.id == *id)?.cells,
        Subject::Cell(cell) => {
            let block = blocks.iter().find(|b| b.id == cell.block)?;
            u32::from(cell.cell < block.cells)
        }
        Subject::Joint(_) => 0,
    };
    (cells > 0).then_some(cells)
}

/// Whether an entry about a part is also about a block.
pub(super) fn covers(subject: &Subject, block: BlockId) -> bool {
    match subject {
        Subject::Bank => true,
        Subject::String(string) => *string == block.string,
        Subject::Block(id) => *id == block,
        Subject::Cell(_) | Subject::Joint(_) => false,
    }
}

/// A part as a reader knows it.
#[must_use]
pub fn part_words(subject: &Subject) -> String {
    match subject {
        Subject::Bank => "the bank".to_owned(),
        Subject::String(string) => format!("string {}", BlockId::string_letters(*string)),
        Subject::Block(block) => block.to_string(),
        Subject::Cell(cell) => cell.to_string(),
        Subject::Joint(name) => name.clone(),
    }
}

/// The owner's log as a source.
#[must_use]
pub fn owners_log() -> Cite {
    Cite::new("owner", "the log", Status::Read)
}

/// Days from one day to another.
pub(super) fn days(from: Date, to: Date) -> i32 {
    (to - from).get_days()
}

/// Years from one day to another.
pub(super) fn years(from: Date, to: Date) -> f64 {
    f64::from(days(from, to)) / YEAR_DAYS
}

/// A day some days after another; the day itself where that is past the end of all calendars.
pub(super) fn later(from: Date, by: f64) -> Date {
    let whole = format!("{:.0}", by.clamp(-1e6, 1e6)).parse::<i32>().unwrap_or(0);
    from.checked_add(jiff::Span::new().days(whole)).unwrap_or(from)
}

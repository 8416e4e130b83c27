//! What the log of years says of the bank, what is due, and what to do before frost and storage.
//!
//! [`Care::of`] reads the entries that stand. What cannot be meant (a wrong unit, the same entry
//! twice, a slip of the pen) is named in `doubts` and left out of everything else. One odd reading
//! never decides: trends are medians of slopes, offsets are medians of several sittings.

pub mod believed;
pub mod capacity;
pub mod cells;
pub mod charging;
pub mod diagnose;
pub mod due;
pub mod equalise;
pub mod frost;
pub mod robust;
pub mod store;
pub mod water;

use crate::cite::Cite;
use crate::evidence::Evidence;
use crate::model::block::Chemistry;
use crate::model::design::Design;
use crate::study::Study;
use crate::tables::Tables;
use believed::Doubt;
use capacity::{CapacityResult, Health};
use cells::{BlockHistory, CellHistory, Correction, FullGravity};
use charging::Charging;
use diagnose::Diagnosis;
use due::Due;
use equalise::Equalise;
use frost::FreezeMargin;
use jiff::civil::Date;
use store::StoragePlan;
use water::WaterUse;

/// What the log says, and what it asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Care {
    /// Chemistry of the bank; `None` without a bank.
    pub chemistry: Option<Chemistry>,
    /// The day it is looked at.
    pub today: Option<Date>,
    /// How gravity is corrected, and what the other printed rules would have said; flooded only.
    pub correction: Option<Correction>,
    /// Gravity of the full bank: its own best, else the table's.
    pub full: Option<FullGravity>,
    /// Every cell of a flooded bank, in order of their names; empty for any other chemistry.
    pub cells: Vec<CellHistory>,
    /// Every block, in order of their names.
    pub blocks: Vec<BlockHistory>,
    /// Capacity tests, oldest first.
    pub tests: Vec<CapacityResult>,
    /// What is left of the capacity and how long it will last; `None` when nothing tells.
    pub health: Option<Health>,
    /// Water each flooded cell took.
    pub water: Vec<WaterUse>,
    /// When it was full, and how charges ended.
    pub charging: Charging,
    /// What the log shows, the worst first; empty for a bank that is well.
    pub diagnoses: Vec<Diagnosis>,
    /// What is to be done regularly, the most late first. Dates are given only when the day is known.
    pub due: Vec<Due>,
    /// Whether to equalise, and how.
    pub equalise: Equalise,
    /// How far the acid is from freezing in the month to come; `None` when nothing tells.
    pub freeze: Option<FreezeMargin>,
    /// How to lay it up.
    pub store: StoragePlan,
    /// Entries that are left out, each with its reason.
    pub doubts: Vec<Doubt>,
    /// Where the figures come from, each once.
    pub cites: Vec<Cite>,
}

impl Care {
    /// What the log says of the bank of one stage.
    #[must_use]
    pub fn of(study: &Study, _whole: &Design, _tables: &Tables, evidence: &Evidence) -> Self {
        let chemistry = study.facts.blocks.first().map(|b| b.chemistry);
        Self {
            chemistry,
            today: evidence.today,
            correction: None,
            full: None,
            cells: Vec::new(),
            blocks: Vec::new(),
            tests: Vec::new(),
            health: None,
            water: Vec::new(),
            charging: Charging::default(),
            diagnoses: Vec::new(),
            due: Vec::new(),
            equalise: Equalise {
                verdict: equalise::Verdict::Unknown,
                says: "The readings do not tell yet.".to_owned(),
                criteria: Vec::new(),
                how: Vec::new(),
                last: None,
            },
            freeze: None,
            store: StoragePlan::default(),
            doubts: Vec::new(),
            cites: Vec::new(),
        }
    }
}

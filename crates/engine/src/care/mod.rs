//! What the log of years says of the bank, what is due, and what to do before frost and storage.
//!
//! [`Care::of`] reads the entries that stand. What cannot be meant (a wrong unit, the same entry
//! twice, a slip of the pen) is named in `doubts` and left out of everything else. One odd reading
//! never decides: trends are medians of slopes, offsets are medians of several sittings.

pub mod believed;
pub mod capacity;
pub mod cells;
pub mod charging;
pub mod course;
pub mod diagnose;
pub mod due;
pub mod equalise;
pub mod frost;
pub mod health;
pub mod look;
pub mod robust;
mod sittings;
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
use cells::{Acid, BlockHistory, CellHistory, Correction, FullGravity};
use charging::Charging;
use diagnose::{Diagnosis, Signs};
use due::{Done, Due};
use equalise::Equalise;
use frost::FreezeMargin;
use jiff::civil::Date;
use look::Look;
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
    pub fn of(study: &Study, _whole: &Design, tables: &Tables, evidence: &Evidence) -> Self {
        let look = Look::of(study, tables, evidence);
        let acid = Acid::of(&look);
        let mut doubts = look.believed.doubts.clone();
        for (cell, point) in acid.iter().flat_map(Acid::slips) {
            doubts.push(cells::slip(cell, point));
        }
        doubts.extend(capacity::slips(&look));
        doubts.sort_by_key(|d| (d.at, d.entry));
        let blocks = cells::blocks_of(&look);
        let tests = capacity::tests(&look);
        let charging = Charging::of(&look, acid.as_ref());
        let health = health::of(&look, &tests, &charging);
        let water = water::of(&look);
        let signs = Signs {
            look: &look,
            acid: acid.as_ref(),
            blocks: &blocks,
            water: &water,
            charging: &charging,
            health: health.as_ref(),
            doubts: &doubts,
        };
        let diagnoses = signs.all();
        let due = Done {
            look: &look,
            acid: acid.as_ref(),
            charging: &charging,
            tests: &tests,
            health: health.as_ref(),
            water: &water,
        };
        let due = due.all();
        let mut care = Self {
            chemistry: look.chemistry(),
            today: evidence.today,
            equalise: equalise::of(&look, acid.as_ref(), &diagnoses),
            freeze: frost::margin(&look, acid.as_ref(), &blocks),
            store: store::of(&look, &charging),
            correction: acid.as_ref().map(|a| a.correction.clone()),
            full: acid.as_ref().map(|a| a.full.clone()),
            cells: acid.map_or_else(Vec::new, |a| a.cells),
            blocks,
            tests,
            health,
            water,
            charging,
            diagnoses,
            due,
            doubts,
            cites: Vec::new(),
        };
        care.cites = care.gathered_cites();
        care
    }

    fn gathered_cites(&self) -> Vec<Cite> {
        let mut all: Vec<Cite> = Vec::new();
        let rules = self.correction.iter().flat_map(|c| std::iter::once(&c.rule).chain(&c.others));
        all.extend(rules.map(|r| r.per_kelvin.cite.clone()));
        all.extend(self.full.iter().map(|f| f.gravity.cite.clone()));
        all.extend(self.tests.iter().flat_map(|t| &t.counted).map(|c| c.cite.clone()));
        all.extend(self.health.iter().flat_map(|h| h.cites.clone()));
        all.extend(self.diagnoses.iter().flat_map(|d| d.cites.clone()));
        all.extend(self.due.iter().map(|d| d.source.clone()));
        all.extend(self.equalise.criteria.iter().map(|c| c.cite.clone()));
        all.extend(self.freeze.iter().flat_map(|f| f.cites.clone()));
        all.extend(self.store.steps.iter().map(|s| s.cite.clone()));
        all.sort();
        all.dedup();
        all
    }
}

//! What the box, the frame and the hitch say: whether it fits, holds, breathes and may be carried.
//!
//! One part per file; a part that cannot be worked out for this rig is `None`, never an empty
//! answer that looks like a pass. Faces show it and compute nothing.

pub mod told;
pub mod room;
pub mod dry_fit;
pub mod better;
pub mod weight;
pub mod hold_down;
pub mod vent;

use crate::model::design::Design;
use crate::study::Study;
use crate::tables::Tables;
use better::Search;
use dry_fit::DryFit;
use hold_down::HoldDown;
use room::Room;
use vent::Vent;
use weight::Weight;

/// Everything about place and weight at one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The stage's name.
    pub stage: String,
    /// The box and what does not fit in it; `None` where no bank stands.
    pub room: Option<Room>,
    /// The leads as they lie, in wiring order.
    pub dry_fit: Vec<DryFit>,
    /// Better layouts; `None` where none was looked for, or no bank stands that could be laid.
    pub better: Option<Search>,
    /// What it weighs and where.
    pub weight: Weight,
    /// What holds the box and the blocks; `None` where no bank stands or nothing moves.
    pub hold_down: Option<HoldDown>,
    /// The openings; `None` where nothing gasses.
    pub vent: Option<Vent>,
}

impl Fit {
    /// The fit of a stage that has been worked through.
    #[must_use]
    pub fn of(study: &Study, whole: &Design, tables: &Tables) -> Self {
        let stage = whole.stages.get(study.stage).map_or_else(String::new, |s| s.name.clone());
        Self {
            stage,
            room: Room::of(study, tables),
            dry_fit: dry_fit::of(study, tables),
            better: None,
            weight: Weight::of(study, whole, tables),
            hold_down: HoldDown::of(&study.design, tables),
            vent: Vent::of(&study.design, &study.facts, tables),
        }
    }

    /// The same with a search for better layouts, which takes longer than all the rest.
    #[must_use]
    pub fn with_better(mut self, study: &Study, whole: &Design, tables: &Tables) -> Self {
        self.better = Search::of(study, whole, tables, better::SEED);
        self
    }
}

//! The whole design, and the design as it stands at one stage.

use super::as_built::AsBuilt;
use super::bank::Bank;
use super::block::BlockModel;
use super::device::{Device, DeviceKind};
use super::enclosure::Enclosure;
use super::hold::Hold;
use super::lead::Lead;
use super::load::{Load, Storage, Trip};
use super::mains::Mains;
use super::obstacle::Obstacle;
use super::part::Part;
use super::rig::{Place, Rig};
use super::source::Array;
use super::stock::{Limits, Stock};
use super::vehicle::Vehicle;

/// A step of the work that money or time sets; each is complete and safe on its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// Its name.
    pub name: String,
    /// What it brings, in the owner's words.
    pub note: Option<String>,
    /// Already done.
    pub done: bool,
    /// Money for it.
    pub budget: Option<f64>,
}

/// Everything the owner said.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// The rig.
    pub rig: Rig,
    /// Where it stands.
    pub place: Option<Place>,
    /// The stages in order; never empty.
    pub stages: Vec<Stage>,
    /// Block models.
    pub blocks: Vec<BlockModel>,
    /// Banks in order of their stages.
    pub banks: Vec<Bank>,
    /// The box.
    pub enclosure: Option<Enclosure>,
    /// What stands in the way of the box and its lid.
    pub obstacles: Vec<Obstacle>,
    /// What holds it down.
    pub holds: Vec<Hold>,
    /// Leads.
    pub leads: Vec<Lead>,
    /// Devices.
    pub devices: Vec<Device>,
    /// Arrays.
    pub arrays: Vec<Array>,
    /// Loads.
    pub loads: Vec<Load>,
    /// Trips.
    pub trips: Vec<Trip>,
    /// The time in which it stands unused.
    pub storage: Option<Storage>,
    /// Mains side.
    pub mains: Option<Mains>,
    /// Vehicle.
    pub vehicle: Option<Vehicle>,
    /// Stock.
    pub stock: Stock,
    /// Limits.
    pub limits: Limits,
    /// What was done and measured.
    pub as_built: AsBuilt,
}

impl Design {
    /// Index of a stage by name.
    #[must_use]
    pub fn stage_index(&self, name: &str) -> Option<usize> {
        self.stages.iter().position(|s| s.name == name)
    }

    /// The stage being built now: the first that is not done, or the last.
    #[must_use]
    pub fn present_stage(&self) -> usize {
        let last = self.stages.len().saturating_sub(1);
        self.stages.iter().position(|s| !s.done).unwrap_or(last)
    }

    /// Whether a part stands in the rig at a stage.
    #[must_use]
    pub fn stands_at(&self, part: &Part, stage: usize) -> bool {
        let from = part.stage.as_ref().and_then(|s| self.stage_index(s)).unwrap_or(0);
        let until = part.until.as_ref().and_then(|s| self.stage_index(s));
        from <= stage && until.is_none_or(|u| stage < u)
    }

    /// The design as it stands at a stage: parts not yet there and parts taken out are gone, and
    /// only the bank in force is left.
    #[must_use]
    pub fn at_stage(&self, stage: usize) -> Self {
        let mut standing = self.clone();
        standing.obstacles.retain(|o| self.stands_at(&o.part, stage));
        standing.leads.retain(|l| self.stands_at(&l.part, stage));
        standing.devices.retain(|d| self.stands_at(&d.part, stage));
        standing.arrays.retain(|a| self.stands_at(&a.part, stage));
        standing.loads.retain(|l| self.stands_at(&l.part, stage));
        standing.trips.retain(|t| self.stands_at(&t.part, stage));
        standing.holds.retain(|h| self.stands_at(&h.part, stage));
        if standing.enclosure.as_ref().is_some_and(|e| !self.stands_at(&e.part, stage)) {
            standing.enclosure = None;
        }
        standing.banks = self.bank_at(stage).cloned().into_iter().collect();
        standing
    }

    /// The bank in force at a stage: the one fitted last.
    #[must_use]
    pub fn bank_at(&self, stage: usize) -> Option<&Bank> {
        self.banks
            .iter()
            .map(|b| (b.stage.as_ref().and_then(|s| self.stage_index(s)).unwrap_or(0), b))
            .filter(|(from, _)| *from <= stage)
            .max_by_key(|(from, _)| *from)
            .map(|(_, b)| b)
    }

    /// The bank in force, on a design already taken at a stage.
    #[must_use]
    pub fn bank(&self) -> Option<&Bank> {
        self.banks.last()
    }

    /// A block model by name.
    #[must_use]
    pub fn block_model(&self, name: &str) -> Option<&BlockModel> {
        self.blocks.iter().find(|b| b.name == name)
    }

    /// A device by name.
    #[must_use]
    pub fn device(&self, name: &str) -> Option<&Device> {
        self.devices.iter().find(|d| d.part.name == name)
    }

    /// Devices of a kind, in file order.
    pub fn devices_of(&self, kind: DeviceKind) -> impl Iterator<Item = &Device> {
        self.devices.iter().filter(move |d| d.kind == kind)
    }
}

//! What the tool goes by: the owner's words where there are any, published values where not, and
//! a list of everything that had to be assumed.

pub mod block;
pub mod conductor;
pub mod device;

use crate::finding::Assumed;
use crate::model::bank::BlockId;
use crate::model::design::Design;
use crate::tables::Tables;
use crate::units::{Resistance, Temperature};
use block::BlockFacts;
use std::collections::BTreeMap;

/// The state the rig is looked at in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ambient {
    /// State of charge of every block that does not say its own, 0 to 1.
    pub soc: Option<f64>,
    /// Temperature of the bank and of the air around the leads.
    pub temperature: Temperature,
}

/// Everything the circuit needs to know of the parts, and what was assumed for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts {
    /// Every block of the bank, string by string.
    pub blocks: Vec<BlockFacts>,
    /// Resistance of a joint of the bank's own links that says nothing of its own.
    pub link_joint: Resistance,
    /// Resistance of a joint outside the bank that says nothing of its own.
    pub feed_joint: Resistance,
    /// Resistance of every pass-through device, by name.
    pub devices: BTreeMap<String, Resistance>,
    /// Air temperature around the leads.
    pub ambient: Temperature,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
}

impl Facts {
    /// Gathers the facts of a design taken at one stage.
    #[must_use]
    pub fn of(design: &Design, tables: &Tables, ambient: Ambient) -> Self {
        let mut assumed = Vec::new();
        let blocks = block::all(design, tables, ambient, &mut assumed);
        let (link_joint, feed_joint) = device::joints(design, tables, &mut assumed);
        let devices = device::resistances(design, tables, &mut assumed);
        Self { blocks, link_joint, feed_joint, devices, ambient: ambient.temperature, assumed }
    }

    /// Resistance of a joint that says nothing of its own: of a link of the bank, or outside it.
    #[must_use]
    pub const fn joint_of(&self, link: bool) -> Resistance {
        if link { self.link_joint } else { self.feed_joint }
    }

    /// The facts of one block.
    #[must_use]
    pub fn block(&self, id: BlockId) -> Option<&BlockFacts> {
        self.blocks.iter().find(|b| b.id == id)
    }
}

//! What the tool goes by: the owner's words where there are any, published values where not, and
//! a list of everything that had to be assumed.

pub mod block;
pub mod conductor;
pub mod device;

use crate::finding::Assumed;
use crate::model::bank::BlockId;
use crate::model::design::Design;
use crate::tables::Tables;
use crate::tables::charging::Stage;
use crate::units::{Resistance, Temperature, Voltage};
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

    /// The largest volts the bank stands at: what any source or the block's maker charges it to.
    ///
    /// Where a source does not say and the maker does not either, the upper end of the usual band
    /// of the chemistry counts, so that an unknown charger never makes a weak device pass.
    #[must_use]
    pub fn volts_charged(&self, design: &Design, tables: &Tables) -> Voltage {
        let first = |b: &&BlockFacts| b.id.string == 0;
        let nominal = self
            .blocks
            .iter()
            .filter(first)
            .fold(Voltage::ZERO, |sum, b| sum + Voltage::volts(b.nominal.as_volts()));
        let maker = design.bank().and_then(|bank| {
            let model = design.block_model(&bank.block)?;
            Some(model.absorption? * f64::from(bank.series))
        });
        let sources: Vec<_> = design.devices.iter().filter(|d| d.kind.is_charge_source()).collect();
        let silent = sources.is_empty() || sources.iter().any(|d| d.absorption.is_none());
        let usual = (maker.is_none() && silent).then(|| {
            self.blocks.iter().filter(first).fold(Voltage::ZERO, |sum, block| {
                let word = block.chemistry.word();
                let row = tables.charging.set_point(word, Stage::Absorption);
                let cell = row.map_or(0.0, |r| r.high.as_volts());
                sum + Voltage::volts(cell * f64::from(block.cells))
            })
        });
        let stated = sources.iter().flat_map(|d| [d.absorption, d.equalise]);
        stated.chain([maker, usual]).flatten().fold(nominal, Voltage::max)
    }

    /// The facts of one block.
    #[must_use]
    pub fn block(&self, id: BlockId) -> Option<&BlockFacts> {
        self.blocks.iter().find(|b| b.id == id)
    }
}

//! What was done and measured. Unknown is a state of its own and never passes.

use super::bank::BlockId;
use super::lead::Terminal;
use crate::units::{Temperature, Torque, Voltage};

/// What was done at one post or stud.
#[derive(Clone, Debug, PartialEq)]
pub struct PostRecord {
    /// Which post.
    pub terminal: Terminal,
    /// Torque written down.
    pub torque: Option<Torque>,
    /// What lies on it, from the contact face outwards: `lug 4`, `flat washer`, `nut`.
    pub stack: Vec<String>,
    /// A boot covers it.
    pub boot: Option<bool>,
}

/// A voltage somebody measured.
#[derive(Clone, Debug, PartialEq)]
pub struct VoltReading {
    /// What was measured: a block, a string or a gap.
    pub what: Measured,
    /// The reading, signed as the meter showed it.
    pub volts: Voltage,
}

/// What a voltage was measured across.
#[derive(Clone, Debug, PartialEq)]
pub enum Measured {
    /// One block, red lead on its plus post.
    Block(BlockId),
    /// One open string, counted from 0.
    String(u32),
    /// Across the gap that a lead will close, by the lead's name.
    Gap(String),
}

impl Measured {
    /// As it is written in a design file and in a file of readings: `A1`, `string A`, `gap 5`.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        if let Some(lead) = text.strip_prefix("gap ") {
            return Some(Self::Gap(lead.trim().to_owned()));
        }
        if let Some(letters) = text.strip_prefix("string ") {
            let first = BlockId::from_text(&format!("{}1", letters.trim()))?;
            return Some(Self::String(first.string));
        }
        BlockId::from_text(text).map(Self::Block)
    }
}

/// Everything done and measured so far.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct AsBuilt {
    /// Posts.
    pub posts: Vec<PostRecord>,
    /// Volts.
    pub volts: Vec<VoltReading>,
    /// Temperature on the day.
    pub temperature: Option<Temperature>,
    /// Steps ticked, by name.
    pub ticks: Vec<String>,
    /// Gas or CO alarm has power while people are aboard.
    pub alarm_powered: Option<bool>,
    /// The gas cylinder is open.
    pub gas_open: Option<bool>,
}

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

//! How far the acid is from freezing in the month to come.

use crate::cite::Cite;
use crate::units::Temperature;
use jiff::civil::Date;

/// Where the state of the acid comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AcidFrom {
    /// The last gravity of the weakest cell.
    Gravity,
    /// The last rest volts of the lowest block.
    RestVolts,
}

/// How far the acid is from freezing.
#[derive(Clone, Debug, PartialEq)]
pub struct FreezeMargin {
    /// The day of the reading.
    pub on: Date,
    /// The part with the weakest acid.
    pub part: String,
    /// Its gravity, corrected, with the fall by standing since then taken off.
    pub gravity: f64,
    /// How it was found.
    pub from: AcidFrom,
    /// Where it freezes, with the hydrometer's error.
    pub freezes: Temperature,
    /// The coldest of the month to come at the rig's place.
    pub coldest: Temperature,
    /// Kelvin between the two; negative is ice.
    pub margin_k: f64,
    /// The margin is as large as it should be.
    pub holds: bool,
    /// Where the figures come from.
    pub cites: Vec<Cite>,
}

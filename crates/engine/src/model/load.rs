//! Loads and the trips on which they run.

use super::part::Part;
use crate::units::{Current, Duration, Energy, Power};

/// One thing that uses energy.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Name, stage, price.
    pub part: Part,
    /// Power while it runs, at its own plug.
    pub power: Option<Power>,
    /// Current while it runs, where the owner clamped it.
    pub current: Option<Current>,
    /// Time it runs in a day.
    pub daily: Option<Duration>,
    /// Energy a day, where the owner measured that.
    pub energy: Option<Energy>,
    /// Power for a moment at the start.
    pub surge: Option<Power>,
    /// The device it hangs on: a panel, an inverter.
    pub fed_from: Option<String>,
    /// Starts by itself.
    pub automatic: Option<bool>,
    /// Draws when the rig is parked and switched off.
    pub standby: Option<bool>,
    /// Uses the inverter.
    pub mains: Option<bool>,
}

/// A time away from the hook-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Trip {
    /// Name and stage.
    pub part: Part,
    /// Nights unplugged.
    pub nights: Option<f64>,
    /// Month, 1 to 12.
    pub month: Option<u32>,
    /// Loads that run on it; empty means all.
    pub loads: Vec<String>,
    /// Generator hours a day.
    pub generator: Option<Duration>,
    /// Driving hours a day.
    pub driving: Option<Duration>,
}

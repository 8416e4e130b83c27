//! A layout that takes less copper or shares more evenly.

use crate::units::Length;

/// One better layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Better {
    /// What to change, verb first, such as `turn blocks A2 and B2`.
    pub change: String,
    /// Cable of all leads with it.
    pub copper: Length,
    /// Spread between the strings with it [%].
    pub spread_percent: f64,
}

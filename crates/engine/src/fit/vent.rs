//! The openings that carry the gas away.

use crate::units::{Area, Length};

/// One published rule at one stage of charging.
#[derive(Clone, Debug, PartialEq)]
pub struct Vent {
    /// The rule, in words.
    pub rule: String,
    /// The stage of charging: `absorption`, `equalise` and so on.
    pub stage: String,
    /// Air to be moved [m3/h]; `None` where the rule asks for an area only.
    pub flow_m3h: Option<f64>,
    /// Free area of the low opening, and again of the high one.
    pub area: Area,
    /// Holes of the drill that give that area, at each opening.
    pub holes: Option<u32>,
    /// The drill.
    pub drill: Option<Length>,
    /// This one decides.
    pub governs: bool,
}

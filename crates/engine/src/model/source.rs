//! Solar arrays. What charges through a device is a device; an array feeds a solar controller.

use super::part::{Part, Spot};
use crate::units::{Angle, Current, Length, Mass, Power, Temperature, Voltage};

/// A set of equal panels on one controller.
#[derive(Clone, Debug, PartialEq)]
pub struct Array {
    /// Name, stage, price.
    pub part: Part,
    /// The controller it feeds.
    pub controller: Option<String>,
    /// Panels in series.
    pub series: u32,
    /// Strings of panels in parallel.
    pub parallel: u32,
    /// Power of one panel at standard test conditions.
    pub panel: Option<Power>,
    /// Open-circuit volts of one panel.
    pub open_volts: Option<Voltage>,
    /// Working volts of one panel.
    pub working_volts: Option<Voltage>,
    /// Short-circuit amps of one panel.
    pub short_amps: Option<Current>,
    /// Working amps of one panel.
    pub working_amps: Option<Current>,
    /// Change of open-circuit volts per kelvin, as a share; negative.
    pub volts_per_kelvin: Option<f64>,
    /// Tilt from flat.
    pub tilt: Option<Angle>,
    /// Facing: 0 north, 90 east, 180 south.
    pub facing: Option<Angle>,
    /// Share of the light that trees, masts or vents take.
    pub shade: Option<f64>,
    /// Share of the light that dirt takes.
    pub dirt: Option<f64>,
    /// Mass of all its panels with their frames.
    pub mass: Option<Mass>,
    /// Where it sits in the rig.
    pub spot: Spot,
    /// Change of short-circuit amps per kelvin, as a share.
    pub amps_per_kelvin: Option<f64>,
    /// Rated cell temperature of the data sheet.
    pub noct: Option<Temperature>,
    /// Air between the panel and what it lies on; nothing behind a glued one.
    pub air_behind: Option<Length>,
}

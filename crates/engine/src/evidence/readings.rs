//! The readings of one day: what the owner's meters showed, under the names the book prints.

use crate::model::as_built::PostRecord;
use crate::units::reading::Quantity;
use crate::units::{Current, Duration, Temperature};
use jiff::civil::Date;

/// One reading as it was written down.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenReading {
    /// The name under which the book asks for it: `A1`, `string A`, `gap 5`, `clamp A`, `5.from`.
    pub what: String,
    /// The figure, signed as the meter showed it, in the unit of `quantity`.
    pub value: f64,
    /// What it is of.
    pub quantity: Quantity,
    /// Amps that flowed at that moment, where they were written beside it.
    pub amps: Option<Current>,
    /// Line of the file it stands in, from 1; `None` where it was not read from a file.
    pub line: Option<usize>,
}

/// Errors of the owner's own meters, where they said them; else the usual ones hold.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct MeterWords {
    /// Error on volts at 12 V [V].
    pub volts: Option<f64>,
    /// Error on millivolts [mV].
    pub millivolts: Option<f64>,
    /// Error of the clamp as a share of what it shows [1].
    pub clamp_share: Option<f64>,
    /// What the clamp may show with nothing in its jaw [A].
    pub clamp_zero: Option<f64>,
}

/// Everything that was read on one day.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Readings {
    /// The day.
    pub date: Option<Date>,
    /// Who read, as they write their name.
    pub by: Option<String>,
    /// Which meter, in the owner's words.
    pub meter: Option<String>,
    /// What its maker says of its errors.
    pub errors: MeterWords,
    /// Temperature of the blocks.
    pub temperature: Option<Temperature>,
    /// How long the bank rested before the readings at rest.
    pub rested: Option<Duration>,
    /// Amps of the test load, as meant.
    pub test: Option<Current>,
    /// Amps of the charge, as meant.
    pub charge: Option<Current>,
    /// The readings, in the order in which they were written.
    pub taken: Vec<TakenReading>,
    /// Torque and stacks written down the same day.
    pub posts: Vec<PostRecord>,
    /// Steps ticked, by name.
    pub ticks: Vec<String>,
    /// Anything else.
    pub notes: Vec<String>,
}

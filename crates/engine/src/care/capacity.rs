//! Capacity tests, and what is left of the bank.

use super::cells::Range;
use crate::cite::Cite;
use crate::units::{Current, Duration, Temperature};
use jiff::civil::Date;

/// A test by one way of counting.
#[derive(Clone, Debug, PartialEq)]
pub struct Counted {
    /// Its name, as `time, corrected by the cell size factor`.
    pub how: String,
    /// Share of the rated capacity [1].
    pub share: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// One timed discharge.
#[derive(Clone, Debug, PartialEq)]
pub struct CapacityResult {
    /// The day.
    pub on: Date,
    /// The entry it stands in.
    pub entry: i64,
    /// What was tested: the bank, a string or a block.
    pub part: String,
    /// The steady current.
    pub current: Current,
    /// How long it lasted.
    pub lasted: Duration,
    /// Temperature at its start.
    pub temperature: Option<Temperature>,
    /// Hours a new one lasts at that current and 25 °C.
    pub rated: Duration,
    /// Share of the rated capacity, by the way that is used [1], with the error of clock, clamp,
    /// thermometer and rate table.
    pub share: Range,
    /// Every way of counting that applies, the one used first.
    pub counted: Vec<Counted>,
}

/// What is left of the capacity.
#[derive(Clone, Debug, PartialEq)]
pub struct Health {
    /// Share of the rated capacity now [1].
    pub now: Range,
    /// Share lost in a year [1/year].
    pub per_year: Range,
    /// How many tests it rests on; with none it rests on age and use alone.
    pub tests: usize,
    /// The day on which it is as likely as not under 80 %.
    pub below_80: Option<Date>,
    /// One chance in ten that it is under 80 % by this day.
    pub below_80_early: Option<Date>,
    /// Nine chances in ten by this day; `None` where that is too far off to say.
    pub below_80_late: Option<Date>,
    /// The middle line: days and shares, to be drawn.
    pub line: Vec<(Date, Range)>,
    /// Where the figures come from.
    pub cites: Vec<Cite>,
}

//! What somebody measured or did: the readings of one day, and the log of years.
//!
//! Nothing here is judged. `prove` judges readings, `care` reads the log.

pub mod log;
pub mod readings;

use jiff::civil::Date;
use log::Log;
use readings::Readings;

/// Everything measured and done so far, beside the design.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Evidence {
    /// The log; empty where there is none.
    pub log: Log,
    /// The readings of one day after another.
    pub readings: Vec<Readings>,
    /// The day it is looked at; without it nothing is due and nothing is late.
    pub today: Option<Date>,
}

/// Nothing measured, nothing done, no day.
pub static NONE: Evidence =
    Evidence { log: Log { entries: Vec::new() }, readings: Vec::new(), today: None };

//! Each cell's gravity over the years, against its own history and its neighbours.

use super::believed::DoubtKind;
use crate::evidence::log::CellId;
use crate::model::bank::BlockId;
use crate::tables::Sourced;
use crate::tables::battery::GravityRule;
use crate::units::{Temperature, Voltage};
use jiff::civil::{Date, DateTime};

/// How gravity is corrected for temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Correction {
    /// The rule of the owner's practice, which every `corrected` goes by.
    pub rule: GravityRule,
    /// The other printed rules; shown beside it and never averaged.
    pub others: Vec<GravityRule>,
}

/// Gravity of the full bank.
#[derive(Clone, Debug, PartialEq)]
pub struct FullGravity {
    /// The figure.
    pub gravity: Sourced<f64>,
    /// The day of the bank's own best reading after a full charge; `None` where it is the table's.
    pub on: Option<Date>,
}

/// One reading of a hydrometer.
#[derive(Clone, Debug, PartialEq)]
pub struct GravityPoint {
    /// When.
    pub at: DateTime,
    /// As the float showed it.
    pub read: f64,
    /// Temperature of the fluid.
    pub fluid: Option<Temperature>,
    /// Corrected by the rule of the practice; as read where no temperature was written.
    pub corrected: f64,
    /// State of charge, 0 to 1, from the full gravity; `None` for a reading that is doubted.
    pub soc: Option<f64>,
    /// Why it is not counted, or counted with care.
    pub doubted: Option<DoubtKind>,
    /// The entry it stands in.
    pub entry: i64,
}

/// A figure with the range in which nine of ten lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The figure.
    pub now: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// How a cell stands among its neighbours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CellState {
    /// Too few readings to say.
    Unknown,
    /// With its neighbours.
    Sound,
    /// Below them by more than the reading's error.
    Watch,
    /// Falling behind: equalise, then read again.
    Behind,
    /// Failing.
    Failing,
}

impl CellState {
    /// The word shown to the owner.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unknown => "too few readings",
            Self::Sound => "sound",
            Self::Watch => "watch it",
            Self::Behind => "falling behind",
            Self::Failing => "failing",
        }
    }
}

/// One cell over the years.
#[derive(Clone, Debug, PartialEq)]
pub struct CellHistory {
    /// Which.
    pub cell: CellId,
    /// Its readings, oldest first, those of a block that was replaced included.
    pub points: Vec<GravityPoint>,
    /// The day its block was last replaced; older points are not counted.
    pub since: Option<Date>,
    /// Gravity gained or lost in a year, full readings only where there are enough.
    pub trend_per_year: Option<Range>,
    /// Gravity above (positive) or below the middle of its neighbours of the same age.
    pub offset: Option<Range>,
    /// How it stands.
    pub state: CellState,
}

/// One reading of a block at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct RestPoint {
    /// When.
    pub at: DateTime,
    /// The reading.
    pub volts: Voltage,
    /// State of charge, 0 to 1; `None` for LFP and for a rest too short to tell.
    pub soc: Option<f64>,
    /// The entry it stands in.
    pub entry: i64,
}

/// One block over the years.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockHistory {
    /// Which.
    pub block: BlockId,
    /// Volts at rest, oldest first.
    pub rest: Vec<RestPoint>,
    /// The days on which it was replaced.
    pub replaced: Vec<Date>,
    /// Rest volts above or below the middle of the other blocks [V].
    pub offset_v: Option<Range>,
}

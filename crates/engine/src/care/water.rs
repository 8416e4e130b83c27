//! Water each cell takes, against its neighbours and against what charging should cost.

use crate::evidence::log::CellId;
use jiff::civil::Date;

/// Water of one cell.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterUse {
    /// Which.
    pub cell: CellId,
    /// From the first filling counted.
    pub from: Date,
    /// To the last.
    pub to: Date,
    /// Water in that time, the first filling left out [cm3].
    pub volume_cm3: f64,
    /// The same for thirty days [cm3].
    pub per_month_cm3: f64,
    /// Over the mean of the other cells of its string [1]; `None` where they have none.
    pub over_string: Option<f64>,
    /// What the charges of that time should have cost, least and most [cm3]; `None` where the log does not
    /// tell the amp-hours.
    pub expected_cm3: Option<(f64, f64)>,
    /// Overcharge that this much water stands for [Ah].
    pub overcharge_ah: f64,
    /// The fillings, oldest first: entry and volume.
    pub fillings: Vec<(i64, f64)>,
}

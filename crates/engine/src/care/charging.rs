//! When the bank was full, and how its charges ended.

use jiff::civil::Date;

/// Charges as the log tells them.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Charging {
    /// The last day on which it was full.
    pub last_full: Option<Date>,
    /// Days since then.
    pub days_since_full: Option<i32>,
    /// The longest time between two full charges in the last year, in days.
    pub longest_gap_days: Option<i32>,
    /// Charges of the last year that ended full.
    pub ended_full: usize,
    /// Those a clock ended.
    pub ended_clock: usize,
    /// Those that broke off.
    pub ended_broken: usize,
    /// Those ended by a clock while more than the limit still flowed: entry and share of the
    /// amp-hours.
    pub tails_over: Vec<(i64, f64)>,
    /// Amp-hours put in a year, where the log tells them [Ah/year].
    pub amp_hours_per_year: Option<f64>,
}

//! Loads, the trips on which they run, and the time in which the rig stands unused.

use super::part::Part;
use crate::units::{Current, Duration, Energy, Power};

/// A part of a day or a year: from one hour or month to another, round the turn where the second is
/// the smaller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

impl Span {
    /// How much of the hour that begins at `hour` (0 to 23) lies inside, 0 to 1. From and to alike
    /// mean the whole day.
    #[must_use]
    pub fn share_of_hour(self, hour: u32) -> f64 {
        let (low, high) = (f64::from(hour), f64::from(hour) + 1.0);
        let overlap = |a: f64, b: f64| (high.min(b) - low.max(a)).max(0.0);
        if self.from < self.to {
            overlap(self.from, self.to)
        } else {
            (overlap(self.from, 24.0) + overlap(0.0, self.to)).min(1.0)
        }
    }

    /// Whether a month (1 to 12) lies inside, both ends counted.
    #[must_use]
    pub fn holds_month(self, month: u32) -> bool {
        let month = f64::from(month);
        if self.from <= self.to {
            self.from <= month && month <= self.to
        } else {
            self.from <= month || month <= self.to
        }
    }
}

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
    /// Hours of the day in which it runs, 0 to 24.
    pub hours: Option<Span>,
    /// Months in which it runs, 1 to 12, both counted.
    pub months: Option<Span>,
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

/// The time in which the rig stands unused.
#[derive(Clone, Debug, PartialEq)]
pub struct Storage {
    /// How long it stands.
    pub time: Option<Duration>,
    /// The month in which that begins, 1 to 12.
    pub from: Option<u32>,
    /// State of charge at which it is left, 0 to 1.
    pub at_charge: Option<f64>,
    /// The isolator is turned off.
    pub isolator_off: Option<bool>,
    /// A charger or panel keeps it full all the time.
    pub maintained: Option<bool>,
}

#[cfg(test)]
mod tests {
    use super::Span;

    #[test]
    fn a_span_goes_round_midnight_and_new_year() {
        let evening = Span { from: 18.0, to: 24.0 };
        assert!((evening.share_of_hour(18) - 1.0).abs() < 1e-12, "from the first minute");
        assert!(evening.share_of_hour(17).abs() < 1e-12, "not before");
        // 22.5 to 6: half of the hour from 22, all of 23 and of 0 to 5: 7.5 h.
        let night = Span { from: 22.5, to: 6.0 };
        let hours: f64 = (0..24).map(|h| night.share_of_hour(h)).sum();
        assert!((hours - 7.5).abs() < 1e-12, "{hours}");
        let winter = Span { from: 11.0, to: 3.0 };
        let months: Vec<u32> = (1..=12).filter(|m| winter.holds_month(*m)).collect();
        assert_eq!(months, [1, 2, 3, 11, 12], "both ends counted");
    }
}

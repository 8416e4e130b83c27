//! Ratings of a battery that look alike and are not: Ah at an hour rate, reserve minutes, cranking amps.

use super::{Current, Duration};

/// Amp-hours at a stated hour rate. There is no way to make one without the rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacity {
    amp_hours: f64,
    rate: Duration,
}

impl Capacity {
    /// Amp-hours when emptied evenly over `rate`.
    #[must_use]
    pub fn amp_hours_at(amp_hours: f64, rate: Duration) -> Self {
        assert!(amp_hours.is_finite(), "amp-hours must be a finite number");
        Self { amp_hours, rate }
    }

    /// The amp-hours, to be read together with [`Self::rate`].
    #[must_use]
    pub const fn as_amp_hours(self) -> f64 {
        self.amp_hours
    }

    /// The hour rate.
    #[must_use]
    pub const fn rate(self) -> Duration {
        self.rate
    }

    /// The current that this rate means.
    #[must_use]
    pub fn rated_current(self) -> Current {
        Current::amps(self.amp_hours / self.rate.as_hours())
    }

    /// The same rate, more amp-hours: strings in parallel.
    #[must_use]
    pub fn in_parallel(self, strings: u32) -> Self {
        Self { amp_hours: self.amp_hours * f64::from(strings), rate: self.rate }
    }
}

/// What a label may give instead of amp-hours. None of them is amp-hours at 20 h.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rating {
    /// Amp-hours at an hour rate.
    Capacity(Capacity),
    /// Reserve capacity: minutes at 25 A.
    Reserve(Duration),
    /// Cold cranking amps.
    Cranking(Current),
}

impl Rating {
    /// The capacity, where the label gives one.
    #[must_use]
    pub const fn capacity(self) -> Option<Capacity> {
        match self {
            Self::Capacity(c) => Some(c),
            Self::Reserve(_) | Self::Cranking(_) => None,
        }
    }
}

//! The only clock there is: which day and which hour it is where the rig stands.

use crate::failure::Failure;
use jiff::civil::{Date, DateTime};
use jiff::{Timestamp, Zoned};

/// The moment at which a word runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Now {
    /// By the clock on the wall, to the minute.
    pub(crate) local: DateTime,
    /// Seconds since the start of 1970, for calendars.
    pub(crate) utc: Timestamp,
}

impl Now {
    /// By the clock of the machine, or the day that the reader says it is.
    pub(crate) fn of(today: Option<&str>) -> Result<Self, Failure> {
        let Some(text) = today else { return Ok(Self::by_the_clock()) };
        let day: Date = text.trim().parse().map_err(|_| Failure::no_day("today", text))?;
        let local = day.at(12, 0, 0, 0);
        let utc =
            local.to_zoned(jiff::tz::TimeZone::UTC).map_err(|_| Failure::no_day("today", text))?;
        Ok(Self { local, utc: utc.timestamp() })
    }

    fn by_the_clock() -> Self {
        let now = Zoned::now();
        let local = now.datetime();
        let minute = local.date().at(local.hour(), local.minute(), 0, 0);
        Self { local: minute, utc: now.timestamp() }
    }
}

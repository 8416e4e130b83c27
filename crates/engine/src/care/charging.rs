//! When the bank was full, and how its charges ended.

use super::cells::Acid;
use super::look::{Look, YEAR_DAYS, days, later, years};
use super::sittings::After;
use crate::evidence::log::{ChargeEnd, Event};
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

impl Charging {
    /// What the log says of the charges.
    #[must_use]
    pub fn of(look: &Look<'_>, acid: Option<&Acid>) -> Self {
        let Some(now) = look.now() else {
            return Self::default();
        };
        let year_ago = later(now, -YEAR_DAYS);
        let most = look.limit("tail-clock-max").value;
        let mut all = Self::default();
        let mut full: Vec<Date> = acid.map_or_else(Vec::new, full_by_gravity);
        let (mut amp_hours, mut first_ah) = (0.0, None);
        for entry in look.entries() {
            let on = entry.at.date();
            let (end, tail, ah) = match &entry.event {
                Event::Equalise { .. } => (Some(ChargeEnd::Full), None, None),
                Event::Charge { end, tail, amp_hours, .. } => (*end, *tail, *amp_hours),
                _ => continue,
            };
            if let Some(ah) = ah {
                first_ah.get_or_insert(on);
                amp_hours += ah;
            }
            if end == Some(ChargeEnd::Full) {
                full.push(on);
            }
            if on < year_ago {
                continue;
            }
            match end {
                Some(ChargeEnd::Full) => all.ended_full += 1,
                Some(ChargeEnd::Clock) => all.ended_clock += 1,
                Some(ChargeEnd::Broken) => all.ended_broken += 1,
                None => {}
            }
            let share = tail.zip(look.label_ah()).map(|(t, ah)| t.as_amps() / ah);
            if let Some(share) = share.filter(|s| most < *s && end != Some(ChargeEnd::Full)) {
                all.tails_over.push((entry.id, share));
            }
        }
        full.sort();
        all.last_full = full.last().copied();
        all.days_since_full = all.last_full.map(|day| days(day, now));
        let recent: Vec<Date> = full.into_iter().filter(|day| year_ago <= *day).collect();
        all.longest_gap_days = recent.windows(2).map(|w| days(w[0], w[1])).max();
        // The first amount is that of a time before the log, so its day only starts the count.
        let span = first_ah.map(|first| years(first, now)).filter(|years| 0.25 <= *years);
        all.amp_hours_per_year = span.map(|years| amp_hours / years);
        all
    }

    /// Most charges of the last year were broken off or ended by a clock while too much still flowed.
    #[must_use]
    pub fn ends_early(&self) -> bool {
        let ended = self.ended_full + self.ended_clock + self.ended_broken;
        3 <= self.tails_over.len() && ended <= 2 * self.tails_over.len()
    }
}

/// Days on which the gravity itself says full: no further under the bank's own full gravity than the
/// hydrometer's error, read after a charge.
fn full_by_gravity(acid: &Acid) -> Vec<Date> {
    let Some(_) = acid.full.on else {
        return Vec::new();
    };
    let full = acid.full.gravity.value - FULL_WITHIN;
    let days = acid.sittings.iter().filter(|s| s.after != After::Nothing && full <= s.median);
    days.map(|s| s.on).collect()
}

/// Gravity under the full one that still counts as full: the error of a hydrometer.
const FULL_WITHIN: f64 = 0.005;

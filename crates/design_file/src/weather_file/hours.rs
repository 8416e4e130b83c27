//! The hours of a year as they come out of a file, each once.

use super::fault;
use crate::fault::Fault;
use engine::sim::recorded::YEAR_HOURS;

/// Most light there is on a flat plane for an hour; more than the sun gives outside the air [W/m2].
const LIGHT_MAX: f64 = 1500.0;
/// Coldest and warmest air there is, with a little over [C].
const AIR: (f64, f64) = (-90.0, 65.0);
/// Days before each month in a year without a leap day.
const BEFORE: [usize; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];

/// What a file says of one hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hour {
    /// Hour of the year, 0 the first of 1 January.
    pub(super) at: usize,
    /// All light on a flat plane [W/m2].
    pub(super) ghi: f64,
    /// Light of the sky on it [W/m2].
    pub(super) dhi: Option<f64>,
    /// Air [C].
    pub(super) air: Option<f64>,
}

impl Hour {
    /// What is impossible about it.
    fn impossible(&self) -> Option<String> {
        let light = |what: &str, value: f64| {
            let says = if value < 0.0 {
                format!("{what} is {value} W/m2, less than nothing.")
            } else {
                format!("{what} is {value} W/m2, more than the sun gives outside the air.")
            };
            (!(0.0..=LIGHT_MAX).contains(&value)).then_some(says)
        };
        let cold = |air: f64| {
            let fits = (AIR.0..=AIR.1).contains(&air);
            (!fits).then(|| format!("the air is {air} °C, which no place on earth has."))
        };
        light("the light", self.ghi)
            .or_else(|| self.dhi.and_then(|d| light("the diffuse light", d)))
            .or_else(|| self.air.and_then(cold))
    }
}

/// The hour of the year; nothing for a leap day. The hour is 0 to 23, month and day count from 1.
pub(super) fn hour_of_year(month: usize, day: usize, hour: usize) -> Result<Option<usize>, String> {
    let before = month.checked_sub(1).and_then(|m| BEFORE.get(m));
    let next = BEFORE.get(month).copied().unwrap_or(365);
    let Some(before) = before else {
        return Err(format!("there is no month {month}."));
    };
    if (month, day) == (2, 29) {
        return Ok(None);
    }
    if day == 0 || next - before < day || 23 < hour {
        return Err(format!("there is no day {day} of month {month}, or no hour {hour} in it."));
    }
    Ok(Some((before + day - 1) * 24 + hour))
}

/// Every hour of a year, with the line it stands on.
pub(super) struct Hours {
    slots: Vec<Option<(usize, Hour)>>,
}

impl Hours {
    pub(super) fn new() -> Self {
        Self { slots: vec![None; YEAR_HOURS] }
    }

    /// Puts an hour in its place; says what is wrong with it.
    pub(super) fn put(&mut self, line: usize, hour: Hour) -> Option<Fault> {
        if let Some(says) = hour.impossible() {
            return Some(*fault(line, &says, "Correct the hour; -999 and 9999 often mark a gap."));
        }
        let Some(slot) = self.slots.get_mut(hour.at) else {
            let says = format!("hour {} lies outside the year.", hour.at);
            return Some(*fault(line, &says, "Hours count from 0 to 8759."));
        };
        if let Some((first, _)) = slot {
            let says = format!("{} stands here again; it was on line {first}.", date(hour.at));
            return Some(*fault(line, &says, "Keep one of the two."));
        }
        *slot = Some((line, hour));
        None
    }

    /// The stretches of hours that are not there.
    pub(super) fn missing(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        let mut last_line = 0;
        let mut at = 0;
        while at < self.slots.len() {
            if let Some((line, _)) = self.slots[at] {
                (last_line, at) = (line, at + 1);
                continue;
            }
            let end = (at..self.slots.len())
                .find(|h| self.slots[*h].is_some())
                .unwrap_or(self.slots.len());
            let count = end - at;
            let hours = if count == 1 { "1 hour is" } else { &format!("{count} hours are") };
            let says = format!("{hours} missing, from {} on.", date(at));
            faults.push(*fault(last_line, &says, "Fill the gap from the days beside it."));
            at = end;
        }
        faults
    }

    /// One figure of every hour; nothing when an hour lacks it.
    pub(super) fn column(&self, of: fn(&Hour) -> Option<f64>) -> Option<Vec<f64>> {
        self.slots.iter().map(|slot| slot.as_ref().and_then(|(_, hour)| of(hour))).collect()
    }
}

/// An hour of the year as month, day and hour.
fn date(at: usize) -> String {
    let day = at / 24;
    let month = BEFORE.iter().rposition(|b| *b <= day).unwrap_or(0);
    format!("month {} day {} hour {}", month + 1, day - BEFORE[month] + 1, at % 24)
}

//! What is left of the capacity: a straight line through the tests, drawn together with what age and
//! use alone would say, and the days on which it goes under 80 %.

use super::capacity::{CapacityResult, Health, NINE_OF_TEN};
use super::cells::Range;
use super::charging::Charging;
use super::look::{Look, YEAR_DAYS, days, later, years};
use crate::cite::Cite;
use crate::evidence::log::{Event, Subject};
use jiff::civil::Date;

/// Standard deviations under which one in ten lies.
const ONE_OF_TEN: f64 = 1.2816;
/// Share that a new bank may differ from its label: new plates are still forming, labels round up.
const NEW_SD: f64 = 0.05;
/// Years that are looked ahead.
const AHEAD_YEARS: f64 = 30.0;
/// Points of the line that is drawn.
const DRAWN: u8 = 24;

/// A straight line with the errors of its two numbers: share when new and share lost in a year.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Line {
    new: f64,
    loss: f64,
    /// Variances of both, and the covariance.
    new_var: f64,
    loss_var: f64,
    both: f64,
}

impl Line {
    fn at(self, age: f64) -> (f64, f64) {
        let mean = self.new - self.loss * age;
        let var = self.new_var + age * age * self.loss_var - 2.0 * age * self.both;
        (mean, var.max(0.0).sqrt())
    }

    /// The same line after one more measurement (a Kalman step; exact for a line and normal errors).
    fn seen(self, age: f64, share: f64, sd: f64) -> Self {
        // h = (1, -age); P h and the variance of what is expected.
        let to_new = self.new_var - age * self.both;
        let to_loss = self.both - age * self.loss_var;
        let var = to_new - age * to_loss + sd * sd;
        let off = share - self.at(age).0;
        Self {
            new: self.new + to_new / var * off,
            loss: self.loss + to_loss / var * off,
            new_var: self.new_var - to_new * to_new / var,
            loss_var: self.loss_var - to_loss * to_loss / var,
            both: self.both - to_new * to_loss / var,
        }
    }

    /// The first age at which the share, `z` standard deviations up, is no more than `limit`.
    fn age_under(self, limit: f64, z: f64) -> Option<f64> {
        let over = |age: f64| {
            let (mean, sd) = self.at(age);
            mean + z * sd - limit
        };
        let mut low = 0.0;
        let step = 0.25;
        while 0.0 < over(low + step) {
            low += step;
            if AHEAD_YEARS * 2.0 < low {
                return None;
            }
        }
        let mut high = low + step;
        for _ in 0..40 {
            let middle = f64::midpoint(low, high);
            if 0.0 < over(middle) { low = middle } else { high = middle }
        }
        Some(high)
    }
}

/// What age and use alone say: years to 80 %, shortest and longest.
fn years_to_end(look: &Look<'_>, charging: &Charging) -> (f64, f64, Vec<Cite>) {
    let lead = look.chemistry().is_some_and(crate::model::block::Chemistry::is_lead);
    let ids = if lead {
        ["life-years-low", "life-years-high"]
    } else {
        ["life-years-lfp-low", "life-years-lfp-high"]
    };
    let [low, high] = ids.map(|id| look.limit(id));
    let mut cites = vec![low.cite];
    let (mut low, mut high) = (low.value, high.value);
    if let Some((ah, label)) = charging.amp_hours_per_year.zip(look.label_ah()).filter(|_| lead) {
        // A cycle at half depth moves half the label; so many of them to the end.
        let [few, many] =
            ["life-cycles-half-low", "life-cycles-half-high"].map(|id| look.limit(id));
        let cycles = ah / (0.5 * label);
        if 0.0 < cycles {
            low = low.min(few.value / cycles);
            high = high.min(many.value / cycles);
            cites.push(few.cite);
        }
    }
    (low.max(0.5), high.max(1.0), cites)
}

/// The day the bank, or most of it, was new.
fn born(look: &Look<'_>) -> Option<(Date, bool)> {
    let whole = |subject: &Subject| *subject == Subject::Bank;
    let replaced = look.entries().iter().rev();
    let mut replaced = replaced
        .filter(|e| matches!(e.event, Event::Replaced { .. }) && whole(&e.subject))
        .map(|e| e.at.date());
    if let Some(day) = replaced.next() {
        return Some((day, true));
    }
    let first = look.entries().first().map(|e| e.at.date());
    let age = look.blocks().first().and_then(|b| b.age);
    match (age, look.now()) {
        // The file says its age on the day the log begins at the latest; what is older wins.
        (Some(age), Some(now)) => {
            let born = later(now, -age.as_hours() / 24.0);
            Some((first.map_or(born, |f| f.min(born)), true))
        }
        _ => Some((first?, false)),
    }
}

/// What is left of the bank; `None` when neither its age nor a test is known.
pub fn of(look: &Look<'_>, tests: &[CapacityResult], charging: &Charging) -> Option<Health> {
    let (born, known) = born(look)?;
    let now = look.now()?;
    let mut whole: Vec<&CapacityResult> = tests.iter().filter(|t| t.part == "the bank").collect();
    whole.retain(|t| born <= t.on);
    if whole.is_empty() && !known {
        return None;
    }
    let (low, high, mut cites) = years_to_end(look, charging);
    let limit = look.limit("capacity-replace");
    let lost = 1.0 - limit.value;
    let (slow, fast) = (lost / high, lost / low);
    let loss_sd = (fast - slow) / (2.0 * ONE_OF_TEN);
    let mut line = Line {
        new: 1.0,
        loss: f64::midpoint(slow, fast),
        new_var: NEW_SD * NEW_SD,
        loss_var: (loss_sd * loss_sd).max(1e-8),
        both: 0.0,
    };
    for test in &whole {
        let sd = (test.share.high - test.share.low) / (2.0 * NINE_OF_TEN);
        line = line.seen(years(born, test.on), test.share.now, sd);
        cites.extend(test.counted.first().map(|c| c.cite.clone()));
    }
    cites.push(limit.cite);
    cites.sort();
    cites.dedup();
    let age = years(born, now);
    let day = |z: f64| {
        let at = line.age_under(limit.value, z)?;
        (at <= age + AHEAD_YEARS).then(|| later(born, at * YEAR_DAYS))
    };
    let loss_half = NINE_OF_TEN * line.loss_var.sqrt();
    Some(Health {
        now: range(line.at(age)),
        per_year: Range { now: line.loss, low: line.loss - loss_half, high: line.loss + loss_half },
        tests: whole.len(),
        below_80: day(0.0),
        below_80_early: day(-ONE_OF_TEN),
        below_80_late: day(ONE_OF_TEN),
        line: drawn(line, born, day(0.0).unwrap_or(now).max(now)),
        cites,
    })
}

fn range((mean, sd): (f64, f64)) -> Range {
    Range { now: mean, low: mean - NINE_OF_TEN * sd, high: mean + NINE_OF_TEN * sd }
}

/// Days and shares from the first day to a year past the last that matters.
fn drawn(line: Line, born: Date, last: Date) -> Vec<(Date, Range)> {
    let span = f64::from(days(born, last)) + YEAR_DAYS;
    let at = |step: u8| later(born, span * f64::from(step) / f64::from(DRAWN));
    (0..=DRAWN).map(|step| (at(step), range(line.at(years(born, at(step)))))).collect()
}

#[cfg(test)]
mod tests {
    use super::Line;

    fn prior() -> Line {
        Line { new: 1.0, loss: 0.035, new_var: 0.0025, loss_var: 0.0001, both: 0.0 }
    }

    #[test]
    fn many_tests_are_least_squares() {
        // With a prior that says nothing, three tests on a line give the line: 0.98 - 0.03 t.
        let mut line = Line { new: 0.0, loss: 0.0, new_var: 1e6, loss_var: 1e6, both: 0.0 };
        for age in [1.0, 2.0, 4.0] {
            line = line.seen(age, 0.98 - 0.03 * age, 0.04);
        }
        assert!((line.new - 0.98).abs() < 1e-4 && (line.loss - 0.03).abs() < 1e-4, "{line:?}");
        // Hand worked: ages 1, 2, 4 have mean 7/3 and squares about it 14/3; the variance of the slope is
        // 0.0016/(14/3) = 0.000343.
        assert!((line.loss_var - 0.000_343).abs() < 2e-6, "{}", line.loss_var);
        let end = line.age_under(0.8, 0.0).expect("an end");
        assert!((end - 6.0).abs() < 1e-2, "0.98 - 0.03 t is 0.8 at 6 years: {end}");
    }

    #[test]
    fn early_comes_before_likely_and_a_test_narrows() {
        let (line, tested) = (prior(), prior().seen(3.0, 0.9, 0.04));
        let [early, middle] = [-1.28, 0.0].map(|z| tested.age_under(0.8, z).expect("an age"));
        assert!(early < middle, "{early} {middle}");
        assert!(tested.at(3.0).1 < line.at(3.0).1, "a test makes surer");
        assert_eq!(Line { loss: 0.0, loss_var: 0.0, ..line }.age_under(0.8, 0.0), None, "never");
    }
}

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

/// A straight line and what all tests of one owner err by alike, with what is not known of the three:
/// share when new, share lost in a year, and share that every test shows too much.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Line {
    new: f64,
    loss: f64,
    alike: f64,
    /// Covariance of the three, in this order.
    var: [[f64; 3]; 3],
}

/// From so many standard deviations on a test contradicts what age alone says.
const CONTRADICTS: f64 = 4.0;

impl Line {
    /// What is thought before any test, each with its standard deviation.
    fn thought((new, new_sd): (f64, f64), (loss, loss_sd): (f64, f64), alike_sd: f64) -> Self {
        let mut var = [[0.0; 3]; 3];
        for (place, sd) in [new_sd, loss_sd, alike_sd].into_iter().enumerate() {
            var[place][place] = sd * sd;
        }
        Self { new, loss, alike: 0.0, var }
    }

    /// The covariance with what is looked at as a sum of the three in these shares.
    fn with(&self, shares: [f64; 3]) -> [f64; 3] {
        self.var.map(|row| row.iter().zip(shares).map(|(v, s)| v * s).sum())
    }

    fn at(&self, age: f64) -> (f64, f64) {
        let with = self.with([1.0, -age, 0.0]);
        (self.new - self.loss * age, (with[0] - age * with[1]).max(0.0).sqrt())
    }

    /// The same line after one more measurement (a Kalman step; exact for a line and normal errors).
    ///
    /// What a clamp and a rate table err by is the same in every test: more of them do not average
    /// it out.
    fn seen(self, age: f64, share: f64, own_sd: f64) -> Self {
        let with = self.with([1.0, -age, 1.0]);
        let var = with[0] - age * with[1] + with[2] + own_sd * own_sd;
        let off = share - (self.new - self.loss * age + self.alike);
        let mut after = Self {
            new: self.new + with[0] / var * off,
            loss: self.loss + with[1] / var * off,
            alike: self.alike + with[2] / var * off,
            ..self
        };
        for (row, a) in after.var.iter_mut().zip(with) {
            for (cell, b) in row.iter_mut().zip(with) {
                *cell -= a * b / var;
            }
        }
        after
    }

    /// What age alone says, held with less faith where a first test lies far off it: what was
    /// measured is then followed.
    fn doubted(mut self, age: f64, share: f64, own_sd: f64) -> Self {
        let of_line = self.at(age).1;
        let of_test = (self.var[2][2] + own_sd * own_sd).sqrt();
        let off = (share - self.at(age).0).abs();
        let of_both = (of_line * of_line + of_test * of_test).sqrt();
        if CONTRADICTS * of_both < off && 0.0 < of_line {
            let times = off / of_line;
            for row in &mut self.var[..2] {
                for cell in &mut row[..2] {
                    *cell *= times * times;
                }
            }
        }
        self
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
    let alike = look.limit("capacity-test-alike").value;
    let loss = (f64::midpoint(slow, fast), loss_sd.max(1e-4));
    let mut line = Line::thought((1.0, NEW_SD), loss, alike);
    for (place, test) in whole.iter().enumerate() {
        let sd = (test.share.high - test.share.low) / (2.0 * NINE_OF_TEN);
        let own = (sd * sd - alike * alike).max(1e-6).sqrt();
        let age = years(born, test.on);
        if place == 0 {
            line = line.doubted(age, test.share.now, own);
        }
        line = line.seen(age, test.share.now, own);
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
    let loss_half = NINE_OF_TEN * line.var[1][1].sqrt();
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
        Line::thought((1.0, 0.05), (0.035, 0.01), 0.0)
    }

    #[test]
    fn many_tests_are_least_squares() {
        // With a prior that says nothing, three tests on a line give the line: 0.98 - 0.03 t.
        let mut line = Line::thought((0.0, 1e3), (0.0, 1e3), 0.0);
        for age in [1.0, 2.0, 4.0] {
            line = line.seen(age, 0.98 - 0.03 * age, 0.04);
        }
        assert!((line.new - 0.98).abs() < 1e-4 && (line.loss - 0.03).abs() < 1e-4, "{line:?}");
        // Hand worked: ages 1, 2, 4 have mean 7/3 and squares about it 14/3; the variance of the slope is
        // 0.0016/(14/3) = 0.000343.
        let loss_var = line.var[1][1];
        assert!((loss_var - 0.000_343).abs() < 2e-6, "{loss_var}");
        let end = line.age_under(0.8, 0.0).expect("an end");
        assert!((end - 6.0).abs() < 1e-2, "0.98 - 0.03 t is 0.8 at 6 years: {end}");
    }

    #[test]
    fn early_comes_before_likely_and_a_test_narrows() {
        let (line, tested) = (prior(), prior().seen(3.0, 0.9, 0.04));
        let [early, middle] = [-1.28, 0.0].map(|z| tested.age_under(0.8, z).expect("an age"));
        assert!(early < middle, "{early} {middle}");
        assert!(tested.at(3.0).1 < line.at(3.0).1, "a test makes surer");
        let ageless = Line::thought((1.0, 0.05), (0.0, 0.0), 0.0);
        assert_eq!(ageless.age_under(0.8, 0.0), None, "never");
    }

    #[test]
    fn what_all_tests_err_by_alike_does_not_average_out() {
        // Hand worked: nothing else is unsure, so the middle of many tests is as unsure as what they
        // share: 0.036.
        let mut line = Line::thought((0.0, 1e3), (0.0, 0.0), 0.036);
        for _ in 0..10_000 {
            line = line.seen(1.0, 0.9, 0.02);
        }
        let (mean, sd) = line.at(1.0);
        assert!((mean - 0.9).abs() < 1e-3 && (sd - 0.036).abs() < 1e-3, "{mean} {sd}");
    }

    #[test]
    fn a_first_test_far_from_what_age_says_is_followed() {
        let line = Line::thought((1.0, 0.05), (0.035, 0.01), 0.036);
        let seen = line.doubted(3.0, 0.29, 0.017).seen(3.0, 0.29, 0.017);
        assert!((seen.at(3.0).0 - 0.29).abs() < 0.03, "{:?}", seen.at(3.0));
        assert_eq!(line.doubted(3.0, 0.88, 0.017), line, "near enough, nothing is doubted");
    }
}

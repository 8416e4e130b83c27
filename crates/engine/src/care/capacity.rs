//! Capacity tests, and what is left of the bank.

use super::believed::{Doubt, DoubtKind, doubt};
use super::cells::Range;
use super::look::{Look, part_words};
use crate::calc::capacity_test::{guide_time, rated_hours, share_by_time};
use crate::cite::{Cite, Status};
use crate::evidence::log::{Entry, Event, Subject};
use crate::units::capacity::Rating;
use crate::units::{Current, Duration, Temperature};
use jiff::civil::Date;

/// A test by one way of counting.
#[derive(Clone, Debug, PartialEq)]
pub struct Counted {
    /// Its name, as `time, corrected by the cell size factor`.
    pub how: String,
    /// Share of the rated capacity [1].
    pub share: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// One timed discharge.
#[derive(Clone, Debug, PartialEq)]
pub struct CapacityResult {
    /// The day.
    pub on: Date,
    /// The entry it stands in.
    pub entry: i64,
    /// What was tested: the bank, a string or a block.
    pub part: String,
    /// The steady current.
    pub current: Current,
    /// How long it lasted.
    pub lasted: Duration,
    /// Temperature at its start.
    pub temperature: Option<Temperature>,
    /// Hours a new one lasts at that current and 25 °C.
    pub rated: Duration,
    /// Share of the rated capacity, by the way that is used [1], with the error of clock, clamp,
    /// thermometer and rate table.
    pub share: Range,
    /// Every way of counting that applies, the one used first.
    pub counted: Vec<Counted>,
}

/// What is left of the capacity.
#[derive(Clone, Debug, PartialEq)]
pub struct Health {
    /// Share of the rated capacity now [1].
    pub now: Range,
    /// Share lost in a year [1/year].
    pub per_year: Range,
    /// How many tests it rests on; with none it rests on age and use alone.
    pub tests: usize,
    /// The day on which it is as likely as not under 80 %.
    pub below_80: Option<Date>,
    /// One chance in ten that it is under 80 % by this day.
    pub below_80_early: Option<Date>,
    /// Nine chances in ten by this day; `None` where that is too far off to say.
    pub below_80_late: Option<Date>,
    /// The middle line: days and shares, to be drawn.
    pub line: Vec<(Date, Range)>,
    /// Where the figures come from.
    pub cites: Vec<Cite>,
}

/// Standard deviations that hold nine of ten.
pub(super) const NINE_OF_TEN: f64 = 1.645;

/// Hours and amp-hours of one block at several rates: its own, else its label on the shape of the
/// table chosen for its kind.
#[must_use]
pub fn rates(look: &Look<'_>) -> Option<(Vec<(f64, f64)>, Cite)> {
    let model = look.model()?;
    let own = model.rates.iter().copied().chain(model.rating.and_then(Rating::capacity));
    let mut rates: Vec<(f64, f64)> = own.map(|c| (c.rate().as_hours(), c.as_amp_hours())).collect();
    rates.retain(|(t, c)| 0.0 < *t && 0.0 < *c);
    rates.sort_by(|a, b| a.0.total_cmp(&b.0));
    rates.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-6);
    let owner = Cite::new("owner", "the label and the sheet", Status::Read);
    if 2 <= rates.len() {
        return Some((rates, owner));
    }
    let (hours, amp_hours) = *rates.first()?;
    let first = look.blocks().first()?;
    if !first.chemistry.is_lead() {
        // The rate hardly moves what LFP gives, and no table of it was found.
        let flat = vec![(1.0, amp_hours), (100.0, amp_hours)];
        return Some((flat, Cite::practice("LFP gives the same at every usual rate")));
    }
    let shape = look.tables.battery.rate_curve(first.chemistry.word(), first.nominal)?;
    let scale = amp_hours / shape.value.at(hours)?.value;
    let rows = shape.value.rows.iter().map(|(t, c)| (*t, c * scale)).collect();
    Some((rows, shape.value.cite.clone()))
}

/// Shares of the label that a test can have given.
const MEANT: (f64, f64) = (0.05, 1.6);

/// Tests that cannot be meant as they are written.
pub(super) fn slips(look: &Look<'_>) -> Vec<Doubt> {
    if rates(look).is_none() {
        return Vec::new();
    }
    let whole = |e: &&&Entry| !matches!(e.subject, Subject::Cell(_) | Subject::Joint(_));
    let tests = look.entries().iter().filter(|e| matches!(e.event, Event::Capacity { .. }));
    let slips = tests.filter(whole).filter(|e| test(look, e).is_none()).map(|e| {
        let says = format!(
            "These amps and hours are no capacity that {} can have.",
            part_words(&e.subject)
        );
        doubt(e, DoubtKind::Mistyped, says)
    });
    slips.collect()
}

/// Every capacity test of the log, oldest first.
pub fn tests(look: &Look<'_>) -> Vec<CapacityResult> {
    look.entries().iter().filter_map(|entry| test(look, entry)).collect()
}

fn test(look: &Look<'_>, entry: &Entry) -> Option<CapacityResult> {
    let Event::Capacity { current, lasted, temperature, .. } = &entry.event else {
        return None;
    };
    let strings = match entry.subject {
        Subject::Bank => f64::from(look.bank()?.parallel.max(1)),
        Subject::String(_) | Subject::Block(_) => 1.0,
        Subject::Cell(_) | Subject::Joint(_) => return None,
    };
    let (rates, rate_cite) = rates(look)?;
    let one_a = current.as_amps() / strings;
    let rated_h = rated_hours(&rates, one_a).filter(|h| h.is_finite())?;
    let lasted_h = lasted.as_hours();
    let counted = counted(look, &rates, (one_a, lasted_h, rated_h), *temperature, &rate_cite);
    let share = counted.first()?.share;
    if !(MEANT.0..=MEANT.1).contains(&share) {
        return None;
    }
    let id = if temperature.is_some() { "capacity-test-error" } else { "capacity-test-error-cold" };
    let half = NINE_OF_TEN * look.limit(id).value;
    Some(CapacityResult {
        on: entry.at.date(),
        entry: entry.id,
        part: part_words(&entry.subject),
        current: *current,
        lasted: *lasted,
        temperature: *temperature,
        rated: Duration::hours(rated_h),
        share: Range { now: share, low: share - half, high: share + half },
        counted,
    })
}

/// Every way of counting that applies.
fn counted(
    look: &Look<'_>,
    rates: &[(f64, f64)],
    (one_a, lasted_h, rated_h): (f64, f64, f64),
    temperature: Option<Temperature>,
    rate_cite: &Cite,
) -> Vec<Counted> {
    let plain = |how: &str| Counted {
        how: how.to_owned(),
        share: share_by_time(lasted_h, rated_h, 1.0),
        cite: rate_cite.clone(),
    };
    let lead = look.chemistry().is_some_and(crate::model::block::Chemistry::is_lead);
    let Some(warm) = temperature.filter(|_| lead) else {
        return vec![plain("by time, no correction for temperature")];
    };
    let mut all = Vec::new();
    let battery = &look.tables.battery;
    let named = [
        ("by time, corrected by the cell size factor", battery.size_factor(warm)),
        ("by time, corrected by the simplified factor", battery.size_factor_simple(warm)),
    ];
    for (how, factor) in named {
        if let Some(factor) = factor {
            let share = share_by_time(lasted_h, rated_h, factor.value);
            all.push(Counted { how: how.to_owned(), share, cite: factor.cite });
        }
    }
    if let Some(factor) = battery.size_factor(warm)
        && let Some(hours) = rated_hours(rates, one_a * factor.value)
    {
        let how = "by current, as if set for the temperature".to_owned();
        let share = share_by_time(lasted_h, hours, 1.0);
        all.push(Counted { how, share, cite: factor.cite });
    }
    if let Some(time) = guide_time(look.tables, lasted_h, warm) {
        let how = "by the formula of the guides".to_owned();
        let share = share_by_time(time.value, rated_h, 1.0);
        all.push(Counted { how, share, cite: time.cite });
    }
    if all.is_empty() { vec![plain("by time, no correction for temperature")] } else { all }
}

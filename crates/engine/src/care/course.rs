//! The bank's middle over the years, and what was done to it: what the trend is drawn beside.

use super::cells::{CellHistory, GravityPoint};
use crate::evidence::log::{Event, Log, Subject};
use crate::model::bank::BlockId;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// What was done, as a mark on the axis of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Done {
    /// An equalising charge.
    Equalised,
    /// Water was put in.
    Watered,
    /// A block was replaced; `None` where the entry names no block.
    Replaced(Option<BlockId>),
}

/// Whether a reading counts: it is not doubted.
#[must_use]
pub const fn counts(point: &GravityPoint) -> bool {
    point.doubted.is_none()
}

/// The middle of all cells on each day on which at least half of them were read: the median, so that
/// one odd cell does not move it.
#[must_use]
pub fn middles(cells: &[CellHistory]) -> Vec<(Date, f64)> {
    let mut days: BTreeMap<Date, Vec<f64>> = BTreeMap::new();
    for point in cells.iter().flat_map(|c| &c.points).filter(|p| counts(p)) {
        days.entry(point.at.date()).or_default().push(point.corrected);
    }
    days.retain(|_, read| cells.len() <= 2 * read.len());
    days.into_iter().filter_map(|(day, read)| Some((day, median(read)?))).collect()
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    let high = *values.get(half)?;
    let even = values.len().is_multiple_of(2);
    let low = if even { *values.get(half.checked_sub(1)?)? } else { high };
    Some((low + high) / 2.0)
}

/// The lowest and highest reading of each day, in order of days.
#[must_use]
pub fn ends<'a>(cells: impl Iterator<Item = &'a CellHistory>) -> Vec<(Date, f64, f64)> {
    let mut days: BTreeMap<Date, (f64, f64)> = BTreeMap::new();
    for point in cells.flat_map(|c| &c.points).filter(|p| counts(p)) {
        let read = point.corrected;
        let ends = days.entry(point.at.date()).or_insert((read, read));
        *ends = (ends.0.min(read), ends.1.max(read));
    }
    days.into_iter().map(|(day, (low, high))| (day, low, high)).collect()
}

/// A day as years, so that equal times are equally long on an axis.
///
/// A year is as long as its days; 1 January is the whole number.
#[must_use]
pub fn years(day: Date) -> f64 {
    f64::from(day.year()) + (f64::from(day.day_of_year()) - 1.0) / f64::from(day.days_in_year())
}

/// A month as it is written: `2027-03`.
#[must_use]
pub fn month(day: Date) -> String {
    format!("{}-{:02}", day.year(), day.month())
}

/// What was done and when, oldest first, each day's doing once.
#[must_use]
pub fn done(log: &Log) -> Vec<(Date, Done)> {
    let mut all: Vec<(Date, Done)> = Vec::new();
    for entry in log.standing() {
        let done = match (&entry.event, &entry.subject) {
            (Event::Equalise { .. }, _) => Done::Equalised,
            (Event::Water { .. }, _) => Done::Watered,
            (Event::Replaced { .. }, Subject::Block(block)) => Done::Replaced(Some(*block)),
            (Event::Replaced { .. }, _) => Done::Replaced(None),
            _ => continue,
        };
        let mark = (entry.at.date(), done);
        if !all.contains(&mark) {
            all.push(mark);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::{median, middles, years};
    use crate::care::cells::{CellHistory, CellState, GravityPoint};
    use crate::evidence::log::CellId;
    use jiff::civil::date;

    #[test]
    fn one_odd_cell_does_not_move_the_middle() {
        // Hand worked: of 1.100, 1.262, 1.264, 1.266 the middle is (1.262 + 1.264) / 2 = 1.263.
        let middle = median(vec![1.264, 1.100, 1.266, 1.262]).expect("four values");
        assert!((middle - 1.263).abs() < 1e-12, "{middle}");
        assert_eq!(median(Vec::new()), None, "nothing has no middle");
    }

    #[test]
    fn a_day_is_a_part_of_its_year() {
        // Hand worked: 2 July 2027 is day 183 of 365: 182/365 = 0.4986 of the year is over.
        assert!((years(date(2027, 7, 2)) - 2027.4986).abs() < 1e-4, "the middle of a year");
        assert!(years(date(2028, 2, 29)) < years(date(2028, 3, 1)), "days follow each other");
    }

    #[test]
    fn a_day_on_which_few_were_read_has_no_middle() {
        let cell = |n: u32, days: &[i8]| CellHistory {
            cell: CellId::from_text(&format!("A1.{n}")).expect("a cell"),
            points: days
                .iter()
                .map(|d| GravityPoint {
                    at: date(2026, 5, *d).at(9, 0, 0, 0),
                    read: 1.26,
                    fluid: None,
                    corrected: 1.26,
                    soc: None,
                    doubted: None,
                    entry: 1,
                })
                .collect(),
            since: None,
            trend_per_year: None,
            offset: None,
            state: CellState::Sound,
        };
        let found = middles(&[cell(1, &[1, 2]), cell(2, &[2]), cell(3, &[2])]);
        let days: Vec<i8> = found.iter().map(|m| m.0.day()).collect();
        assert_eq!(days, [2], "one of three cells is no middle");
    }
}

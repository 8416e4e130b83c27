//! The days on which cells were read, and what had been done before.

use super::believed::DoubtKind;
use super::cells::{Correction, GravityPoint};
use super::look::{Look, covers};
use super::robust::median;
use crate::evidence::log::{CellId, ChargeEnd, Event, Subject};
use crate::model::bank::BlockId;
use jiff::civil::{Date, DateTime};
use std::collections::BTreeMap;

/// What had been done in the day before a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum After {
    /// A charge to full, or an equalising charge.
    Full,
    /// A charge that a clock or somebody ended, or of which nothing is known.
    Charge,
    /// Nothing.
    Nothing,
}

/// Hours within which a charge counts for a reading.
const AFTER_HOURS: f64 = 36.0;
/// Hours within which water counts for a reading.
const WATER_HOURS: f64 = 24.0;
/// Readings before and after that judge one between them.
const NEIGHBOURS: usize = 3;

/// One day on which cells were read; only the readings that count.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sitting {
    pub(super) on: Date,
    /// Corrected gravity of each cell read, and its offset from its peers; in order of the cells.
    pub(super) values: Vec<(CellId, f64, Option<f64>)>,
    /// Middle of all cells read.
    pub(super) median: f64,
    pub(super) after: After,
}

impl Sitting {
    fn row(&self, cell: CellId) -> Option<&(CellId, f64, Option<f64>)> {
        let at = self.values.binary_search_by_key(&cell, |v| v.0).ok()?;
        self.values.get(at)
    }

    pub(super) fn value_of(&self, cell: CellId) -> Option<f64> {
        self.row(cell).map(|r| r.1)
    }

    pub(super) fn offset_of(&self, cell: CellId) -> Option<f64> {
        self.row(cell)?.2
    }
}

/// Every reading of every cell, by cell.
pub(super) struct Sittings {
    pub(super) points: BTreeMap<CellId, Vec<GravityPoint>>,
    /// The day a block was last replaced.
    pub(super) since: BTreeMap<BlockId, Date>,
    /// Charges, oldest first.
    charges: Vec<(DateTime, After)>,
}

/// Hours from one moment to another.
pub(super) fn hours(from: DateTime, to: DateTime) -> f64 {
    to.duration_since(from).as_secs_f64() / 3600.0
}

impl Sittings {
    pub(super) fn of(look: &Look<'_>, correction: &Correction) -> Self {
        let mut all =
            Self { points: BTreeMap::new(), since: BTreeMap::new(), charges: charges(look) };
        for block in look.blocks() {
            for cell in 0..block.cells {
                all.points.insert(CellId { block: block.id, cell }, Vec::new());
            }
        }
        let mut watered: BTreeMap<CellId, DateTime> = BTreeMap::new();
        let wait_h = look.limit("gravity-wait-after-water").value / 60.0;
        for entry in look.entries() {
            match (&entry.event, &entry.subject) {
                (Event::Water { .. }, Subject::Cell(cell)) => {
                    watered.insert(*cell, entry.at);
                }
                (Event::Water { .. }, subject) => {
                    let cells = all.points.keys().filter(|c| covers(subject, c.block));
                    watered.extend(cells.map(|c| (*c, entry.at)));
                }
                (Event::Replaced { .. }, subject) => {
                    let blocks = look.blocks().iter().filter(|b| covers(subject, b.id));
                    all.since.extend(blocks.map(|b| (b.id, entry.at.date())));
                }
                (
                    Event::Gravity { gravity, fluid, charged_since_water, .. },
                    Subject::Cell(cell),
                ) => {
                    let water = watered.get(cell).copied();
                    let mixed = match charged_since_water {
                        Some(time) => wait_h <= time.as_hours(),
                        None => water.is_none_or(|w| all.is_mixed(w, entry.at)),
                    };
                    let doubted = match (mixed, fluid) {
                        (false, _) => Some(DoubtKind::JustWatered),
                        (true, None) => Some(DoubtKind::NoTemperature),
                        (true, Some(_)) => None,
                    };
                    let by = |t| Correction::by(&correction.rule, *gravity, t);
                    let point = GravityPoint {
                        at: entry.at,
                        read: *gravity,
                        fluid: *fluid,
                        corrected: fluid.map_or(*gravity, by),
                        soc: None,
                        doubted,
                        entry: entry.id,
                    };
                    if let Some(points) = all.points.get_mut(cell) {
                        points.push(point);
                    }
                }
                _ => {}
            }
        }
        all
    }

    /// A charge has mixed what was put in, or it is long ago.
    fn is_mixed(&self, water: DateTime, read: DateTime) -> bool {
        WATER_HOURS < hours(water, read) || self.charges.iter().any(|c| water < c.0 && c.0 < read)
    }

    /// Marks readings that stand apart from those of the same cell before and after them.
    pub(super) fn mark_odd(&mut self, jump: f64) {
        let sittings = self.counted();
        for (cell, points) in &mut self.points {
            let at = sittings.iter().filter_map(|s| Some((s.on, s.offset_of(*cell)?)));
            let series: Vec<(Date, f64)> = at.collect();
            for (day, kind) in odd_ones(&series, jump) {
                let same_day = |p: &&mut GravityPoint| p.at.date() == day;
                for point in points.iter_mut().filter(same_day) {
                    if point.doubted.is_none_or(|d| d == DoubtKind::NoTemperature) {
                        point.doubted = Some(kind);
                    }
                }
            }
        }
    }

    /// The days on which cells were read, with the readings that count.
    pub(super) fn counted(&self) -> Vec<Sitting> {
        let mut days: BTreeMap<Date, BTreeMap<CellId, (DateTime, f64)>> = BTreeMap::new();
        for (cell, points) in &self.points {
            for point in points {
                if point.doubted.is_none_or(|d| d == DoubtKind::NoTemperature) {
                    // The last reading of a cell on a day counts.
                    let day = days.entry(point.at.date()).or_default();
                    day.insert(*cell, (point.at, point.corrected));
                }
            }
        }
        days.into_iter().filter_map(|(on, cells)| self.sitting(on, &cells)).collect()
    }

    fn sitting(&self, on: Date, cells: &BTreeMap<CellId, (DateTime, f64)>) -> Option<Sitting> {
        let all: Vec<f64> = cells.values().map(|v| v.1).collect();
        let whole = median(&all)?;
        let first = cells.values().map(|v| v.0).min()?;
        // Peers are the cells of blocks that were fitted the same day; older readings of a block that was
        // replaced since then belong to the old one, which was a peer of all.
        let mut peers: BTreeMap<Option<Date>, Vec<f64>> = BTreeMap::new();
        let age = |cell: &CellId| self.since.get(&cell.block).copied().filter(|s| *s <= on);
        for (cell, value) in cells {
            peers.entry(age(cell)).or_default().push(value.1);
        }
        let middles: BTreeMap<Option<Date>, f64> = peers
            .iter()
            .filter(|(_, v)| NEIGHBOURS <= v.len())
            .filter_map(|(age, v)| Some((*age, median(v)?)))
            .collect();
        let enough = NEIGHBOURS <= all.len();
        let values = cells.iter().map(|(cell, value)| {
            let own = middles.get(&age(cell)).copied().or_else(|| enough.then_some(whole));
            (*cell, value.1, own.map(|m| value.1 - m))
        });
        let values = values.collect();
        Some(Sitting { on, values, median: whole, after: self.after(first) })
    }

    /// What was done in the hours before a moment.
    fn after(&self, at: DateTime) -> After {
        let end = self.charges.partition_point(|c| c.0 <= at);
        let recent = self.charges[..end].iter().rev();
        let mut recent = recent.take_while(|c| hours(c.0, at) <= AFTER_HOURS);
        recent.next().map_or(After::Nothing, |c| c.1)
    }
}

/// Readings far from those before and those after; the last one is odd only until the next is read.
fn odd_ones(series: &[(Date, f64)], jump: f64) -> Vec<(Date, DoubtKind)> {
    let mut odd: Vec<(Date, DoubtKind)> = Vec::new();
    let mut good: Vec<f64> = Vec::new();
    for (at, (day, value)) in series.iter().enumerate() {
        let from = good.len().saturating_sub(NEIGHBOURS);
        let before = &good[from..];
        let after: Vec<f64> = series[at + 1..].iter().take(NEIGHBOURS).map(|s| s.1).collect();
        let far = |others: &[f64]| median(others).is_some_and(|m| jump < (value - m).abs());
        let kind = match (before.len(), after.len()) {
            (0, 2..) => far(&after).then_some(DoubtKind::Mistyped),
            (0, _) | (1, 0 | 1) => None,
            (_, 0) => far(before).then_some(DoubtKind::Odd),
            (_, _) => (far(before) && far(&after)).then_some(DoubtKind::Mistyped),
        };
        match kind {
            Some(kind) => odd.push((*day, kind)),
            None => good.push(*value),
        }
    }
    odd
}

/// Charges and equalising charges, oldest first.
fn charges(look: &Look<'_>) -> Vec<(DateTime, After)> {
    let after = |event: &Event| match event {
        Event::Equalise { .. } | Event::Charge { end: Some(ChargeEnd::Full), .. } => {
            Some(After::Full)
        }
        Event::Charge { .. } => Some(After::Charge),
        _ => None,
    };
    look.entries().iter().filter_map(|e| Some((e.at, after(&e.event)?))).collect()
}

#[cfg(test)]
mod tests {
    use super::odd_ones;
    use crate::care::believed::DoubtKind;
    use jiff::civil::{Date, date};

    fn series(values: &[f64]) -> Vec<(Date, f64)> {
        let day = |at: usize| i8::try_from(at + 1).map_or(date(2026, 1, 1), |d| date(2026, 1, d));
        values.iter().enumerate().map(|(at, v)| (day(at), *v)).collect()
    }

    #[test]
    fn one_far_reading_is_a_slip_and_two_are_a_change() {
        let found = odd_ones(&series(&[0.0, 0.001, -0.001, -0.1, 0.0, 0.001]), 0.035);
        assert_eq!(found, [(date(2026, 1, 4), DoubtKind::Mistyped)], "one between good ones");
        let found = odd_ones(&series(&[0.0, 0.001, -0.001, -0.1, -0.1, -0.1]), 0.035);
        assert_eq!(found, [], "it stays there: the cell has changed");
        let found = odd_ones(&series(&[0.0, 0.001, -0.001, -0.1]), 0.035);
        assert_eq!(found, [(date(2026, 1, 4), DoubtKind::Odd)], "the next one will tell");
    }
}

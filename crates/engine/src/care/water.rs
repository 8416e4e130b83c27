//! Water each cell takes, against its neighbours and against what charging should cost.

use super::look::{Look, covers, days};
use super::robust::count;
use crate::calc::gassing::water_cm3;
use crate::evidence::log::{CellId, Event, Subject};
use crate::model::block::Chemistry;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Water of one cell.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterUse {
    /// Which.
    pub cell: CellId,
    /// From the first filling counted.
    pub from: Date,
    /// To the last.
    pub to: Date,
    /// Water in that time, the first filling left out [cm3].
    pub volume_cm3: f64,
    /// The same for thirty days [cm3].
    pub per_month_cm3: f64,
    /// Over the mean of the other cells of its string [1]; `None` where they have none.
    pub over_string: Option<f64>,
    /// What the charges of that time should have cost, least and most [cm3]; `None` where the log does not
    /// tell the amp-hours.
    pub expected_cm3: Option<(f64, f64)>,
    /// Overcharge that this much water stands for [Ah].
    pub overcharge_ah: f64,
    /// The fillings, oldest first: entry and volume.
    pub fillings: Vec<(i64, f64)>,
}

/// Fillings of a cell from which its use is told.
const FILLINGS: usize = 3;

/// Water of every flooded cell that was filled often enough.
pub(super) fn of(look: &Look<'_>) -> Vec<WaterUse> {
    if look.chemistry() != Some(Chemistry::Flooded) {
        return Vec::new();
    }
    let fillings = fillings(look);
    let per_day: BTreeMap<CellId, f64> = fillings
        .iter()
        .filter(|(_, f)| FILLINGS <= f.len())
        .filter_map(|(cell, f)| Some((*cell, per_day(f)?)))
        .collect();
    let uses = per_day.keys().filter_map(|cell| {
        let own = fillings.get(cell)?;
        let (first, last) = (own.first()?, own.last()?);
        let volume_cm3: f64 = own.iter().skip(1).map(|f| f.2).sum();
        let string =
            per_day.iter().filter(|(c, _)| c.block.string == cell.block.string && *c != cell);
        let others: Vec<f64> = string.map(|(_, v)| *v).collect();
        let mean = others.iter().sum::<f64>() / count(others.len()).max(1.0);
        let over = (!others.is_empty() && 0.0 < mean).then(|| per_day.get(cell).map(|v| v / mean));
        let one_ah = water_cm3(look.tables, 1.0, 1.0).value;
        Some(WaterUse {
            cell: *cell,
            from: first.0,
            to: last.0,
            volume_cm3,
            per_month_cm3: per_day.get(cell).map_or(0.0, |v| v * 30.0),
            over_string: over.flatten(),
            expected_cm3: expected(look, first.0, last.0),
            overcharge_ah: volume_cm3 / one_ah,
            fillings: own.iter().map(|f| (f.1, f.2)).collect(),
        })
    });
    uses.collect()
}

/// Day, entry and volume of each filling of each cell, oldest first; those of a block that was replaced
/// left out.
fn fillings(look: &Look<'_>) -> BTreeMap<CellId, Vec<(Date, i64, f64)>> {
    let mut all: BTreeMap<CellId, Vec<(Date, i64, f64)>> = BTreeMap::new();
    for entry in look.entries() {
        match (&entry.event, &entry.subject) {
            (Event::Water { volume_cm3: Some(volume), .. }, Subject::Cell(cell)) => {
                all.entry(*cell).or_default().push((entry.at.date(), entry.id, *volume));
            }
            (Event::Replaced { .. }, subject) => {
                all.retain(|cell, _| !covers(subject, cell.block));
            }
            _ => {}
        }
    }
    all
}

/// Volume a day; the first filling makes good what was used before the log and is left out.
fn per_day(fillings: &[(Date, i64, f64)]) -> Option<f64> {
    let span = f64::from(days(fillings.first()?.0, fillings.last()?.0));
    let volume: f64 = fillings.iter().skip(1).map(|f| f.2).sum();
    (0.0 < span).then(|| volume / span)
}

/// Water that the charges of a time should have cost each cell.
fn expected(look: &Look<'_>, from: Date, to: Date) -> Option<(f64, f64)> {
    let parallel = f64::from(look.bank()?.parallel.max(1));
    let amp_hours: f64 = look
        .entries()
        .iter()
        .filter(|e| from < e.at.date() && e.at.date() <= to)
        .filter_map(|e| match e.event {
            Event::Charge { amp_hours, .. } => amp_hours,
            _ => None,
        })
        .sum();
    if amp_hours <= 0.0 {
        return None;
    }
    let cost = |id: &str| {
        let gas_ah = amp_hours / parallel * look.limit(id).value;
        water_cm3(look.tables, gas_ah, 1.0).value
    };
    Some((cost("overcharge-share-low"), cost("overcharge-share-high")))
}

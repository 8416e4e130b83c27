//! Expected readings, each computed from the circuit as it stands at that line.

use super::bench::{Across, Bench, Charge, State};
use super::build::{Meaning, Reading};
use super::job::Job;
use crate::circuit::error::SolveError;
use crate::model::bank::{Bank, BlockId};
use crate::model::lead::Terminal;
use crate::units::reading::Quantity;
use crate::units::show::fixed;

/// The smallest meter range that holds a voltage.
#[must_use]
pub fn range_for(volts: f64) -> String {
    let ranges = [(0.2, "200 mV"), (2.0, "2 V"), (20.0, "20 V"), (200.0, "200 V")];
    let range = ranges.into_iter().find(|(most, _)| volts.abs() < *most);
    format!("{} DC", range.map_or("600 V", |r| r.1))
}

/// Where the tips go.
#[must_use]
pub fn tips(red: &Terminal, black: &Terminal) -> String {
    format!("red on {red}, black on {black}")
}

/// Error of the owner's meter at a voltage; it does not fall below half the error at 12 V.
///
/// # Formula
/// d = e * max(|U| / 12, 1 / 2)
/// # Symbols
/// - `meter_v`: e, error at 12 V [V]
/// - `volts`: U, the reading [V]
/// - returns d [V]
/// # Valid
/// A hand-held meter on its own range.
/// # Source
/// data/rules/limits.csv meter-voltage-error, status practice
/// # Checked by
/// `a_six_volt_block_is_read_to_a_hundredth`; this cannot detect a bad meter
#[must_use]
pub fn meter_error(meter_v: f64, volts: f64) -> f64 {
    meter_v * (volts.abs() / 12.0).max(0.5)
}

/// Volts between two points as the circuit stands, with the band of a sound bank.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn volts(
    job: &Job<'_>,
    bench: &Bench<'_>,
    state: &State,
    id: &str,
    between: (&Terminal, &Terminal),
) -> Result<Reading, SolveError> {
    let stated = bench.across_at(Charge::Stated, state, between)?;
    let low = bench.across_at(Charge::Low, state, between)?;
    let mut reading = Reading {
        id: id.to_owned(),
        quantity: Quantity::Volts,
        expect: None,
        low: None,
        high: None,
        range: range_for(job.string_volts()),
        probes: tips(between.0, between.1),
        between: Some((between.0.clone(), between.1.clone())),
        note: None,
    };
    let (Across::Volts(stated), Across::Volts(low)) = (stated, low) else {
        reading.note = Some(
            "no conductor joins these two points: a meter shows nothing steady here".to_owned(),
        );
        return Ok(reading);
    };
    let high = stated + stated.abs() * job.figures.rest_above;
    let error = meter_error(job.figures.meter_v, stated);
    reading.expect = Some(stated);
    reading.range = range_for(stated * 1.05);
    reading.low = Some(low.min(stated) - error);
    reading.high = Some(high.max(low) + error);
    Ok(reading)
}

/// One block by itself, before anything is on its posts.
#[must_use]
pub fn block(job: &Job<'_>, id: BlockId) -> Reading {
    let (red, black) = (Terminal::plus(id), Terminal::minus(id));
    let emf = job.facts.block(id).map(|b| b.emf.as_volts());
    let band = job.bands.get(&id).copied();
    let error = emf.map_or(0.0, |v| meter_error(job.figures.meter_v, v));
    Reading {
        id: id.to_string(),
        quantity: Quantity::Volts,
        expect: emf,
        low: band.map(|b| b.0 - error),
        high: band.map(|b| b.1 + error),
        range: range_for(emf.unwrap_or(20.0) * 1.05),
        probes: tips(&red, &black),
        between: Some((red, black)),
        note: None,
    }
}

/// The two ends of a string.
#[must_use]
pub fn string_ends(bank: &Bank, string: u32) -> (Terminal, Terminal) {
    (Bank::string_plus(string), bank.string_minus(string))
}

/// Volts that may stand across a gap that is closed: the rule's, or the maker's where smaller.
#[must_use]
pub fn gap_limit(job: &Job<'_>) -> f64 {
    let maker = job
        .facts
        .blocks
        .iter()
        .filter_map(|b| job.model_of(b.id)?.join_within)
        .map(crate::units::Voltage::as_volts)
        .fold(f64::INFINITY, f64::min);
    job.figures.gap_v.min(maker)
}

/// The gap of a lead that closes a loop: near zero, whatever the charge of the blocks.
#[must_use]
pub fn gap(job: &Job<'_>, id: &str, between: (&Terminal, &Terminal), expect: f64) -> Reading {
    let limit = gap_limit(job);
    Reading {
        id: format!("gap {id}"),
        quantity: Quantity::Volts,
        expect: Some(if expect.abs() < limit { 0.0 } else { expect }),
        low: Some(-limit),
        high: Some(limit),
        // The range must hold what a string turned backwards would show.
        range: range_for(2.0 * job.string_volts()),
        probes: tips(between.0, between.1),
        between: Some((between.0.clone(), between.1.clone())),
        note: None,
    }
}

/// What other readings at a closing gap mean, smallest first.
///
/// A lead one post short of the string's end shows one block. A reversed block takes its own
/// volts out of the string twice. A lead on the wrong end shows the whole string; a string turned
/// round shows it twice. Readings that fall together are told together.
#[must_use]
pub fn gap_meanings(job: &Job<'_>) -> Vec<Meaning> {
    let Some(bank) = job.design.bank() else {
        return Vec::new();
    };
    let string = job.string_volts();
    let block = string / f64::from(bank.series.max(1));
    let mut causes: Vec<(f64, &str)> = Vec::new();
    if bank.series == 2 {
        causes.push((block, "the lead is on the middle post of a string"));
    } else if bank.series > 2 {
        causes.push((block, "the lead is one block away from the end of a string"));
    }
    if bank.series > 1 {
        causes.push((2.0 * block, "a block is reversed"));
    }
    causes.push((string, "the lead is on the wrong post, plus for minus"));
    causes.push((2.0 * string, "a whole string is backwards"));
    let mut meanings: Vec<Meaning> = Vec::new();
    for (about_v, says) in causes {
        // A tenth of a block apart cannot be told apart by an owner who reads "about".
        match meanings.iter_mut().find(|m| (m.about_v - about_v).abs() < 0.1 * block) {
            Some(same) => same.says = format!("{}, or {says}", same.says),
            None => meanings.push(Meaning { about_v, says: says.to_owned() }),
        }
    }
    meanings.sort_by(|a, b| a.about_v.total_cmp(&b.about_v));
    meanings
}

/// One line of a gate bar: `about 6.3 V: the lead is on the middle post of a string`.
#[must_use]
pub fn meaning_line(meaning: &Meaning) -> String {
    format!("about {} V: {}", fixed(meaning.about_v, 1), meaning.says)
}

#[cfg(test)]
mod tests {
    use super::meter_error;

    #[test]
    fn a_six_volt_block_is_read_to_a_hundredth() {
        // Hand worked: 0.02 V at 12 V is 0.01 V at 6 V, and stays there for a 2 V cell.
        for (volts, want) in [(12.0, 0.02), (6.0, 0.01), (2.0, 0.01), (-48.0, 0.08)] {
            let got = meter_error(0.02, volts);
            assert!((got - want).abs() < 1e-12, "{volts} V: {got}");
        }
    }
}

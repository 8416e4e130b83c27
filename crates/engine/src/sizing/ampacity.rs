//! The current a size may carry all day where this lead lies, and the smallest size that may.

use super::rules::Rules;
use crate::cite::{Cite, Status};
use crate::tables::Tables;
use crate::tables::ampacity::{AmpacityTable, Surroundings};
use crate::units::conductor::ConductorSize;
use crate::units::{Temperature, show};

/// What of a lead decides how much it may carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bed {
    pub(super) insulation: Temperature,
    pub(super) around: Surroundings,
}

/// An allowable current with the way it was reached.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Allowed {
    pub(super) amps: f64,
    /// The table figure and its factors in words: `210 A at 105 °C, engine space x 0.85`.
    pub(super) says: String,
    pub(super) cites: Vec<Cite>,
    pub(super) status: Status,
}

/// The current a size may carry; `None` where the practice's table has no figure for it.
///
/// `circuit_a` is the current of the circuit: the NEC lets a lead be used no hotter than the
/// terminals at its ends, and those are taken as the cooler kind up to 100 A.
pub(super) fn allowed(
    tables: &Tables,
    rules: &Rules<'_>,
    size: ConductorSize,
    bed: &Bed,
    circuit_a: f64,
) -> Option<Allowed> {
    let found = tables.ampacity(rules.table(), size, bed.insulation, &bed.around)?;
    let mut says = format!(
        "{} at {}\u{a0}°C",
        show::current(found.base.value),
        show::decimal(found.column_c, 0)
    );
    let mut cites = vec![found.base.cite.clone()];
    for step in &found.steps {
        says = format!("{says}, {} x\u{a0}{}", step.what, show::decimal(step.factor.value, 2));
        cites.push(step.factor.cite.clone());
    }
    let mut amps = found.current.value.as_amps();
    let mut status = found.current.cite.status;
    if let Some((most, cite, column_c)) = terminal_limit(tables, rules, size, circuit_a)
        && most < amps
    {
        amps = most;
        status = status.weaker(cite.status);
        says = format!(
            "{} A at {}\u{a0}°C terminals",
            show::decimal(most, 0),
            show::decimal(column_c, 0)
        );
        cites.push(cite);
    }
    Some(Allowed { amps, says, cites, status })
}

/// The same current alone, without the words for it: a search asks it for hundreds of sizes.
pub(super) fn allowed_amps(
    tables: &Tables,
    rules: &Rules<'_>,
    size: ConductorSize,
    bed: &Bed,
    circuit_a: f64,
) -> Option<f64> {
    let found = tables.ampacity(rules.table(), size, bed.insulation, &bed.around)?;
    let amps = found.current.value.as_amps();
    let most = terminal_limit(tables, rules, size, circuit_a).map_or(amps, |limit| limit.0);
    Some(amps.min(most))
}

/// NEC 110.14(C): the printed figure of the terminals' own column, without any factor.
fn terminal_limit(
    tables: &Tables,
    rules: &Rules<'_>,
    size: ConductorSize,
    circuit_a: f64,
) -> Option<(f64, Cite, f64)> {
    if !matches!(rules.table(), AmpacityTable::Nec31016 | AmpacityTable::Nec31017) {
        return None;
    }
    let up_to = tables.limits.value("terminal-60c-current");
    let row = if circuit_a <= up_to.value { "terminal-cool" } else { "terminal-warm" };
    let column = tables.limits.value(row);
    let at = Temperature::celsius(column.value);
    let base = tables.ampacity(rules.table(), size, at, &Surroundings::alone_at_30c())?;
    Some((base.base.value.as_amps(), column.cite, column.value))
}

/// The number of the smallest size that may carry the current; `None` when none may.
pub(super) fn smallest(
    tables: &Tables,
    rules: &Rules<'_>,
    bed: &Bed,
    amps: f64,
    circuit_a: f64,
) -> Option<usize> {
    rules.sizes.iter().position(|c| {
        allowed_amps(tables, rules, c.size, bed, circuit_a).is_some_and(|a| amps <= a + 1e-9)
    })
}

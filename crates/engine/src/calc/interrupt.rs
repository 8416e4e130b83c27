//! What the main fuse or breaker of a bank must be able to break.

use crate::calc::short_circuit::bank_fault_current;
use crate::tables::{Sourced, Tables};
use crate::units::{Current, Interrupt, Voltage};

/// What is known of a bank's short-circuit current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaultFacts {
    /// The maker's short-circuit current of one block, if he gives one.
    pub block: Option<Current>,
    /// Cold cranking amps of one block, if its label gives them.
    pub cranking: Option<Current>,
    /// Strings in parallel.
    pub strings: u32,
    /// Amp-hours of the bank at the 20 h rate.
    pub capacity_ah: f64,
    /// Nominal volts of the bank.
    pub nominal: Voltage,
}

/// What the main device must break.
#[derive(Clone, Debug, PartialEq)]
pub enum InterruptNeeded {
    /// At least this.
    AtLeast(Sourced<Interrupt>),
    /// No published figure covers this bank: its maker must be asked.
    AskMaker,
}

/// Interrupt rating that the main device of a bank needs.
///
/// # Formula
/// A known: N = Np * Ib, and where N is above Nh at least Nm; unknown: N from the table of cranking amps
/// # Symbols
/// - `facts`: Ib, maker's short-circuit current of a block [A]; Np, strings; cranking amps [A]; bank
///   capacity [Ah]; nominal volts [V]
/// - `tables`: Nh, sum above which a high rating is asked for; Nm, that high rating [A]; the table of
///   cranking amps, and the bank size and volts up to which it may be used
/// - returns N [A], or that the maker must be asked
/// # Valid
/// 12 and 24 V banks by the table; any bank where the maker's figure is known. Series does not add.
/// # Source
/// abyc-e11-forum-quote, interrupt-rating text, read; abyc-e11-older-reprint, table V.A, reprint
/// # Checked by
/// O18; the rows of the table. They cannot tell what the current edition's table says.
#[must_use]
pub fn interrupt_needed(tables: &Tables, facts: &FaultFacts) -> InterruptNeeded {
    if let Some(block) = facts.block {
        let sum = bank_fault_current(block, facts.strings);
        let high = tables.limits.value("aic-short-circuit-high");
        let mut needed = sum.as_amps();
        if high.value < needed {
            needed = needed.max(tables.limits.value("aic-high-interrupt-min").value);
        }
        return InterruptNeeded::AtLeast(Sourced::new(Interrupt::amps(needed), high.cite));
    }
    table_answer(tables, facts).map_or(InterruptNeeded::AskMaker, InterruptNeeded::AtLeast)
}

/// The older table's figure, where the bank is small enough for it.
fn table_answer(tables: &Tables, facts: &FaultFacts) -> Option<Sourced<Interrupt>> {
    let total = facts.cranking? * f64::from(facts.strings);
    let low = facts.nominal.as_volts() <= tables.limits.value("aic-table-voltage-max").value;
    let small = low
        && total.as_amps() <= tables.limits.value("aic-cca-table-max").value
        && facts.capacity_ah <= tables.limits.value("aic-capacity-table-max").value;
    let (main, _) = tables.overcurrent.interrupt_by_cranking(total).filter(|_| small)?;
    Some(main)
}

#[cfg(test)]
mod tests {
    use super::{FaultFacts, InterruptNeeded, interrupt_needed};
    use crate::cite::Status;
    use crate::tables::Tables;
    use crate::tables::oracles::oracle;
    use crate::units::{Current, Voltage};

    fn needed(facts: FaultFacts) -> Option<(f64, Status)> {
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        match interrupt_needed(&tables, &facts) {
            InterruptNeeded::AtLeast(n) => Some((n.value.as_amps(), n.cite.status)),
            InterruptNeeded::AskMaker => None,
        }
    }

    fn unknown() -> FaultFacts {
        FaultFacts {
            block: None,
            cranking: None,
            strings: 1,
            capacity_ah: 100.0,
            nominal: Voltage::volts(12.0),
        }
    }

    #[test]
    fn the_published_bank_of_six_blocks() {
        let row = oracle("O18", "short_circuit");
        let strings = row.word("parallel").parse().expect("a count");
        let block = Some(Current::amps(row.input("block_a")));
        let (amps, _) = needed(FaultFacts { block, strings, ..unknown() }).expect("a figure");
        row.check(amps);
    }

    #[test]
    fn above_10_ka_at_least_20_ka_is_asked() {
        // Hand worked: 2 * 6 kA = 12 kA, above 10 kA, so 20 kA; 3 * 9 kA = 27 kA stays 27 kA.
        let high = |amps, strings| {
            let facts = FaultFacts { block: Some(Current::amps(amps)), strings, ..unknown() };
            needed(facts).expect("a figure").0
        };
        assert!((high(6_000.0, 2) - 20_000.0).abs() < 1e-6, "12 kA asks 20 kA");
        assert!((high(9_000.0, 3) - 27_000.0).abs() < 1e-6, "27 kA asks itself");
    }

    #[test]
    fn cranking_amps_stand_in_for_a_small_bank_only() {
        let cranking = Some(Current::amps(600.0));
        let one = needed(FaultFacts { cranking, ..unknown() }).expect("a figure");
        assert!((one.0 - 1_500.0).abs() < 1e-6, "600 A: first row of the table");
        assert_eq!(one.1, Status::Reprint, "the table is a reprint");
        let two = needed(FaultFacts { cranking, strings: 2, ..unknown() }).expect("a figure");
        assert!((two.0 - 5_000.0).abs() < 1e-6, "1200 A: last row");
        let four = FaultFacts { cranking, strings: 4, ..unknown() };
        assert_eq!(needed(four), None, "2400 A: the maker must be asked");
        let large = FaultFacts { cranking, capacity_ah: 501.0, ..unknown() };
        assert_eq!(needed(large), None, "501 Ah: the maker must be asked");
        assert_eq!(needed(unknown()), None, "nothing known");
        // The table's own heading is 12 to 24 V; a 48 V bank is outside it.
        let at = |volts| FaultFacts { cranking, nominal: Voltage::volts(volts), ..unknown() };
        assert!(needed(at(24.0)).is_some(), "24 V: the table's last");
        assert_eq!(needed(at(48.0)), None, "48 V: the maker must be asked");
    }
}

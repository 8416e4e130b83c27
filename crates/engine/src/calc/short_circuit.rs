//! What flows when a bank is shorted, and what a fuse must therefore break.

use crate::tables::Sourced;
use crate::tables::limits::Limits;
use crate::units::{Current, Resistance, Voltage};

/// Current into a dead short.
///
/// # Formula
/// I = E / R
/// # Symbols
/// - `rest`: E, open-circuit volts [V]
/// - `path`: R, everything in the loop, battery included [ohm]
/// - returns I [A]
/// # Valid
/// A resistance above zero. The first instant of a lead battery is higher, a second later lower; an LFP
/// block with a board opens first.
/// # Source
/// physics, Ohm's law, computed
/// # Checked by
/// O19 `pack` and `cell`
#[must_use]
pub fn fault_current(rest: Voltage, path: Resistance) -> Current {
    Current::amps(rest.as_volts() / path.as_ohms())
}

/// Resistance of equal cells in a row with the jumpers between them.
///
/// # Formula
/// R = n * Rc + m * Rj
/// # Symbols
/// - `cell`: Rc [ohm]
/// - `cells`: n
/// - `jumper`: Rj [ohm]
/// - `jumpers`: m
/// - returns R [ohm]
/// # Valid
/// One string.
/// # Source
/// physics, resistances in series add, computed
/// # Checked by
/// O19 `resistance`
#[must_use]
pub fn string_resistance(
    cell: Resistance,
    cells: u32,
    jumper: Resistance,
    jumpers: u32,
) -> Resistance {
    cell * f64::from(cells) + jumper * f64::from(jumpers)
}

/// What the fuses of a bank must break: the blocks' ratings add in parallel and not in series.
///
/// # Formula
/// I = Np * Ib
/// # Symbols
/// - `block`: Ib, the maker's short-circuit current of one block [A]
/// - `strings`: Np, strings in parallel
/// - returns I [A]
/// # Valid
/// Equal blocks. The true current is less by the resistance of links and leads.
/// # Source
/// abyc-e11-forum-quote, six 6 V blocks as 12 V, read
/// # Checked by
/// O18
#[must_use]
pub fn bank_fault_current(block: Current, strings: u32) -> Current {
    block * f64::from(strings)
}

/// Rough resistance of a 12 V block from its cold cranking amps, where its maker gives nothing better.
///
/// # Formula
/// R = w * (Er - Ee) / CCA
/// # Symbols
/// - `cranking`: CCA, at -18 C [A]
/// - `limits`: Er, rest volts; Ee, volts at the end of the test [V]; w, warm over cold resistance
/// - returns R at 25 C [ohm], recalled
/// # Valid
/// 12 V lead blocks, order of magnitude only.
/// # Source
/// sae-j537, end voltage, recalled; memory, CCA shortcut, recalled
/// # Checked by
/// The hand-worked case below only: no published figure was found.
#[must_use]
pub fn resistance_from_cranking(cranking: Current, limits: &Limits) -> Sourced<Resistance> {
    let (rest, end) = (limits.value("cca-rest-voltage"), limits.value("cca-end-voltage"));
    let warm = limits.value("cca-warm-factor");
    let ohms = warm.value * (rest.value - end.value) / cranking.as_amps();
    let mut cite = rest.cite;
    cite.status = cite.status.weaker(end.cite.status).weaker(warm.cite.status);
    Sourced::new(Resistance::ohms(ohms), cite)
}

#[cfg(test)]
mod tests {
    use super::{bank_fault_current, fault_current, resistance_from_cranking, string_resistance};
    use crate::cite::Status;
    use crate::tables::Tables;
    use crate::tables::oracles::oracle;
    use crate::units::{Current, Resistance, Voltage};

    #[test]
    fn published_pack_of_four_cells() {
        let row = oracle("O19", "resistance");
        // Whole numbers in the data file.
        let count = |name: &str| row.word(name).parse().expect("a count");
        let loop_resistance = string_resistance(
            Resistance::milliohms(row.input("cell_mohm")),
            count("cells"),
            Resistance::milliohms(row.input("jumper_mohm")),
            count("jumpers"),
        );
        row.check(loop_resistance.as_milliohms());
        for quantity in ["pack", "cell"] {
            let row = oracle("O19", quantity);
            let path = Resistance::milliohms(row.input("resistance_mohm"));
            row.check(fault_current(Voltage::volts(row.input("voltage_v")), path).as_amps());
        }
    }

    #[test]
    fn parallel_adds_and_series_does_not() {
        let row = oracle("O18", "short_circuit");
        let strings = row.word("parallel").parse().expect("a count");
        row.check(bank_fault_current(Current::amps(row.input("block_a")), strings).as_amps());
    }

    #[test]
    fn a_shorted_pair_of_strings_through_two_aught() {
        // Hand worked: 12.7 V over 2.7 + 1.043 + 0.3 mohm = 3141 A.
        let path = Resistance::milliohms(2.7 + 1.043 + 0.3);
        let amps = fault_current(Voltage::volts(12.7), path).as_amps();
        assert!((amps - 3141.0).abs() < 1.0, "{amps} A");
    }

    #[test]
    fn cranking_amps_give_a_rough_resistance_and_say_so() {
        // Hand worked: 0.5 * (12.6 - 7.2) V / 600 A = 4.5 mohm.
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let rough = resistance_from_cranking(Current::amps(600.0), &tables.limits);
        assert!((rough.value.as_milliohms() - 4.5).abs() < 1e-9, "{:?}", rough.value);
        assert_eq!(rough.cite.status, Status::Recalled, "nobody printed this");
    }
}

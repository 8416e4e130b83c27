//! Gas a lead cell makes on charge, and the water that goes with it.

use crate::number::exp;
use crate::tables::Sourced;
use crate::tables::Tables;

/// The current that makes gas in a lead cell held at some volts.
///
/// # Formula
/// I = (C/100) I0 exp(cu (U - 2.23) + cT (T - 298 K))
/// # Symbols
/// - `amp_hours`: C [Ah]
/// - `cell_v`: U, volts of one cell [V]
/// - `cell_c`: T [C]
/// - `sealed`: valve-regulated instead of vented
/// - returns I [A]
/// # Valid
/// New cells between about 2.2 and 2.7 V; aged ones gas five times as much. In a sealed cell most of the
/// gas becomes water again.
/// # Source
/// schiffer-2007, rows `gassing-*` of `data/rules/limits.csv`, status read but for cu, which is recalled
/// # Checked by
/// O116
#[must_use]
pub fn gassing_a(tables: &Tables, amp_hours: f64, cell: (f64, f64), sealed: bool) -> Sourced<f64> {
    let (cell_v, cell_c) = cell;
    let limit = |id: &str| tables.limits.value(id).value;
    let id = if sealed { "gassing-current-sealed" } else { "gassing-current-vented" };
    let volts = tables.limits.value("gassing-per-volt");
    let warm = cell_c + limit("celsius-zero") - limit("gassing-reference-temperature");
    let power = volts.value * (cell_v - limit("gassing-reference-cell"))
        + limit("gassing-per-kelvin") * warm;
    Sourced::new(amp_hours / 100.0 * limit(id) / 1000.0 * exp(power), volts.cite)
}

/// Water that a charge turned to gas takes out of cells in series.
///
/// # Formula
/// w = 0.336 A n
/// # Symbols
/// - `gas_ah`: A, charge that made gas [Ah]
/// - `cells`: n, cells in series
/// - returns w [cm3]
/// # Valid
/// Vented cells without recombining caps.
/// # Source
/// doe-hdbk-1084, page 33, row `water-per-ah` of `data/rules/limits.csv`, status read; two other figures of
/// the same page are slips, see `data/ERRATA.md`
/// # Checked by
/// O117, which is Faraday's law
#[must_use]
pub fn water_cm3(tables: &Tables, gas_ah: f64, cells: f64) -> Sourced<f64> {
    tables.limits.value("water-per-ah").map(|per_ah| per_ah * gas_ah * cells)
}

#[cfg(test)]
mod tests {
    use super::{gassing_a, water_cm3};
    use crate::tables::Tables;
    use crate::tables::oracles::battery_oracle;

    #[test]
    fn gas_and_water_at_the_printed_points() {
        let t = Tables::load().expect("the tables are well formed");
        for (quantity, at) in
            [("2.40 V", (2.40, 25.0)), ("2.58 V", (2.58, 25.0)), ("2.40 V warm", (2.40, 35.0))]
        {
            battery_oracle("O116", quantity).check(gassing_a(&t, 100.0, at, false).value);
        }
        battery_oracle("O117", "water").check(water_cm3(&t, 1.0, 1.0).value);
        let sealed = gassing_a(&t, 100.0, (2.4, 25.0), true).value;
        assert!(sealed < gassing_a(&t, 100.0, (2.4, 25.0), false).value, "sealed cells gas less");
    }
}

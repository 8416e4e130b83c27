//! What a conductor survives in a short circuit: the heat stays in the copper, none has time to leave.

use crate::number::ln;
use crate::tables::limits::Limits;
use crate::units::{Area, Current, Duration, Temperature};

/// Heating constant of copper between two temperatures.
///
/// # Formula
/// k = c * sqrt(ln((T0 + Tf) / (T0 + Ti)))
/// # Symbols
/// - `initial`: Ti, conductor temperature before the fault [C]
/// - `last`: Tf, temperature the insulation survives for a moment [C]
/// - `limits`: c, constant of copper [A sqrt(s) / mm2]; T0, as in `resistance::copper_ratio` [C]
/// - returns k [A sqrt(s) / mm2]
/// # Valid
/// `last` above `initial`; faults up to 5 s.
/// # Source
/// iec-60364-5-54, k = 226 sqrt(ln((234.5+Tf)/(234.5+Ti))), reprint
/// # Checked by
/// Every printed k of `data/overcurrent/adiabatic_k_iec_60364_5_54.csv`, within 0.5.
#[must_use]
pub fn heating_constant(initial: Temperature, last: Temperature, limits: &Limits) -> f64 {
    let zero = limits.value("copper-zero-resistance-temperature").value;
    let ratio = (zero + last.as_celsius()) / (zero + initial.as_celsius());
    limits.value("adiabatic-constant").value * ln(ratio).max(0.0).sqrt()
}

/// How long a conductor bears a fault current.
///
/// # Formula
/// t = (k * S / I)^2
/// # Symbols
/// - `k`: k [A sqrt(s) / mm2]
/// - `copper`: S [mm2]
/// - `fault`: I [A]
/// - returns t [s]
/// # Valid
/// Results to 5 s; beyond that heat leaves the copper and the true time is longer.
/// # Source
/// iec-60364-5-54, I2 t <= k2 S2, reprint
/// # Checked by
/// The worked fault in the tests; O27 and O28 from the other side.
#[must_use]
pub fn withstand_time(k: f64, copper: Area, fault: Current) -> Duration {
    let root = k * copper.as_mm2() / fault.as_amps();
    Duration::seconds(root * root)
}

/// Copper that bears a fault current for a time.
///
/// # Formula
/// S = I * sqrt(t) / k
/// # Symbols
/// - `k`: k [A sqrt(s) / mm2]
/// - `fault`: I [A]
/// - `clears`: t, the time in which the fuse has opened [s]
/// - returns S [mm2]
/// # Valid
/// Times to 5 s.
/// # Source
/// iec-60364-5-54, I2 t <= k2 S2, reprint
/// # Checked by
/// O27 O28
#[must_use]
pub fn copper_for_fault(k: f64, fault: Current, clears: Duration) -> Area {
    Area::mm2(fault.as_amps() * clears.as_seconds().sqrt() / k)
}

#[cfg(test)]
mod tests {
    use super::{copper_for_fault, heating_constant, withstand_time};
    use crate::tables::Tables;
    use crate::tables::oracles::oracle;
    use crate::units::{Area, Current, Duration};

    #[test]
    fn published_areas() {
        for id in ["O27", "O28"] {
            let row = oracle(id, "area");
            let fault = Current::amps(row.input("current_a"));
            let clears = Duration::seconds(row.input("time_s"));
            row.check(copper_for_fault(row.input("k"), fault, clears).as_mm2());
        }
    }

    #[test]
    fn every_row_of_k_follows_the_law() {
        // Printed figures are whole numbers, hence half a unit.
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        for row in tables.overcurrent.adiabatic() {
            let law = heating_constant(row.initial, row.last, &tables.limits);
            let gap = (law - row.k.value).abs();
            assert!(
                gap <= 0.51,
                "{}: {law} by the law, {} in the table",
                row.insulation,
                row.k.value
            );
        }
    }

    #[test]
    fn two_aught_in_a_shorted_bank() {
        // Hand worked: 115 * 67.43 / 3141 = 2.4688, squared 6.095 s; 143 gives 3.0699, squared 9.424 s.
        let (copper, fault) = (Area::mm2(67.43), Current::amps(3141.0));
        for (k, seconds) in [(115.0, 6.095), (143.0, 9.424)] {
            let time = withstand_time(k, copper, fault).as_seconds();
            assert!((time - seconds).abs() < 0.002, "k {k}: {time} s");
            let back = copper_for_fault(k, fault, Duration::seconds(time)).as_mm2();
            assert!((back - 67.43).abs() < 1e-9, "k {k}: {back} mm2 back");
        }
    }
}

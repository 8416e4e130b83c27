//! Derating of wire in bundles and heat, by the aircraft circular: a cross-check of the boat tables,
//! never mixed with them.

use crate::tables::limits::Limits;
use crate::units::{Current, Length, Temperature};

/// A current after factors that multiply.
///
/// # Formula
/// I = I0 * f1 * f2 ...
/// # Symbols
/// - `free_air`: I0 [A]
/// - `factors`: altitude, bundle and others
/// - returns I [A]
/// # Valid
/// Factors of one text. Factors of two texts are never multiplied.
/// # Source
/// faa-ac-43-13-1b, page 11-27 example 2, read
/// # Checked by
/// O10; O20 O21 O22 check the same product in the boat tables.
#[must_use]
pub fn derated(free_air: Current, factors: &[f64]) -> Current {
    factors.iter().fold(free_air, |current, factor| current * *factor)
}

/// Temperature a wire reaches at part of its allowed current.
///
/// # Formula
/// T2 = T1 + (TR - T1) * sqrt(I2 / Imax)
/// # Symbols
/// - `ambient`: T1 [C]
/// - `rated`: TR, temperature rating of the wire [C]
/// - `current`: I2 [A]
/// - `allowed`: Imax, current that brings it to its rating [A]
/// - returns T2 [C]
/// # Valid
/// I2 from zero to Imax. Heat goes with the square of the current, so the square root of this text
/// overstates the temperature below Imax: on the safe side for resistance.
/// # Source
/// faa-ac-43-13-1b, pages 11-23 and 11-27, recalled; the inputs were read
/// # Checked by
/// O11. Its answer is recalled too, so a formula wrong in the same way would pass.
#[must_use]
pub fn wire_temperature(
    ambient: Temperature,
    rated: Temperature,
    current: Current,
    allowed: Current,
) -> Temperature {
    ambient + (rated - ambient) * (current / allowed).max(0.0).sqrt()
}

/// A run that was found for copper at 20 C, shortened for the temperature it will have.
///
/// # Formula
/// L2 = L1 * (T0 + 20) / (T0 + T2)
/// # Symbols
/// - `run`: L1, length for an allowed drop at 20 C [m]
/// - `temperature`: T2 [C]
/// - `limits`: T0, as in `resistance::copper_ratio` [C]
/// - returns L2, length for the same drop at T2 [m]
/// # Valid
/// As `resistance::copper_ratio`.
/// # Source
/// faa-ac-43-13-1b, page 11-22, read
/// # Checked by
/// O12
#[must_use]
pub fn run_when_warm(run: Length, temperature: Temperature, limits: &Limits) -> Length {
    let cold = Temperature::celsius(20.0);
    run / super::resistance::copper_ratio(cold, temperature, limits)
}

#[cfg(test)]
mod tests {
    use super::{derated, run_when_warm, wire_temperature};
    use crate::tables::Tables;
    use crate::tables::ampacity::{AmpacityTable, Surroundings};
    use crate::tables::oracles::oracle;
    use crate::units::conductor::{ConductorSize, Gauge};
    use crate::units::{Current, Length, Temperature};

    #[test]
    fn faa_bundle_at_altitude() {
        let row = oracle("O10", "altitude");
        let (free, altitude) =
            (Current::amps(row.input("free_air_a")), row.input("altitude_factor"));
        row.check(derated(free, &[altitude]).as_amps());
        let row = oracle("O10", "bundle");
        row.check(derated(free, &[altitude, row.input("bundle_factor")]).as_amps());
    }

    #[test]
    fn faa_wire_temperature_and_run() {
        let row = oracle("O11", "temperature");
        let reached = wire_temperature(
            Temperature::celsius(row.input("ambient_c")),
            Temperature::celsius(row.input("rated_c")),
            Current::amps(row.input("current_a")),
            Current::amps(row.input("current_max_a")),
        );
        row.check(reached.as_celsius());
        let row = oracle("O12", "length");
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let run = Length::feet(row.input("length_ft"));
        let warm = Temperature::celsius(row.input("temperature_c"));
        row.check(run_when_warm(run, warm, &tables.limits).as_feet());
    }

    #[test]
    fn no_current_leaves_the_ambient_and_all_of_it_the_rating() {
        let (air, rated) = (Temperature::celsius(30.0), Temperature::celsius(105.0));
        let at = |amps| {
            wire_temperature(air, rated, Current::amps(amps), Current::amps(120.0)).as_celsius()
        };
        assert!((at(0.0) - 30.0).abs() < 1e-12, "no current, no heat");
        assert!((at(120.0) - 105.0).abs() < 1e-9, "full current, full temperature");
    }

    #[test]
    fn boat_table_factors() {
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        for (id, engine_space) in [("O20", true), ("O21", true), ("O22", false)] {
            let row = oracle(id, "ampacity");
            let gauge = Gauge::from_text(row.word("awg")).expect("a real gauge");
            let conductors =
                if id == "O20" { 1 } else { row.word("conductors").parse().expect("a count") };
            let around = Surroundings { engine_space, conductors, ..Surroundings::alone_at_30c() };
            let insulation = Temperature::celsius(row.input("insulation_c"));
            let size = ConductorSize::Boat(gauge);
            let found = tables.ampacity(AmpacityTable::Cfr33, size, insulation, &around);
            row.check(found.expect("a row").current.value.as_amps());
        }
    }
}

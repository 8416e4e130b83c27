//! How a lead block's internal resistance moves with charge, cold and age.

use crate::number::interpolate;
use crate::tables::{Sourced, Tables};
use crate::units::{Duration, Temperature};

/// Resistance of a lead block on discharge, over its resistance when full.
///
/// # Formula
/// f = 1 + M D / (C - D)
/// # Symbols
/// - `soc`: state of charge; D = 1 - soc, depth of discharge [1]
/// - M, charge-transfer coefficient on discharge [1]
/// - C, normalised capacity on discharge [1]
/// - returns f [1]
/// # Valid
/// Lead, steady discharge. On charge near full the resistance rises far more; the ohmic share of
/// strings on charge is taken with the same factor, which overstates their differences.
/// # Source
/// schiffer-2007, the discharge equation, coefficients in `data/rules/limits.csv`, status read
/// # Checked by
/// `the_factor_of_charge_is_one_when_full`; a hand-worked half
#[must_use]
pub fn factor_of_charge(tables: &Tables, soc: f64) -> Sourced<f64> {
    let m = tables.limits.value("schiffer-discharge-m");
    let c = tables.limits.value("schiffer-discharge-c");
    let depth = 1.0 - soc.clamp(0.0, 1.0);
    Sourced::new(1.0 + m.value * depth / (c.value - depth), m.cite)
}

/// Resistance of a lead block in the cold, over its resistance at the reference.
///
/// # Formula
/// f = 1 / p(T), p interpolated
/// # Symbols
/// - `temperature`: T, temperature of the cells [C]
/// - p, cranking power over that at the reference temperature [1]
/// - returns f [1]
/// # Valid
/// Lead. Cranking power at fixed end volts goes as one over the resistance. Above the reference
/// and below the lowest row the end value is kept.
/// # Source
/// tm-5-1185, cranking power against temperature, rows in `data/battery/cranking_power.csv`, status
/// read; the step from power to resistance computed
/// # Checked by
/// `cold_raises_the_resistance`; these points cannot detect a frozen cell
#[must_use]
pub fn factor_of_temperature(tables: &Tables, temperature: Temperature) -> Sourced<f64> {
    let (rows, cite) = tables.battery.cranking_power();
    let percent = interpolate(rows, temperature.as_celsius()).unwrap_or(100.0);
    Sourced::new(100.0 / percent.max(5.0), cite.clone())
}

/// Resistance of an aged block over its resistance when new.
///
/// # Formula
/// f = 1 + g a
/// # Symbols
/// - `age`: a, time since it was made [year]
/// - g, rise per year [1/year]
/// - returns f [1]
/// # Valid
/// An assumption for planning, shown as one; a measured resistance replaces it.
/// # Source
/// practice, no source: five years give 1.6, status practice
/// # Checked by
/// `five_years_are_one_point_six`
#[must_use]
pub fn factor_of_age(tables: &Tables, age: Duration) -> Sourced<f64> {
    let per_year = tables.limits.value("resistance-rise-per-year");
    Sourced::new(1.0 + per_year.value * age.as_years().max(0.0), per_year.cite)
}

#[cfg(test)]
mod tests {
    use super::{factor_of_age, factor_of_charge, factor_of_temperature};
    use crate::tables::Tables;
    use crate::units::{Duration, Temperature};

    fn tables() -> Tables {
        Tables::load().expect("the tables are well formed")
    }

    #[test]
    fn the_factor_of_charge_is_one_when_full() {
        let tables = tables();
        assert!((factor_of_charge(&tables, 1.0).value - 1.0).abs() < 1e-12, "full");
        // Hand worked: 1 + 0.0464 * 0.5 / (1.75 - 0.5) = 1.01856.
        assert!((factor_of_charge(&tables, 0.5).value - 1.01856).abs() < 1e-9, "half");
        assert!(factor_of_charge(&tables, 0.1).value > 1.018, "it rises as the block empties");
    }

    #[test]
    fn cold_raises_the_resistance() {
        let tables = tables();
        let at = |c: f64| factor_of_temperature(&tables, Temperature::celsius(c)).value;
        assert!((at(27.0) - 1.0).abs() < 0.01, "at the reference");
        // TM 5-1185 prints 40 % of cranking power at 0 F (-17.8 C): 1 / 0.40 = 2.5.
        assert!((at(-17.8) - 2.5).abs() < 0.01, "at 0 F: {}", at(-17.8));
        assert!(at(0.0) > at(10.0), "colder is higher");
    }

    #[test]
    fn five_years_are_one_point_six() {
        let five = factor_of_age(&tables(), Duration::years(5.0)).value;
        assert!((five - 1.6).abs() < 1e-9, "five years: {five}");
    }
}

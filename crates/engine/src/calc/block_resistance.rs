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

/// Resistance of a lead block in the cold, over its resistance where it was stated.
///
/// # Formula
/// f = p(T0) / p(T), p interpolated
/// # Symbols
/// - `temperature`: T, temperature of the cells [C]
/// - `stated_at`: T0, temperature at which the resistance was stated [C]
/// - p, cranking power over that at 80 F [1]
/// - returns f [1]
/// # Valid
/// Lead. Cranking power at fixed end volts goes as one over the resistance. Above the highest and
/// below the lowest row the end value is kept. At T0 itself the factor is one: the owner's figure
/// stands as it was given.
/// # Source
/// tm-5-1185, cranking power against temperature, rows in `data/battery/cranking_power.csv`, status
/// read; the step from power to resistance computed
/// # Checked by
/// `cold_raises_the_resistance`; these points cannot detect a frozen cell
#[must_use]
pub fn factor_of_temperature(
    tables: &Tables,
    temperature: Temperature,
    stated_at: Temperature,
) -> Sourced<f64> {
    let (rows, cite) = tables.battery.cranking_power();
    let percent = |t: Temperature| interpolate(rows, t.as_celsius()).unwrap_or(100.0).max(5.0);
    Sourced::new(percent(stated_at) / percent(temperature), cite.clone())
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
        let eighty_f = Temperature::celsius(26.67);
        let of = |c: f64| factor_of_temperature(&tables, Temperature::celsius(c), eighty_f).value;
        // TM 5-1185 prints 40 % of the cranking power of 80 F at 0 F (-17.8 C): 1 / 0.40 = 2.5.
        assert!((of(-17.8) - 2.5).abs() < 0.01, "at 0 F: {}", of(-17.8));
        let stated = Temperature::celsius(25.0);
        let at = |c: f64| factor_of_temperature(&tables, Temperature::celsius(c), stated).value;
        assert!((at(25.0) - 1.0).abs() < 1e-12, "as stated where it was stated: {}", at(25.0));
        assert!(at(0.0) > at(10.0), "colder is higher");
    }

    #[test]
    fn five_years_are_one_point_six() {
        let five = factor_of_age(&tables(), Duration::years(5.0)).value;
        assert!((five - 1.6).abs() < 1e-9, "five years: {five}");
    }
}

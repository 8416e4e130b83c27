//! Gravity of the acid: corrected for temperature, and what a fall of it means in amp-hours and volts.

use crate::tables::{Sourced, Tables};
use crate::units::Temperature;

/// Gravity as it would be at the reference temperature.
///
/// # Formula
/// G = g + a (T - Tr)
/// # Symbols
/// - `read`: g, as the float showed it [1]
/// - `fluid`: T, temperature of the fluid
/// - `reference`: Tr
/// - `per_kelvin`: a, of the rule in force [1/K]
/// - returns G [1]
/// # Valid
/// About -10 to 50 C; the printed rules differ by a sixth and are never averaged.
/// # Source
/// tm-5-3895-349-14p, navedtra-14344, witte-1922: rows of `data/battery/gravity_temperature.csv`, status
/// read; the European habit is practice
/// # Checked by
/// WE12, WE13, WE14, WE15; they cannot tell which rule suits an acid
#[must_use]
pub fn corrected(read: f64, fluid: Temperature, reference: Temperature, per_kelvin: f64) -> f64 {
    read + per_kelvin * (fluid - reference).as_kelvin()
}

/// Points of gravity that amp-hours taken out cost.
///
/// # Formula
/// p = s A
/// # Symbols
/// - `points_per_ah`: s, from the cell's own sheet or log [1/Ah]
/// - `amp_hours`: A, taken out [Ah]
/// - returns p, thousandths of gravity [1]
/// # Valid
/// Mixed acid, between full and flat: gravity falls in step with the charge taken out.
/// # Source
/// navedtra-14344, state of charge page, status read
/// # Checked by
/// WE09, and WE10 the other way round
#[must_use]
pub const fn points(points_per_ah: f64, amp_hours: f64) -> f64 {
    points_per_ah * amp_hours
}

/// Amp-hours taken out, from a fall of gravity.
///
/// # Formula
/// A = 1000 (G1 - G2)/s
/// # Symbols
/// - `full`: G1, gravity when full, corrected [1]
/// - `now`: G2, gravity now, corrected [1]
/// - `points_per_ah`: s, thousandths of gravity an amp-hour costs [1/Ah]
/// - returns A [Ah]
/// # Valid
/// As `points`.
/// # Source
/// navedtra-14344, state of charge page, status read
/// # Checked by
/// WE10
#[must_use]
pub const fn amp_hours_gone(full: f64, now: f64, points_per_ah: f64) -> f64 {
    1000.0 * (full - now) / points_per_ah
}

/// Rest volts of a cell whose acid has this gravity throughout.
///
/// # Formula
/// U = G + 0.845
/// # Symbols
/// - `gravity`: G, corrected [1]
/// - returns U [V]
/// # Valid
/// Rested and mixed. Within 1 mV of the electrode potentials at 1.25 to 1.28, 18 mV low at 1.10.
/// # Source
/// doe-hdbk-1084, page 18, equation 6, row `gravity-to-volts` of `data/rules/limits.csv`, status read
/// # Checked by
/// O132, O133
#[must_use]
pub fn cell_volts(tables: &Tables, gravity: f64) -> Sourced<f64> {
    tables.limits.value("gravity-to-volts").map(|add| gravity + add)
}

#[cfg(test)]
mod tests {
    use super::{amp_hours_gone, cell_volts, corrected, points};
    use crate::tables::Tables;
    use crate::tables::oracles::battery_oracle;
    use crate::units::Temperature;

    #[test]
    fn corrections_at_the_printed_points() {
        for id in ["WE12", "WE13", "WE14", "WE15"] {
            let row = battery_oracle(id, "corrected");
            let fluid = Temperature::fahrenheit(row.input("fahrenheit"));
            let reference = Temperature::fahrenheit(row.input("reference_f"));
            let per_kelvin = row.input("per_10f") * 0.18;
            row.check(corrected(row.input("gravity"), fluid, reference, per_kelvin));
        }
    }

    #[test]
    fn amp_hours_and_points_are_two_sides_of_one_rule() {
        let row = battery_oracle("WE09", "points");
        row.check(points(row.input("points_per_ah"), row.input("amp_hours")));
        let row = battery_oracle("WE10", "amp-hours");
        let (full, now) = (row.input("full"), row.input("now"));
        row.check(amp_hours_gone(full, now, row.input("points_per_ah")));
    }

    #[test]
    fn volts_follow_gravity() {
        let t = Tables::load().expect("the tables are well formed");
        let row = battery_oracle("O132", "volts");
        row.check(cell_volts(&t, row.input("gravity")).value);
    }

    #[test]
    fn volts_agree_with_the_potentials_of_the_plates() {
        let t = Tables::load().expect("the tables are well formed");
        for gravity in ["1.1", "1.15", "1.2", "1.25", "1.265", "1.28"] {
            let row = battery_oracle("O133", &format!("gravity {gravity}"));
            let found = cell_volts(&t, row.input("gravity")).value;
            row.check(found);
            let near = if 1.25 <= row.input("gravity") { 0.0011 } else { 0.018 };
            assert!((found - row.expected).abs() <= near, "{gravity}: {found} V");
        }
    }

    #[test]
    fn the_density_rows_are_the_slope_between_the_printed_rules() {
        // Both printed rules are steeper than the density of the acid itself: 0.0029 per 10 F.
        let t = Tables::load().expect("the tables are well formed");
        let of = |name: &str| {
            let rule = t.battery.gravity_rules().iter().find(|r| r.name == name);
            rule.expect("a rule").per_kelvin.value
        };
        let density = of("density, gravity 1.265");
        assert!(
            density < of("1 point per 3 F") && of("1 point per 3 F") < of("0.004 per 10 F"),
            "order"
        );
        assert!((of("0.0007 per C") - 0.0007).abs() < 1e-7, "0.0007 per C is what its name says");
        // Hand worked: 0.004 per 10 F is 0.004/5.5556 = 0.00072 per kelvin.
        assert!((of("0.004 per 10 F") - 0.00072).abs() < 1e-9, "0.00072 per kelvin");
    }
}

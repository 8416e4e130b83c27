//! What a timed discharge says of the capacity: by time, by current, and by the guides' formula.

use crate::number::{exp, ln};
use crate::tables::{Sourced, Tables};
use crate::units::Temperature;

/// Share of the rated capacity by time, the time corrected for the temperature.
///
/// # Formula
/// C = K ta/ts
/// # Symbols
/// - `lasted_h`: ta, hours to the end volts [h]
/// - `rated_h`: ts, hours a new one lasts at the same current and 25 C [h]
/// - `size_factor`: K, by which a bank must be larger at this temperature; over 1 in the cold [1]
/// - returns C [1]
/// # Valid
/// From full, steady current, ended at the same volts a cell as the rating. Some editions divide by
/// a factor under 1 instead, which is the same.
/// # Source
/// storage-battery-manual, actual over rated time, status read; K from ieee-485, status recalled
/// # Checked by
/// WE11, O130; O130 rests on a factor from memory
#[must_use]
pub const fn share_by_time(lasted_h: f64, rated_h: f64, size_factor: f64) -> f64 {
    size_factor * lasted_h / rated_h
}

/// Current for a test at this temperature, so that the time needs no correction.
///
/// # Formula
/// I = Ir/K
/// # Symbols
/// - `rated_a`: Ir, the rated current at 25 C [A]
/// - `size_factor`: K [1]
/// - returns I [A]
/// # Valid
/// As `share_by_time`.
/// # Source
/// flooded-maker-support, a maker's manual quoting a standard, status read; K from ieee-485, recalled
/// # Checked by
/// O131
#[must_use]
pub const fn test_current_a(rated_a: f64, size_factor: f64) -> f64 {
    rated_a / size_factor
}

/// Time at the reference temperature by the formula of deep-cycle guides; `None` outside 75 to 90 F.
///
/// # Formula
/// tr = t (1 - 0.005 (T - 80 F))
/// # Symbols
/// - `time`: t, in any unit
/// - `temperature`: T, of the fluid at the start
/// - returns tr, in the same unit
/// # Valid
/// 75 to 90 F only, as the guides say.
/// # Source
/// deep-cycle-guide, rows `capacity-guide-*` of `data/rules/limits.csv`, status read
/// # Checked by
/// WE32
#[must_use]
pub fn guide_time(tables: &Tables, time: f64, temperature: Temperature) -> Option<Sourced<f64>> {
    let limit = |id: &str| tables.limits.value(id).value;
    let fahrenheit = temperature.as_fahrenheit();
    let (low, high) = (limit("capacity-guide-low"), limit("capacity-guide-high"));
    if fahrenheit < low - 1e-9 || high + 1e-9 < fahrenheit {
        return None;
    }
    let over = fahrenheit - limit("capacity-guide-reference");
    Some(tables.limits.value("capacity-guide-slope").map(|slope| time * (1.0 - slope * over)))
}

/// Hours a new battery lasts at a steady current, from its table of rates.
///
/// # Formula
/// ln t is straight in ln I between two rows (t, C) of the table, I = C/t; the outer pairs go on
/// # Symbols
/// - `rates`: hours and amp-hours, hours rising [h], [Ah]
/// - `current_a`: I [A]
/// - returns t [h]; `None` with fewer than two rows or no current
/// # Valid
/// Between the rows of the table; beyond them it goes on at the slope of the last two.
/// # Source
/// physics: Peukert's law between neighbours, as two public pages print it, read
/// # Checked by
/// O119 through two rows; the rows themselves
#[must_use]
pub fn rated_hours(rates: &[(f64, f64)], current_a: f64) -> Option<f64> {
    if current_a.is_nan() || current_a <= 0.0 {
        return None;
    }
    let points: Vec<(f64, f64)> = rates.iter().map(|(t, c)| (ln(c / t), ln(*t))).collect();
    let wanted = ln(current_a);
    // Currents fall as hours rise: the first pair whose far end is no larger than the current.
    let pair = points.windows(2).find(|w| w[1].0 <= wanted).or_else(|| points.windows(2).last())?;
    let [(near_i, near_t), (far_i, far_t)] = [pair[0], pair[1]];
    let span = far_i - near_i;
    if span.abs() < 1e-12 {
        return None;
    }
    Some(exp(near_t + (far_t - near_t) * (wanted - near_i) / span))
}

#[cfg(test)]
mod tests {
    use super::{guide_time, rated_hours, share_by_time, test_current_a};
    use crate::tables::Tables;
    use crate::tables::oracles::battery_oracle;
    use crate::units::Temperature;

    #[test]
    fn tests_at_the_printed_points() {
        let t = Tables::load().expect("the tables are well formed");
        let row = battery_oracle("WE11", "percent");
        row.check(100.0 * share_by_time(row.input("lasted_h"), row.input("rated_h"), 1.0));
        let factor = |f: f64| {
            let warm = Temperature::fahrenheit(f);
            t.battery.size_factor(warm).expect("a factor").value
        };
        let row = battery_oracle("O130", "percent");
        let cold = factor(row.input("fahrenheit"));
        row.check(100.0 * share_by_time(row.input("lasted_h"), row.input("rated_h"), cold));
        let row = battery_oracle("O131", "amps");
        row.check(test_current_a(row.input("rated_a"), factor(row.input("fahrenheit"))));
        let row = battery_oracle("WE32", "minutes");
        let warm = Temperature::fahrenheit(row.input("fahrenheit"));
        row.check(guide_time(&t, row.input("minutes"), warm).expect("within its range").value);
    }

    #[test]
    fn the_guides_formula_is_silent_outside_its_range() {
        let t = Tables::load().expect("the tables are well formed");
        for f in [60.0, 74.0, 91.0] {
            assert_eq!(guide_time(&t, 1.0, Temperature::fahrenheit(f)), None, "{f} F");
        }
    }

    #[test]
    fn hours_pass_through_the_rows_and_follow_peukert_between_two() {
        let rates = [(5.0, 145.0), (10.0, 155.0), (20.0, 170.0), (100.0, 189.0)];
        for (hours, amp_hours) in rates {
            let found = rated_hours(&rates, amp_hours / hours).expect("hours");
            assert!((found - hours).abs() < 1e-9, "{hours} h: {found}");
        }
        // Two rows are Peukert's law: 100 Ah at 20 h with n = 1.25 lasts 2.675 h at 25 A.
        let second = crate::calc::peukert::hours(100.0, 20.0, 1.25, 50.0);
        let two = [(second, 50.0 * second), (20.0, 100.0)];
        battery_oracle("O119", "25 A").check(rated_hours(&two, 25.0).expect("hours"));
        assert_eq!(rated_hours(&rates[..1], 5.0), None, "one row tells nothing");
        assert_eq!(rated_hours(&rates, 0.0), None, "no current empties nothing");
        let longer = rated_hours(&rates, 1.0).expect("hours");
        assert!(100.0 < longer, "less current lasts longer: {longer}");
    }
}

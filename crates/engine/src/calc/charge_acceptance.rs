//! How much a lead battery takes.

use crate::number::exp;
use crate::tables::{Sourced, Tables};

/// The most amps a battery takes over a time by the amp-hour law.
///
/// # Formula
/// I = (1 - exp(-a t)) (qmax - q)/t
/// # Symbols
/// - `missing_ah`: qmax - q, amp-hours missing [Ah]
/// - `hours`: t [h]
/// - a, acceptance, 1 per hour: amps no more than the amp-hours missing [1/h]
/// - returns I [A]
/// # Valid
/// Lead. With a of one, 90 % of what is missing takes ln 10 = 2.3 hours.
/// # Source
/// woodbridge-1935, as a page on the law tells it, row `acceptance-rate` of `data/rules/limits.csv`, read;
/// the form over a step manwell-1993, recalled
/// # Checked by
/// O109
#[must_use]
pub fn acceptance_a(tables: &Tables, missing_ah: f64, hours: f64) -> Sourced<f64> {
    let rate = tables.limits.value("acceptance-rate");
    rate.map(|a| (1.0 - exp(-a * hours)) * missing_ah / hours)
}

#[cfg(test)]
mod tests {
    use super::acceptance_a;
    use crate::tables::Tables;
    use crate::tables::oracles::battery_oracle;

    #[test]
    fn the_law_at_its_printed_point_and_ninety_percent() {
        let t = Tables::load().expect("the tables are well formed");
        battery_oracle("O109", "amps").check(acceptance_a(&t, 30.0, 1.0).value);
        // Hand worked: after ln 10 hours a tenth is missing, so 0.9 of it went in.
        let hours = 10.0_f64;
        let went =
            acceptance_a(&t, 100.0, crate::number::ln(hours)).value * crate::number::ln(hours);
        assert!((went - 90.0).abs() < 1e-9, "{went}");
    }
}

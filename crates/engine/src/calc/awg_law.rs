//! The drawing law of wire gauges. The table `data/conductor/awg_law.csv` holds its results; this is
//! the law itself, for gauges the table does not list and to hold the table to account.

use crate::number::pow;
use crate::tables::limits::Limits;
use crate::units::conductor::Gauge;
use crate::units::{Area, Length};

/// The number of the gauge that the law starts from.
const FIRST_GAUGE: i8 = 36;

/// Diameter of a solid wire of a gauge.
///
/// # Formula
/// d = d36 * q^((36 - n) / 39)
/// # Symbols
/// - `gauge`: n, gauge number, 4/0 being -3
/// - `limits`: d36, diameter of 36 AWG [in]; q, ratio of 4/0 to 36 AWG; 39, gauges between them
/// - returns d [mm]
/// # Valid
/// 4/0 to 36 AWG, solid wire. Boat cable of the same number holds less copper.
/// # Source
/// astm-b258-law, d = 0.005 in x 92^((36-n)/39), read in a paraphrase
/// # Checked by
/// O30. Both ends are exact by definition, so they cannot detect a wrong step between them; the 39th
/// root does.
#[must_use]
pub fn gauge_diameter(gauge: Gauge, limits: &Limits) -> Length {
    let thinnest = Length::inches(limits.value("gauge-law-diameter-36").value);
    let steps = f64::from(FIRST_GAUGE - gauge.as_number());
    thinnest * pow(gauge_step(limits), steps)
}

/// Ratio of the diameters of two neighbouring gauges.
///
/// # Formula
/// s = q^(1 / 39)
/// # Symbols
/// - `limits`: q, ratio of 4/0 to 36 AWG; 39, gauges between them
/// - returns s
/// # Valid
/// Everywhere in the law.
/// # Source
/// astm-b258-law, 39th root of 92, read in a paraphrase
/// # Checked by
/// O30
#[must_use]
pub fn gauge_step(limits: &Limits) -> f64 {
    pow(limits.value("gauge-law-ratio").value, 1.0 / limits.value("gauge-law-steps").value)
}

/// Copper of a solid wire of a gauge.
///
/// # Formula
/// A = pi / 4 * d^2
/// # Symbols
/// - `gauge`: n, gauge number; d, its diameter by [`gauge_diameter`] [mm]
/// - `limits`: the constants of the law
/// - returns A [mm2]
/// # Valid
/// As [`gauge_diameter`].
/// # Source
/// physics, area of a circle, computed
/// # Checked by
/// Every row of `data/conductor/awg_law.csv`, itself held to printed resistances and weights.
#[must_use]
pub fn gauge_area(gauge: Gauge, limits: &Limits) -> Area {
    let diameter_mm = gauge_diameter(gauge, limits).as_mm();
    Area::mm2(std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm)
}

#[cfg(test)]
mod tests {
    use super::{gauge_area, gauge_diameter, gauge_step};
    use crate::tables::Tables;
    use crate::tables::conductor::Family;
    use crate::tables::oracles::oracle;
    use crate::units::conductor::{ConductorSize, Gauge};

    fn tables() -> Tables {
        Tables::load().unwrap_or_else(|e| panic!("{e}"))
    }

    #[test]
    fn published_ends_and_step() {
        let limits = &tables().limits;
        for quantity in ["diameter_4_0", "diameter_36"] {
            let published = oracle("O30", quantity);
            let number: i8 = published.word("gauge_number").parse().expect("a gauge number");
            let gauge = Gauge::number(number).expect("a real gauge");
            published.check(gauge_diameter(gauge, limits).as_inches());
        }
        oracle("O30", "root").check(gauge_step(limits));
    }

    #[test]
    fn every_row_of_the_table_follows_the_law() {
        // 1 % is the bound that catches a row one gauge out (26 %) and a misread digit.
        let tables = tables();
        for size in tables.conductor.sizes(Family::Awg) {
            let ConductorSize::Awg(gauge) = size else { panic!("a gauge family holds gauges") };
            let table = tables.conductor.area(size).expect("a row").value;
            let share = table / gauge_area(gauge, &tables.limits);
            assert!((share - 1.0).abs() < 0.01, "{size}: the table holds {share} of the law");
        }
    }

    #[test]
    fn ten_awg_is_not_one_square_millimetre() {
        // ERRATA 6. Hand worked: 0.005 * 92^(26/39) = 0.10190 in = 2.588 mm; pi/4 * 2.588^2 = 5.26 mm2.
        let ten = Gauge::number(10).expect("a real gauge");
        let area = gauge_area(ten, &tables().limits).as_mm2();
        assert!((area - 5.26).abs() < 0.005, "10 AWG is {area} mm2");
    }
}

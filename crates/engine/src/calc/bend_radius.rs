//! How tightly a cable may be bent.

use crate::tables::limits::Limits;
use crate::tables::{Sourced, Tables};
use crate::units::Length;

/// What a bend does to a cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bend {
    /// Easy.
    Easy,
    /// Allowed, but hard on strands and lugs.
    Tight,
    /// Tighter than the cable makers allow.
    TooTight,
}

/// Least radius of the inside of a bend.
///
/// # Formula
/// r = m * D
/// # Symbols
/// - `tables`: m, the cable makers' multiple for this diameter and insulation
/// - `diameter`: D, outside diameter [mm]
/// - `insulation`: thickness of the insulation, which picks the row [mm]
/// - returns r [mm], or nothing for insulation thicker than the table
/// # Valid
/// Unshielded cable, low voltage, fixed in place. Cable that flexes in use asks for more.
/// # Source
/// cable-maker-bend-data, unshielded rows, read
/// # Checked by
/// The hand-worked case below; the source prints no example.
#[must_use]
pub fn least_bend_radius(
    tables: &Tables,
    diameter: Length,
    insulation: Length,
) -> Option<Sourced<Length>> {
    let multiple = tables.conductor.bend_multiple(diameter, insulation)?;
    Some(multiple.map(|m| diameter * m))
}

/// How hard a bend is on a cable.
///
/// # Formula
/// m = r / D; too tight under m1, tight under m2
/// # Symbols
/// - `radius`: r, inside of the bend [mm]
/// - `diameter`: D, outside diameter [mm]
/// - `limits`: m1, the cable makers' least multiple; m2, the multiple below which to warn
/// - returns the verdict
/// # Valid
/// Cable up to 25 mm across; thicker cable asks more, see [`least_bend_radius`].
/// # Source
/// cable-maker-bend-data, to 1.000 in, read; practice, the warning
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn bend(radius: Length, diameter: Length, limits: &Limits) -> Bend {
    let multiple = radius / diameter;
    if multiple < limits.value("bend-radius-refuse").value {
        Bend::TooTight
    } else if multiple < limits.value("bend-radius-warn").value {
        Bend::Tight
    } else {
        Bend::Easy
    }
}

#[cfg(test)]
mod tests {
    use super::{Bend, bend, least_bend_radius};
    use crate::tables::Tables;
    use crate::units::Length;
    use crate::units::conductor::{ConductorSize, Gauge};

    #[test]
    fn two_aught_battery_cable() {
        // Hand worked: 0.61 in * 25.4 = 15.494 mm, under 1 in, thin insulation: 4 * 15.494 = 61.976 mm.
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let size = ConductorSize::Boat(Gauge::from_text("2/0").expect("a real gauge"));
        let diameter = tables.conductor.outer_diameter(size).expect("a row").value;
        let radius = least_bend_radius(&tables, diameter, Length::mm(1.6)).expect("a row").value;
        assert!(radius.near(Length::mm(61.976), Length::mm(0.001)), "{radius:?}");
        for (mm, verdict) in [(61.0, Bend::TooTight), (62.0, Bend::Tight), (93.5, Bend::Easy)] {
            assert_eq!(bend(Length::mm(mm), diameter, &tables.limits), verdict, "{mm} mm");
        }
    }

    #[test]
    fn thicker_cable_bends_less() {
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let multiple = |mm, insulation| {
            let (diameter, insulation) = (Length::mm(mm), Length::mm(insulation));
            let radius = least_bend_radius(&tables, diameter, insulation).expect("a row");
            radius.value / diameter
        };
        let rows =
            [multiple(20.0, 2.0), multiple(30.0, 2.0), multiple(60.0, 2.0), multiple(60.0, 6.0)];
        assert!(rows.windows(2).all(|p| p[0] < p[1]), "multiples rise: {rows:?}");
        assert!(
            least_bend_radius(&tables, Length::mm(20.0), Length::mm(9.0)).is_none(),
            "insulation thicker than the table has no row"
        );
    }
}

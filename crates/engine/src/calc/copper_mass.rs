//! The mass of the copper in a lead.

use crate::tables::{Sourced, Tables};
use crate::units::conductor::ConductorSize;
use crate::units::{Length, Mass};

/// Mass of the copper in a length of conductor.
///
/// # Formula
/// m = g * A * L
/// # Symbols
/// - `tables`: g, density of copper [g/cm3]; A, copper of the size [mm2]
/// - `size`: the conductor
/// - `length`: L, of the conductor itself [m]
/// - returns m [kg], or nothing for a size without a row; as good as the weaker of density and area
/// # Valid
/// Copper only: a finished cable weighs a tenth to a third more. Metric areas are nominal; the copper
/// in class 5 is about a tenth less.
/// # Source
/// memory, density, recalled; the size tables
/// # Checked by
/// A textbook's weights of every AWG size, by `tests/tables_laws.rs` and below.
#[must_use]
pub fn copper_mass(tables: &Tables, size: ConductorSize, length: Length) -> Option<Sourced<Mass>> {
    let area = tables.conductor.area(size)?;
    let density = tables.limits.value("copper-density");
    // 1 g/cm3 on 1 mm2 is 1 g per metre.
    let kg = density.value * area.value.as_mm2() * length.as_m() / 1000.0;
    let mut cite = area.cite;
    cite.status = cite.status.weaker(density.cite.status);
    Some(Sourced::new(Mass::kg(kg), cite))
}

#[cfg(test)]
mod tests {
    use super::copper_mass;
    use crate::cite::Status;
    use crate::tables::Tables;
    use crate::units::Length;
    use crate::units::conductor::{ConductorSize, Gauge};

    #[test]
    fn four_aught_weighs_what_the_textbook_prints() {
        // An open textbook prints 640.5 lb of copper in 1000 ft of 4/0 AWG, to four digits; the density has three.
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let size = ConductorSize::Awg(Gauge::from_text("4/0").expect("a real gauge"));
        let mass = copper_mass(&tables, size, Length::feet(1000.0)).expect("a row");
        let pounds = mass.value.as_pounds();
        assert!((pounds - 640.5).abs() < 0.7, "{pounds} lb");
        assert_eq!(mass.cite.status, Status::Recalled, "the density is from memory");
    }

    #[test]
    fn boat_cable_is_lighter_than_its_gauge() {
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let gauge = Gauge::number(2).expect("a real gauge");
        let mass = |size| copper_mass(&tables, size, Length::m(1.0)).expect("a row").value;
        assert!(mass(ConductorSize::Boat(gauge)) < mass(ConductorSize::Awg(gauge)), "less copper");
    }
}

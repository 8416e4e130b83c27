//! Volts lost along a lead and its return.
//!
//! "Length" means two things in the published formulas (ERRATA 8). Here a [`RoundTrip`] is all the
//! conductor there is, out and back; a [`OneWay`] is the route, and does not compile in its place.

use crate::tables::conductor::{ConductorTables, Family, circular_mil};
use crate::units::conductor::ConductorSize;
use crate::units::{Area, Current, OneWay, RoundTrip, Voltage};

/// Voltage lost in a lead and its return at a steady current.
///
/// # Formula
/// dU = I * r * L
/// # Symbols
/// - `current`: I [A]
/// - `ohm_per_m`: r, resistance per length at working temperature [ohm/m]
/// - `conductor`: L, all the conductor, out and back [m]
/// - returns dU over lead and return [V]
/// # Valid
/// Steady direct current. Joints and fuses are separate.
/// # Source
/// faa-ac-43-13-1b, pages 11-22 and 11-26, read
/// # Checked by
/// O01 O02 O03 O04 O05 O07 O08 O09 O13; O06 is the source's own misprint and must fail.
#[must_use]
pub fn voltage_drop(current: Current, ohm_per_m: f64, conductor: RoundTrip) -> Voltage {
    Voltage::volts(current.as_amps() * ohm_per_m * conductor.length().as_m())
}

/// Copper needed for an allowed drop, by the formula of the boat trade.
///
/// # Formula
/// CM = K * I * L / E
/// # Symbols
/// - `k`: K, resistance of a foot of one circular mil [ohm cmil / ft]
/// - `current`: I [A]
/// - `conductor`: L, out and back [ft]
/// - `allowed`: E, volts that may be lost [V]
/// - returns CM as an area [mm2]
/// # Valid
/// An allowed drop above zero. K = 10.75 is copper at about 24 C: a cable at 75 C drops 20 % more.
/// # Source
/// abyc-e11-recalled, CM = K I L / E, recalled; its letters were read in trade texts
/// # Checked by
/// O23 O24 O25 O26. They cannot detect a K that is right for the wrong temperature.
#[must_use]
pub fn copper_needed(k: f64, current: Current, conductor: RoundTrip, allowed: Voltage) -> Area {
    let mils = k * current.as_amps() * conductor.length().as_feet() / allowed.as_volts();
    circular_mil() * mils
}

/// Voltage lost by the formula of the electricians' lessons.
///
/// # Formula
/// dU = 2 * K * I * L / CM
/// # Symbols
/// - `k`: K [ohm cmil / ft]
/// - `current`: I [A]
/// - `route`: L, one way [ft]
/// - `copper`: CM, as an area [mm2]
/// - returns dU [V]
/// # Valid
/// Steady direct current, two conductors of the same size.
/// # Source
/// licence-exam-lesson, 2 K I L / CM, read
/// # Checked by
/// O14 O15
#[must_use]
pub fn drop_by_k(k: f64, current: Current, route: OneWay, copper: Area) -> Voltage {
    let feet = route.out_and_back().length().as_feet();
    Voltage::volts(k * current.as_amps() * feet / (copper / circular_mil()))
}

/// The smallest size of a family with at least this much copper.
///
/// # Formula
/// first size with A >= S
/// # Symbols
/// - `tables`: A, copper of each size [mm2]
/// - `family`: which sizes
/// - `copper`: S, copper needed [mm2]
/// - returns the size, or nothing where even the largest has less
/// # Valid
/// Drop only: the ampacity is a separate question and may ask for more.
/// # Source
/// sae-areas-trade, least areas, read; astm-b258-law, the law, computed; iec-60228, class 5, reprint
/// # Checked by
/// O23 O24 with boat cable, O25 O26 with the gauge law: the same number is not the same copper.
#[must_use]
pub fn smallest_with(
    tables: &ConductorTables,
    family: Family,
    copper: Area,
) -> Option<ConductorSize> {
    let enough = |size: &ConductorSize| tables.area(*size).is_some_and(|a| copper <= a.value);
    tables.sizes(family).into_iter().find(enough)
}

#[cfg(test)]
mod tests {
    use super::{copper_needed, drop_by_k, smallest_with, voltage_drop};
    use crate::tables::Tables;
    use crate::tables::ampacity::{AmpacityTable, Surroundings};
    use crate::tables::conductor::{Family, circular_mil};
    use crate::tables::oracles::{Oracle, oracle};
    use crate::units::conductor::{ConductorSize, Gauge};
    use crate::units::{Area, Current, Length, OneWay, RoundTrip, Temperature, Voltage};

    fn tables() -> Tables {
        Tables::load().unwrap_or_else(|e| panic!("{e}"))
    }

    /// The drop of an FAA row: ohms per foot, feet of conductor, amperes.
    fn faa(row: &Oracle) -> f64 {
        let ohm_per_m = row.input("resistance_ohm_per_ft") / 0.3048;
        let conductor = RoundTrip::new(Length::feet(row.input("conductor_ft")));
        voltage_drop(Current::amps(row.input("current_a")), ohm_per_m, conductor).as_volts()
    }

    #[test]
    fn faa_tables_11_7_and_11_8() {
        for row in [
            oracle("O01", "drop"),
            oracle("O02", "drop"),
            oracle("O03", "drop"),
            oracle("O04", "drop"),
            oracle("O05", "drop"),
            oracle("O07", "drop"),
            oracle("O08", "drop"),
        ] {
            row.check(faa(&row));
        }
    }

    #[test]
    fn the_misprint_of_table_11_8_stays_a_misprint() {
        // ERRATA 3: the table prints .366 V in its second row where its own rule gives 0.491 V.
        let row = oracle("O06", "drop");
        row.check(faa(&row));
        let printed = row.printed.expect("the print is kept");
        assert!(!row.accepts(printed), "the printed {printed} V must not pass");
    }

    #[test]
    fn faa_size_by_drop() {
        let (ten, eight) = (oracle("O09", "drop_10_awg"), oracle("O09", "drop_8_awg"));
        ten.check(faa(&ten));
        eight.check(faa(&eight));
        assert!(ten.input("allowed_v") < faa(&ten), "10 AWG loses too much");
        assert!(faa(&eight) <= eight.input("allowed_v"), "8 AWG is the size");
        // The same conductors by the table in the data.
        let tables = tables();
        for (awg, row) in [(10, &ten), (8, &eight)] {
            let gauge = Gauge::number(awg).expect("a real gauge");
            let printed = tables.conductor.tinned_aircraft_ohm_per_m_20c(gauge).expect("a row");
            let given = row.input("resistance_ohm_per_ft") / 0.3048;
            assert!((printed.value - given).abs() < 1e-9, "{awg} AWG of table 11-9");
        }
    }

    #[test]
    fn nec_table_8_one_way_length() {
        let row = oracle("O13", "drop");
        let tables = tables();
        let sixteen = Gauge::number(16).expect("a real gauge");
        let ohm_per_m = tables.conductor.stranded_ohm_per_m_75c(sixteen).expect("a row").value;
        let given = row.input("resistance_ohm_per_kft") / 304.8;
        assert!((ohm_per_m - given).abs() < 1e-9, "16 AWG of table 8");
        let route = OneWay::new(Length::feet(row.input("one_way_ft")));
        let current = Current::amps(row.input("current_a"));
        let lost = voltage_drop(current, ohm_per_m, route.out_and_back()).as_volts();
        row.check(lost);
        let percent = oracle("O13", "drop_percent");
        percent.check(lost / percent.input("system_v") * 100.0);
    }

    #[test]
    fn lesson_by_k() {
        for id in ["O14", "O15"] {
            let row = oracle(id, "drop");
            let copper = circular_mil() * row.input("circular_mils");
            let route = OneWay::new(Length::feet(row.input("one_way_ft")));
            let current = Current::amps(row.input("current_a"));
            row.check(drop_by_k(row.input("k"), current, route, copper).as_volts());
        }
    }

    /// Copper of a row of the boat tables.
    fn boat(row: &Oracle) -> Area {
        let conductor = RoundTrip::new(Length::feet(row.input("there_and_back_ft")));
        let (amps, volts) = (row.input("current_a"), row.input("allowed_v"));
        copper_needed(row.input("k"), Current::amps(amps), conductor, Voltage::volts(volts))
    }

    fn check_size(size: Option<ConductorSize>, row: &Oracle) {
        let Some(ConductorSize::Awg(g) | ConductorSize::Boat(g)) = size else {
            panic!("a gauge is enough")
        };
        row.check(f64::from(g.as_number()));
    }

    #[test]
    fn catalogue_sizes_come_out_with_boat_cable_areas_only() {
        let tables = tables();
        for id in ["O23", "O24"] {
            let mils = oracle(id, "circular_mils");
            mils.check(boat(&mils) / circular_mil());
            let row = oracle(id, "size");
            check_size(smallest_with(&tables.conductor, Family::Boat, boat(&row)), &row);
        }
        // With building-wire copper the 3 % circuit would get away with 12 AWG: the areas matter.
        let row = oracle("O23", "size");
        let thin = smallest_with(&tables.conductor, Family::Awg, boat(&row));
        let twelve = Gauge::number(12).expect("a real gauge");
        assert_eq!(thin, Some(ConductorSize::Awg(twelve)), "the other family answers otherwise");
    }

    #[test]
    fn feet_times_amps_come_out_with_gauge_areas_only() {
        let tables = tables();
        let (mils, row) = (oracle("O25", "circular_mils"), oracle("O25", "size"));
        mils.check(boat(&mils) / circular_mil());
        check_size(smallest_with(&tables.conductor, Family::Awg, boat(&row)), &row);
        let boat_size = smallest_with(&tables.conductor, Family::Boat, boat(&row));
        let six = Gauge::number(6).expect("a real gauge");
        assert_eq!(boat_size, Some(ConductorSize::Boat(six)), "boat cable must be one size up");
    }

    #[test]
    fn ampacity_overrules_a_size_that_passes_the_drop() {
        let tables = tables();
        let (mils, row) = (oracle("O26", "circular_mils"), oracle("O26", "size"));
        mils.check(boat(&mils) / circular_mil());
        let by_drop = smallest_with(&tables.conductor, Family::Awg, boat(&row));
        let eight = ConductorSize::Awg(Gauge::number(8).expect("a real gauge"));
        assert_eq!(by_drop, Some(eight), "8 AWG passes the drop");
        let carries = |size: &ConductorSize| {
            let hot = Temperature::celsius(105.0);
            let alone = Surroundings::alone_at_30c();
            let found = tables.ampacity(AmpacityTable::Cfr33, *size, hot, &alone);
            found.is_some_and(|a| row.input("current_a") <= a.current.value.as_amps())
        };
        let sizes = tables.conductor.sizes(Family::Awg);
        let enough = sizes.into_iter().skip_while(|s| *s != eight).find(carries);
        check_size(enough, &row);
    }

    #[test]
    fn half_the_route_loses_half() {
        let lost = |feet| {
            let route = OneWay::new(Length::feet(feet));
            voltage_drop(Current::amps(147.0), 0.000_27, route.out_and_back()).as_volts()
        };
        assert!((lost(12.0) - 2.0 * lost(6.0)).abs() < 1e-12, "drop grows with length");
        // Hand worked: 147 A * 0.00027 ohm/m * 2 * 3.6576 m = 0.29034 V.
        assert!((lost(12.0) - 0.290_34).abs() < 5e-6, "12 ft one way loses {} V", lost(12.0));
    }
}

//! Gas from a bank on charge, the air that carries it off, and the openings for that air.

use crate::number::pow;
use crate::tables::limits::Limits;
use crate::units::{AirFlow, Area, Current, Duration, Length};

/// Current that makes gas in each cell of a bank.
///
/// # Formula
/// I = i C / 100
/// # Symbols
/// - `gassing_a_per_100ah`: i, of the cell type and charger [A per 100 Ah]
/// - `capacity_ah`: C, of the bank [Ah]
/// - returns I [A]
/// # Valid
/// Lead blocks in order; an old or hot one gasses more.
/// # Source
/// en-50272-3-page, currents per 100 Ah, read
/// # Checked by
/// WE16, where the sheet prints the current per ampere-hour.
#[must_use]
pub fn gas_current(gassing_a_per_100ah: f64, capacity_ah: f64) -> Current {
    Current::amps(gassing_a_per_100ah * capacity_ah / 100.0)
}

/// Air that keeps the gas of a bank thin enough.
///
/// # Formula
/// Q = v n I, v = 0.05
/// # Symbols
/// - `factor`: v, air for each ampere and cell; 24 x 0.42e-3 x 5 = 0.0504, rounded in the rule to 0.05 [m3/h per A]
/// - `cells`: n, cells in series
/// - `gas`: I, from [`gas_current`] [A]
/// - returns Q [m3/h]
/// # Valid
/// Hydrogen kept under a fifth of what burns. Strings side by side count in the capacity, not in n.
/// # Source
/// en-50272-3-page, Q = 0.05 n Igas C 1e-3, read
/// # Checked by
/// WE16, three points; WE17. They are proportional and cannot see a wrong use of n and C together.
#[must_use]
pub fn air_flow(factor: f64, cells: u32, gas: Current) -> AirFlow {
    AirFlow::cubic_metres_an_hour(factor * f64::from(cells) * gas.as_amps())
}

/// Free area of the low opening, and again of the high one, through which air moves by itself.
///
/// # Formula
/// A = 28 Q
/// # Symbols
/// - `limits`: 28 [cm2 per m3/h]
/// - `flow`: Q [m3/h]
/// - returns A, each opening [cm2]
/// # Valid
/// Openings straight to outside, low and high on opposite sides; air at about 0.1 m/s. A hose or a mesh takes
/// from it: free area is what is left open.
/// # Source
/// en-50272-3-page, A = 28 Q, read
/// # Checked by
/// WE17, which prints it rounded up to 1,400 cm2.
#[must_use]
pub fn opening_area(limits: &Limits, flow: AirFlow) -> Area {
    Area::cm2(limits.value("vent-area-per-flow").value * flow.as_cubic_metres_an_hour())
}

/// Distance from a block within which a spark may light its gas.
///
/// # Formula
/// d = 28.8 (i C)^(1/3)
/// # Symbols
/// - `limits`: 28.8
/// - `gassing_ma_per_ah`: i [mA per Ah]
/// - `capacity_ah`: C, of the string whose gas leaves at one place [Ah]
/// - returns d [mm]
/// # Valid
/// Free air around the vents of one block.
/// # Source
/// iec-62485-2, d = 28.8 Igas^(1/3) C^(1/3), recalled
/// # Checked by
/// The hand-worked case below; a page on traction batteries gives 0.5 m for one.
#[must_use]
pub fn spark_distance(limits: &Limits, gassing_ma_per_ah: f64, capacity_ah: f64) -> Length {
    let root = pow((gassing_ma_per_ah * capacity_ah).max(0.0), 1.0 / 3.0);
    Length::mm(limits.value("spark-distance-factor").value * root)
}

/// Time in which gas fills a closed room to a share of its air.
///
/// # Formula
/// t = V s / q
/// # Symbols
/// - `room_m3`: V, free volume [m3]
/// - `share`: s, of the air [1]
/// - `litres_per_hour`: q, hydrogen given off [l/h]
/// - returns t [h], or nothing where no gas comes
/// # Valid
/// A room that leaks nothing, gas mixed evenly; under a ceiling it gathers sooner.
/// # Source
/// physics, volume over flow, computed
/// # Checked by
/// WE18.
#[must_use]
pub fn time_to_share(room_m3: f64, share: f64, litres_per_hour: f64) -> Option<Duration> {
    (0.0 < litres_per_hour).then(|| Duration::hours(room_m3 * share * 1000.0 / litres_per_hour))
}

/// Holes of one drill that leave an area open.
///
/// # Formula
/// n = ceil(A / (pi d^2 / 4))
/// # Symbols
/// - `area`: A, to be left open [mm2]
/// - `drill`: d [mm]
/// - returns n, at least one
/// # Valid
/// Clear holes. With a mesh over them take the mesh's own open share into account.
/// # Source
/// physics, area of a circle, computed
/// # Checked by
/// The hand-worked case below.
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the count is rounded, at least one and held under a million first"
)]
pub fn holes(area: Area, drill: Length) -> u32 {
    let one = hole_area(drill).as_mm2().max(1e-3);
    // An area that is a whole number of holes but for the last bits asks for no hole more.
    (area.as_mm2() / one - 1e-9).ceil().clamp(1.0, 1e6) as u32
}

/// What one round hole leaves open.
///
/// # Formula
/// A = pi d^2 / 4
/// # Symbols
/// - `drill`: d [mm]
/// - returns A [mm2]
/// # Valid
/// A clear round hole.
/// # Source
/// physics, area of a circle, computed
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn hole_area(drill: Length) -> Area {
    Area::mm2(std::f64::consts::PI * drill.as_mm() * drill.as_mm() / 4.0)
}

#[cfg(test)]
mod tests {
    use super::{
        air_flow, gas_current, hole_area, holes, opening_area, spark_distance, time_to_share,
    };
    use crate::tables::Tables;
    use crate::tables::oracles::enclosure_oracle;
    use crate::units::{AirFlow, Area, Current, Length};

    fn tables() -> Tables {
        Tables::load().unwrap_or_else(|e| panic!("{e}"))
    }

    #[test]
    fn the_calculation_sheets_flows_are_met() {
        for id in ["WE16a", "WE16b", "WE16c"] {
            let oracle = enclosure_oracle(id, "flow");
            let gas = Current::amps(oracle.input("gas_a"));
            let flow = air_flow(oracle.input("factor"), 95, gas);
            oracle.check(flow.as_cubic_metres_an_hour());
        }
        // The sheet's own 5 mA per Ah of 1450 Ah, as half an ampere per 100 Ah.
        assert!((gas_current(0.5, 1450.0).as_amps() - 7.25).abs() < 1e-9, "per 100 Ah");
    }

    #[test]
    fn an_unlimited_charger_of_a_hundred_amps() {
        let tables = tables();
        let oracle = enclosure_oracle("WE17", "flow");
        let share = tables.limits.value("vent-unregulated-fraction").value;
        let gas = Current::amps(share * oracle.input("charger_a"));
        let flow = air_flow(oracle.input("factor"), 24, gas);
        oracle.check(flow.as_cubic_metres_an_hour());
        let area = enclosure_oracle("WE17", "area");
        let flow = AirFlow::cubic_metres_an_hour(area.input("flow_m3h"));
        area.check(opening_area(&tables.limits, flow).as_cm2());
        // The rule's rounded 0.05 gives 0.8 % less than the exact 0.0504.
        let rule = tables.limits.value("vent-flow-factor").value;
        let rounded = air_flow(rule, 24, gas).as_cubic_metres_an_hour();
        assert!((rounded - 48.0).abs() < 1e-9, "hand worked, 0.05 * 24 * 40: {rounded}");
    }

    #[test]
    fn a_sealed_room_fills_in_eight_days() {
        let tables = tables();
        let oracle = enclosure_oracle("WE18", "days");
        let share = tables.limits.value("hydrogen-lower-limit").value / 100.0;
        let time = time_to_share(oracle.input("room_m3"), share, oracle.input("litres_per_hour"));
        oracle.check(time.expect("gas comes").as_days());
        assert!(time_to_share(1.0, share, 0.0).is_none(), "no gas, no time");
    }

    #[test]
    fn a_spark_half_a_metre_off() {
        // Hand worked: 28.8 * (20 * 450)^(1/3) = 28.8 * 20.801 = 599.1 mm.
        let got = spark_distance(&tables().limits, 20.0, 450.0).as_mm();
        assert!((got - 599.1).abs() < 0.1, "{got}");
    }

    #[test]
    fn holes_leave_at_least_the_area() {
        // Hand worked: 3.14159 * 44^2 / 4 = 1520.5 mm2; 9576 / 1520.5 = 6.3, so 7 holes.
        assert_eq!(holes(Area::mm2(9576.0), Length::mm(44.0)), 7, "seven");
        let two = hole_area(Length::mm(25.0)) * 2.0;
        assert_eq!(holes(two, Length::mm(25.0)), 2, "exactly two are two");
        for n in 1..200 {
            let area = Area::mm2(f64::from(n) * 97.0);
            let count = holes(area, Length::mm(38.0));
            let open = hole_area(Length::mm(38.0)) * f64::from(count);
            assert!(area.as_mm2() <= open.as_mm2() + 1e-6, "{n}: {count} holes are enough");
        }
    }
}

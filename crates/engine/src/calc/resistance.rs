//! Resistance of copper at the temperature it works at, and the resistance of a conductor by its size.

use crate::tables::conductor::{Finish, nec_table_temperature};
use crate::tables::limits::Limits;
use crate::tables::{Sourced, Tables};
use crate::units::Temperature;
use crate::units::conductor::ConductorSize;

/// Ratio of copper's resistance at one temperature to that at another.
///
/// # Formula
/// R2 / R1 = (T0 + T2) / (T0 + T1)
/// # Symbols
/// - `from`: T1, temperature of the known resistance [C]
/// - `to`: T2, temperature wanted [C]
/// - `limits`: T0, degrees below zero Celsius where the straight line meets zero resistance
/// - returns R2 / R1
/// # Valid
/// Annealed copper, -50 C to 200 C.
/// # Source
/// faa-ac-43-13-1b, page 11-22, read
/// # Checked by
/// O12 (in `derating`), and every row of NEC table 8 in `tests/tables_laws.rs`. These points lie
/// between 20 C and 182 C and cannot detect an error in the cold.
#[must_use]
pub fn copper_ratio(from: Temperature, to: Temperature, limits: &Limits) -> f64 {
    let zero = limits.figure("copper-zero-resistance-temperature");
    (zero + to.as_celsius()) / (zero + from.as_celsius())
}

/// The rounder factor that cable makers print beside IEC 60228: conductivity against 20 C.
///
/// # Formula
/// K = 1 / (1 + a (T - 20))
/// # Symbols
/// - `temperature`: T [C]
/// - `limits`: a, the makers' coefficient [1/K]
/// - returns K; resistance at T is resistance at 20 C divided by K
/// # Valid
/// 20 C to 90 C. Differs from [`copper_ratio`] by less than 0.4 %.
/// # Source
/// cable-maker-temperature-table, 1/(1+0.004(T-20)), read
/// # Checked by
/// O29
#[must_use]
pub fn iec_conductivity(temperature: Temperature, limits: &Limits) -> f64 {
    let coefficient = limits.value("copper-iec-temperature-coefficient").value;
    1.0 / (1.0 + coefficient * (temperature - reference()).as_kelvin())
}

/// The temperature of every 20 C table.
fn reference() -> Temperature {
    Temperature::celsius(20.0)
}

/// Resistance of a conductor per metre of its own length.
///
/// # Formula
/// AWG: r = r75 * (T0 + T) / (T0 + 75); boat: r = rho20 / A * (T0 + T) / (T0 + 20); metric: r = r20 * (T0 + T) / (T0 + 20)
/// # Symbols
/// - `tables`: r75, stranded figure of NEC table 8; r20, class 5 figure of IEC 60228 [ohm/m]; rho20,
///   resistivity [ohm mm2/m]; A, least SAE area [mm2]; T0 as in [`copper_ratio`]
/// - `size`: the conductor
/// - `finish`: bare or tinned strands
/// - `temperature`: T, of the copper [C]
/// - returns r [ohm/m], or nothing for a size without a row
/// # Valid
/// Steady direct current. Only the metric table prints tinned figures; for the gauge families tin adds
/// two to three per cent that is not counted.
/// # Source
/// nec-ch9-t8, chapter 9 table 8, reprint; sae-areas-trade, least areas, read; iec-60228, class 5,
/// reprint; cable-engineering-text, resistivity, read
/// # Checked by
/// The hand-worked case below; the tables by `tests/tables_laws.rs`.
#[must_use]
pub fn ohm_per_m(
    tables: &Tables,
    size: ConductorSize,
    finish: Finish,
    temperature: Temperature,
) -> Option<Sourced<f64>> {
    let (printed, at) = match size {
        ConductorSize::Awg(gauge) => {
            (tables.conductor.stranded_ohm_per_m_75c(gauge)?, nec_table_temperature())
        }
        ConductorSize::Boat(_) => {
            let rho = tables.limits.figure("copper-resistivity-20c");
            (tables.conductor.area(size)?.map(|area| rho / area.as_mm2()), reference())
        }
        ConductorSize::Metric(metric) => {
            (tables.conductor.class5_ohm_per_m_20c(metric, finish)?, reference())
        }
    };
    let ratio = copper_ratio(at, temperature, &tables.limits);
    Some(printed.map(|ohm_per_m| ohm_per_m * ratio))
}

#[cfg(test)]
mod tests {
    use super::{copper_ratio, iec_conductivity, ohm_per_m};
    use crate::tables::Tables;
    use crate::tables::conductor::Finish;
    use crate::tables::oracles::oracle;
    use crate::units::Temperature;
    use crate::units::conductor::{ConductorSize, Gauge, MetricSize};

    fn tables() -> Tables {
        Tables::load().unwrap_or_else(|e| panic!("{e}"))
    }

    #[test]
    fn makers_factor_at_two_temperatures() {
        for quantity in ["at_50c", "at_75c"] {
            let published = oracle("O29", quantity);
            let temperature = Temperature::celsius(published.input("temperature_c"));
            published.check(iec_conductivity(temperature, &tables().limits));
        }
    }

    #[test]
    fn there_and_back_is_no_change() {
        let limits = &tables().limits;
        let (cold, warm) = (Temperature::celsius(-20.0), Temperature::celsius(75.0));
        let both = copper_ratio(cold, warm, limits) * copper_ratio(warm, cold, limits);
        assert!((both - 1.0).abs() < 1e-12, "the two ratios multiply to {both}");
        assert!(1.0 < copper_ratio(cold, warm, limits), "warm copper resists more");
    }

    #[test]
    fn three_families_at_one_temperature() {
        // Hand worked, milliohms per metre at 20 C. Boat 2/0: 125 100 cmil * 0.00050671 mm2 = 63.389 mm2,
        // 17.241/63.389 = 0.27199. AWG 2/0: 0.0967 ohm/kft at 75 C / 304.8 * 254.5/309.5 = 0.26088.
        // 70 mm2 tinned: 0.277 ohm/km.
        let tables = tables();
        let two_aught = Gauge::from_text("2/0").expect("a real gauge");
        let seventy = MetricSize::mm2(70.0).expect("a real size");
        let at = Temperature::celsius(20.0);
        for (size, want) in [
            (ConductorSize::Boat(two_aught), 0.27199),
            (ConductorSize::Awg(two_aught), 0.26088),
            (ConductorSize::Metric(seventy), 0.277),
        ] {
            let found = ohm_per_m(&tables, size, Finish::Tinned, at).expect("a row").value * 1000.0;
            assert!((found - want).abs() < 2e-5, "{size}: {found} instead of {want} mohm/m");
        }
        let three = ConductorSize::Boat(Gauge::number(3).expect("a real gauge"));
        assert_eq!(ohm_per_m(&tables, three, Finish::Plain, at), None, "SAE lists no 3 AWG");
    }
}

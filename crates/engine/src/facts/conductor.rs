//! Resistance of a conductor of a given size, length and temperature.

use crate::calc::resistance::copper_ratio;
use crate::cite::Cite;
use crate::tables::conductor::Finish;
use crate::tables::{Sourced, Tables};
use crate::units::conductor::ConductorSize;
use crate::units::{Length, Resistance, Temperature};

/// A conductor's resistance and the table behind it.
///
/// AWG copper follows the gauge law of solid wire (stranded wire is two per cent above it), boat
/// cable the resistivity over its smallest SAE area, metric cable the largest value its standard
/// allows.
#[must_use]
pub fn conductor_resistance(
    tables: &Tables,
    size: ConductorSize,
    length: Length,
    temperature: Temperature,
) -> Option<(Resistance, Cite)> {
    let per_metre = match size {
        ConductorSize::Awg(gauge) => tables.conductor.solid_ohm_per_m_20c(gauge)?,
        ConductorSize::Metric(size) => {
            tables.conductor.class5_ohm_per_m_20c(size, Finish::Plain)?
        }
        ConductorSize::Boat(_) => {
            let resistivity = tables.limits.value("copper-resistivity-20c");
            let area = tables.conductor.area(size)?;
            Sourced::new(resistivity.value / area.value.as_mm2(), area.cite)
        }
    };
    let warm = copper_ratio(Temperature::celsius(20.0), temperature, &tables.limits);
    Some((Resistance::ohms(per_metre.value * length.as_m() * warm), per_metre.cite))
}

/// Temperature a conductor settles at when it carries a current.
///
/// # Formula
/// T = Ta + (Tc - Tb) * (I / Iz)^2
/// # Symbols
/// - `ambient`: Ta, air around the conductor [C]
/// - `class_c`: Tc, temperature class of the insulation [C]
/// - `base_c`: Tb, ambient of the ampacity table [C]
/// - `loading`: I / Iz, current over table ampacity [1]
/// - returns T [C]
/// # Valid
/// Steady DC. Above the ampacity the result is above the class, and the sizing refuses it.
/// # Source
/// Heat goes with the square of the current, and the ampacity is the current at which the rise
/// from the table's ambient reaches the class: the law sqrt((Tc - Ta) / (Tc - 30)) behind the
/// ambient factors, status computed
/// # Checked by
/// `a_cable_at_its_ampacity_is_at_its_class`; this cannot detect bundling or draught
#[must_use]
pub fn working_temperature(
    ambient: Temperature,
    class_c: f64,
    base_c: f64,
    loading: f64,
) -> Temperature {
    Temperature::celsius(ambient.as_celsius() + (class_c - base_c) * loading * loading)
}

#[cfg(test)]
mod tests {
    use super::working_temperature;
    use crate::units::Temperature;

    #[test]
    fn a_cable_at_its_ampacity_is_at_its_class() {
        let hot = working_temperature(Temperature::celsius(30.0), 105.0, 30.0, 1.0);
        assert!((hot.as_celsius() - 105.0).abs() < 1e-9, "full load at 30 °C: {hot:?}");
        // Hand worked: half the current is a quarter of the 75 K rise.
        let half = working_temperature(Temperature::celsius(20.0), 105.0, 30.0, 0.5);
        assert!((half.as_celsius() - 38.75).abs() < 1e-9, "half load at 20 °C: {half:?}");
    }
}

//! Charge a flooded battery loses by standing.

use crate::tables::{Sourced, Tables};
use crate::units::Temperature;

/// Share of its charge that a full flooded battery loses in a day.
///
/// # Formula
/// s = g(T) / (gravity full - gravity flat)
/// # Symbols
/// - `temperature`: T, of the acid
/// - g, gravity lost in a day, straight between the rows and held outside [1/day]
/// - returns s, per day [1]
/// # Valid
/// The first ten days of a wet-charged vehicle battery; a deep-cycle block with old antimony plates
/// loses more, calcium plates less.
/// # Source
/// tm-9-6140-200-14, rows of `data/battery/self_discharge.csv`; the span is tm-5-1185; status read
/// # Checked by
/// O118
#[must_use]
pub fn flooded_per_day(tables: &Tables, temperature: Temperature) -> Option<Sourced<f64>> {
    let span = tables.limits.value("self-discharge-span").value;
    Some(tables.battery.self_discharge_per_day(temperature)?.map(|gravity| gravity / span))
}

#[cfg(test)]
mod tests {
    use super::flooded_per_day;
    use crate::tables::Tables;
    use crate::tables::oracles::battery_oracle;
    use crate::units::Temperature;

    #[test]
    fn a_day_at_the_three_printed_temperatures() {
        let t = Tables::load().expect("the tables are well formed");
        for (quantity, f) in [("100 F", 100.0), ("80 F", 80.0), ("50 F", 50.0)] {
            let day = flooded_per_day(&t, Temperature::fahrenheit(f)).expect("a row");
            battery_oracle("O118", quantity).check(day.value * 100.0);
        }
    }
}

//! How hot the cells of a panel get, from what a data sheet and an owner can say.
//!
//! Of the known forms this one needs only the rated cell temperature of the data sheet, the air and
//! a wind, and it alone knows a panel close to a roof.

use crate::tables::sky::PanelHeat;

/// A panel and how it is mounted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mounting {
    /// Rated cell temperature of the data sheet [C].
    pub noct_c: f64,
    /// Part of the light that leaves as power.
    pub efficiency: f64,
    /// Air behind the panel [in].
    pub air_behind_in: f64,
    /// Wind at 10 m [m/s].
    pub wind_m_s: f64,
}

/// What a roof close behind a panel adds to its rated cell temperature.
///
/// # Formula
/// a step function of the air behind the panel
/// # Symbols
/// - `air_behind_in`: air between panel and roof [in]
/// - `heat`: ends of the steps [in] and what each adds [K]
/// - returns the rise [K]; 0 where the panel stands free
/// # Valid
/// Panels along a roof. A panel glued down counts as the first step.
/// # Source
/// sam-photovoltaic-2018, section 10.6, reprint
/// # Checked by
/// `sky_agrees.rs`
#[must_use]
pub fn roof_rise(air_behind_in: f64, heat: &PanelHeat) -> f64 {
    let last = heat.standoff.len() - 1;
    let step = heat.standoff.iter().enumerate().find(|&(n, &(below, _))| {
        // The last step holds its upper end, as in the source.
        air_behind_in < below || (n == last && air_behind_in <= below)
    });
    step.map_or(0.0, |(_, &(_, rise))| rise)
}

/// Rise of the cells over the air per irradiance.
///
/// # Formula
/// k = (N + r - 20) / 800 * (1 - e / 0.9) * 9.5 / (5.7 + 3.8 * 0.51 v)
/// # Symbols
/// - `mounting`: N, rated cell temperature [C]; e, efficiency; v, wind [m/s]; r by [`roof_rise`] [K]
/// - `heat`: the numbers
/// - returns k [K m2/W]; Tcell = Tair + k G
/// # Valid
/// Steady sun; a panel follows in about ten minutes. Only the light's own losses are counted alike in
/// all hours, so k is one number for a panel and a wind.
/// # Source
/// sam-photovoltaic-2018, section 10.6, reprint
/// # Checked by
/// `sky_agrees.rs`; the rating in the tests.
#[must_use]
pub fn rise_per_light(mounting: &Mounting, heat: &PanelHeat) -> f64 {
    let rated = mounting.noct_c + roof_rise(mounting.air_behind_in, heat) - heat.rated_air_c;
    let kept = 1.0 - mounting.efficiency / heat.absorbed;
    let [top, still, slope] = heat.loss;
    let wind = top / (still + slope * heat.wind_share * mounting.wind_m_s);
    rated / heat.rated_w_m2 * kept * wind
}

/// Temperature of the cells.
///
/// # Formula
/// Tcell = Tair + k G
/// # Symbols
/// - `air_c`: Tair [C]
/// - `light_w_m2`: G, on the plane [W/m2]
/// - `rise`: k by [`rise_per_light`] [K m2/W]
/// - returns Tcell [C]
/// # Valid
/// As [`rise_per_light`].
/// # Source
/// sam-photovoltaic-2018, section 10.6, reprint
/// # Checked by
/// `sky_agrees.rs`
#[must_use]
#[inline]
pub fn cell_c(air_c: f64, light_w_m2: f64, rise: f64) -> f64 {
    air_c + rise * light_w_m2
}

#[cfg(test)]
mod tests {
    use super::{Mounting, cell_c, rise_per_light, roof_rise};
    use crate::tables::Tables;

    #[test]
    fn the_rating_and_a_roof() {
        let heat = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.heat;
        // Hand worked: open circuit (e = 0) in the wind of the rating at 10 m: (45-20)/800*800 = 25 K
        // times 9.5/(5.7+3.8*0.51*1) = 1.24378, so 31.09 K over the air.
        let free = Mounting { noct_c: 45.0, efficiency: 0.0, air_behind_in: 6.0, wind_m_s: 1.0 };
        let cell = cell_c(20.0, 800.0, rise_per_light(&free, &heat));
        assert!((cell - 51.0945).abs() < 0.001, "{cell} C");
        // A panel that gives power keeps less heat: 1 - 0.18/0.9 = 0.8.
        let working = Mounting { efficiency: 0.18, ..free };
        let part = rise_per_light(&working, &heat) / rise_per_light(&free, &heat);
        assert!((part - 0.8).abs() < 1e-12, "{part}");
    }

    #[test]
    fn less_air_behind_is_hotter() {
        let heat = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.heat;
        let rises = [0.0, 1.0, 2.0, 3.0, 4.0].map(|gap| roof_rise(gap, &heat));
        assert!(rises.windows(2).all(|pair| pair[1] < pair[0]), "{rises:?}");
        assert!(rises[4].abs() < 1e-15, "a free panel has no rise of its own");
    }
}

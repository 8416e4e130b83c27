//! Light under a cloudless sky, by the haze in it.

use super::air_mass::{pressure_share, relative_air_mass};
use super::sky_geometry::{declination_rad, extraterrestrial_w_m2, hour_angle_rad, sun_direction};
use crate::number::exp;
use crate::tables::sky::{ClearSky, SkyTables};

/// Light on the ground, split into what casts a shadow and what does not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyLight {
    /// All light on a flat plane [W/m2].
    pub global_w_m2: f64,
    /// Beam on a plane that faces the sun [W/m2].
    pub beam_w_m2: f64,
    /// Light of the sky on a flat plane [W/m2].
    pub diffuse_w_m2: f64,
}

/// What the light of a clear sky depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearSkyAt {
    /// Cosine of the zenith angle.
    pub cos_zenith: f64,
    /// Absolute air mass.
    pub air_mass: f64,
    /// Irradiance outside the air, facing the sun [W/m2].
    pub extraterrestrial_w_m2: f64,
    /// Haze: Linke's turbidity, 2 in clear mountain air, 5 in a city.
    pub linke: f64,
    /// Altitude [m].
    pub altitude_m: f64,
}

/// Light under a clear sky.
///
/// # Formula
/// fh1 = exp(-h/8000); fh2 = exp(-h/1250); G = cg1 I0 cos z exp(-cg2 m (fh1 + fh2 (T - 1)));
/// B = min(b I0 exp(-0.09 m (T - 1)), G (1 - (0.1 - 0.2 exp(-T)) / (0.1 + 0.882/fh1)) / cos z); D = G - B cos z
/// # Symbols
/// - `at`: cos z; m, absolute air mass; I0 [W/m2]; T, turbidity; h [m]
/// - `sky`: the numbers; cg1 and cg2 lines in h; b = 0.664 + 0.163/fh1
/// - returns G, B, D [W/m2]; zero when the sun is down
/// # Valid
/// Turbidity 1 to 10, altitude to 4 km.
/// # Source
/// ineichen-perez-2002, global and beam under a clear sky, reprint
/// # Checked by
/// `sky_agrees.rs`; a hand-worked noon in the tests.
#[must_use]
pub fn clear_sky(at: &ClearSkyAt, sky: &ClearSky) -> SkyLight {
    let up = at.cos_zenith;
    if up <= 0.0 {
        return SkyLight { global_w_m2: 0.0, beam_w_m2: 0.0, diffuse_w_m2: 0.0 };
    }
    let low = exp(-at.altitude_m / sky.scale_m[0]);
    let high = exp(-at.altitude_m / sky.scale_m[1]);
    let cg1 = sky.global[0] * at.altitude_m + sky.global[1];
    let cg2 = sky.depth[0] * at.altitude_m + sky.depth[1];
    let haze = at.linke - 1.0;
    let i0 = at.extraterrestrial_w_m2;
    let global = cg1 * i0 * up * exp(-cg2 * at.air_mass * (low + high * haze));
    let beam = (sky.beam[0] + sky.beam[1] / low) * exp(-sky.beam_depth * at.air_mass * haze) * i0;
    let [base, turbid, under, under_low] = sky.bound;
    let share = 1.0 - (base - turbid * exp(-at.linke)) / (under + under_low / low);
    let beam = beam.max(0.0).min(global * share.max(0.0) / up);
    SkyLight { global_w_m2: global, beam_w_m2: beam, diffuse_w_m2: global - beam * up }
}

/// A place and the haze over it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearDay {
    /// Latitude, north positive [deg].
    pub latitude_deg: f64,
    /// Altitude [m].
    pub altitude_m: f64,
    /// Linke's turbidity.
    pub linke: f64,
    /// Day of the year, 1 to 365.
    pub day: u32,
    /// Steps an hour is cut into; the sun is taken at the middle of each.
    pub steps: u32,
}

/// Mean irradiance of a flat plane over a clear day of 24 hours.
///
/// # Formula
/// Gd = sum of G over 24 s steps / (24 s)
/// # Symbols
/// - `day`: latitude [deg], altitude [m], turbidity, n, s
/// - `sky`: the numbers of the formulas it is built on
/// - returns Gd [W/m2]; times 24 h it is the day's irradiation [Wh/m2]
/// # Valid
/// As [`clear_sky`]. Two steps an hour are within 0.5 % of sixty where the day is longer than six hours.
/// # Source
/// computed, midpoint rule over [`clear_sky`]
/// # Checked by
/// Half steps in the tests; `sky_agrees.rs` for what it sums.
#[must_use]
pub fn clear_day_w_m2(day: &ClearDay, sky: &SkyTables) -> f64 {
    let steps = 24 * day.steps;
    let declination = declination_rad(f64::from(day.day), &sky.geometry);
    let extraterrestrial = extraterrestrial_w_m2(f64::from(day.day), &sky.geometry);
    let pressure = pressure_share(day.altitude_m, &sky.air);
    let mut sum = 0.0;
    for step in 0..steps {
        let hour = (f64::from(step) + 0.5) / f64::from(day.steps);
        let up = sun_direction(day.latitude_deg, declination, hour_angle_rad(hour)).up;
        let at = ClearSkyAt {
            cos_zenith: up,
            air_mass: relative_air_mass(up, &sky.air) * pressure,
            extraterrestrial_w_m2: extraterrestrial,
            linke: day.linke,
            altitude_m: day.altitude_m,
        };
        sum += clear_sky(&at, &sky.clear).global_w_m2;
    }
    sum / f64::from(steps)
}

#[cfg(test)]
mod tests {
    use super::{ClearDay, ClearSkyAt, clear_day_w_m2, clear_sky};
    use crate::tables::Tables;

    #[test]
    fn a_clear_noon_at_the_sea() {
        let sky = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky;
        let at = ClearSkyAt {
            cos_zenith: 0.5,
            air_mass: 2.0,
            extraterrestrial_w_m2: 1360.0,
            linke: 3.0,
            altitude_m: 0.0,
        };
        let light = clear_sky(&at, &sky.clear);
        // Hand worked: G = 0.868*1360*0.5*exp(-0.0387*2*3) = 590.24*0.792795 = 467.94.
        assert!((light.global_w_m2 - 467.94).abs() < 0.02, "global {}", light.global_w_m2);
        // b = 0.827; 0.827*1360*exp(-0.36) = 784.68. The bound: 1-(0.1-0.2*0.049787)/0.982 = 0.90831,
        // 467.94*0.90831/0.5 = 850.06, so the first holds. D = 467.94-392.34 = 75.60.
        assert!((light.beam_w_m2 - 784.68).abs() < 0.02, "beam {}", light.beam_w_m2);
        assert!((light.diffuse_w_m2 - 75.60).abs() < 0.03, "diffuse {}", light.diffuse_w_m2);
    }

    #[test]
    fn haze_dims_and_height_brightens() {
        let sky = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky;
        let day = |linke, altitude_m, steps| {
            let day = ClearDay { latitude_deg: 40.0, altitude_m, linke, day: 100, steps };
            clear_day_w_m2(&day, &sky)
        };
        assert!(day(5.0, 0.0, 2) < day(3.0, 0.0, 2), "haze dims");
        assert!(day(3.0, 0.0, 2) < day(3.0, 1500.0, 2), "height brightens");
        let (coarse, fine) = (day(3.0, 0.0, 2), day(3.0, 0.0, 60));
        assert!((coarse / fine - 1.0).abs() < 0.005, "two steps an hour: {coarse}, sixty: {fine}");
    }
}

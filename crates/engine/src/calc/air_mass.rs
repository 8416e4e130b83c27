//! How much air the sun's light crosses.

use super::sky_geometry::zenith_deg;
use crate::number::pow;
use crate::tables::sky::Air;

/// Air in the sun's way over the air straight up.
///
/// # Formula
/// m = 1 / (cos z + a (b + 90 - z)^c), z in degrees
/// # Symbols
/// - `cos_zenith`: cosine of z, the zenith angle
/// - `air`: a, b [deg], c
/// - returns m
/// # Valid
/// A sun above the horizon; a lower one counts as on it, where m is 38.
/// # Source
/// kasten-young-1989, relative optical air mass, reprint
/// # Checked by
/// `sky_agrees.rs`; overhead and horizon in the tests.
#[must_use]
pub fn relative_air_mass(cos_zenith: f64, air: &Air) -> f64 {
    let up = cos_zenith.max(0.0);
    let [factor, lifted_deg, exponent] = air.mass;
    1.0 / (up + factor * pow(lifted_deg + 90.0 - zenith_deg(up), exponent))
}

/// Air pressure over that of the sea.
///
/// # Formula
/// p = (1 - k h)^n
/// # Symbols
/// - `altitude_m`: h [m]
/// - `air`: k [1/m], n
/// - returns p, which times the relative air mass gives the absolute one
/// # Valid
/// To 11 km in the standard atmosphere.
/// # Source
/// standard-atmosphere, pressure by altitude, computed
/// # Checked by
/// `sky_agrees.rs`; the table height in the tests.
#[must_use]
pub fn pressure_share(altitude_m: f64, air: &Air) -> f64 {
    pow(1.0 - air.pressure_fall_per_m * altitude_m, air.pressure_exponent)
}

#[cfg(test)]
mod tests {
    use super::{pressure_share, relative_air_mass};
    use crate::tables::Tables;

    #[test]
    fn overhead_slant_and_horizon() {
        let air = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.air;
        // Hand worked at 60 deg: 36.07995^-1.6364 = exp(-1.6364 * 3.58574) = 2.827e-3;
        // 1/(0.5 + 0.50572 * 2.827e-3) = 1.9943. On the horizon 6.07995^-1.6364 = 0.05216, m 37.9.
        for (up, want, within) in [(1.0, 1.0, 0.001), (0.5, 1.9943, 0.0002), (0.0, 37.92, 0.03)] {
            let found = relative_air_mass(up, &air);
            assert!((found - want).abs() < within, "air mass {found} at cosine {up}");
        }
        assert!(relative_air_mass(-0.3, &air) < 38.0, "a sun under the horizon counts as on it");
    }

    #[test]
    fn pressure_falls_by_half_at_five_and_a_half_kilometres() {
        let air = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.air;
        // The standard atmosphere prints 505 hPa of 1013.25 at 5,500 m.
        assert!((pressure_share(5500.0, &air) - 0.4985).abs() < 0.001, "half of the air is below");
        assert!((pressure_share(0.0, &air) - 1.0).abs() < 1e-15, "all of it at the sea");
    }
}

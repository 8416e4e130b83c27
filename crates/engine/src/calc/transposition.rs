//! Light on a tilted plane, from the light on a flat one.

use super::clear_sky::SkyLight;

/// What a plane and the sun's place mean for its light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facing {
    /// Cosine of the tilt.
    pub cos_tilt: f64,
    /// Cosine of the angle of incidence of the beam; negative from behind.
    pub cos_incidence: f64,
    /// Cosine of the zenith angle of the sun.
    pub cos_zenith: f64,
    /// Irradiance outside the air, facing the sun [W/m2].
    pub extraterrestrial_w_m2: f64,
    /// Least cosine of the zenith angle to divide by.
    pub cosine_min: f64,
}

/// Light on a tilted plane by where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneLight {
    /// Straight from the sun [W/m2].
    pub beam_w_m2: f64,
    /// From the bright sky around the sun; meets the plane like the beam [W/m2].
    pub round_sun_w_m2: f64,
    /// From the whole sky evenly [W/m2].
    pub sky_w_m2: f64,
    /// Thrown back by the ground [W/m2].
    pub ground_w_m2: f64,
}

impl PlaneLight {
    /// All of it [W/m2].
    #[must_use]
    pub const fn total_w_m2(&self) -> f64 {
        self.beam_w_m2 + self.round_sun_w_m2 + self.sky_w_m2 + self.ground_w_m2
    }
}

/// Beam over that on a flat plane.
///
/// # Formula
/// Rb = max(cos i, 0) / max(cos z, c)
/// # Symbols
/// - `facing`: cos i, cos z, c
/// - returns Rb
/// # Valid
/// A sun under 1 deg counts as 1 deg up, so that its light is not multiplied by hundreds.
/// # Source
/// hay-davies-1980, ratio of the projections, reprint; c from open-pv-library, read
/// # Checked by
/// `sky_agrees.rs`
#[must_use]
#[inline]
pub fn beam_ratio(facing: &Facing) -> f64 {
    facing.cos_incidence.max(0.0) / facing.cos_zenith.max(facing.cosine_min)
}

/// Light of the ground on a tilted plane.
///
/// # Formula
/// Rg = G r (1 - cos b) / 2
/// # Symbols
/// - `global_w_m2`: G, on a flat plane [W/m2]
/// - `albedo`: r, light the ground throws back
/// - `cos_tilt`: cos b
/// - returns Rg [W/m2]
/// # Valid
/// Even ground to the horizon.
/// # Source
/// liu-jordan-1963, ground term, reprint
/// # Checked by
/// `sky_agrees.rs`
#[must_use]
#[inline]
pub fn ground_light(global_w_m2: f64, albedo: f64, cos_tilt: f64) -> f64 {
    global_w_m2 * albedo * (1.0 - cos_tilt) / 2.0
}

/// Light on a tilted plane under a sky that is evenly bright.
///
/// # Formula
/// B cos i; D (1 + cos b) / 2; ground
/// # Symbols
/// - `light`: G, B, D [W/m2]
/// - `facing`: cos i, cos b
/// - `albedo`: of the ground
/// - returns the parts [W/m2]
/// # Valid
/// Overcast skies; under a clear one it gives 3 to 6 % too little for a plane that faces the sun.
/// # Source
/// liu-jordan-1963, even sky, reprint
/// # Checked by
/// `sky_agrees.rs`
#[must_use]
pub fn even_sky(light: &SkyLight, facing: &Facing, albedo: f64) -> PlaneLight {
    PlaneLight {
        beam_w_m2: light.beam_w_m2 * facing.cos_incidence.max(0.0),
        round_sun_w_m2: 0.0,
        sky_w_m2: light.diffuse_w_m2 * (1.0 + facing.cos_tilt) / 2.0,
        ground_w_m2: ground_light(light.global_w_m2, albedo, facing.cos_tilt),
    }
}

/// Light on a tilted plane under a sky that is brighter round the sun.
///
/// # Formula
/// A = B / I0; B cos i; D A Rb; D (1 - A) (1 + cos b) / 2; ground
/// # Symbols
/// - `light`: G, B, D [W/m2]
/// - `facing`: cos i, cos z, cos b, I0 [W/m2]
/// - `albedo`: of the ground
/// - returns the parts [W/m2]
/// # Valid
/// All skies; the bright band at the horizon is left out, which errs by 1 to 3 % a year on the low side.
/// # Source
/// hay-davies-1980, equation 7, reprint
/// # Checked by
/// `sky_agrees.rs`; a flat plane in the tests.
#[must_use]
pub fn bright_round_sun(light: &SkyLight, facing: &Facing, albedo: f64) -> PlaneLight {
    let clear = light.beam_w_m2 / facing.extraterrestrial_w_m2;
    let even = even_sky(light, facing, albedo);
    PlaneLight {
        round_sun_w_m2: light.diffuse_w_m2 * clear * beam_ratio(facing),
        sky_w_m2: (even.sky_w_m2 * (1.0 - clear)).max(0.0),
        ..even
    }
}

#[cfg(test)]
mod tests {
    use super::{Facing, bright_round_sun, even_sky};
    use crate::calc::clear_sky::SkyLight;

    const LIGHT: SkyLight = SkyLight { global_w_m2: 500.0, beam_w_m2: 680.0, diffuse_w_m2: 160.0 };

    fn facing(cos_tilt: f64, cos_incidence: f64) -> Facing {
        Facing {
            cos_tilt,
            cos_incidence,
            cos_zenith: 0.5,
            extraterrestrial_w_m2: 1360.0,
            cosine_min: 0.01745,
        }
    }

    #[test]
    fn a_flat_plane_gets_what_falls_on_the_ground() {
        for light in [
            bright_round_sun(&LIGHT, &facing(1.0, 0.5), 0.2),
            even_sky(&LIGHT, &facing(1.0, 0.5), 0.2),
        ] {
            assert!((light.total_w_m2() - 500.0).abs() < 1e-9, "{light:?}");
        }
    }

    #[test]
    fn a_plane_square_to_a_low_sun() {
        // Hand worked at tilt 60: A = 0.5, Rb = 2; beam 680, round the sun 160*0.5*2 = 160,
        // sky 160*0.5*0.75 = 60, ground 500*0.2*0.25 = 25.
        let light = bright_round_sun(&LIGHT, &facing(0.5, 1.0), 0.2);
        let parts = [light.beam_w_m2, light.round_sun_w_m2, light.sky_w_m2, light.ground_w_m2];
        for (found, want) in parts.into_iter().zip([680.0, 160.0, 60.0, 25.0]) {
            assert!((found - want).abs() < 1e-9, "{parts:?}");
        }
        let even = even_sky(&LIGHT, &facing(0.5, 1.0), 0.2).total_w_m2();
        assert!(even < light.total_w_m2(), "an even sky gives less to a plane that faces the sun");
        let away = bright_round_sun(&LIGHT, &facing(0.5, -0.3), 0.2);
        assert!(away.beam_w_m2 + away.round_sun_w_m2 < 1e-12, "no sun from behind: {away:?}");
    }
}

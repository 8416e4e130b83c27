//! At what angle light meets the glass, and how much of it the glass throws back.

use super::sky_geometry::{Direction, direction};
use crate::number::{atan2, cos, exp, sin};
use crate::tables::sky::Glass;
use std::f64::consts::{FRAC_PI_2, PI};

/// Steps of the sum over the sky; 400 are within 1e-5 of 4,000.
const SKY_STEPS: u32 = 400;

/// Direction a panel faces.
///
/// # Formula
/// n = direction with zenith angle b and azimuth g
/// # Symbols
/// - `tilt_deg`: b, from flat [deg]
/// - `facing_deg`: g, 0 north, 90 east, 180 south [deg]
/// - returns n, the unit vector off the glass
/// # Valid
/// Every angle.
/// # Source
/// geometry, spherical coordinates
/// # Checked by
/// `sky_agrees.rs`, through [`cos_incidence`]
#[must_use]
pub fn plane_normal(tilt_deg: f64, facing_deg: f64) -> Direction {
    direction(tilt_deg, facing_deg)
}

/// Cosine of the angle between a direction and the normal of a plane.
///
/// # Formula
/// cos i = s . n
/// # Symbols
/// - `sun`: s, direction of the sun
/// - `plane`: n, normal of the plane
/// - returns cos i; negative when the sun stands behind the panel
/// # Valid
/// Every direction.
/// # Source
/// geometry, product of two unit vectors
/// # Checked by
/// `sky_agrees.rs`; a sun square to the glass in the tests.
#[must_use]
#[inline]
pub fn cos_incidence(sun: Direction, plane: Direction) -> f64 {
    sun.east * plane.east + sun.north * plane.north + sun.up * plane.up
}

/// Light the glass lets through at an angle over what it lets through square on.
///
/// # Formula
/// r by sin i = n sin r; t = exp(-K L / cos r) (1 - (s + p) / 2), s = ((cos i - n cos r) / (cos i + n cos r))^2,
/// p = ((cos r - n cos i) / (cos r + n cos i))^2; M = t(i) / t(0)
/// # Symbols
/// - `cos_incidence`: cos i
/// - `glass`: n, refractive index; K, extinction [1/m]; L, thickness [m]
/// - returns M; 0 when the light comes from behind
/// # Valid
/// Bare glass; a coated one loses less at a slant.
/// # Source
/// de-soto-2006, transmittance of the cover, reprint
/// # Checked by
/// `sky_agrees.rs`; square and grazing light in the tests.
#[must_use]
pub fn glass_modifier(cos_incidence: f64, glass: &Glass) -> f64 {
    if cos_incidence <= 0.0 {
        return 0.0;
    }
    through(cos_incidence, glass) / through(1.0, glass)
}

/// Light that passes bare glass.
fn through(cos_i: f64, glass: &Glass) -> f64 {
    let n = glass.index;
    let sine = (1.0 - cos_i * cos_i).max(0.0).sqrt() / n;
    let cos_r = (1.0 - sine * sine).sqrt();
    let square = |x: f64| x * x;
    let across = square((cos_i - n * cos_r) / (cos_i + n * cos_r));
    let along = square((cos_r - n * cos_i) / (cos_r + n * cos_i));
    exp(-glass.extinction_per_m * glass.thickness_m / cos_r) * (1.0 - 0.5 * (across + along))
}

/// The short form of the modifier.
///
/// # Formula
/// M = 1 - b (1 / cos i - 1), at least 0
/// # Symbols
/// - `cos_incidence`: cos i
/// - `glass`: b
/// - returns M; 0 when the light comes from behind
/// # Valid
/// To about 80 deg. A check of [`glass_modifier`]; the product uses that one.
/// # Source
/// souka-safwat-1966, incidence-angle modifier, reprint
/// # Checked by
/// `sky_agrees.rs`
#[must_use]
pub fn short_modifier(cos_incidence: f64, glass: &Glass) -> f64 {
    if cos_incidence <= 0.0 {
        return 0.0;
    }
    (1.0 - glass.ashrae * (1.0 / cos_incidence - 1.0)).max(0.0)
}

/// What the glass lets through of the light of the whole sky and of the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiffuseModifier {
    /// Of light from the sky.
    pub sky: f64,
    /// Of light from the ground; 0 for a flat panel, which sees none.
    pub ground: f64,
}

/// Modifier of light that comes evenly from the sky, and from the ground.
///
/// # Formula
/// F = sum of M(i) cos i sin i w(i) / sum of cos i sin i w(i); w = acos(-cot i cot b) / pi for the sky,
/// the part of the ring at i that lies above the horizon, and 1 - w for the ground
/// # Symbols
/// - `tilt_deg`: b, from flat [deg]
/// - `glass`: the numbers of M
/// - returns F of sky and ground
/// # Valid
/// An even sky and an even ground, tilts 0 to 90 deg. Worked out once for a panel.
/// # Source
/// marion-2017, definition, reprint; the rings are geometry
/// # Checked by
/// `sky_agrees.rs` against a sum over patches of the sky
#[must_use]
pub fn diffuse_modifier(tilt_deg: f64, glass: &Glass) -> DiffuseModifier {
    let tilt = tilt_deg.to_radians();
    let (mut sky, mut sky_all, mut ground, mut ground_all) = (0.0, 0.0, 0.0, 0.0);
    for step in 0..SKY_STEPS {
        let i = (f64::from(step) + 0.5) / f64::from(SKY_STEPS) * FRAC_PI_2;
        let (sin_i, cos_i) = (sin(i), cos(i));
        // Where the ring at i meets the horizon: cos f = - cos i cos b / (sin i sin b).
        let (over, under) = (-cos_i * cos(tilt), sin_i * sin(tilt));
        let above = if over.abs() < under {
            atan2((under * under - over * over).sqrt(), over) / PI
        } else if over < 0.0 {
            1.0
        } else {
            0.0
        };
        let (weight, passed) = (cos_i * sin_i, glass_modifier(cos_i, glass));
        sky += passed * weight * above;
        sky_all += weight * above;
        ground += passed * weight * (1.0 - above);
        ground_all += weight * (1.0 - above);
    }
    let part = |passed: f64, all: f64| if 0.0 < all { passed / all } else { 0.0 };
    DiffuseModifier { sky: part(sky, sky_all), ground: part(ground, ground_all) }
}

#[cfg(test)]
mod tests {
    use super::{cos_incidence, diffuse_modifier, glass_modifier, plane_normal, short_modifier};
    use crate::calc::sky_geometry::direction;
    use crate::tables::Tables;

    #[test]
    fn a_sun_square_to_the_glass() {
        let (sun, plane) = (direction(50.0, 200.0), plane_normal(50.0, 200.0));
        assert!((cos_incidence(sun, plane) - 1.0).abs() < 1e-12, "square on");
        let behind = plane_normal(80.0, 20.0);
        assert!(cos_incidence(sun, behind) < 0.0, "the sun stands behind this one");
    }

    #[test]
    fn glass_passes_square_light_and_throws_grazing_light_back() {
        let glass = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.glass;
        assert!((glass_modifier(1.0, &glass) - 1.0).abs() < 1e-15, "square on");
        // Hand worked at 60 deg: sin r = 0.866025/1.526 = 0.567513, cos r = 0.823364;
        // s = ((0.5-1.256453)/1.756453)^2 = 0.185482, p = ((0.823364-0.763)/1.586364)^2 = 0.001448;
        // t = exp(-0.008/0.823364)*0.906535 = 0.897769; t(0) = exp(-0.008)*(1-0.043363) = 0.949014.
        let found = glass_modifier(0.5, &glass);
        assert!((found - 0.946_002).abs() < 2e-5, "at 60 deg {found}");
        assert!(glass_modifier(0.01, &glass) < 0.1, "grazing light is thrown back");
        assert!(glass_modifier(-0.2, &glass).abs() < 1e-15, "from behind");
        // Both forms describe the same glass: within 0.03 to 70 deg.
        for up in [0.95, 0.8, 0.6, 0.4] {
            let apart = glass_modifier(up, &glass) - short_modifier(up, &glass);
            assert!(apart.abs() < 0.03, "{apart} apart at {up}");
        }
    }

    #[test]
    fn a_flat_panel_sees_no_ground() {
        let glass = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.glass;
        let flat = diffuse_modifier(0.0, &glass);
        assert!(flat.ground.abs() < 1e-15 && (0.92..0.96).contains(&flat.sky), "{flat:?}");
        let wall = diffuse_modifier(90.0, &glass);
        assert!((wall.sky - wall.ground).abs() < 1e-9, "a wall sees both alike: {wall:?}");
    }
}

//! Where the sun stands by the simple geometry of a day and an hour, in local solar time.
//!
//! Accurate to about a quarter of a degree, which is far below what weather leaves open; the exact
//! position by the clock is in `solar_position`.

use crate::number::{atan2, cos, sin};
use crate::tables::sky::Geometry;
use std::f64::consts::{PI, TAU};

/// A direction from the panel, as a unit vector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    /// Part to the east.
    pub east: f64,
    /// Part to the north.
    pub north: f64,
    /// Part upwards; for the sun, the cosine of its zenith angle.
    pub up: f64,
}

/// A direction by its zenith angle and its azimuth; also the normal of a plane by tilt and facing.
///
/// # Formula
/// east = sin z sin a; north = sin z cos a; up = cos z
/// # Symbols
/// - `zenith_deg`: z, angle from straight up [deg]
/// - `azimuth_deg`: a, 0 north, 90 east, 180 south [deg]
/// - returns the unit vector
/// # Valid
/// Every angle.
/// # Source
/// geometry, spherical coordinates
/// # Checked by
/// `sky_agrees.rs`, through the light on a plane; length and compass points in the tests.
#[must_use]
pub fn direction(zenith_deg: f64, azimuth_deg: f64) -> Direction {
    let (z, a) = (zenith_deg.to_radians(), azimuth_deg.to_radians());
    Direction { east: sin(z) * sin(a), north: sin(z) * cos(a), up: cos(z) }
}

/// Angle of the day in the year.
///
/// # Formula
/// B = 2 pi (n - 1) / 365
/// # Symbols
/// - `day`: n, day of the year, 1 to 365; a part of a day may be added
/// - returns B [rad]
/// # Valid
/// Years of 365 days; the last day of a leap year runs one day over.
/// # Source
/// spencer-1971, angle of the day, reprint
/// # Checked by
/// `sky_agrees.rs`, through the series that use it.
#[must_use]
pub fn day_angle(day: f64) -> f64 {
    TAU * (day - 1.0) / 365.0
}

/// The sun's declination.
///
/// # Formula
/// d = c0 + c1 cos B + c2 sin B + c3 cos 2B + c4 sin 2B + c5 cos 3B + c6 sin 3B
/// # Symbols
/// - `day`: n, day of the year; B by [`day_angle`]
/// - `geometry`: c0 to c6 [rad]
/// - returns d [rad]
/// # Valid
/// Within 0.04 deg, by its author.
/// # Source
/// spencer-1971, declination, reprint
/// # Checked by
/// `sky_agrees.rs`; the solstices in the tests.
#[must_use]
pub fn declination_rad(day: f64, geometry: &Geometry) -> f64 {
    let b = day_angle(day);
    let c = &geometry.declination;
    c[0] + c[1] * cos(b)
        + c[2] * sin(b)
        + c[3] * cos(2.0 * b)
        + c[4] * sin(2.0 * b)
        + c[5] * cos(3.0 * b)
        + c[6] * sin(3.0 * b)
}

/// Irradiance of a plane that faces the sun outside the air.
///
/// # Formula
/// I0 = S (e0 + e1 cos B + e2 sin B + e3 cos 2B + e4 sin 2B)
/// # Symbols
/// - `day`: n, day of the year; B by [`day_angle`]
/// - `geometry`: S, solar constant [W/m2]; e0 to e4
/// - returns I0 [W/m2]
/// # Valid
/// Within 0.01 % of the distance law, by its author.
/// # Source
/// spencer-1971, (R0/R)^2, reprint
/// # Checked by
/// `sky_agrees.rs`; near and far point of the year in the tests.
#[must_use]
pub fn extraterrestrial_w_m2(day: f64, geometry: &Geometry) -> f64 {
    let b = day_angle(day);
    let e = &geometry.distance;
    let distance = e[0] + e[1] * cos(b) + e[2] * sin(b) + e[3] * cos(2.0 * b) + e[4] * sin(2.0 * b);
    geometry.solar_constant_w_m2 * distance
}

/// How far a sundial runs ahead of an even clock.
///
/// # Formula
/// E = m (t0 + t1 cos B + t2 sin B + t3 cos 2B + t4 sin 2B)
/// # Symbols
/// - `day`: n, day of the year; B by [`day_angle`]
/// - `geometry`: m, minutes in a radian; t0 to t4 [rad]
/// - returns E [min]; solar time = clock time + 4 min a degree east of its meridian + E
/// # Valid
/// Within half a minute.
/// # Source
/// spencer-1971, equation of time, reprint
/// # Checked by
/// `sky_agrees.rs`; the sign in February and November in the tests.
#[must_use]
pub fn equation_of_time_min(day: f64, geometry: &Geometry) -> f64 {
    let b = day_angle(day);
    let t = &geometry.time;
    let sum = t[0] + t[1] * cos(b) + t[2] * sin(b) + t[3] * cos(2.0 * b) + t[4] * sin(2.0 * b);
    geometry.minutes_per_rad * sum
}

/// Angle the earth has turned since solar noon.
///
/// # Formula
/// w = (h - 12) pi / 12
/// # Symbols
/// - `solar_hour`: h, hour of local solar time, 12 at noon
/// - returns w, negative in the morning [rad]
/// # Valid
/// Every hour.
/// # Source
/// geometry, a turn in 24 hours
/// # Checked by
/// `sky_agrees.rs`, through the zenith angle; noon and morning in the tests.
#[must_use]
pub fn hour_angle_rad(solar_hour: f64) -> f64 {
    (solar_hour - 12.0) * PI / 12.0
}

/// Direction of the sun.
///
/// # Formula
/// up = sin p sin d + cos p cos d cos w; east = - cos d sin w; north = cos p sin d - sin p cos d cos w
/// # Symbols
/// - `latitude_deg`: p, north positive [deg]
/// - `declination_rad`: d [rad]
/// - `hour_angle_rad`: w [rad]
/// - returns the unit vector; `up` is the cosine of the zenith angle and negative at night
/// # Valid
/// Every place and hour. No refraction: the sun rises about 4 min late.
/// # Source
/// geometry, two turns of the axes
/// # Checked by
/// `sky_agrees.rs` against the zenith angle of the same declination; noon and morning in the tests.
#[must_use]
pub fn sun_direction(latitude_deg: f64, declination_rad: f64, hour_angle_rad: f64) -> Direction {
    let (p, d, w) = (latitude_deg.to_radians(), declination_rad, hour_angle_rad);
    Direction {
        east: -cos(d) * sin(w),
        north: cos(p) * sin(d) - sin(p) * cos(d) * cos(w),
        up: sin(p) * sin(d) + cos(p) * cos(d) * cos(w),
    }
}

/// Zenith angle of a direction whose upward part is known.
///
/// # Formula
/// z = acos(up)
/// # Symbols
/// - `up`: cosine of the zenith angle
/// - returns z [deg]
/// # Valid
/// Cosines a rounding beyond 1 count as 1.
/// # Source
/// geometry, inverse cosine
/// # Checked by
/// `sky_agrees.rs`; the round trip in the tests.
#[must_use]
pub fn zenith_deg(up: f64) -> f64 {
    let up = up.clamp(-1.0, 1.0);
    atan2((1.0 - up * up).sqrt(), up).to_degrees()
}

#[cfg(test)]
mod tests {
    use super::{
        declination_rad, direction, equation_of_time_min, extraterrestrial_w_m2, hour_angle_rad,
        sun_direction, zenith_deg,
    };
    use crate::tables::Tables;
    use crate::tables::sky::Geometry;

    fn geometry() -> Geometry {
        Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.geometry
    }

    fn near(found: f64, want: f64, within: f64, what: &str) {
        assert!((found - want).abs() <= within, "{what}: {found} instead of {want}");
    }

    #[test]
    fn the_sun_of_the_year() {
        let g = geometry();
        // The obliquity is 23.44 deg; the author states 0.04 deg.
        near(declination_rad(172.0, &g).to_degrees(), 23.44, 0.04, "June solstice");
        near(declination_rad(355.0, &g).to_degrees(), -23.44, 0.05, "December solstice");
        // Hand worked: an orbit of eccentricity 0.0167 gives 1/0.9833^2 and 1/1.0167^2.
        near(extraterrestrial_w_m2(3.0, &g) / g.solar_constant_w_m2, 1.0342, 0.002, "nearest");
        near(extraterrestrial_w_m2(185.0, &g) / g.solar_constant_w_m2, 0.9674, 0.002, "farthest");
        // Almanacs: the sundial is 14 min slow on 11 February and 16 min fast on 3 November.
        near(equation_of_time_min(42.0, &g), -14.2, 0.5, "February");
        near(equation_of_time_min(307.0, &g), 16.4, 0.5, "November");
    }

    #[test]
    fn the_sun_of_the_day() {
        // Hand worked: at 45 N on an equinox (d = 0) the noon sun stands due south, 45 deg up; at
        // six in the morning due east on the horizon.
        let noon = sun_direction(45.0, 0.0, hour_angle_rad(12.0));
        near(noon.up, std::f64::consts::FRAC_1_SQRT_2, 1e-12, "noon height");
        near(noon.north, -std::f64::consts::FRAC_1_SQRT_2, 1e-12, "noon south");
        let six = sun_direction(45.0, 0.0, hour_angle_rad(6.0));
        near(six.east, 1.0, 1e-12, "six o'clock east");
        near(six.up, 0.0, 1e-12, "six o'clock height");
        let south = sun_direction(-33.0, 0.3, hour_angle_rad(12.0));
        assert!(0.0 < south.north, "south of the tropics the noon sun stands in the north");
    }

    #[test]
    fn a_direction_has_length_one_and_its_zenith_angle_comes_back() {
        for (zenith, azimuth) in [(0.0, 10.0), (37.0, 123.0), (89.0, 300.0), (140.0, 200.0)] {
            let d = direction(zenith, azimuth);
            near(d.east * d.east + d.north * d.north + d.up * d.up, 1.0, 1e-12, "length");
            near(zenith_deg(d.up), zenith, 1e-9, "zenith");
        }
        near(direction(90.0, 90.0).east, 1.0, 1e-12, "east is at 90 deg");
    }
}

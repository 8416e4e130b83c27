//! The light an array's plane gets, from the light on the flat, hour by hour.
//!
//! The plane's geometry is worked out once a year and hour in four steps an hour; what is left for
//! an hour of weather is a few products.

use super::calendar::{DAYS, sun_of_day};
use super::lanes::{larger, smaller};
use super::place::Site;
use super::weather::{DayWeather, HOURS};
use crate::calc::incidence::{cos_incidence, diffuse_modifier, glass_modifier, plane_normal};
use crate::calc::sky_geometry::Direction;
use crate::number::{atan2, sin};
use crate::tables::Tables;

/// Bearings at which a horizon is given, from north every 30 degrees.
pub const BEARINGS: usize = 12;

/// How an array stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneSetting {
    /// Tilt from flat [deg].
    pub tilt_deg: f64,
    /// Facing: 0 north, 90 east, 180 south [deg].
    pub facing_deg: f64,
    /// Heights of the horizon, north first, every 30 degrees east [deg].
    pub horizon_deg: [f64; BEARINGS],
    /// Share of the light that shade takes, all day alike.
    pub shade: f64,
    /// Share of the light that dirt takes.
    pub dirt: f64,
}

impl PlaneSetting {
    /// Flat on a roof, clean, with an open sky.
    #[must_use]
    pub const fn flat() -> Self {
        Self { tilt_deg: 0.0, facing_deg: 0.0, horizon_deg: [0.0; BEARINGS], shade: 0.0, dirt: 0.0 }
    }
}

/// One hour of a plane.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct HourPlane {
    /// Beam through the glass over beam on the flat.
    beam: f64,
    /// One over the light outside the air on the flat [m2/W].
    outside: f64,
}

/// A plane's year.
#[derive(Clone, Debug, PartialEq)]
pub struct Plane {
    hours: Vec<[HourPlane; HOURS]>,
    /// Share of the sky's light that reaches the cells.
    sky: f64,
    /// Share of the light on the flat that the ground sends through the glass.
    ground: f64,
    /// What shade and dirt leave.
    left: f64,
}

impl Plane {
    /// Works out the year of a plane at a place.
    #[must_use]
    pub fn of(setting: &PlaneSetting, site: &Site, tables: &Tables) -> Self {
        let numbers = &tables.generator;
        let glass = &tables.sky.glass;
        let normal = plane_normal(setting.tilt_deg, setting.facing_deg);
        let ratio_max = numbers.number("beam-ratio-max");
        let mut hours = Vec::with_capacity(DAYS);
        for day in 0..DAYS {
            let (mut on_plane, mut on_flat) = ([0.0; HOURS], [0.0; HOURS]);
            for (hour, sun) in sun_of_day(site.latitude_deg, day, &tables.sky) {
                on_flat[hour] += sun.up;
                if horizon_sine(&setting.horizon_deg, sun) <= sun.up {
                    let cosine = cos_incidence(sun, normal);
                    on_plane[hour] += cosine.max(0.0) * glass_modifier(cosine, glass);
                }
            }
            hours.push(std::array::from_fn(|h| {
                let up = site.calendar.cos_zenith[day][h];
                let outside = site.calendar.extraterrestrial_w_m2[day] * up;
                if up <= site.low_sun_cosine {
                    return HourPlane::default();
                }
                HourPlane {
                    beam: (on_plane[h] / on_flat[h]).min(ratio_max),
                    outside: 1.0 / outside,
                }
            }));
        }
        let through = diffuse_modifier(setting.tilt_deg, glass);
        Self {
            hours,
            sky: (1.0 + normal.up) / 2.0 * through.sky,
            ground: numbers.number("albedo") * (1.0 - normal.up) / 2.0 * through.ground,
            left: (1.0 - setting.shade) * (1.0 - setting.dirt),
        }
    }

    /// Light that reaches the cells in an hour of a day, after glass, shade and dirt [W/m2].
    ///
    /// The part of the sky's light that stands round the sun goes the way of the beam (Hay and
    /// Davies); the rest comes evenly. A horizon takes the beam only.
    #[inline]
    #[must_use]
    pub fn poa<const L: usize>(
        &self,
        day_of_year: usize,
        hour: usize,
        weather: &DayWeather<L>,
    ) -> [f64; L] {
        let at = self.hours[day_of_year % DAYS][hour];
        let mut found = [0.0; L];
        for (lane, poa) in found.iter_mut().enumerate() {
            let (all, diffuse) = (weather.ghi[hour][lane], weather.diffuse[hour][lane]);
            let beam = larger(all - diffuse, 0.0);
            let round_sun = smaller(beam * at.outside, 1.0);
            let sky = diffuse * (round_sun * at.beam + (1.0 - round_sun) * self.sky);
            *poa = (beam * at.beam + sky + all * self.ground) * self.left;
        }
        found
    }
}

/// Sine of the horizon's height at the bearing of a direction.
fn horizon_sine(heights_deg: &[f64; BEARINGS], towards: Direction) -> f64 {
    let bearing = atan2(towards.east, towards.north).to_degrees().rem_euclid(360.0) / 30.0;
    let mut height = 0.0;
    for (at, own) in heights_deg.iter().enumerate() {
        // A tent over each bearing, as wide as its neighbours, north meeting north again.
        let at = u32::try_from(at).map_or(0.0, f64::from);
        let apart = (bearing - at).abs();
        height += own * (1.0 - apart.min(12.0 - apart)).max(0.0);
    }
    sin(height.to_radians())
}

#[cfg(test)]
mod tests {
    use super::{BEARINGS, Plane, PlaneSetting, horizon_sine};
    use crate::calc::sky_geometry::direction;
    use crate::model::rig::Place;
    use crate::sim::place::Site;
    use crate::sim::weather::{DayWeather, WeatherLanes};
    use crate::tables::Tables;
    use crate::tables::climate::Climate;

    fn site(latitude: f64, tables: &Tables) -> Site {
        let place = Place::at(latitude, -110.0);
        let climate = Climate::embedded().unwrap_or_else(|e| panic!("{e}"));
        Site::of(&place, &climate, tables).unwrap_or_else(|e| panic!("{e}"))
    }

    /// Energy on a plane over the days of a span, over that on the flat.
    fn share(site: &Site, setting: &PlaneSetting, days: std::ops::Range<usize>) -> f64 {
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let plane = Plane::of(setting, site, &tables);
        let mut lanes = WeatherLanes::<8>::new(site, 4, 0);
        let mut weather = DayWeather::<8>::dark();
        let (mut on_plane, mut on_flat) = (0.0, 0.0);
        for day in days {
            lanes.next_day(day, &mut weather);
            for hour in 0..24 {
                on_plane += plane.poa(day, hour, &weather).iter().sum::<f64>();
                on_flat += weather.ghi[hour].iter().sum::<f64>();
            }
        }
        on_plane / on_flat
    }

    #[test]
    fn a_plane_gets_what_its_tilt_and_facing_promise() {
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let site = site(40.0, &tables);
        let tilted =
            |tilt_deg, facing_deg| PlaneSetting { tilt_deg, facing_deg, ..PlaneSetting::flat() };
        let (winter, summer) = (335..365, 160..190);
        // Glass alone: a flat panel loses 2 to 8 % to slanting light.
        let flat = share(&site, &PlaneSetting::flat(), summer.clone());
        assert!((0.92..0.98).contains(&flat), "flat in summer {flat}");
        let south = share(&site, &tilted(40.0, 180.0), winter.clone());
        let north = share(&site, &tilted(40.0, 0.0), winter.clone());
        // Hand worked at noon in December: cos(40 - 40 + 23.4) / cos(63.4) = 2.05 for the beam; with
        // the diffuse part the month lies between 1.3 and 2.
        assert!((1.3..2.0).contains(&south) && north < 0.5, "south {south}, north {north}");
        let east = share(&site, &tilted(40.0, 90.0), summer.clone());
        let west = share(&site, &tilted(40.0, 270.0), summer.clone());
        assert!((east / west - 1.0).abs() < 0.03, "solar time knows no morning: {east} {west}");
        let dusty = PlaneSetting { shade: 0.1, dirt: 0.02, ..PlaneSetting::flat() };
        let left = share(&site, &dusty, summer.clone()) / flat;
        assert!((left - 0.9 * 0.98).abs() < 1e-12, "shade and dirt {left}");
        let walled = PlaneSetting { horizon_deg: [25.0; BEARINGS], ..PlaneSetting::flat() };
        // The December sun at 40 N climbs to 26.6 deg: over a wall of 25 deg it stands two hours of nine.
        let behind = share(&site, &walled, winter.clone());
        let open = share(&site, &PlaneSetting::flat(), winter);
        assert!(behind < 0.7 * open, "behind a wall {behind}, open {open}");
        assert!(0.85 * flat < share(&site, &walled, summer), "in summer the wall matters little");
    }

    #[test]
    fn a_horizon_runs_from_bearing_to_bearing_and_round_the_north() {
        let mut heights = [0.0; BEARINGS];
        (heights[0], heights[11]) = (30.0, 10.0);
        // Hand worked: half way from 330 (10 deg) to north (30 deg) stands 20 deg.
        for (bearing, want) in
            [(0.0, 30.0), (345.0, 20.0), (330.0, 10.0), (15.0, 15.0), (90.0, 0.0)]
        {
            let found = horizon_sine(&heights, direction(60.0, bearing));
            let want = libm::sin(f64::to_radians(want));
            assert!((found - want).abs() < 1e-9, "at {bearing}: {found} instead of {want}");
        }
    }
}

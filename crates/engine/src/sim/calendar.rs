//! The cloudless year of a place, hour by hour in local solar time, and the blend of months into days.

use super::weather::HOURS;
use crate::calc::air_mass::{pressure_share, relative_air_mass};
use crate::calc::clear_sky::{ClearSkyAt, clear_sky};
use crate::calc::sky_geometry::{
    Direction, declination_rad, extraterrestrial_w_m2, hour_angle_rad, sun_direction,
};
use crate::tables::climate::MONTHS;
use crate::tables::sky::SkyTables;

/// Days of a year of weather; there are no leap years.
pub const DAYS: usize = 365;
/// Steps an hour is cut into where the sun's height matters; the sun is taken at the middle of each.
pub const STEPS: u32 = 4;
/// Days of each month.
const DAYS_OF: [u32; MONTHS] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// Names of the months, January first.
pub const MONTH_NAMES: [&str; MONTHS] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The name of a month; 1 is January.
#[must_use]
pub const fn month_name(month: u32) -> &'static str {
    MONTH_NAMES[(month as usize + MONTHS - 1) % MONTHS]
}

/// The month a day lies in; day 0 is 1 January, month 0 is January.
#[must_use]
pub fn month_of(day: usize) -> usize {
    let mut left = day % DAYS;
    for (month, days) in DAYS_OF.iter().enumerate() {
        let days = *days as usize;
        if left < days {
            return month;
        }
        left -= days;
    }
    0
}

/// First day of a month.
#[must_use]
pub fn first_day(month: usize) -> usize {
    DAYS_OF.iter().take(month % MONTHS).map(|d| *d as usize).sum()
}

/// Number of days of a month.
#[must_use]
pub fn days_of(month: usize) -> usize {
    DAYS_OF[month % MONTHS] as usize
}

/// A day of the year as month and day, `10-24`; there is no year to it.
#[must_use]
pub fn day_name(day: usize) -> String {
    let month = month_of(day);
    format!("{:02}-{:02}", month + 1, day % DAYS - first_day(month) + 1)
}

/// A day of the year in words, `24 Oct`.
#[must_use]
pub fn day_words(day: usize) -> String {
    let month = month_of(day);
    format!("{}\u{a0}{}", day % DAYS - first_day(month) + 1, &MONTH_NAMES[month][..3])
}

/// Two neighbouring months and how a day lies between their middles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blend {
    /// The month whose middle lies before the middle of the day.
    pub from: usize,
    /// The month after it.
    pub to: usize,
    /// Share of `to`.
    pub share: f64,
}

impl Blend {
    /// The blend of a day, so that nothing steps at a month's edge.
    #[must_use]
    pub fn of(day: usize) -> Self {
        let number = |n: usize| u32::try_from(n).map_or(0.0, f64::from);
        let middle = |m: usize| number(first_day(m)) + number(days_of(m)) / 2.0;
        let here = number(day % DAYS) + 0.5;
        let from = (0..MONTHS).rev().find(|m| middle(*m) < here).unwrap_or(MONTHS - 1);
        let to = (from + 1) % MONTHS;
        let ahead = |x: f64| (x - middle(from)).rem_euclid(number(DAYS));
        Self { from, to, share: ahead(here) / ahead(middle(to)) }
    }

    /// A monthly figure on the day.
    #[must_use]
    pub fn mix(self, monthly: &[f64; MONTHS]) -> f64 {
        monthly[self.from] * (1.0 - self.share) + monthly[self.to] * self.share
    }
}

/// A place as the sun sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Latitude, north positive [deg].
    pub latitude_deg: f64,
    /// Altitude [m].
    pub altitude_m: f64,
    /// Linke's turbidity by month.
    pub linke: [f64; MONTHS],
}

/// What a cloudless year brings to a flat plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Calendar {
    /// Global irradiance by day and hour, mean of the hour [W/m2].
    pub clear_w_m2: Vec<[f64; HOURS]>,
    /// Cosine of the zenith angle by day and hour, mean of the hour, nothing below the horizon.
    pub cos_zenith: Vec<[f64; HOURS]>,
    /// Irradiance outside the air by day, facing the sun [W/m2].
    pub extraterrestrial_w_m2: Vec<f64>,
}

impl Calendar {
    /// Works out the year of a place.
    #[must_use]
    pub fn of(spot: &Spot, sky: &SkyTables) -> Self {
        let mut year = Self {
            clear_w_m2: Vec::new(),
            cos_zenith: Vec::new(),
            extraterrestrial_w_m2: Vec::new(),
        };
        let pressure = pressure_share(spot.altitude_m, &sky.air);
        for day in 0..DAYS {
            let outside = extraterrestrial_w_m2(day_number(day), &sky.geometry);
            let (mut clear, mut up) = ([0.0; HOURS], [0.0; HOURS]);
            let linke = Blend::of(day).mix(&spot.linke);
            for (hour, sun) in sun_of_day(spot.latitude_deg, day, sky) {
                let at = ClearSkyAt {
                    cos_zenith: sun.up,
                    air_mass: relative_air_mass(sun.up, &sky.air) * pressure,
                    extraterrestrial_w_m2: outside,
                    linke,
                    altitude_m: spot.altitude_m,
                };
                clear[hour] += clear_sky(&at, &sky.clear).global_w_m2 / f64::from(STEPS);
                up[hour] += sun.up / f64::from(STEPS);
            }
            year.clear_w_m2.push(clear);
            year.cos_zenith.push(up);
            year.extraterrestrial_w_m2.push(outside);
        }
        year
    }

    /// Mean irradiance over 24 hours of a cloudless day [W/m2].
    #[must_use]
    pub fn clear_day_w_m2(&self, day: usize) -> f64 {
        self.clear_w_m2[day % DAYS].iter().sum::<f64>() / 24.0
    }

    /// Mean irradiance outside the air on a flat plane over 24 hours [W/m2].
    #[must_use]
    pub fn outside_day_w_m2(&self, day: usize) -> f64 {
        let up: f64 = self.cos_zenith[day % DAYS].iter().sum();
        up / 24.0 * self.extraterrestrial_w_m2[day % DAYS]
    }

    /// The mean of a daily figure over a month.
    #[must_use]
    pub fn month_mean(month: usize, of_day: impl Fn(usize) -> f64) -> f64 {
        let days = first_day(month)..first_day(month) + days_of(month);
        let count = f64::from(DAYS_OF[month % MONTHS]);
        days.map(of_day).sum::<f64>() / count
    }
}

/// Where the sun stands in each step of a day in which it is up, with the hour of the step.
pub fn sun_of_day(
    latitude_deg: f64,
    day: usize,
    sky: &SkyTables,
) -> impl Iterator<Item = (usize, Direction)> {
    let declination = declination_rad(day_number(day), &sky.geometry);
    (0..24 * STEPS).filter_map(move |step| {
        let hour = (f64::from(step) + 0.5) / f64::from(STEPS);
        let sun = sun_direction(latitude_deg, declination, hour_angle_rad(hour));
        (0.0 < sun.up).then_some(((step / STEPS) as usize, sun))
    })
}

/// The number a day has in the formulas: 1 January is 1.
fn day_number(day: usize) -> f64 {
    u32::try_from(day % DAYS).map_or(0.0, f64::from) + 1.0
}

#[cfg(test)]
mod tests {
    use super::{Blend, DAYS, days_of, first_day, month_of};

    #[test]
    fn months_and_days() {
        for (day, month) in [(0, 0), (30, 0), (31, 1), (58, 1), (59, 2), (364, 11), (365, 0)] {
            assert_eq!(month_of(day), month, "day {day}");
        }
        assert_eq!((0..12).map(days_of).sum::<usize>(), DAYS, "the year is whole");
        assert_eq!(first_day(11), 334, "1 December");
    }

    #[test]
    fn a_blend_runs_from_middle_to_middle() {
        // Hand worked: middles at 15.5 and 45.0 of the year; 1 February, at 31.5, is 16/29.5 on the way.
        let blend = Blend::of(31);
        assert_eq!((blend.from, blend.to), (0, 1), "January to February");
        assert!((blend.share - 16.0 / 29.5).abs() < 1e-12, "{}", blend.share);
        // 1 January, at 0.5, lies 16 days after the middle of December at 349.5, of 31.
        let blend = Blend::of(0);
        assert_eq!((blend.from, blend.to), (11, 0), "December to January");
        assert!((blend.share - 16.0 / 31.0).abs() < 1e-12, "{}", blend.share);
    }
}

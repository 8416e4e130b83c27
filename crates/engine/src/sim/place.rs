//! A place and its climate: what the map says, what the owner says, and what weather is made from.

use super::calendar::{Blend, Calendar, DAYS, Spot};
use super::recipe::Recipe;
use super::typed;
use super::weather::DayPlan;
use crate::model::design::Design;
use crate::model::rig::Place;
use crate::number::cos;
use crate::tables::Tables;
use crate::tables::climate::{Climate, LEVELS, MONTHS, Reading};
use crate::tables::generator::GeneratorTables;
use crate::tables::sky::DiffuseSplit;
use std::f64::consts::TAU;
use std::fmt;

/// Points at which the mean of a quantile function is taken.
const POINTS: u32 = 400;

/// A place, ready to make weather.
#[derive(Clone, Debug)]
pub struct Site {
    /// Latitude, north positive [deg].
    pub latitude_deg: f64,
    /// Longitude, east positive, -180 to 180 [deg].
    pub longitude_deg: f64,
    /// Altitude: the owner's, else the map's [m].
    pub altitude_m: f64,
    /// Whether the altitude is the map's.
    pub altitude_of_map: bool,
    /// Distance to the centre of the nearest cell of the map [km].
    pub nearest_km: f64,
    /// Whether twelve monthly figures of the owner scale the map.
    pub typed: bool,
    /// Probabilities at which `index` is given.
    pub levels: [f64; LEVELS],
    /// Daily clear-sky index by month and level, the owner's figures in it.
    pub index: [[f64; LEVELS]; MONTHS],
    /// Mean clear-sky index by month.
    pub index_month: [f64; MONTHS],
    /// Linke's turbidity by month.
    pub linke: [f64; MONTHS],
    /// Mean energy on a flat plane by month [kWh/m2 a day].
    pub sun_kwh_m2_day: [f64; MONTHS],
    /// Memory of brightness from day to day.
    pub phi: f64,
    /// Spread of the error of the map, or of the owner's figures, as a share.
    pub map_sd: f64,
    /// Share of land around.
    pub land_share: f64,
    /// Mean air temperature by month [C].
    pub air_c: [f64; MONTHS],
    /// Spread of the daily mean inside a month [C].
    pub air_sd_c: [f64; MONTHS],
    /// Daily range, highest less lowest [C].
    pub air_range_c: [f64; MONTHS],
    /// Lowest and highest temperatures.
    pub extremes: Extremes,
    /// The cloudless year.
    pub calendar: Calendar,
    /// Numbers of the weather maker.
    pub recipe: Recipe,
    /// Numbers of the diffuse part.
    pub split: DiffuseSplit,
    /// Cosine of the zenith angle under which an hour has no beam.
    pub(super) low_sun_cosine: f64,
    /// What each day is made of.
    pub(super) plans: Vec<DayPlan>,
    season: Season,
}

/// How cold and how warm it gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extremes {
    /// Lowest of a typical year; one in three years is more than 5 K off [C].
    pub lowest_typical_c: f64,
    /// The level to prepare for: colder than nearly every year [C].
    pub freeze_warning_c: f64,
    /// Lowest of about nine years in the map [C].
    pub lowest_nine_years_c: f64,
    /// Highest of about nine years in the map [C].
    pub highest_nine_years_c: f64,
}

/// How brightness and warmth go together over the year.
#[derive(Clone, Copy, Debug)]
struct Season {
    base: f64,
    swing: f64,
    midwinter: f64,
}

/// Why there is no climate for a place.
#[derive(Clone, Debug, PartialEq)]
pub enum SiteError {
    /// Latitude or longitude is not given.
    NoPlace,
    /// A number lies outside what there is on earth.
    OffEarth {
        /// Which.
        what: &'static str,
        /// What was given.
        value: f64,
        /// The most it can be, either way.
        most: f64,
    },
    /// No cell of the map is near.
    TooFar {
        /// Distance to the nearest [km].
        nearest_km: f64,
        /// How far one may be [km].
        reach_km: f64,
    },
    /// A month is brighter or darker than it can be.
    Sun {
        /// Month, 0 is January.
        month: usize,
        /// What was given [kWh/m2 a day].
        typed: f64,
        /// What a flat plane gets there at least and at most [kWh/m2 a day].
        bounds: (f64, f64),
    },
    /// Not twelve figures.
    Months(usize),
}

impl Site {
    /// The climate of a rig's own place, or of the latitude and longitude asked for [deg].
    ///
    /// # Errors
    /// When no place is given, or it has no climate.
    pub fn of_rig(
        design: &Design,
        asked: Option<(f64, f64)>,
        climate: &Climate<'_>,
        tables: &Tables,
    ) -> Result<Self, SiteError> {
        let own = design.place.clone();
        let place = match (asked, own) {
            // Monthly figures belong to the place they were measured at.
            (Some((latitude, longitude)), own) => Some(Place {
                coldest: own.as_ref().and_then(|p| p.coldest),
                warmest: own.as_ref().and_then(|p| p.warmest),
                ..Place::at(latitude, longitude)
            }),
            (None, own) => own,
        };
        Self::of(&place.ok_or(SiteError::NoPlace)?, climate, tables)
    }

    /// The climate of a place.
    ///
    /// # Errors
    /// Says why there is none, and what the owner can write to get one.
    pub fn of(place: &Place, climate: &Climate<'_>, tables: &Tables) -> Result<Self, SiteError> {
        let (latitude_deg, longitude_deg) =
            place.latitude_deg.zip(place.longitude_deg).ok_or(SiteError::NoPlace)?;
        on_earth("latitude", latitude_deg, 90.0)?;
        on_earth("longitude", longitude_deg, 360.0)?;
        let longitude_deg = (longitude_deg + 180.0).rem_euclid(360.0) - 180.0;
        let typed = !place.sun_hours.is_empty();
        let months: Option<[f64; MONTHS]> = place.sun_hours.as_slice().try_into().ok();
        if typed && months.is_none() {
            return Err(SiteError::Months(place.sun_hours.len()));
        }
        let reading = climate.at(latitude_deg, longitude_deg);
        let reach_km = tables.generator.number("reach-km");
        if !typed && reach_km < reading.nearest_km {
            return Err(SiteError::TooFar { nearest_km: reading.nearest_km, reach_km });
        }
        let altitude = place.altitude.map(crate::units::Length::as_m);
        let at = (latitude_deg, longitude_deg);
        let mut site = Self::mapped(at, altitude, &reading, tables);
        if let Some(months) = months {
            site.index = typed::scaled(&site, &months, &tables.generator)?;
            site.map_sd = tables.generator.number("typed-sd");
            site.typed = true;
        }
        site.settle(&reading, &tables.generator);
        if let Some(months) = months {
            site.sun_kwh_m2_day = months;
        }
        Ok(site)
    }

    /// What the map alone says; the figures that follow from it are worked out by `settle`.
    fn mapped(at: (f64, f64), altitude: Option<f64>, map: &Reading, tables: &Tables) -> Self {
        let (latitude_deg, longitude_deg) = at;
        let numbers = &tables.generator;
        let altitude_m = altitude.unwrap_or(map.altitude_m);
        let spot = Spot { latitude_deg, altitude_m: altitude_m.max(0.0), linke: map.linke };
        let tropics = latitude_deg.abs() <= numbers.number("link-tropics-deg");
        let half_year = if latitude_deg < 0.0 { 182.5 } else { 0.0 };
        Self {
            latitude_deg,
            longitude_deg,
            altitude_m,
            altitude_of_map: altitude.is_none(),
            nearest_km: map.nearest_km,
            typed: false,
            levels: map.levels,
            index: map.index,
            index_month: [0.0; MONTHS],
            linke: map.linke,
            sun_kwh_m2_day: [0.0; MONTHS],
            phi: 0.0,
            map_sd: numbers.number("map-sd"),
            land_share: map.land_share,
            air_c: map.sea_level_c.map(|c| c - numbers.number("lapse-c-per-m") * altitude_m),
            air_sd_c: [0.0; MONTHS],
            air_range_c: [0.0; MONTHS],
            extremes: Extremes {
                lowest_typical_c: 0.0,
                freeze_warning_c: 0.0,
                lowest_nine_years_c: map.lowest_c,
                highest_nine_years_c: map.highest_c,
            },
            calendar: Calendar::of(&spot, &tables.sky),
            recipe: Recipe::of(numbers),
            split: tables.sky.diffuse,
            low_sun_cosine: numbers.number("low-sun-cosine"),
            plans: Vec::new(),
            season: Season {
                base: numbers.number("link-base"),
                swing: if tropics { 0.0 } else { numbers.number("link-season") },
                midwinter: numbers.number("link-midwinter-day") + half_year,
            },
        }
    }

    /// Works out what follows from the index and the air.
    fn settle(&mut self, map: &Reading, numbers: &GeneratorTables) {
        let number = |id| numbers.number(id);
        let weights = mean_weights(&self.levels);
        self.index_month = self.index.map(|levels| mean(&levels, &weights));
        let clear = self.clear_kwh_m2_day();
        self.sun_kwh_m2_day = std::array::from_fn(|m| self.index_month[m] * clear[m]);
        let days = |of: &[f64; MONTHS]| -> f64 {
            (0..DAYS).map(|d| of[super::calendar::month_of(d)]).sum()
        };
        let yearly = days(&self.sun_kwh_m2_day) / days(&clear).max(f64::MIN_POSITIVE);
        let phi = number("phi-base")
            + number("phi-latitude") * (self.latitude_deg.abs() / 40.0 - 1.0)
            + number("phi-index") * (yearly - number("phi-index-middle"));
        self.phi = phi.clamp(number("phi-min"), number("phi-max"));
        let warmest = self.air_c.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let coldest = self.air_c.iter().copied().fold(f64::INFINITY, f64::min);
        let year = self.air_c.iter().sum::<f64>() / 12.0;
        self.air_sd_c = self.air_c.map(|month| {
            let sd = number("air-sd-base")
                + number("air-sd-season") * (warmest - coldest)
                + number("air-sd-month") * (year - month);
            sd.clamp(number("air-sd-min"), number("air-sd-max"))
        });
        self.air_range_c = std::array::from_fn(|m| self.range_of(m, numbers));
        let lowest = number("lowest-base") + number("lowest-slope") * coldest;
        self.extremes.lowest_typical_c = lowest;
        self.extremes.freeze_warning_c = map.lowest_c.min(lowest - number("freeze-margin"));
        let levels_of = |day: usize| {
            let blend = Blend::of(day);
            std::array::from_fn(|l| blend.mix(&self.index.map(|month| month[l])))
        };
        self.plans = (0..DAYS).map(|day| DayPlan::of(self, day, &levels_of(day))).collect();
    }

    /// Daily range of the air temperature in a month [C].
    fn range_of(&self, month: usize, numbers: &GeneratorTables) -> f64 {
        let number = |id| numbers.number(id);
        let outside = Calendar::month_mean(month, |d| self.calendar.outside_day_w_m2(d)) * 0.024;
        let clearness = self.sun_kwh_m2_day[month] / outside.max(1e-9);
        let clearness = clearness.min(number("range-clearness-max"));
        let high_km = (self.altitude_m / 1000.0).min(number("range-altitude-max"));
        let range = number("range-base")
            + number("range-clearness") * clearness * clearness
            + number("range-land") * self.land_share
            + number("range-altitude") * high_km;
        range.clamp(number("range-min"), number("range-max"))
    }

    /// Energy of a cloudless day on a flat plane by month [kWh/m2 a day].
    #[must_use]
    pub fn clear_kwh_m2_day(&self) -> [f64; MONTHS] {
        let day = |d| self.calendar.clear_day_w_m2(d) * 0.024;
        std::array::from_fn(|m| Calendar::month_mean(m, day))
    }

    /// Correlation of brightness and warmth on a day.
    pub(super) fn link_of(&self, day: usize) -> f64 {
        let day = u32::try_from(day).map_or(0.0, f64::from);
        let summer = -cos((day - self.season.midwinter) / 365.0 * TAU);
        self.season.base + self.season.swing * summer
    }

    /// Mean air temperature of a day, its spread and its range [C].
    pub(super) fn air_of(&self, day: usize) -> (f64, f64, f64) {
        let blend = Blend::of(day);
        (blend.mix(&self.air_c), blend.mix(&self.air_sd_c), blend.mix(&self.air_range_c))
    }
}

/// How much each level counts in the mean of a quantile function.
pub(super) fn mean_weights(levels: &[f64; LEVELS]) -> [f64; LEVELS] {
    let mut weights = [0.0; LEVELS];
    let one = 1.0 / f64::from(POINTS);
    for point in 0..POINTS {
        let p = (f64::from(point) + 0.5) * one;
        let above = levels.iter().position(|l| p <= *l).unwrap_or(LEVELS);
        if above == 0 {
            weights[0] += one;
        } else if above == LEVELS {
            weights[LEVELS - 1] += one;
        } else {
            let share = (p - levels[above - 1]) / (levels[above] - levels[above - 1]);
            weights[above - 1] += (1.0 - share) * one;
            weights[above] += share * one;
        }
    }
    weights
}

/// The mean of a quantile function.
pub(super) fn mean(levels: &[f64; LEVELS], weights: &[f64; LEVELS]) -> f64 {
    levels.iter().zip(weights).map(|(l, w)| l * w).sum()
}

fn on_earth(what: &'static str, value: f64, most: f64) -> Result<(), SiteError> {
    if value.abs() <= most { Ok(()) } else { Err(SiteError::OffEarth { what, value, most }) }
}

impl fmt::Display for SiteError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPlace => f.write_str(
                "the place has no latitude and longitude. Write both under [place], in degrees, \
                 north and east positive.",
            ),
            Self::OffEarth { what, value, most } => {
                write!(f, "the {what} is {value}, and it lies between -{most} and {most} degrees.")
            }
            Self::TooFar { nearest_km, reach_km } => write!(
                f,
                "the climate map has nothing within {reach_km:.0} km; its nearest land is \
                 {} km away. Write twelve monthly figures for a flat plane, in kWh per \
                 square metre a day, as place.sun_hours.",
                nearest_km.ceil(),
            ),
            Self::Sun { month, typed, bounds } => write!(
                f,
                "place.sun_hours has {typed} for month {}, and a flat plane there gets between {:.1} \
                 and {:.1} kWh/m2 a day. Write figures for a flat plane, not for a tilted one.",
                month + 1,
                bounds.0,
                bounds.1,
            ),
            Self::Months(count) => {
                write!(f, "place.sun_hours has {count} figures, and there are twelve months.")
            }
        }
    }
}

impl std::error::Error for SiteError {}

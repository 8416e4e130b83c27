//! The numbers of the weather maker, read once so that no hour looks one up.

use crate::tables::generator::{GeneratorTables, HOURS, NOISE_POINTS};

/// How bright days and hours are made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recipe {
    /// Clear-sky index that is never reached.
    pub index_max: f64,
    /// Brightest day.
    pub index_top: f64,
    /// Dullest day the hours are made for; a duller one is scaled down from it.
    pub index_bottom: f64,
    /// Memory from hour to hour.
    pub hour_phi: f64,
    /// Spread of the hours by the day's index.
    pub hour_noise: [(f64, f64); NOISE_POINTS],
    /// Spread of whole years.
    pub year_sd: f64,
    /// Least and greatest factor of a weather year.
    pub factor: (f64, f64),
    /// Memory of the air temperature from day to day.
    pub air_phi: f64,
    /// Share of the daily range about the mean, by hour.
    pub hour_shape: [f64; HOURS],
    /// How the daily range widens with the normal score of the day.
    pub range_link: f64,
    /// Score beyond which it widens no more.
    pub range_link_clip: f64,
    /// Keeps the mean range.
    pub range_link_mean: f64,
}

impl Recipe {
    /// Reads the numbers.
    #[must_use]
    pub fn of(tables: &GeneratorTables) -> Self {
        let number = |id| tables.number(id);
        let index_max = number("index-max");
        Self {
            index_max,
            index_top: number("index-top-share") * index_max,
            index_bottom: number("index-bottom-share") * index_max,
            hour_phi: number("hour-phi"),
            hour_noise: tables.hour_noise,
            year_sd: number("year-sd"),
            factor: (number("year-factor-min"), number("year-factor-max")),
            air_phi: number("air-phi"),
            hour_shape: tables.hour_shape,
            range_link: number("range-link"),
            range_link_clip: number("range-link-clip"),
            range_link_mean: number("range-link-mean"),
        }
    }
}

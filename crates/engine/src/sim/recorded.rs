//! A year that somebody recorded, through the same day of weather as the made years.

use super::calendar::DAYS;
use super::lanes::smaller;
use super::place::Site;
use super::weather::{DayWeather, HOURS};
use crate::calc::diffuse_split::diffuse_share;

/// Hours of a year without a leap day.
pub const YEAR_HOURS: usize = DAYS * HOURS;

/// A year of hours, January first, in local solar time.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordedYear {
    /// All light on a flat plane, mean of the hour [W/m2].
    ghi_w_m2: Vec<f64>,
    /// Light of the sky on a flat plane, where it was recorded [W/m2].
    diffuse_w_m2: Option<Vec<f64>>,
    /// Air temperature, where it was recorded [C].
    air_c: Option<Vec<f64>>,
}

impl RecordedYear {
    /// A year from its hours; nothing where a list has not the hours of a year.
    #[must_use]
    pub fn new(
        ghi_w_m2: Vec<f64>,
        diffuse_w_m2: Option<Vec<f64>>,
        air_c: Option<Vec<f64>>,
    ) -> Option<Self> {
        let whole = |list: &Vec<f64>| list.len() == YEAR_HOURS;
        let fits = |list: &Option<Vec<f64>>| list.as_ref().is_none_or(whole);
        let all = whole(&ghi_w_m2) && fits(&diffuse_w_m2) && fits(&air_c);
        all.then_some(Self { ghi_w_m2, diffuse_w_m2, air_c })
    }

    /// The same year with its hours moved later by a part of an hour or more.
    ///
    /// A file in the time of a clock becomes solar time by (4 min x degrees east of the clock's
    /// meridian) / 60 h. An hour that falls between two is shared between them, so that no energy is
    /// lost; the sundial's swing over the year, 16 minutes at most, is left out.
    #[must_use]
    pub fn moved(&self, later_h: f64) -> Self {
        let whole = later_h.floor();
        let part = later_h - whole;
        let year = i64::try_from(YEAR_HOURS).unwrap_or(i64::MAX);
        #[expect(clippy::cast_possible_truncation, reason = "a shift of a few hours")]
        let whole = whole as i64;
        let moved = |list: &Vec<f64>| -> Vec<f64> {
            let at = |hour: i64| {
                usize::try_from(hour.rem_euclid(year)).ok().and_then(|h| list.get(h)).copied()
            };
            let hour = |h: i64| {
                let (near, before) = (at(h - whole), at(h - whole - 1));
                near.unwrap_or_default() * (1.0 - part) + before.unwrap_or_default() * part
            };
            (0..year).map(hour).collect()
        };
        Self {
            ghi_w_m2: moved(&self.ghi_w_m2),
            diffuse_w_m2: self.diffuse_w_m2.as_ref().map(moved),
            air_c: self.air_c.as_ref().map(moved),
        }
    }

    /// Whether it has air temperatures of its own.
    #[must_use]
    pub const fn has_air(&self) -> bool {
        self.air_c.is_some()
    }

    /// Mean energy on a flat plane over the year [kWh/m2 a day].
    #[must_use]
    pub fn mean_kwh_m2_day(&self) -> f64 {
        self.ghi_w_m2.iter().sum::<f64>() / 1000.0 / 365.0
    }

    /// A day of the year, the same in every lane.
    ///
    /// Without diffuse light of its own the split is worked out; without air of its own the air is
    /// the mean of the season.
    pub fn day<const L: usize>(
        &self,
        site: &Site,
        day_of_year: usize,
        weather: &mut DayWeather<L>,
    ) {
        let day = day_of_year % DAYS;
        let (mean, _, range) = site.air_of(day);
        for hour in 0..HOURS {
            let at = day * HOURS + hour;
            let light = self.ghi_w_m2[at].max(0.0);
            let outside = site.plans[day].outside(hour);
            let worked = || light * diffuse_share(smaller(light * outside, 1.0), &site.split);
            let diffuse = self.diffuse_w_m2.as_ref().map_or_else(worked, |d| d[at].max(0.0));
            let usual = mean + range * site.recipe.hour_shape[hour];
            let air = self.air_c.as_ref().map_or(usual, |a| a[at]);
            weather.ghi[hour] = [light; L];
            weather.diffuse[hour] = [smaller(diffuse, light); L];
            weather.air_c[hour] = [air; L];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{RecordedYear, YEAR_HOURS};

    #[test]
    fn a_moved_year_keeps_its_energy() {
        let mut ghi = vec![0.0; YEAR_HOURS];
        ghi[12] = 100.0;
        let year = RecordedYear::new(ghi, None, None).expect("a whole year");
        // Hand worked: a quarter of an hour later leaves three quarters where they were.
        let later = year.moved(0.25);
        assert!((later.ghi_w_m2[12] - 75.0).abs() < 1e-9, "{}", later.ghi_w_m2[12]);
        assert!((later.ghi_w_m2[13] - 25.0).abs() < 1e-9, "{}", later.ghi_w_m2[13]);
        let earlier = year.moved(-1.5);
        assert!((earlier.ghi_w_m2[10] - 50.0).abs() < 1e-9, "{}", earlier.ghi_w_m2[10]);
        assert!((earlier.mean_kwh_m2_day() - year.mean_kwh_m2_day()).abs() < 1e-12, "energy");
        assert!(RecordedYear::new(vec![0.0; 8784], None, None).is_none(), "a leap year");
    }
}

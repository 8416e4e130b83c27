//! What weather must be: the same year however it is run, the day's energy kept, spells as long as asked.

use super::{DayWeather, HOURS, WeatherLanes};
use crate::model::rig::Place;
use crate::sim::place::Site;
use crate::tables::Tables;
use crate::tables::climate::Climate;

fn site(latitude: f64, longitude: f64) -> Site {
    let place = Place::at(latitude, longitude);
    let climate = Climate::embedded().unwrap_or_else(|e| panic!("{e}"));
    let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
    Site::of(&place, &climate, &tables).unwrap_or_else(|e| panic!("{e}"))
}

/// Bits of everything a lane says on the last of some days.
fn bits<const L: usize>(site: &Site, first_year: u64, lane: usize) -> Vec<u64> {
    let mut lanes = WeatherLanes::<L>::new(site, 42, first_year);
    let mut weather = DayWeather::<L>::dark();
    let mut all = Vec::new();
    for day in 200..230 {
        lanes.next_day(day, &mut weather);
        for hour in 0..HOURS {
            let (ghi, diffuse) = (weather.ghi[hour][lane], weather.diffuse[hour][lane]);
            all.extend([ghi, diffuse, weather.air_c[hour][lane]].map(f64::to_bits));
        }
    }
    all
}

#[test]
fn a_year_is_the_same_in_any_lane_and_block() {
    let site = site(47.4, 8.5);
    let alone = bits::<1>(&site, 9, 0);
    assert_eq!(alone, bits::<16>(&site, 0, 9), "tenth of sixteen");
    assert_eq!(alone, bits::<4>(&site, 8, 1), "second of four");
    assert_ne!(alone, bits::<1>(&site, 10, 0), "another year is another year");
}

/// Worst share by which a day's hours miss the day's energy, over a year of four lanes, with the
/// range of index and the darkest and brightest hour seen.
fn worst_miss(site: &Site) -> f64 {
    let mut lanes = WeatherLanes::<4>::new(site, 3, 0);
    let mut weather = DayWeather::<4>::dark();
    let mut worst: f64 = 0.0;
    for day in 0..365 {
        lanes.next_day(day, &mut weather);
        let clear = site.calendar.clear_w_m2[day];
        let total: f64 = clear.iter().sum();
        for lane in 0..4 {
            let got: f64 = weather.ghi.iter().map(|h| h[lane]).sum();
            let want = lanes.days.index[lane] * total;
            if 0.0 < total {
                worst = worst.max((got / want - 1.0).abs());
            } else {
                assert!(got.abs() < 1e-300, "light in the polar night: {got}");
            }
            for hour in 0..HOURS {
                let (ghi, diffuse) = (weather.ghi[hour][lane], weather.diffuse[hour][lane]);
                assert!(ghi.is_finite() && weather.air_c[hour][lane].is_finite(), "day {day}");
                assert!(0.0 <= diffuse && diffuse <= ghi, "day {day} hour {hour}: {diffuse} {ghi}");
                // A day is at most 1.1032 of a clear one, an hour 1.12, and the rescaling is small.
                assert!(ghi <= 1.14 * clear[hour] + 1e-12, "day {day} hour {hour}: {ghi}");
            }
        }
    }
    worst
}

#[test]
fn the_hours_hold_the_energy_of_the_day() {
    // Temperate, equator, polar night and midnight sun, far south, and across the date line.
    for (latitude, longitude) in
        [(45.5, -122.7), (-1.3, 36.8), (69.6, 19.0), (-46.4, 168.3), (-16.5, 179.4)]
    {
        let worst = worst_miss(&site(latitude, longitude));
        assert!(worst < 1e-12, "{latitude} {longitude}: {worst}");
    }
}

#[test]
fn the_rescaling_at_the_end_is_hardly_needed() {
    // After six of Newton's steps the energy is right but for the days duller than the dullest the
    // logit is made for; there the rescaling is meant.
    let site = site(60.2, -1.2);
    let mut lanes = WeatherLanes::<1>::new(&site, 5, 0);
    let mut weather = DayWeather::<1>::dark();
    for day in 0..365 {
        lanes.next_day(day, &mut weather);
        let recipe = &site.recipe;
        let (index, clear) = (lanes.days.index[0], site.calendar.clear_w_m2[day]);
        if index < recipe.index_bottom {
            continue;
        }
        for hour in 0..HOURS {
            // Without rescaling no hour reaches the greatest index.
            let most = recipe.index_max * clear[hour] * (1.0 + 1e-6) + 1e-12;
            assert!(weather.ghi[hour][0] <= most, "day {day} hour {hour}");
        }
    }
}

#[test]
fn days_remember_the_day_before_as_much_as_the_place_says() {
    // 64 years of 365 days: the sampling error of the correlation is 1/root(23360) = 0.0065; three
    // of them are allowed.
    for site in [site(47.4, 8.5), site(32.2, -110.9)] {
        let mut lanes = WeatherLanes::<64>::new(&site, 1, 0);
        let mut last = lanes.days.score;
        let (mut product, mut square, mut air_product, mut count) = (0.0, 0.0, 0.0, 0.0);
        let mut last_air = lanes.days.air_score;
        for day in 0..365 {
            lanes.next_day_mean(day);
            for lane in 0..64 {
                let score = lanes.days.score[lane];
                product += score * last[lane];
                square += score * score;
                air_product += lanes.days.air_score[lane] * last_air[lane];
                count += 1.0;
            }
            (last, last_air) = (lanes.days.score, lanes.days.air_score);
        }
        let (phi, spread, air) = (product / count, square / count, air_product / count);
        assert!((phi - site.phi).abs() < 0.02, "phi {phi} instead of {}", site.phi);
        assert!((spread - 1.0).abs() < 0.03, "variance of the scores {spread}");
        // The temperature remembers more, so that its estimate scatters more: 0.01 a deviation.
        assert!((air - site.recipe.air_phi).abs() < 0.04, "memory of the air {air}");
    }
}

#[test]
fn months_keep_the_mean_of_the_place() {
    // 256 years; the mean of a month over them scatters by about 12 % / 16 = 0.8 % (its own spread
    // and the factors of year and map), and the upper clip takes a little of the sunniest.
    let site = site(45.5, -122.7);
    let mut sums = [0.0; 12];
    for block in 0..8 {
        let mut lanes = WeatherLanes::<32>::new(&site, 8, block * 32);
        for day in 0..365 {
            let index: f64 = lanes.next_day_mean(day).index.iter().sum();
            let month = crate::sim::calendar::month_of(day);
            sums[month] += index * site.calendar.clear_day_w_m2(day) * 0.024;
        }
    }
    for (month, sum) in sums.iter().enumerate() {
        let days = u32::try_from(crate::sim::calendar::days_of(month)).map_or(0.0, f64::from);
        let got = sum / 256.0 / days;
        let want = site.sun_kwh_m2_day[month];
        // The blend from month to month moves a month by up to 2 % besides.
        assert!((got / want - 1.0).abs() < 0.04, "month {month}: {got} instead of {want}");
    }
}

#[test]
fn air_has_the_mean_and_the_range_of_the_season() {
    let site = site(45.1, -83.6);
    let mut lanes = WeatherLanes::<64>::new(&site, 2, 0);
    let mut weather = DayWeather::<64>::dark();
    let (mut mean, mut range) = (0.0, 0.0);
    for day in 181..212 {
        lanes.next_day(day, &mut weather);
        for lane in 0..64 {
            let hours = weather.air_c.map(|h| h[lane]);
            mean += hours.iter().sum::<f64>() / 24.0;
            let most = hours.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            range += most - hours.iter().copied().fold(f64::INFINITY, f64::min);
        }
    }
    let count = 64.0 * 31.0;
    // July; 64 means of a month scatter by 0.15 C. The shape spans 0.41 + 0.33 of the range and
    // its own mean is 0.004 of it.
    assert!((mean / count - site.air_c[6]).abs() < 0.6, "{} {}", mean / count, site.air_c[6]);
    let want = 0.74 * site.air_range_c[6];
    assert!((range / count / want - 1.0).abs() < 0.05, "{} {want}", range / count);
}

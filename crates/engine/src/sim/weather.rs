//! Weather with spells: days whose brightness remembers the day before, hours inside them, and air.
//!
//! A normal score runs from day to day with the memory of the place; the day's clear-sky index is
//! the quantile of the place and the season at that score. Hours scatter about the day in the logit
//! of the index, and one shift a day makes their energy that of the day, exactly. Years run side by
//! side in lanes. Each year has its own random numbers, by seed and year alone, so that it is the
//! same year whatever the number of lanes.

#![expect(
    clippy::needless_range_loop,
    reason = "lanes are indexed alike in several arrays; this is the form the compiler vectorises"
)]

use super::calendar::DAYS;
use super::lanes::{even, exp, larger, ln, normal_probability, normal_score, smaller};
use super::place::Site;
use crate::calc::diffuse_split::diffuse_share;
use crate::tables::climate::LEVELS;
use rand_core::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// Hours of a day.
pub const HOURS: usize = 24;
/// Newton steps towards the day's energy. The function is concave and nearly straight, so that the
/// steps never overshoot; six leave less than the rescaling at the end can be seen by.
const STEPS: usize = 6;

/// One day of weather in each lane.
#[derive(Clone, Debug, PartialEq)]
pub struct DayWeather<const L: usize> {
    /// All light on a flat plane by hour of local solar time, mean of the hour [W/m2].
    pub ghi: [[f64; L]; HOURS],
    /// The part of it that comes from the whole sky [W/m2].
    pub diffuse: [[f64; L]; HOURS],
    /// Air temperature by hour [C].
    pub air_c: [[f64; L]; HOURS],
}

impl<const L: usize> DayWeather<L> {
    /// A dark day at 0 C, to be filled.
    #[must_use]
    pub const fn dark() -> Self {
        Self { ghi: [[0.0; L]; HOURS], diffuse: [[0.0; L]; HOURS], air_c: [[0.0; L]; HOURS] }
    }
}

/// What a day is made of, the same for every year: worked out once for a place.
#[derive(Clone, Debug, PartialEq)]
pub struct DayPlan {
    /// Index at the lowest level.
    lowest: f64,
    /// Probability at which each piece begins, how long it is, and how steep the index rises in it.
    pieces: [(f64, f64, f64); LEVELS - 1],
    /// First hour with light and the hour after the last.
    light: (usize, usize),
    /// Light of a cloudless day by hour [W/m2].
    clear: [f64; HOURS],
    /// Each hour's share of it.
    share: [f64; HOURS],
    /// One over the light outside the air on a flat plane [m2/W]; nothing where the sun is too low.
    outside: [f64; HOURS],
    /// Mean air temperature, its spread, its range [C].
    air: (f64, f64, f64),
    /// Correlation of air temperature and brightness, and what of the spread is left beside it.
    link: (f64, f64),
}

impl DayPlan {
    /// The plan of a day from the levels of the day.
    pub(super) fn of(site: &Site, day: usize, levels: &[f64; LEVELS]) -> Self {
        let at = &site.levels;
        let piece = |i: usize| {
            let long = at[i + 1] - at[i];
            (at[i], long, (levels[i + 1] - levels[i]) / long)
        };
        let clear = site.calendar.clear_w_m2[day];
        let total: f64 = clear.iter().sum();
        let has_light = |h: &usize| 0.0 < clear[*h];
        let first = (0..HOURS).find(has_light).unwrap_or(0);
        let end = (0..HOURS).rev().find(has_light).map_or(0, |h| h + 1);
        let outside = |h: usize| {
            let up = site.calendar.cos_zenith[day][h];
            let floor = larger(up, site.split.cosine_min);
            let low = up <= site.low_sun_cosine;
            if low { 0.0 } else { 1.0 / (site.calendar.extraterrestrial_w_m2[day] * floor) }
        };
        let rho = site.link_of(day);
        Self {
            lowest: levels[0],
            pieces: std::array::from_fn(piece),
            light: (first, end),
            clear,
            share: clear.map(|c| if 0.0 < total { c / total } else { 0.0 }),
            outside: std::array::from_fn(outside),
            air: site.air_of(day),
            link: (rho, (1.0 - rho * rho).sqrt()),
        }
    }

    /// One over the light outside the air on a flat plane in an hour [m2/W]; nothing in the dark.
    pub(super) const fn outside(&self, hour: usize) -> f64 {
        self.outside[hour]
    }

    /// The day's index at a probability.
    #[inline]
    fn index(&self, probability: f64) -> f64 {
        let mut index = self.lowest;
        for (start, long, slope) in &self.pieces {
            index += slope * smaller(larger(probability - start, 0.0), *long);
        }
        index
    }
}

/// What the days of each lane are like, before the hours.
#[derive(Clone, Debug, PartialEq)]
pub struct DayLanes<const L: usize> {
    /// Clear-sky index.
    pub index: [f64; L],
    /// Mean air temperature [C].
    pub air_c: [f64; L],
    /// Range of the air temperature [C].
    pub range_c: [f64; L],
    /// Normal score of the day; it remembers the day before.
    score: [f64; L],
    /// Normal score of the air temperature apart from brightness.
    air_score: [f64; L],
}

/// Weather years side by side.
#[derive(Clone, Debug)]
pub struct WeatherLanes<'a, const L: usize> {
    site: &'a Site,
    days: DayLanes<L>,
    factor: [f64; L],
    day_random: [Xoshiro256PlusPlus; L],
    hour_random: [Xoshiro256PlusPlus; L],
}

/// Which of a year's random numbers.
#[derive(Clone, Copy, Debug)]
enum Purpose {
    Days = 1,
    Hours = 2,
}

/// The random numbers of a year, by seed, year and purpose alone.
fn random(seed: u64, year: u64, purpose: Purpose) -> Xoshiro256PlusPlus {
    // Each word goes through the generator's own spreading of seeds, so that neighbouring years
    // share nothing.
    let spread = |word: u64| Xoshiro256PlusPlus::seed_from_u64(word).next_u64();
    Xoshiro256PlusPlus::seed_from_u64(spread(spread(seed) ^ year) ^ purpose as u64)
}

fn scores<const L: usize>(random: &mut [Xoshiro256PlusPlus; L]) -> [f64; L] {
    let mut found = [0.0; L];
    for (lane, random) in found.iter_mut().zip(random) {
        *lane = even(random.next_u64());
    }
    for lane in &mut found {
        *lane = normal_score(*lane);
    }
    found
}

impl<'a, const L: usize> WeatherLanes<'a, L> {
    /// Weather years `first_year` to `first_year + L - 1` of a seed.
    #[must_use]
    pub fn new(site: &'a Site, seed: u64, first_year: u64) -> Self {
        let year = |lane: usize| first_year.wrapping_add(lane as u64);
        let mut day_random = std::array::from_fn(|l| random(seed, year(l), Purpose::Days));
        let hour_random = std::array::from_fn(|l| random(seed, year(l), Purpose::Hours));
        let recipe = &site.recipe;
        let (of_year, of_map) = (scores(&mut day_random), scores(&mut day_random));
        let (score, air_score) = (scores(&mut day_random), scores(&mut day_random));
        let mut factor = [0.0; L];
        for (lane, factor) in factor.iter_mut().enumerate() {
            let both = (1.0 + recipe.year_sd * of_year[lane]) * (1.0 + site.map_sd * of_map[lane]);
            *factor = smaller(larger(both, recipe.factor.0), recipe.factor.1);
        }
        let none = [0.0; L];
        let days = DayLanes { index: none, air_c: none, range_c: none, score, air_score };
        Self { site, days, factor, day_random, hour_random }
    }

    /// The next day, without its hours; day 0 is 1 January. Days must be asked for in their order.
    pub fn next_day_mean(&mut self, day_of_year: usize) -> &DayLanes<L> {
        let site = self.site;
        let recipe = &site.recipe;
        let plan = &site.plans[day_of_year % DAYS];
        let (fresh, fresh_air) = (scores(&mut self.day_random), scores(&mut self.day_random));
        let (phi, air_phi) = (site.phi, recipe.air_phi);
        let (rest, air_rest) = ((1.0 - phi * phi).sqrt(), (1.0 - air_phi * air_phi).sqrt());
        let (mean, spread, range) = plan.air;
        let clip = recipe.range_link_clip;
        let days = &mut self.days;
        for lane in 0..L {
            let score = phi * days.score[lane] + rest * fresh[lane];
            let air = air_phi * days.air_score[lane] + air_rest * fresh_air[lane];
            let index = plan.index(normal_probability(score)) * self.factor[lane];
            days.index[lane] = smaller(index, recipe.index_top);
            let clipped = smaller(larger(score, -clip), clip);
            let wide = exp(recipe.range_link * clipped - recipe.range_link_mean);
            days.range_c[lane] = range * wide;
            days.air_c[lane] = mean + spread * (plan.link.0 * score + plan.link.1 * air);
            days.score[lane] = score;
            days.air_score[lane] = air;
        }
        &self.days
    }

    /// The next day with its hours.
    pub fn next_day(&mut self, day_of_year: usize, weather: &mut DayWeather<L>) {
        self.next_day_mean(day_of_year);
        let plan = &self.site.plans[day_of_year % DAYS];
        self.light(plan, weather);
        for (hour, shape) in self.site.recipe.hour_shape.iter().enumerate() {
            for lane in 0..L {
                weather.air_c[hour][lane] = self.days.air_c[lane] + self.days.range_c[lane] * shape;
            }
        }
    }

    /// The light of the day's hours.
    fn light(&mut self, plan: &DayPlan, weather: &mut DayWeather<L>) {
        let recipe = &self.site.recipe;
        let (first, end) = plan.light;
        let (mut logit, mut spread, mut aim) = ([0.0; L], [0.0; L], [0.0; L]);
        for lane in 0..L {
            let index = larger(self.days.index[lane], recipe.index_bottom);
            aim[lane] = index / recipe.index_max;
            logit[lane] = ln(aim[lane] / (1.0 - aim[lane]));
            spread[lane] = between(&recipe.hour_noise, self.days.index[lane]);
        }
        // What stands beside the shift in 1 / (1 + shift * far) is e to the minus logit of the hour.
        let mut far = [[0.0; L]; HOURS];
        let mut noise = [0.0; L];
        let rest = (1.0 - recipe.hour_phi * recipe.hour_phi).sqrt();
        for hour in first..end {
            let fresh = scores(&mut self.hour_random);
            for lane in 0..L {
                let next = recipe.hour_phi * noise[lane] + rest * fresh[lane];
                noise[lane] = if hour == first { fresh[lane] } else { next };
                far[hour][lane] = exp(-(logit[lane] + spread[lane] * noise[lane]));
            }
        }
        let shift = shift_to(&aim, &far, plan);
        let mut sum = [0.0; L];
        weather.ghi = [[0.0; L]; HOURS];
        for hour in first..end {
            for lane in 0..L {
                let light = plan.clear[hour] / (1.0 + shift[lane] * far[hour][lane]);
                weather.ghi[hour][lane] = light;
                sum[lane] += light;
            }
        }
        let total: f64 = plan.clear.iter().sum();
        let mut scale = [0.0; L];
        for lane in 0..L {
            let some = larger(sum[lane], f64::MIN_POSITIVE);
            scale[lane] = self.days.index[lane] * total / some;
        }
        weather.diffuse = [[0.0; L]; HOURS];
        for hour in first..end {
            for lane in 0..L {
                let light = weather.ghi[hour][lane] * scale[lane];
                weather.ghi[hour][lane] = light;
                let clearness = smaller(light * plan.outside[hour], 1.0);
                weather.diffuse[hour][lane] = light * diffuse_share(clearness, &self.site.split);
            }
        }
    }
}

/// The factor on `far` that makes the day's energy `aim` of the most there is.
///
/// With f the mean of 1 / (1 + X far), weighted by the cloudless light, 1/f is concave in X and
/// straight where all hours are alike: Newton's steps on it come from below and never overshoot.
#[inline]
fn shift_to<const L: usize>(aim: &[f64; L], far: &[[f64; L]; HOURS], plan: &DayPlan) -> [f64; L] {
    let (first, end) = plan.light;
    let mut mean = [f64::MIN_POSITIVE; L];
    for hour in first..end {
        for lane in 0..L {
            mean[lane] += plan.share[hour] * far[hour][lane];
        }
    }
    let mut shift = [0.0; L];
    for lane in 0..L {
        shift[lane] = (1.0 / aim[lane] - 1.0) / mean[lane];
    }
    for _ in 0..STEPS {
        let (mut value, mut slope) = ([0.0; L], [f64::MIN_POSITIVE; L]);
        for hour in first..end {
            for lane in 0..L {
                let part = 1.0 / (1.0 + shift[lane] * far[hour][lane]);
                let light = plan.share[hour] * part;
                value[lane] += light;
                slope[lane] += light * part * far[hour][lane];
            }
        }
        for lane in 0..L {
            let f = value[lane];
            shift[lane] += f * (f / aim[lane] - 1.0) / slope[lane];
        }
    }
    shift
}

/// A curve of straight pieces, level outside its ends.
#[inline]
fn between<const N: usize>(points: &[(f64, f64); N], x: f64) -> f64 {
    let mut y = points[0].1;
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let long = b.0 - a.0;
        y += (b.1 - a.1) / long * smaller(larger(x - a.0, 0.0), long);
    }
    y
}

#[cfg(test)]
mod tests;

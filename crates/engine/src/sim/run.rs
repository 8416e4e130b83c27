//! Stays from a full bank to the floor, over many weather years at once.
//!
//! A stay begins full in the evening and is followed hour by hour. Weather is made a day at a time
//! for a block of years and used by every stay that is under way, whatever its month or variant, so
//! that memory does not grow with the years. Blocks run on all cores; what comes back is in the
//! order of the years, whatever the cores did.

use super::calendar::{DAYS, days_of, first_day, month_of};
use super::place::Site;
use super::recorded::RecordedYear;
use super::stay::{DayOf, Running};
use super::variant::{SunSource, Variant};
use super::vector::widest;
use super::weather::{DayWeather, HOURS, WeatherLanes};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Weather years side by side.
pub const LANES: usize = 16;

/// Days by which the start of a stay moves from block to block, so that all of a month is met; it
/// shares no factor with the length of a month but of February.
const START_STEP: usize = 7;

/// Hours kept of a stay for the picture of the week.
pub const WEEK_HOURS: usize = 168;

/// What is run.
#[derive(Clone, Copy, Debug)]
pub struct Stay {
    /// Which of the variants.
    pub variant: usize,
    /// Month in which it begins, 0 is January.
    pub month: usize,
    /// Followed at least this long, also after its end [h].
    pub least_h: usize,
}

/// Told how many of all blocks of years are done, from any thread.
#[derive(Clone, Copy)]
pub struct Progress<'a>(pub &'a (dyn Fn(usize, usize) + Sync));

impl std::fmt::Debug for Progress<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Progress")
    }
}

/// Numbers of the run.
#[derive(Clone, Copy, Debug)]
pub struct RunSetting<'a> {
    /// Who wants to know how far it is.
    pub progress: Option<Progress<'a>>,
    /// Weather years.
    pub years: usize,
    /// Seed of the weather.
    pub seed: u64,
    /// Hour of the evening at which a stay begins.
    pub start_hour: usize,
    /// A stay is followed no longer than this [day].
    pub most_days: usize,
    /// Share of the way to the air that the bank goes in an hour.
    pub box_share: f64,
    /// State of charge that counts as full.
    pub full: f64,
    /// Weather years of which the week is kept.
    pub weeks: usize,
    /// Length of the trip [h].
    pub trip_h: usize,
}

/// How a stay of one year ended and what it met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StayEnd {
    /// Hours until the floor or the cut-off; the whole time followed where neither came [h].
    pub hours: f64,
    /// It was still going when it was left.
    pub outlasted: bool,
    /// The loads dropped out before the floor was met.
    pub cut_off: bool,
    /// They dropped out because the cells were colder than they may be discharged.
    pub too_cold: bool,
    /// Longest time without being full, while it was followed [h].
    pub since_full_h: f64,
    /// Charge that made gas while it was followed, a cell [Ah].
    pub gas_ah: f64,
    /// Energy of the sources, until the end [Wh].
    pub in_wh: f64,
    /// Energy the loads got, until the end [Wh].
    pub out_wh: f64,
    /// Energy lost, until the end [Wh].
    pub lost_wh: f64,
    /// Change of the energy in the bank, until the end [Wh].
    pub stored_wh: f64,
    /// Sun that was offered and not taken, until the end [Wh].
    pub wasted_wh: f64,
    /// Lowest state of charge while it was followed, after its end too.
    pub lowest_soc: f64,
    /// State of charge at the end of the trip.
    pub trip_soc: f64,
    /// Energy the loads asked for on the trip and did not get [Wh].
    pub trip_missed_wh: f64,
}

/// One hour of a week that is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeekHour {
    /// State of charge at its end.
    pub soc: f64,
    /// What the bank and the loads took of the sun [W].
    pub sun_w: f64,
    /// What they took of the other sources [W].
    pub other_w: f64,
}

/// A stay over all years.
#[derive(Clone, Debug, PartialEq)]
pub struct StayYears {
    /// How it ended, year by year.
    pub ends: Vec<StayEnd>,
    /// Hour by hour for a week, for the first few years.
    pub weeks: Vec<Vec<WeekHour>>,
    /// The day of the year on which it began in those years.
    pub starts: Vec<usize>,
}

/// Where the weather comes from.
#[derive(Clone, Copy, Debug)]
pub enum Sky<'a> {
    /// Made years.
    Made,
    /// One recorded year; a stay begins on each day of its month.
    Recorded(&'a RecordedYear),
}

/// Runs every stay over every year.
#[must_use]
pub fn run(
    site: &Site,
    sky: Sky<'_>,
    variants: &[Variant],
    stays: &[Stay],
    setting: &RunSetting<'_>,
) -> Vec<StayYears> {
    let blocks = match sky {
        Sky::Made => setting.years.div_ceil(LANES),
        Sky::Recorded(_) => stays.iter().map(|s| days_of(s.month)).max().unwrap_or(0),
    };
    let finished = AtomicUsize::new(0);
    let done: Vec<Vec<BlockEnd>> = (0..blocks)
        .into_par_iter()
        .map(|block| {
            let runs = Block { site, sky, variants, setting, block }.run(stays);
            // A recorded year fills every lane alike: one of them tells all.
            let lanes = |run: &Running<'_>| match sky {
                Sky::Made => LANES.min(setting.years - block * LANES),
                Sky::Recorded(_) => usize::from(block < days_of(run.stay.month)),
            };
            let ends = runs.iter().map(|run| BlockEnd::of(run, lanes(run))).collect();
            if let Some(Progress(tell)) = setting.progress {
                tell(finished.fetch_add(1, Ordering::Relaxed) + 1, blocks);
            }
            ends
        })
        .collect();
    let mut all: Vec<StayYears> = stays
        .iter()
        .map(|_| StayYears { ends: Vec::new(), weeks: Vec::new(), starts: Vec::new() })
        .collect();
    for runs in done {
        for (years, run) in all.iter_mut().zip(runs) {
            years.ends.extend(run.ends);
            for week in run.weeks {
                if years.weeks.len() < setting.weeks {
                    years.weeks.push(week);
                    years.starts.push(run.start);
                }
            }
        }
    }
    all
}

/// What is kept of a stay when its block is done.
struct BlockEnd {
    ends: Vec<StayEnd>,
    weeks: Vec<Vec<WeekHour>>,
    start: usize,
}

impl BlockEnd {
    fn of(run: &Running<'_>, lanes: usize) -> Self {
        Self {
            ends: (0..lanes).map(|lane| run.end(lane)).collect(),
            weeks: if run.keeps_week {
                (0..lanes).map(|lane| run.week(lane)).collect()
            } else {
                Vec::new()
            },
            start: run.start % DAYS,
        }
    }
}

/// A block of years.
struct Block<'a> {
    site: &'a Site,
    sky: Sky<'a>,
    variants: &'a [Variant],
    setting: &'a RunSetting<'a>,
    block: usize,
}

/// A day of sun for one variant.
pub(super) struct SunDay {
    /// Power the arrays offer by hour [W].
    pub(super) watts: [[f64; LANES]; HOURS],
    /// Most amps of the controllers by hour [A].
    pub(super) most_a: [[f64; LANES]; HOURS],
}

impl<'a> Block<'a> {
    fn run(&self, stays: &[Stay]) -> Vec<Running<'a>> {
        let mut running: Vec<Running<'a>> = stays.iter().map(|s| self.begun(*s)).collect();
        let mut made =
            WeatherLanes::<LANES>::new(self.site, self.setting.seed, (self.block * LANES) as u64);
        let mut weather = DayWeather::<LANES>::dark();
        let mut box_c: Option<[f64; LANES]> = None;
        for day in 0..DAYS + self.setting.most_days + 1 {
            match self.sky {
                Sky::Made => made.next_day(day % DAYS, &mut weather),
                Sky::Recorded(year) => year.day(self.site, day % DAYS, &mut weather),
            }
            let mut cells = [[0.0; LANES]; HOURS];
            let mut now = box_c.unwrap_or(weather.air_c[0]);
            for (hour, cell) in cells.iter_mut().enumerate() {
                for (now, air) in now.iter_mut().zip(&weather.air_c[hour]) {
                    *now += (air - *now) * self.setting.box_share;
                }
                *cell = now;
            }
            box_c = Some(now);
            self.day(day, &weather, &cells, &mut running);
            if running.iter().all(|r| r.over) {
                break;
            }
        }
        running
    }

    /// A stay at its start.
    fn begun(&self, stay: Stay) -> Running<'a> {
        let days = days_of(stay.month);
        let offset = match self.sky {
            Sky::Made => (self.block * START_STEP) % days,
            Sky::Recorded(_) => self.block % days,
        };
        let keeps_week = self.block * LANES < self.setting.weeks;
        let start = first_day(stay.month) + offset;
        Running::new(stay, &self.variants[stay.variant], start, keeps_week)
    }

    /// One day of every stay under way.
    fn day(
        &self,
        day: usize,
        weather: &DayWeather<LANES>,
        cells: &[[f64; LANES]; HOURS],
        running: &mut [Running<'a>],
    ) {
        for (n, variant) in self.variants.iter().enumerate() {
            let under_way = |r: &&mut Running<'a>| r.stay.variant == n && !r.over && r.start <= day;
            let mut sun: Option<SunDay> = None;
            for stay in running.iter_mut().filter(under_way) {
                let sun = sun.get_or_insert_with(|| sun_day(&variant.sun, day, weather));
                let first = if day == stay.start { self.setting.start_hour } else { 0 };
                let month = month_of(day);
                widest(DayOf { stay, setting: self.setting, month, first, sun, cells });
            }
        }
    }
}

/// What the arrays of a variant give over a day.
fn sun_day(sources: &[SunSource], day: usize, weather: &DayWeather<LANES>) -> SunDay {
    let mut found = SunDay { watts: [[0.0; LANES]; HOURS], most_a: [[0.0; LANES]; HOURS] };
    for source in sources {
        for hour in 0..HOURS {
            if weather.ghi[hour].iter().any(|g| 0.0 < *g) {
                let light = source.plane.poa(day % DAYS, hour, weather);
                let put = (&mut found.watts[hour], &mut found.most_a[hour]);
                sun_hour(source, &light, &weather.air_c[hour], put);
            }
        }
    }
    found
}

/// Adds what one array gives in an hour of light.
fn sun_hour(
    source: &SunSource,
    light: &[f64; LANES],
    air_c: &[f64; LANES],
    (watts, most_a): (&mut [f64; LANES], &mut [f64; LANES]),
) {
    for lane in 0..LANES {
        if let Some((surface, held_v)) = &source.held {
            let cell = source.array.cell_c(light[lane], air_c[lane]);
            let string_a = surface.value(light[lane], cell).max(0.0);
            let amps = (string_a * source.array.parallel).min(source.most_a);
            watts[lane] += amps * held_v * source.efficiency;
            most_a[lane] += amps;
        } else {
            let power = source.array.power_w(light[lane], air_c[lane]);
            watts[lane] += power * source.efficiency;
            most_a[lane] += source.most_a;
        }
    }
}

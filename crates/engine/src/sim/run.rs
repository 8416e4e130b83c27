//! Stays from a full bank to the floor, over many weather years at once.
//!
//! A stay begins full in the evening and is followed hour by hour. Weather is made a day at a time
//! for a block of years and used by every stay that is under way, whatever its month or variant, so
//! that memory does not grow with the years. Blocks run on all cores; what comes back is in the
//! order of the years, whatever the cores did.

use super::bank::REFERENCE_C;
use super::calendar::{DAYS, days_of, first_day, month_of};
use super::hour::Hour;
use super::kernel::{BankLanes, FlowLanes, HourLanes, step_lanes};
use super::place::Site;
use super::recorded::RecordedYear;
use super::variant::{SunSource, Variant};
use super::weather::{DayWeather, HOURS, WeatherLanes};
use rayon::prelude::*;

/// Weather years side by side.
pub const LANES: usize = 8;

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

/// Numbers of the run.
#[derive(Clone, Copy, Debug)]
pub struct RunSetting {
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

/// A stay over all years.
#[derive(Clone, Debug, PartialEq)]
pub struct StayYears {
    /// How it ended, year by year.
    pub ends: Vec<StayEnd>,
    /// State of charge hour by hour for a week, for the first few years.
    pub weeks: Vec<Vec<f64>>,
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
    setting: &RunSetting,
) -> Vec<StayYears> {
    let blocks = match sky {
        Sky::Made => setting.years.div_ceil(LANES),
        Sky::Recorded(_) => stays.iter().map(|s| days_of(s.month)).max().unwrap_or(0),
    };
    let done: Vec<Vec<Running<'_>>> = (0..blocks)
        .into_par_iter()
        .map(|block| Block { site, sky, variants, setting, block }.run(stays))
        .collect();
    let mut all: Vec<StayYears> = stays
        .iter()
        .map(|_| StayYears { ends: Vec::new(), weeks: Vec::new(), starts: Vec::new() })
        .collect();
    for (block, runs) in done.iter().enumerate() {
        for (years, run) in all.iter_mut().zip(runs) {
            // A recorded year fills every lane alike: one of them tells all.
            let lanes = match sky {
                Sky::Made => LANES.min(setting.years - block * LANES),
                Sky::Recorded(_) => usize::from(block < days_of(run.stay.month)),
            };
            for lane in 0..lanes {
                years.ends.push(run.end(lane));
                if years.weeks.len() < setting.weeks {
                    years.weeks.push(run.week(lane));
                    years.starts.push(run.start % DAYS);
                }
            }
        }
    }
    all
}

/// A block of years.
struct Block<'a> {
    site: &'a Site,
    sky: Sky<'a>,
    variants: &'a [Variant],
    setting: &'a RunSetting,
    block: usize,
}

/// A stay under way in a block.
struct Running<'a> {
    stay: Stay,
    variant: &'a Variant,
    start: usize,
    bank: BankLanes<LANES>,
    ended: [bool; LANES],
    held_h: [f64; LANES],
    since_full_h: [f64; LANES],
    soc: [f64; LANES],
    elapsed_h: usize,
    ends: [StayEnd; LANES],
    weeks: Vec<[f64; LANES]>,
    keeps_week: bool,
    over: bool,
}

/// A day of sun for one variant: watts and most amps.
struct SunDay {
    watts: [[f64; LANES]; HOURS],
    most_a: [[f64; LANES]; HOURS],
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
                for lane in 0..LANES {
                    now[lane] += (weather.air_c[hour][lane] - now[lane]) * self.setting.box_share;
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
        let variant = &self.variants[stay.variant];
        let days = days_of(stay.month);
        let offset = match self.sky {
            Sky::Made => (self.block * START_STEP) % days,
            Sky::Recorded(_) => self.block % days,
        };
        let blank = StayEnd {
            hours: 0.0,
            outlasted: true,
            cut_off: false,
            since_full_h: 0.0,
            gas_ah: 0.0,
            in_wh: 0.0,
            out_wh: 0.0,
            lost_wh: 0.0,
            stored_wh: 0.0,
            wasted_wh: 0.0,
            lowest_soc: 1.0,
            trip_soc: 1.0,
            trip_missed_wh: 0.0,
        };
        Running {
            stay,
            variant,
            start: first_day(stay.month) + offset,
            bank: BankLanes::all(variant.bank.full()),
            ended: [false; LANES],
            held_h: [0.0; LANES],
            since_full_h: [0.0; LANES],
            soc: [1.0; LANES],
            elapsed_h: 0,
            ends: [blank; LANES],
            weeks: Vec::new(),
            keeps_week: self.block * LANES < self.setting.weeks,
            over: false,
        }
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
                for hour in first..HOURS {
                    stay.hour(self.setting, (month, hour), (&sun.watts, &sun.most_a), &cells[hour]);
                }
            }
        }
    }
}

/// What the arrays of a variant give over a day.
fn sun_day(sources: &[SunSource], day: usize, weather: &DayWeather<LANES>) -> SunDay {
    let mut found = SunDay { watts: [[0.0; LANES]; HOURS], most_a: [[0.0; LANES]; HOURS] };
    for hour in 0..HOURS {
        let dark = weather.ghi[hour].iter().all(|g| *g <= 0.0);
        if dark {
            continue;
        }
        for source in sources {
            let light = source.plane.poa(day % DAYS, hour, weather);
            for lane in 0..LANES {
                let air = weather.air_c[hour][lane];
                if let Some((surface, held_v)) = &source.held {
                    let cell = source.array.cell_c(light[lane], air);
                    let string_a = surface.value(light[lane], cell).max(0.0);
                    let amps = (string_a * source.array.parallel).min(source.most_a);
                    found.watts[hour][lane] += amps * held_v * source.efficiency;
                    found.most_a[hour][lane] += amps;
                } else {
                    let power = source.array.power_w(light[lane], air);
                    found.watts[hour][lane] += power * source.efficiency;
                    found.most_a[hour][lane] += source.most_a;
                }
            }
        }
    }
    found
}

impl Running<'_> {
    /// One hour of every lane.
    fn hour(
        &mut self,
        setting: &RunSetting,
        (month, hour): (usize, usize),
        (sun_w, sun_a): (&[[f64; LANES]; HOURS], &[[f64; LANES]; HOURS]),
        cell_c: &[f64; LANES],
    ) {
        let (variant, offered) = (self.variant, &self.variant.offered);
        let loads = &variant.loads[month];
        let mut lanes = HourLanes::all(Hour {
            load_w: loads.watts[hour] + variant.own_w,
            cut_off_v: loads.cut_off_v,
            sun_w: 0.0,
            sun_max_a: 0.0,
            set_v: 0.0,
            other_a: offered.other_a[hour],
            cell_c: 0.0,
        });
        lanes.sun_w = sun_w[hour];
        lanes.sun_max_a = sun_a[hour];
        lanes.cell_c = *cell_c;
        if hour == 0 {
            self.held_h = [0.0; LANES];
        }
        for lane in 0..LANES {
            let absorbs = self.held_h[lane] < offered.absorb_h;
            let set = if absorbs { offered.absorb_v[hour] } else { offered.float_v[hour] };
            lanes.set_v[lane] = set + offered.volts_per_kelvin * (cell_c[lane] - REFERENCE_C);
        }
        let mut flows = FlowLanes::NONE;
        step_lanes(&variant.bank, &mut self.bank, &lanes, &mut flows);
        self.elapsed_h += 1;
        self.account(setting, &lanes, &flows);
        let by_time = self.elapsed_h >= setting.most_days * HOURS;
        let enough = self.elapsed_h >= self.stay.least_h;
        self.over = by_time || (enough && self.ended.iter().all(|e| *e));
    }

    /// Adds up what flowed, and sees who has come to the end.
    fn account(
        &mut self,
        setting: &RunSetting,
        asked: &HourLanes<LANES>,
        flows: &FlowLanes<LANES>,
    ) {
        let mut week = [0.0; LANES];
        for lane in 0..LANES {
            let soc = self.variant.bank.soc(self.bank.lane(lane));
            let before = std::mem::replace(&mut self.soc[lane], soc);
            week[lane] = soc;
            let end = &mut self.ends[lane];
            end.lowest_soc = end.lowest_soc.min(soc);
            if self.elapsed_h <= setting.trip_h {
                end.trip_soc = soc;
                end.trip_missed_wh += (asked.load_w[lane] - flows.served_w[lane]).max(0.0);
            }
            // An hour at the volts held is an hour of absorption.
            let held = flows.out_a[lane] < 0.0 && asked.set_v[lane] - 0.01 <= flows.volts_v[lane];
            self.held_h[lane] += f64::from(u8::from(held));
            let is_full = setting.full <= soc;
            self.since_full_h[lane] = if is_full { 0.0 } else { self.since_full_h[lane] + 1.0 };
            end.since_full_h = end.since_full_h.max(self.since_full_h[lane]);
            end.gas_ah += flows.gas_ah[lane];
            if self.ended[lane] {
                continue;
            }
            end.in_wh += flows.taken_sun_w[lane] + flows.taken_other_w[lane];
            end.out_wh += flows.served_w[lane];
            end.lost_wh += flows.lost_w[lane];
            end.stored_wh += flows.stored_wh[lane];
            end.wasted_wh += flows.wasted_sun_w[lane];
            end.hours += 1.0;
            let dropped = 0.0 < flows.shed[lane];
            if dropped || soc <= self.variant.floor {
                // Within the hour the charge falls evenly: the part before the floor was lived.
                if !dropped && soc < before {
                    let part = (before - self.variant.floor) / (before - soc);
                    end.hours += part.clamp(0.0, 1.0) - 1.0;
                } else if dropped {
                    end.hours -= 1.0;
                }
                end.outlasted = false;
                end.cut_off = dropped;
                self.ended[lane] = true;
            }
        }
        if self.keeps_week && self.weeks.len() < WEEK_HOURS {
            self.weeks.push(week);
        }
    }

    const fn end(&self, lane: usize) -> StayEnd {
        self.ends[lane]
    }

    fn week(&self, lane: usize) -> Vec<f64> {
        self.weeks.iter().map(|w| w[lane]).collect()
    }
}

//! One stay under way, in every lane of a block: an hour's demand, the step, and the account.

use super::bank::REFERENCE_C;
use super::hour::Hour;
use super::kernel::{BankLanes, FlowLanes, HourLanes, step_lanes};
use super::run::{LANES, RunSetting, Stay, StayEnd, SunDay, WEEK_HOURS, WeekHour};
use super::variant::Variant;
use super::vector::Work;
use super::weather::HOURS;

/// How near to the volts held the posts count as held [V].
const HELD_V: f64 = 0.01;

/// A stay under way in a block of years.
pub(super) struct Running<'a> {
    pub(super) stay: Stay,
    /// The day on which it begins, counted on past the end of the year.
    pub(super) start: usize,
    /// Nobody looks at it any more.
    pub(super) over: bool,
    variant: &'a Variant,
    bank: BankLanes<LANES>,
    sums: Sums,
    elapsed_h: usize,
    weeks: Vec<[WeekHour; LANES]>,
    /// Its first week is kept for the picture.
    pub(super) keeps_week: bool,
}

/// What is added up in each lane; the plain numbers of `StayEnd`, side by side.
struct Sums {
    /// 1 while the stay lasts, 0 after its end.
    alive: [f64; LANES],
    soc: [f64; LANES],
    held_h: [f64; LANES],
    since_full_h: [f64; LANES],
    since_full_most_h: [f64; LANES],
    hours: [f64; LANES],
    cut_off: [f64; LANES],
    too_cold: [f64; LANES],
    gas_ah: [f64; LANES],
    in_wh: [f64; LANES],
    out_wh: [f64; LANES],
    lost_wh: [f64; LANES],
    stored_wh: [f64; LANES],
    wasted_wh: [f64; LANES],
    lowest_soc: [f64; LANES],
    trip_soc: [f64; LANES],
    trip_missed_wh: [f64; LANES],
}

impl Sums {
    const NONE: Self = Self {
        alive: [1.0; LANES],
        soc: [1.0; LANES],
        held_h: [0.0; LANES],
        since_full_h: [0.0; LANES],
        since_full_most_h: [0.0; LANES],
        hours: [0.0; LANES],
        cut_off: [0.0; LANES],
        too_cold: [0.0; LANES],
        gas_ah: [0.0; LANES],
        in_wh: [0.0; LANES],
        out_wh: [0.0; LANES],
        lost_wh: [0.0; LANES],
        stored_wh: [0.0; LANES],
        wasted_wh: [0.0; LANES],
        lowest_soc: [1.0; LANES],
        trip_soc: [1.0; LANES],
        trip_missed_wh: [0.0; LANES],
    };
}

/// One or the other, without a branch.
#[inline(always)]
const fn either(which: bool, yes: f64, no: f64) -> f64 {
    if which { yes } else { no }
}

/// A day of a stay, as work for the widest vectors.
pub(super) struct DayOf<'d, 'v> {
    pub(super) stay: &'d mut Running<'v>,
    pub(super) setting: &'d RunSetting<'d>,
    /// Month, 0 is January.
    pub(super) month: usize,
    /// First hour.
    pub(super) first: usize,
    pub(super) sun: &'d SunDay,
    /// Temperature of the cells by hour [C].
    pub(super) cells: &'d [[f64; LANES]; HOURS],
}

impl Work for DayOf<'_, '_> {
    type Out = ();

    #[inline(always)]
    fn work(self) {
        self.stay.day(self.setting, (self.month, self.first), self.sun, self.cells);
    }
}

impl<'a> Running<'a> {
    /// A stay at its start, full.
    pub(super) fn new(stay: Stay, variant: &'a Variant, start: usize, keeps_week: bool) -> Self {
        Self {
            stay,
            start,
            over: false,
            variant,
            bank: BankLanes::all(variant.bank.full()),
            sums: Sums::NONE,
            elapsed_h: 0,
            weeks: Vec::new(),
            keeps_week,
        }
    }

    /// A day, or what is left of it from an hour on.
    #[inline(always)]
    fn day(
        &mut self,
        setting: &RunSetting<'_>,
        (month, first): (usize, usize),
        sun: &SunDay,
        cells: &[[f64; LANES]; HOURS],
    ) {
        let (variant, offered) = (self.variant, &self.variant.offered);
        let loads = &variant.loads[month];
        for (hour, cell_c) in cells.iter().enumerate().skip(first) {
            let mut asked = HourLanes::all(Hour {
                load_w: loads.watts[hour] + variant.own_w,
                cut_off_v: loads.cut_off_v,
                sun_w: 0.0,
                sun_max_a: 0.0,
                set_v: 0.0,
                other_a: offered.other_a[hour],
                cell_c: 0.0,
            });
            asked.sun_w = sun.watts[hour];
            asked.sun_max_a = sun.most_a[hour];
            asked.cell_c = *cell_c;
            if hour == 0 {
                self.sums.held_h = [0.0; LANES];
            }
            for (lane, set_v) in asked.set_v.iter_mut().enumerate() {
                let absorbs = self.sums.held_h[lane] < offered.absorb_h;
                let set = either(absorbs, offered.absorb_v[hour], offered.float_v[hour]);
                *set_v = set + offered.volts_per_kelvin * (cell_c[lane] - REFERENCE_C);
            }
            let mut flows = FlowLanes::NONE;
            step_lanes(&variant.bank, &mut self.bank, &asked, &mut flows);
            self.elapsed_h += 1;
            self.account(setting, &asked, &flows);
        }
        let by_time = self.elapsed_h >= setting.most_days * HOURS;
        let enough = self.elapsed_h >= self.stay.least_h;
        let ended = self.sums.alive.iter().all(|a| *a < 0.5);
        self.over = by_time || (enough && ended);
    }

    /// Adds up what flowed, and sees who has come to the end.
    #[inline(always)]
    fn account(
        &mut self,
        setting: &RunSetting<'_>,
        asked: &HourLanes<LANES>,
        flows: &FlowLanes<LANES>,
    ) {
        let s = &mut self.sums;
        let floor = self.variant.floor;
        let coldest = self.variant.bank.traits.discharge_min_c;
        let trip = either(self.elapsed_h <= setting.trip_h, 1.0, 0.0);
        for lane in 0..LANES {
            let soc = self.variant.bank.soc(self.bank.lane(lane));
            let before = s.soc[lane];
            s.soc[lane] = soc;
            s.lowest_soc[lane] = s.lowest_soc[lane].min(soc);
            s.trip_soc[lane] += trip * (soc - s.trip_soc[lane]);
            let missed = (asked.load_w[lane] - flows.served_w[lane]).max(0.0);
            s.trip_missed_wh[lane] += trip * missed;
            // An hour at the volts held is an hour of absorption.
            let in_charge = flows.out_a[lane] < 0.0;
            let at_set = asked.set_v[lane] - HELD_V <= flows.volts_v[lane];
            s.held_h[lane] += either(in_charge & at_set, 1.0, 0.0);
            let since = either(setting.full <= soc, 0.0, s.since_full_h[lane] + 1.0);
            s.since_full_h[lane] = since;
            s.since_full_most_h[lane] = s.since_full_most_h[lane].max(since);
            s.gas_ah[lane] += flows.gas_ah[lane];
            let alive = s.alive[lane];
            s.in_wh[lane] += alive * (flows.taken_sun_w[lane] + flows.taken_other_w[lane]);
            s.out_wh[lane] += alive * flows.served_w[lane];
            s.lost_wh[lane] += alive * flows.lost_w[lane];
            s.stored_wh[lane] += alive * flows.stored_wh[lane];
            s.wasted_wh[lane] += alive * flows.wasted_sun_w[lane];
            let dropped = 0.0 < flows.shed[lane];
            let ends = dropped | (soc <= floor);
            // Within the hour the charge falls evenly: the part before the floor was lived. An hour
            // in which the loads dropped out was not.
            let fall = (before - soc).max(f64::MIN_POSITIVE);
            let part = ((before - floor) / fall).clamp(0.0, 1.0);
            let lived = either(ends, either(dropped, 0.0, part), 1.0);
            s.hours[lane] += alive * lived;
            let by_cold = dropped & (asked.cell_c[lane] < coldest);
            s.too_cold[lane] += alive * either(by_cold, 1.0, 0.0);
            s.cut_off[lane] += alive * either(dropped, 1.0, 0.0);
            s.alive[lane] = either(ends, 0.0, alive);
        }
        if self.keeps_week && self.weeks.len() < WEEK_HOURS {
            self.weeks.push(std::array::from_fn(|lane| WeekHour {
                soc: self.sums.soc[lane],
                sun_w: flows.taken_sun_w[lane],
                other_w: flows.taken_other_w[lane],
            }));
        }
    }

    /// How the stay ended in a lane.
    pub(super) const fn end(&self, lane: usize) -> StayEnd {
        let s = &self.sums;
        StayEnd {
            hours: s.hours[lane],
            outlasted: 0.5 < s.alive[lane],
            cut_off: 0.5 < s.cut_off[lane],
            too_cold: 0.5 < s.too_cold[lane],
            since_full_h: s.since_full_most_h[lane],
            gas_ah: s.gas_ah[lane],
            in_wh: s.in_wh[lane],
            out_wh: s.out_wh[lane],
            lost_wh: s.lost_wh[lane],
            stored_wh: s.stored_wh[lane],
            wasted_wh: s.wasted_wh[lane],
            lowest_soc: s.lowest_soc[lane],
            trip_soc: s.trip_soc[lane],
            trip_missed_wh: s.trip_missed_wh[lane],
        }
    }

    /// The first week of a lane, hour by hour.
    pub(super) fn week(&self, lane: usize) -> Vec<WeekHour> {
        self.weeks.iter().map(|w| w[lane]).collect()
    }
}

//! `nights --json`. Nights are decimals, from evening to evening.

use super::FaultJson;
use super::check::AssumedJson;
use crate::rig::Rig;
use engine::calc::time_to_full::TimeToFull;
use engine::report::Report;
use engine::sim::compare::{Beside, beside};
use engine::sim::nights::{FullBy, Nights};
use engine::sim::outcome::Sure;
use serde::Serialize;

/// The whole answer.
#[derive(Debug, Serialize)]
pub(crate) struct NightsJson {
    rig: String,
    stage: String,
    place: PlaceJson,
    month: u32,
    trip: Option<String>,
    trip_nights: Option<f64>,
    nights: SureJson,
    by_month: Vec<MonthJson>,
    worst_week: Option<WeekJson>,
    unplugged_probability: Vec<ChanceJson>,
    days_since_full: f64,
    generator_hours: Option<f64>,
    usable_ah: UsableJson,
    trip_depth: DepthJson,
    water_cm3_cell_month: Option<f64>,
    limits: Vec<String>,
    one_more: Vec<MoreJson>,
    energy: EnergyJson,
    handbook: Vec<HandbookJson>,
    hand_arithmetic: Option<HandbookJson>,
    full_by: Vec<FullByJson>,
    parked: ParkedJson,
    floor_soc: f64,
    array_w: f64,
    loads: Vec<LoadJson>,
    recorded_weather: bool,
    rests_on: Vec<String>,
    assumed: Vec<AssumedJson>,
    seed: u64,
    years: usize,
    stop_count: usize,
    design_faults: Vec<FaultJson>,
}

#[derive(Debug, Serialize)]
struct PlaceJson {
    latitude_deg: f64,
    longitude_deg: f64,
    altitude_m: f64,
    cell_km: f64,
}

#[derive(Debug, Serialize)]
struct SureJson {
    sure_50: f64,
    sure_90: f64,
    sure_95: f64,
}

impl SureJson {
    const fn of(sure: Sure) -> Self {
        Self { sure_50: sure.in_50, sure_90: sure.in_90, sure_95: sure.in_95 }
    }
}

#[derive(Debug, Serialize)]
struct MonthJson {
    month: u32,
    #[serde(flatten)]
    sure: SureJson,
    sun_kwh_m2_day: f64,
    offered_wh_day: f64,
    load_wh_day: f64,
}

#[derive(Debug, Serialize)]
struct WeekJson {
    start: String,
    soc: Vec<f64>,
    sun_w: Vec<f64>,
    other_w: Vec<f64>,
}

#[derive(Debug, Serialize)]
struct ChanceJson {
    night: u32,
    p: f64,
}

#[derive(Debug, Serialize)]
struct UsableJson {
    at_current: f64,
    current_a: f64,
    rule_of_thumb: f64,
    ends_by_cut_off: bool,
}

#[derive(Debug, Serialize)]
struct DepthJson {
    sure_50: f64,
    sure_90: f64,
}

#[derive(Debug, Serialize)]
struct MoreJson {
    change: String,
    nights_sure_90: f64,
    gain: f64,
}

#[derive(Debug, Serialize)]
struct EnergyJson {
    in_wh: f64,
    out_wh: f64,
    lost_wh: f64,
    stored_wh: f64,
    residual_wh: f64,
}

/// One method beside the rig; what it was asked stands with it.
#[derive(Debug, Serialize)]
struct HandbookJson {
    method: String,
    status: &'static str,
    steps: Vec<String>,
    ah: Option<f64>,
    strings: Option<f64>,
    depth: Option<f64>,
    rig_ah: f64,
    rig_array_w: f64,
    daily_wh: f64,
    nights: f64,
    sun_hours: Option<f64>,
    difference: String,
}

impl HandbookJson {
    fn of(b: Beside<'_>) -> Self {
        Self {
            method: b.answer.method.clone(),
            status: b.answer.cite.status.says(),
            steps: b.answer.steps.clone(),
            ah: b.answer.ah,
            strings: b.answer.modules,
            depth: b.answer.depth,
            rig_ah: b.asked.rated_ah,
            rig_array_w: b.asked.array_w,
            daily_wh: b.asked.daily_wh,
            nights: b.asked.nights,
            sun_hours: b.asked.sun_h,
            difference: b.difference,
        }
    }
}

#[derive(Debug, Serialize)]
struct FullByJson {
    source: String,
    amps: f64,
    hours: Option<f64>,
    stays_at_soc: Option<f64>,
    /// Volts it holds at the posts, where a full charge asks for more: it never truly fills the bank.
    too_low_v: Option<f64>,
    /// Volts that a full charge asks for, where it holds less.
    needs_v: Option<f64>,
}

impl FullByJson {
    fn of(by: &FullBy) -> Self {
        let (hours, stays_at_soc) = match by.time {
            TimeToFull::Hours(hours) => (Some(hours), None),
            TimeToFull::Never(soc) => (None, Some(soc)),
        };
        Self {
            source: by.source.clone(),
            amps: by.amps,
            hours,
            stays_at_soc,
            too_low_v: by.too_low.map(|v| v.0),
            needs_v: by.too_low.map(|v| v.1),
        }
    }
}

#[derive(Debug, Serialize)]
struct ParkedJson {
    to_floor_isolator_on_days: Option<f64>,
    to_floor_isolator_off_days: Option<f64>,
    freeze_warning_c: f64,
    freezes_at_floor_c: Option<f64>,
}

#[derive(Debug, Serialize)]
struct LoadJson {
    name: String,
    wh_day: f64,
}

impl NightsJson {
    /// The answer as JSON.
    pub(crate) fn of(rig: &Rig, report: &Report, nights: &Nights) -> Self {
        let finite = |d: f64| d.is_finite().then_some(d);
        let (site, energy, parked) = (&nights.site, &nights.energy, &nights.parked);
        Self {
            rig: rig.design.rig.name.clone(),
            stage: report.stage.clone(),
            place: PlaceJson {
                latitude_deg: site.latitude_deg,
                longitude_deg: site.longitude_deg,
                altitude_m: site.altitude_m,
                cell_km: site.nearest_km,
            },
            month: nights.month,
            trip: nights.trip.clone(),
            trip_nights: nights.trip_nights,
            nights: SureJson::of(nights.sure),
            by_month: months(nights),
            worst_week: nights.worst_week.as_ref().map(|w| WeekJson {
                start: engine::sim::calendar::day_name(w.start_day),
                soc: w.soc.clone(),
                sun_w: w.sun_w.clone(),
                other_w: w.other_w.clone(),
            }),
            unplugged_probability: nights
                .chances
                .iter()
                .map(|c| ChanceJson { night: c.night, p: c.p })
                .collect(),
            days_since_full: nights.days_since_full,
            generator_hours: nights.generator_hours,
            usable_ah: UsableJson {
                at_current: nights.usable.at_current,
                current_a: nights.usable.amps,
                rule_of_thumb: nights.usable.rule_of_thumb,
                ends_by_cut_off: nights.usable.ends_by_cut_off,
            },
            trip_depth: DepthJson { sure_50: nights.trip_depth[0], sure_90: nights.trip_depth[1] },
            water_cm3_cell_month: nights.water_cm3_cell,
            limits: nights.limits.clone(),
            one_more: one_more(nights),
            energy: EnergyJson {
                in_wh: energy.in_wh,
                out_wh: energy.out_wh,
                lost_wh: energy.lost_wh,
                stored_wh: energy.stored_wh,
                residual_wh: energy.residual_wh,
            },
            handbook: beside(nights).into_iter().map(HandbookJson::of).collect(),
            hand_arithmetic: beside(nights)
                .into_iter()
                .find(|b| b.answer.depth.is_some())
                .map(HandbookJson::of),
            full_by: nights.full_by.iter().map(FullByJson::of).collect(),
            parked: ParkedJson {
                to_floor_isolator_on_days: finite(parked.to_floor_on_days),
                to_floor_isolator_off_days: finite(parked.to_floor_off_days),
                freeze_warning_c: parked.freeze_warning_c,
                freezes_at_floor_c: parked.freezes_at_floor_c,
            },
            floor_soc: nights.floor,
            array_w: nights.array_w,
            loads: loads(nights),
            recorded_weather: nights.recorded,
            rests_on: nights.rests_on.clone(),
            assumed: nights.assumed.iter().map(|a| AssumedJson::of(a, rig)).collect(),
            seed: nights.seed,
            years: nights.years,
            stop_count: report.stops(),
            design_faults: FaultJson::all(rig.faults()),
        }
    }
}

fn months(nights: &Nights) -> Vec<MonthJson> {
    let all = nights.by_month.iter();
    all.map(|m| MonthJson {
        month: m.month,
        sure: SureJson::of(m.sure),
        sun_kwh_m2_day: m.sun_kwh_m2_day,
        offered_wh_day: m.offered_wh_day,
        load_wh_day: m.load_wh_day,
    })
    .collect()
}

fn one_more(nights: &Nights) -> Vec<MoreJson> {
    let all = nights.one_more.iter();
    all.map(|m| MoreJson {
        change: m.change.clone(),
        nights_sure_90: m.nights_sure_90,
        gain: m.gain,
    })
    .collect()
}

fn loads(nights: &Nights) -> Vec<LoadJson> {
    nights.loads_wh.iter().map(|(name, wh)| LoadJson { name: name.clone(), wh_day: *wh }).collect()
}

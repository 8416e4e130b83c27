//! One rig made ready to be run: its bank, its arrays, its loads by month, its other sources.

use super::array::ArrayModel;
use super::bank::{BankModel, REFERENCE_C};
use super::bank_of::FittedBank;
use super::chain::{Chain, Feed, Phase, When, line_ohm};
use super::hour::Hour;
use super::loads::LoadDay;
use super::panel::{Standing, plane_setting};
use super::place::Site;
use super::solar_controller::SolarController;
use super::sun::{BEARINGS, Plane};
use super::surface::Surface;
use crate::facts::device::nominal_volts;
use crate::finding::Assumed;
use crate::model::load::Trip;
use crate::model::source::Array;
use crate::study::Study;
use crate::tables::Tables;
use crate::tables::climate::MONTHS;
use crate::units::{Voltage, show};

/// An array on its controller.
#[derive(Clone, Debug)]
pub struct SunSource {
    /// Its plane's year.
    pub plane: Plane,
    /// Its panels.
    pub array: ArrayModel,
    /// Output over input of its controller and of the leads to the posts [1].
    pub efficiency: f64,
    /// Strings' amps held to the bank's volts, where the controller only switches.
    pub held: Option<(Surface, f64)>,
    /// Most amps its controller gives [A].
    pub most_a: f64,
}

/// What the sources offer over a day, apart from the sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OfferedDay {
    /// Amps of the sources that run [A].
    pub other_a: [f64; 24],
    /// Volts the posts are held to in absorption at 25 C [V].
    pub absorb_v: [f64; 24],
    /// The same in float [V].
    pub float_v: [f64; 24],
    /// Change of both with the temperature of the cells [V/K].
    pub volts_per_kelvin: f64,
    /// Hours a day for which absorption is held [h].
    pub absorb_h: f64,
}

/// A rig ready to be run.
#[derive(Clone, Debug)]
pub struct Variant {
    /// The bank, for steps of an hour.
    pub bank: BankModel,
    /// Arrays.
    pub sun: Vec<SunSource>,
    /// Loads of a day by month.
    pub loads: Vec<LoadDay>,
    /// What the controllers take for themselves all day [W].
    pub own_w: f64,
    /// The other sources.
    pub offered: OfferedDay,
    /// State of charge at which a stay ends.
    pub floor: f64,
    /// Amps a charger that a hook-up or generator feeds would give, and its name.
    pub charger: Option<(String, f64)>,
    /// Nominal volts.
    pub nominal_v: f64,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
}

/// What the run is asked for beside the rig.
#[derive(Clone, Copy, Debug)]
pub struct Living<'a> {
    /// The trip, when the rig has one.
    pub trip: Option<&'a Trip>,
    /// Generator hours a day on top of the trip's own [h].
    pub more_generator_h: f64,
}

impl Variant {
    /// A rig of a stage at a place; `None` where it has no bank whose amp-hours are known.
    #[must_use]
    pub fn of(study: &Study, tables: &Tables, site: &Site, living: &Living<'_>) -> Option<Self> {
        let FittedBank { model, mut assumed, chemistry, .. } =
            BankModel::of(&study.design, &study.facts, tables)?;
        let chain = Chain::of(study, tables);
        assumed.extend(chain.assumed.iter().cloned());
        let loads: Vec<LoadDay> = (1..=12_u32)
            .map(|month| match living.trip {
                Some(trip) => {
                    let trip = Trip { month: Some(month), ..trip.clone() };
                    LoadDay::of_trip(study, tables, &trip)
                }
                None => LoadDay::of_month(study, tables, month),
            })
            .collect();
        for day in &loads {
            add_new(&mut assumed, &day.assumed);
        }
        let floor = if chemistry.is_lead() { "planned-floor-lead" } else { "planned-floor-lfp" };
        let floor = tables.limits.value(floor);
        assumed.push(Assumed {
            path: "bank".to_owned(),
            value: format!("a stay ends at {} % charge", show::decimal(floor.value * 100.0, 0)),
            how_to_measure: "Nothing to measure: it is how deep you are willing to go.".to_owned(),
            matters: "Deeper nights shorten the life of lead; the nights change in proportion."
                .to_owned(),
            cite: floor.cite,
        });
        let mut sun = Vec::new();
        let mut own_w = 0.0;
        let offered = offered(&chain, &model, tables, living, &mut assumed);
        for array in &study.design.arrays {
            let held_v = offered.absorb_v[12];
            if let Some(source) = sun_source(study, tables, site, (array, held_v), &mut assumed) {
                sun.push(source.0);
                own_w += source.1;
            }
        }
        let charger = chain
            .sources
            .iter()
            .filter(|s| matches!(s.feed, Feed::Shore | Feed::Generator) && 0.0 < s.most_a)
            .max_by(|a, b| a.most_a.total_cmp(&b.most_a))
            .map(|s| (s.name.clone(), s.most_a));
        Some(Self {
            bank: model,
            sun,
            loads,
            own_w,
            offered,
            floor: floor.value,
            charger,
            nominal_v: nominal_volts(&study.design).map_or(12.0, |v| v.as_volts()),
            assumed,
        })
    }

    /// What the arrays give at standard test conditions, all together [W].
    #[must_use]
    pub fn rated_w(&self) -> f64 {
        self.sun.iter().map(|s| s.array.rated_w()).sum()
    }

    /// Energy the loads and controllers take in a day of a month [Wh].
    #[must_use]
    pub fn load_wh(&self, month: usize) -> f64 {
        self.loads[month % MONTHS].wh() + 24.0 * self.own_w
    }
}

/// Adds what is not listed yet.
pub(super) fn add_new(list: &mut Vec<Assumed>, more: &[Assumed]) {
    for item in more {
        if !list.iter().any(|a| a.path == item.path && a.value == item.value) {
            list.push(item.clone());
        }
    }
}

/// An array with its controller, and what the controller takes for itself [W].
fn sun_source(
    study: &Study,
    tables: &Tables,
    site: &Site,
    (array, held_v): (&Array, f64),
    assumed: &mut Vec<Assumed>,
) -> Option<(SunSource, f64)> {
    // An array of which too little is known gives nothing; R35 asks for what is missing.
    let model = ArrayModel::of(array, tables, study.design.rig.units).ok()?;
    add_new(assumed, &model.assumed);
    let device = array.controller.as_deref().and_then(|c| study.design.device(c))?;
    let mut own = Vec::new();
    let controller = SolarController::of(tables, device, &mut own);
    add_new(assumed, &own);
    let rated = model.rated_w();
    let nominal_v = nominal_volts(&study.design).map_or(12.0, |v| v.as_volts());
    // The leads lose in proportion to the amps; at half the array's power they lose this share.
    let ohm = line_ohm(study, &device.part.name).unwrap_or(0.0);
    let leads = 1.0 - 0.5 * rated / nominal_v * ohm / nominal_v;
    let held = (controller.converts == Some(false)).then(|| {
        let surface = model.amps_held_to(Voltage::volts(held_v));
        (surface, held_v)
    });
    let place = study.design.place.as_ref();
    let horizon = place.and_then(|p| p.horizon_deg.as_slice().try_into().ok());
    let standing = Standing {
        latitude_deg: site.latitude_deg,
        horizon_deg: horizon.unwrap_or([0.0; BEARINGS]),
    };
    let mut stands = Vec::new();
    let setting = plane_setting(array, &standing, tables, &mut stands);
    add_new(assumed, &stands);
    Some((
        SunSource {
            plane: Plane::of(&setting, site, tables),
            efficiency: controller.efficiency * leads.clamp(0.5, 1.0),
            held,
            most_a: controller.most_a,
            array: model,
        },
        controller.own_w,
    ))
}

/// What the chargers offer while nobody is plugged in: generator and driving of the trip.
fn offered(
    chain: &Chain,
    bank: &BankModel,
    tables: &Tables,
    living: &Living<'_>,
    assumed: &mut Vec<Assumed>,
) -> OfferedDay {
    let hours = |d: Option<crate::units::Duration>| d.map_or(0.0, |d| d.as_hours());
    let generator_h = hours(living.trip.and_then(|t| t.generator)) + living.more_generator_h;
    let driving_h = hours(living.trip.and_then(|t| t.driving));
    let blank = Hour {
        load_w: 0.0,
        cut_off_v: 0.0,
        sun_w: 0.0,
        sun_max_a: 0.0,
        set_v: 0.0,
        other_a: 0.0,
        cell_c: REFERENCE_C,
    };
    // The amps are taken at the volts of a bank three quarters full, at rest.
    let posts_v = bank.rest_v(bank.at_charge(0.75));
    let at = |hour: u32, phase: Phase, cell_c: f64| {
        let when = When {
            hour,
            hook_up: false,
            generator_h,
            driving_h,
            phase,
            cell_c,
            posts_v,
            into_a: 0.0,
        };
        // A charger that the hook-up feeds runs off a generator too, in the generator's hours.
        let mut hour = chain.hour(&when, blank);
        let by_generator = within(when.hour, chain.begins.generator_h, generator_h);
        for source in chain.sources.iter().filter(|s| s.feed == Feed::Shore) {
            if 0.0 < by_generator {
                hour.other_a += by_generator * source.amps_at(posts_v, phase, cell_c);
                hour.set_v = hour.set_v.max(source.posts_v(phase, cell_c, 0.0).unwrap_or(0.0));
            }
        }
        hour
    };
    let day = |phase: Phase| -> [Hour; 24] {
        let mut hours = [blank; 24];
        for (hour, found) in (0..24).zip(hours.iter_mut()) {
            *found = at(hour, phase, REFERENCE_C);
        }
        hours
    };
    let (absorb, float) = (day(Phase::Absorb), day(Phase::Float));
    let warmer = at(12, Phase::Absorb, REFERENCE_C + 1.0).set_v - absorb[12].set_v;
    let stated = chain
        .sources
        .iter()
        .filter_map(|s| s.absorb_most_h)
        .fold(None, |m, h| Some(m.map_or(h, |m: f64| m.max(h))));
    let usual = tables.limits.value("absorption-hours-usual");
    if stated.is_none() && !chain.sources.is_empty() {
        assumed.push(Assumed {
            path: "device".to_owned(),
            value: format!("{} h a day at absorption volts", show::decimal(usual.value, 0)),
            how_to_measure: "The set-up page of the charger or controller.".to_owned(),
            matters: "A bank that is let go too early never gets full.".to_owned(),
            cite: usual.cite,
        });
    }
    OfferedDay {
        other_a: absorb.map(|h| h.other_a),
        absorb_v: absorb.map(|h| h.set_v),
        float_v: float.map(|h| h.set_v),
        volts_per_kelvin: warmer,
        absorb_h: stated.unwrap_or(usual.value),
    }
}

/// Share of an hour that lies in a run which begins at one hour and lasts some.
fn within(hour: u32, from: f64, span: f64) -> f64 {
    let hour = f64::from(hour);
    let overlap = |low: f64, high: f64| ((hour + 1.0).min(high) - hour.max(low)).max(0.0);
    let span = span.min(24.0);
    overlap(from, from + span) + overlap(from - 24.0, from + span - 24.0)
}

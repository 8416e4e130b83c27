//! How long a rig stays unplugged, here, in this month, and how sure: the whole answer.

use super::bank::{BankModel, step};
use super::chain::{Chain, Feed, Phase, Source};
use super::frost::Acid;
use super::handbook::{HandbookAnswer, SizingAsk, handbook};
use super::hour::Hour;
use super::more;
use super::outcome::{
    EnergyAccount, MonthNights, NightChance, Sure, Week, chances, reached, stays_within, worst_week,
};
use super::place::{Site, SiteError};
use super::recorded::RecordedYear;
use super::run::{Progress, RunSetting, Sky, Stay, StayYears, WEEK_HOURS, run};
use super::set_points::tail_amps;
use super::storage::StorageDrain;
use super::variant::{Living, Variant, add_new};
use crate::calc::time_to_full::TimeToFull;
use crate::finding::Assumed;
use crate::model::block::Chemistry;
use crate::model::design::Design;
use crate::model::device::DeviceKind;
use crate::model::load::Trip;
use crate::study::Study;
use crate::tables::Tables;
use crate::tables::charging::Stage;
use crate::tables::climate::{Climate, MONTHS};

/// Weather years of which the worst week is told.
pub const WEEK_YEARS: usize = 10;
/// Years of a first look, to find the month to look at.
const FIRST_LOOK_YEARS: usize = 48;

/// Amp-hours a trip may lack by rounding alone.
const LACKING_LEAST_AH: f64 = 0.001;

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// Latitude and longitude in place of the rig's own [deg].
    pub place: Option<(f64, f64)>,
    /// Month, 1 to 12; `None` takes the trip's, else the worst.
    pub month: Option<u32>,
    /// Weather years.
    pub years: usize,
    /// Seed of the weather.
    pub seed: u64,
    /// The owner's own recorded year.
    pub recorded: Option<&'a RecordedYear>,
    /// Told how many of all blocks of weather years are done, from any thread.
    pub progress: Option<Progress<'a>>,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum NightsError {
    /// No bank, or nothing tells how much it holds.
    NoBank,
    /// Nothing takes energy.
    NoLoads,
    /// The place has no climate.
    Site(SiteError),
}

impl std::fmt::Display for NightsError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoBank => f.write_str(
                "no bank stands at this stage whose amp-hours are known. Write the rating of its \
                 blocks with its hours, such as rating = \"190 Ah at 20 h\".",
            ),
            Self::NoLoads => f.write_str(
                "nothing takes energy at this stage. Write each load with its power and its hours \
                 a day under [load.NAME].",
            ),
            Self::Site(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for NightsError {}

/// One change more and what it brings.
#[derive(Clone, Debug, PartialEq)]
pub struct OneMore {
    /// In words.
    pub change: String,
    /// Nights that 90 in 100 years reach with it.
    pub nights_sure_90: f64,
    /// The same without it, less.
    pub gain: f64,
}

/// What can be taken out of the bank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UsableAh {
    /// At the mean amps of the loads, down to the floor or the cut-off [Ah].
    pub at_current: f64,
    /// Those amps [A].
    pub amps: f64,
    /// The common rule: the planned share of the rated amp-hours [Ah].
    pub rule_of_thumb: f64,
    /// It is the loads' cut-off that ends it, not the floor.
    pub ends_by_cut_off: bool,
}

/// A charge source and how long it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct FullBy {
    /// The source.
    pub source: String,
    /// Its amps [A].
    pub amps: f64,
    /// From half to full by its amps while the mean loads run.
    pub time: TimeToFull,
    /// Volts it holds at the posts at the end and volts that a full charge asks, where it holds less:
    /// then it never gets there, whatever its amps say [V].
    pub too_low: Option<(f64, f64)>,
}

/// What a parked rig comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parked {
    /// Days from full to the floor, isolator on [day].
    pub to_floor_on_days: f64,
    /// The same with the isolator off [day].
    pub to_floor_off_days: f64,
    /// Lowest air temperature to prepare for [C].
    pub freeze_warning_c: f64,
    /// Temperature at which the electrolyte freezes at the floor; `None` where it does not [C].
    pub freezes_at_floor_c: Option<f64>,
    /// Its blocks are flooded; others are held to that acid.
    pub flooded: bool,
}

/// The whole answer.
#[derive(Clone, Debug)]
pub struct Nights {
    /// The climate it rests on.
    pub site: Site,
    /// Month it speaks of, 1 is January.
    pub month: u32,
    /// The trip it follows, by name.
    pub trip: Option<String>,
    /// Nights the trip is to last.
    pub trip_nights: Option<f64>,
    /// Nights by certainty.
    pub sure: Sure,
    /// A stay is followed for so many nights; one that lasts longer is told as this or more.
    pub most: f64,
    /// Share of its rated amp-hours that the bank gives at the month's mean temperature.
    pub cold_share: f64,
    /// Twelve months; a glance has the one it looks at.
    pub by_month: Vec<MonthNights>,
    /// The worst week of the first ten years.
    pub worst_week: Option<Week>,
    /// State of charge at which a stay ends.
    pub floor: f64,
    /// Chance of each night.
    pub chances: Vec<NightChance>,
    /// Longest time without being full in a stay of a month, which 90 in 100 years keep within [day].
    pub days_since_full: f64,
    /// Generator hours that bring the trip back to the floor, enough in 90 of 100 years; `None`
    /// where nothing could use them [h].
    pub generator_hours: Option<f64>,
    /// What can be taken out.
    pub usable: UsableAh,
    /// Depth of discharge at the end of the trip: half of the years, and 90 in 100 stay within [1].
    pub trip_depth: [f64; 2],
    /// Water that the cells lose in a stay of a month, half of the years [cm3 a cell].
    pub water_cm3_cell: Option<f64>,
    /// What limits it, in sentences, the chief one first.
    pub limits: Vec<String>,
    /// One change more.
    pub one_more: Vec<OneMore>,
    /// The account of the mean stay.
    pub energy: EnergyAccount,
    /// The size by the steps of the handbooks, to stand beside.
    pub handbook: Vec<HandbookAnswer>,
    /// What the handbooks were asked; nothing without blocks.
    pub handbook_ask: Option<SizingAsk>,
    /// Half to full, source by source.
    pub full_by: Vec<FullBy>,
    /// Parked.
    pub parked: Parked,
    /// Loads of the day in the month, by name and energy, the largest first [Wh].
    pub loads_wh: Vec<(String, f64)>,
    /// Arrays at standard test conditions [W].
    pub array_w: f64,
    /// Seed of the weather.
    pub seed: u64,
    /// Weather years; days of a month for a recorded year.
    pub years: usize,
    /// It rests on a recorded year.
    pub recorded: bool,
    /// What the climate rests on and where its limits are, in sentences.
    pub rests_on: Vec<String>,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
}

impl Nights {
    /// The answer for a stage that has been worked through.
    ///
    /// # Errors
    /// When there is no bank, no load, or no climate for the place.
    pub fn of(
        study: &Study,
        whole: &Design,
        tables: &Tables,
        climate: &Climate<'_>,
        ask: &Ask<'_>,
    ) -> Result<Self, NightsError> {
        let site = Site::of_rig(&study.design, ask.place, climate, tables);
        let site = site.map_err(NightsError::Site)?;
        let (trip, base) = begun(study, tables, &site, ask)?;
        let asked = ask.month.or_else(|| trip.and_then(|t| t.month));
        let work = Work { study, whole, tables, site: &site, ask, trip };
        let month = asked.map_or_else(|| work.worst_month(&base), |m| (m.max(1) as usize - 1) % 12);
        Ok(work.answer(base, month, false))
    }

    /// A glance at one month where the place and the month are known already, as while somebody moves a
    /// thing: the same figures for that month, without the other months and without one change more.
    ///
    /// # Errors
    /// When there is no bank or no load.
    pub fn glance(
        study: &Study,
        tables: &Tables,
        (site, month): (&Site, u32),
        ask: &Ask<'_>,
    ) -> Result<Self, NightsError> {
        let (trip, base) = begun(study, tables, site, ask)?;
        let work = Work { study, whole: &study.design, tables, site, ask, trip };
        Ok(work.answer(base, (month.max(1) as usize - 1) % MONTHS, true))
    }
}

/// The trip and the rig on it, where there is enough to follow.
fn begun<'a>(
    study: &'a Study,
    tables: &Tables,
    site: &Site,
    ask: &Ask<'_>,
) -> Result<(Option<&'a Trip>, Variant), NightsError> {
    let trip = trip(&study.design, ask.month);
    let living = Living { trip, more_generator_h: 0.0 };
    let base = Variant::of(study, tables, site, &living).ok_or(NightsError::NoBank)?;
    if base.loads.iter().all(|day| day.wh() <= 0.0) {
        return Err(NightsError::NoLoads);
    }
    Ok((trip, base))
}

/// The trip of a month, else the first.
fn trip(design: &Design, month: Option<u32>) -> Option<&Trip> {
    let of_month = design.trips.iter().find(|t| month.is_some() && t.month == month);
    of_month.or_else(|| design.trips.first())
}

/// What everything below is worked out from.
struct Work<'a> {
    study: &'a Study,
    whole: &'a Design,
    tables: &'a Tables,
    site: &'a Site,
    ask: &'a Ask<'a>,
    trip: Option<&'a Trip>,
}

impl Work<'_> {
    fn limit(&self, id: &str) -> f64 {
        self.tables.limits.value(id).value
    }

    fn setting(&self, years: usize, trip_h: usize) -> RunSetting<'_> {
        RunSetting {
            years,
            seed: self.ask.seed,
            start_hour: whole_number(self.limit("nights-start-hour")).min(23),
            progress: self.ask.progress,
            most_days: whole_number(self.limit("nights-most")).max(trip_h.div_ceil(24) + 1),
            box_share: 1.0 - crate::number::exp(-1.0 / self.limit("box-lag-h")),
            full: self.limit("charge-full"),
            weeks: WEEK_YEARS,
            trip_h,
        }
    }

    fn sky(&self) -> Sky<'_> {
        self.ask.recorded.map_or(Sky::Made, Sky::Recorded)
    }

    /// The month with the fewest nights, by a first look at few years.
    fn worst_month(&self, base: &Variant) -> usize {
        let stays: Vec<Stay> =
            (0..MONTHS).map(|month| Stay { variant: 0, month, least_h: 0 }).collect();
        let setting = self.setting(FIRST_LOOK_YEARS, 0);
        let found = run(self.site, self.sky(), std::slice::from_ref(base), &stays, &setting);
        let nights = |month: &usize| {
            let sure = Sure::of(&found[*month].ends);
            sure.in_90 + sure.in_50 / 1000.0
        };
        (0..MONTHS).min_by(|a, b| nights(a).total_cmp(&nights(b))).unwrap_or(0)
    }

    fn answer(&self, base: Variant, month: usize, glance: bool) -> Nights {
        let mut loads_wh: Vec<(String, f64)> =
            base.loads[month].parts.iter().map(|p| (p.name.clone(), p.wh)).collect();
        loads_wh.sort_by(|a, b| b.1.total_cmp(&a.1));
        let months: Vec<usize> = if glance { vec![month] } else { (0..MONTHS).collect() };
        let (changes, mut variants) =
            if glance { (Vec::new(), vec![base]) } else { self.variants(base, &loads_wh) };
        let nights_asked = self.trip.and_then(|t| t.nights);
        let trip_h = nights_asked.map_or(WEEK_HOURS, |n| whole_number(n * 24.0));
        let stay_h = whole_number(self.limit("stay-days") * 24.0).max(WEEK_HOURS).max(trip_h);
        let least_h = |m: usize| if m == month { stay_h } else { 0 };
        let stay = |m: &usize| Stay { variant: 0, month: *m, least_h: least_h(*m) };
        let mut stays: Vec<Stay> = months.iter().map(stay).collect();
        stays.extend((1..variants.len()).map(|variant| Stay { variant, month, least_h: 0 }));
        let setting = self.setting(self.ask.years.max(1), trip_h);
        let found = run(self.site, self.sky(), &variants, &stays, &setting);
        let (own, others) = found.split_at(months.len());
        let chosen = &own[if glance { 0 } else { month }];
        let sure = Sure::of(&chosen.ends);
        let base = variants.swap_remove(0);
        let most = self.limit("nights-most");
        let one_more = one_more(changes, others, (sure.in_90, most));
        let usable = self.usable(&base, month);
        let by_month = self.by_month(&base, &months, own);
        let handbook_ask = self.handbook_ask(&base, month, sure.in_90);
        let mut nights = Nights {
            month: number(month) + 1,
            trip: self.trip.map(|t| t.part.name.clone()),
            trip_nights: nights_asked,
            sure,
            most,
            cold_share: base.bank.capacity_share(self.site.air_c[month]),
            worst_week: worst_week(chosen),
            floor: base.floor,
            chances: chances(
                &chosen.ends,
                24.0 - self.limit("nights-start-hour") + self.limit("nights-morning-hour"),
                number(setting.most_days),
            ),
            days_since_full: stays_within(
                chosen.ends.iter().map(|e| e.since_full_h / 24.0).collect(),
                90,
            )
            .unwrap_or(0.0),
            generator_hours: self.generator_hours(&base, chosen),
            usable,
            trip_depth: [50, 90].map(|percent| {
                let depth = chosen.ends.iter().map(|e| 1.0 - e.trip_soc).collect();
                stays_within(depth, percent).unwrap_or(0.0)
            }),
            water_cm3_cell: self.water(&base, chosen),
            limits: Vec::new(),
            one_more,
            energy: EnergyAccount::of(&chosen.ends),
            handbook: handbook_ask.map_or_else(Vec::new, |ask| handbook(self.tables, &ask)),
            handbook_ask,
            full_by: self.full_by(&base, month),
            parked: self.parked(&base),
            loads_wh,
            array_w: base.rated_w(),
            seed: self.ask.seed,
            years: chosen.ends.len(),
            recorded: self.ask.recorded.is_some(),
            rests_on: self.rests_on(),
            assumed: self.assumed(&base),
            by_month,
            site: self.site.clone(),
        };
        let frost = (base.bank.traits.charge_min_c, self.study.design.rig.units);
        nights.limits = super::nights_words::limits(&nights, chosen, frost);
        nights
    }

    /// The rig itself and every change that can be worked through.
    fn variants(&self, base: Variant, loads_wh: &[(String, f64)]) -> (Vec<String>, Vec<Variant>) {
        let loads: Vec<String> = loads_wh
            .iter()
            .map(|(name, _)| name.clone())
            .filter(|name| self.study.design.loads.iter().any(|l| l.part.name == *name))
            .collect();
        let charger = base.charger.is_some();
        let (mut changes, mut variants) = (Vec::new(), vec![base]);
        for more in more::changes(self.study, self.whole, &loads, charger) {
            let study = Study::of(&more.design, more.stage, self.tables, self.study.ambient);
            let Ok(study) = study else {
                continue;
            };
            let trip = trip(&study.design, self.ask.month);
            let living = Living { trip, more_generator_h: more.generator_h };
            if let Some(variant) = Variant::of(&study, self.tables, self.site, &living) {
                changes.push(more.change);
                variants.push(variant);
            }
        }
        (changes, variants)
    }

    fn by_month(&self, base: &Variant, months: &[usize], found: &[StayYears]) -> Vec<MonthNights> {
        let offered = |years: &StayYears| {
            let hours: f64 = years.ends.iter().map(|e| e.hours).sum();
            let wh: f64 = years.ends.iter().map(|e| e.in_wh + e.wasted_wh).sum();
            if 0.0 < hours { wh / hours * 24.0 } else { 0.0 }
        };
        let of = |(month, years): (&usize, &StayYears)| MonthNights {
            month: number(*month) + 1,
            sure: Sure::of(&years.ends),
            sun_kwh_m2_day: self.site.sun_kwh_m2_day[*month],
            load_wh_day: base.load_wh(*month),
            offered_wh_day: offered(years),
        };
        months.iter().zip(found).map(of).collect()
    }

    /// Hours of the largest charger that bring the bank back to the floor after the trip and give
    /// the loads what they missed, in 90 of 100 years.
    fn generator_hours(&self, base: &Variant, chosen: &StayYears) -> Option<f64> {
        let (_, amps) = base.charger.as_ref()?;
        let efficiency = self.limit("charge-efficiency-low");
        let lacking = chosen.ends.iter().map(|end| {
            let below = (base.floor - end.trip_soc).max(0.0) * base.bank.traits.rated_ah;
            let lacking = below + end.trip_missed_wh / base.nominal_v;
            // The last bits of the account are no generator.
            if lacking < LACKING_LEAST_AH { 0.0 } else { lacking }
        });
        stays_within(lacking.map(|ah| ah / (amps * efficiency)).collect(), 90)
    }

    /// Amp-hours from full to the floor or the cut-off, with the bank at the month's temperature and
    /// the loads at their mean amps.
    fn usable(&self, base: &Variant, month: usize) -> UsableAh {
        let model: &BankModel = &base.bank;
        let load_w = base.load_wh(month) / 24.0;
        let hour = Hour {
            load_w,
            cut_off_v: base.loads[month].cut_off_v,
            sun_w: 0.0,
            sun_max_a: 0.0,
            set_v: 0.0,
            other_a: 0.0,
            cell_c: self.site.air_c[month],
        };
        let mut state = model.full();
        let (mut ah, mut ends_by_cut_off) = (0.0, false);
        // A bank that lasts longer than a year on its loads is not limited by them.
        for _ in 0..8760 {
            let (next, flows) = step(model, state, &hour);
            if 0.0 < flows.shed {
                ends_by_cut_off = true;
                break;
            }
            let (before, after) = (model.soc(state), model.soc(next));
            state = next;
            if after <= base.floor {
                // Only the part of the last hour above the floor counts.
                let part = (before - base.floor).max(0.0) / (before - after).max(f64::MIN_POSITIVE);
                ah += flows.out_a * model.step_h * part.min(1.0);
                break;
            }
            ah += flows.out_a * model.step_h;
        }
        UsableAh {
            at_current: ah,
            amps: load_w / base.nominal_v,
            rule_of_thumb: (1.0 - base.floor) * model.traits.rated_ah,
            ends_by_cut_off,
        }
    }

    fn water(&self, base: &Variant, chosen: &StayYears) -> Option<f64> {
        if !base.bank.traits.loses_water {
            return None;
        }
        let gas = reached(chosen.ends.iter().map(|e| e.gas_ah).collect(), 50)?;
        Some(gas * self.limit("water-per-ah"))
    }

    /// The handbooks are asked for the nights of the trip, or else for those that are sure.
    fn handbook_ask(&self, base: &Variant, month: usize, sure: f64) -> Option<SizingAsk> {
        let design = &self.study.design;
        let block = self.study.facts.blocks.first()?;
        let stated_c = design.place.as_ref().and_then(|p| p.coldest).map(|t| t.as_celsius());
        let month_c = self.site.air_c[month];
        let array = design.arrays.first();
        Some(SizingAsk {
            chemistry: block.chemistry,
            block_v: block.nominal.as_volts(),
            nominal_v: base.nominal_v,
            rated_ah: base.bank.traits.rated_ah,
            // The books count the loads; what a controller takes for itself is in their losses.
            daily_wh: base.loads[month].wh(),
            nights: self.trip.and_then(|t| t.nights).unwrap_or_else(|| sure.max(1.0).round()),
            // The cells of an outing are as cold as its month; the place's cold is for storage.
            coldest_c: stated_c.map_or(month_c, |cold| month_c.max(cold)),
            sun_h: Some(self.site.sun_kwh_m2_day[month]),
            array_w: base.rated_w(),
            working_a: array.and_then(|a| a.working_amps).map(|a| a.as_amps()),
            generator_a: base.charger.as_ref().map(|c| c.1),
        })
    }

    fn full_by(&self, base: &Variant, month: usize) -> Vec<FullBy> {
        let chain = Chain::of(self.study, self.tables);
        let load_a = base.load_wh(month) / 24.0 / base.nominal_v;
        let runs = |feed: Feed| !matches!(feed, Feed::Inverter | Feed::Sun);
        chain
            .sources
            .iter()
            .filter(|s| runs(s.feed) && 0.0 < s.most_a && s.most_a < f64::MAX)
            .filter_map(|s| {
                let time = chain.half_to_full(self.tables, s.most_a, load_a)?;
                let too_low = self.too_low(&chain, s);
                Some(FullBy { source: s.name.clone(), amps: s.most_a, time, too_low })
            })
            .collect()
    }

    /// What R32 asks: the volts at the posts with the tail of a nearly full bank against the least
    /// that any source asks for its cells.
    fn too_low(&self, chain: &Chain, source: &Source) -> Option<(f64, f64)> {
        if !chain.chemistry.is_lead() || source.kind == DeviceKind::TowLine {
            return None;
        }
        let cell_v = if chain.chemistry == Chemistry::Flooded {
            self.limit("absorption-flooded-min")
        } else {
            let rows = self.tables.charging.set_points(chain.table_word(), Stage::Absorption);
            rows.into_iter().map(|r| r.low.as_volts()).reduce(f64::min)?
        };
        let needed_v = cell_v * f64::from(chain.cells);
        let tail_a = tail_amps(chain, self.tables).min(source.most_a);
        let held_v = source.posts_v(Phase::Absorb, 25.0, tail_a)?;
        (held_v < needed_v - 1e-9).then_some((held_v, needed_v))
    }

    fn parked(&self, base: &Variant) -> Parked {
        let drain = StorageDrain::of(self.study, self.tables);
        let days = |off: bool| drain.days_to(base.bank.traits.rated_ah, 1.0 - base.floor, off);
        let lead = self.study.facts.blocks.iter().all(|b| b.chemistry.is_lead());
        let acid = Acid::at(self.tables, base.floor).filter(|_| lead);
        Parked {
            to_floor_on_days: days(false),
            to_floor_off_days: days(true),
            freeze_warning_c: self.site.extremes.freeze_warning_c,
            flooded: self.study.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Flooded),
            freezes_at_floor_c: acid.map(|a| a.freezes.value.as_celsius()),
        }
    }

    fn rests_on(&self) -> Vec<String> {
        let units = self.study.design.rig.units;
        let mut words = self.site.rests_on(units);
        words.extend(self.site.limits(&self.tables.generator, units));
        words
    }

    fn assumed(&self, base: &Variant) -> Vec<Assumed> {
        let mut assumed = base.assumed.clone();
        let units = self.study.design.rig.units;
        add_new(&mut assumed, &self.site.assumed(&self.tables.generator, units));
        let lag = self.tables.limits.value("box-lag-h");
        assumed.push(Assumed {
            path: "box".to_owned(),
            value: format!("the bank follows the air by {} hours", lag.value),
            how_to_measure: "A thermometer against a case, morning and evening, for two days."
                .to_owned(),
            matters: "A bank at freezing holds a quarter less than at 25 °C.".to_owned(),
            cite: lag.cite,
        });
        assumed
    }
}

/// What each change brings; past the last night that is followed nothing more is gained.
fn one_more(changes: Vec<String>, found: &[StayYears], (now, most): (f64, f64)) -> Vec<OneMore> {
    let with = |(change, years): (String, &StayYears)| {
        let nights_sure_90 = Sure::of(&years.ends).in_90;
        OneMore { change, nights_sure_90, gain: nights_sure_90.min(most) - now.min(most) }
    };
    changes.into_iter().zip(found).map(with).collect()
}

/// A figure of the data that is a whole number.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded just before")]
fn whole_number(value: f64) -> usize {
    value.clamp(0.0, 100_000.0).round() as usize
}

fn number(value: usize) -> u32 {
    u32::try_from(value).unwrap_or(u32::MAX)
}

//! How far the acid is from freezing in the month to come.

use super::cells::{Acid, BlockHistory, bands};
use super::look::{Look, days, owners_log};
use crate::cite::{Cite, Status};
use crate::evidence::log::Event;
use crate::number::interpolate;
use crate::sim::place::Site;
use crate::tables::climate::Climate;
use crate::units::Temperature;
use jiff::civil::Date;

/// Where the state of the acid comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AcidFrom {
    /// The last gravity of the weakest cell.
    Gravity,
    /// The last rest volts of the lowest block.
    RestVolts,
}

/// How far the acid is from freezing.
#[derive(Clone, Debug, PartialEq)]
pub struct FreezeMargin {
    /// The day of the reading.
    pub on: Date,
    /// The part with the weakest acid.
    pub part: String,
    /// Its gravity, corrected, with the fall by standing since then taken off.
    pub gravity: f64,
    /// How it was found.
    pub from: AcidFrom,
    /// Where it freezes, with the hydrometer's error.
    pub freezes: Temperature,
    /// The coldest of the month to come at the rig's place.
    pub coldest: Temperature,
    /// Kelvin between the two; negative is ice.
    pub margin_k: f64,
    /// The margin is as large as it should be.
    pub holds: bool,
    /// Where the figures come from.
    pub cites: Vec<Cite>,
}

/// Standard deviations of the daily mean under which a month's coldest day lies: one day in some thirty
/// is two under, one in seven hundred three.
const COLDEST_DAY: f64 = 3.0;

/// What is known of the weakest acid.
struct Weakest {
    on: Date,
    part: String,
    gravity: f64,
    from: AcidFrom,
    cites: Vec<Cite>,
}

/// How far the acid is from freezing; `None` without a reading, a place or a day, for LFP, and in a
/// heated box.
#[must_use]
pub fn margin(
    look: &Look<'_>,
    acid: Option<&Acid>,
    blocks: &[BlockHistory],
) -> Option<FreezeMargin> {
    let lead = look.chemistry()?.is_lead();
    let heated = look.study.design.enclosure.as_ref().is_some_and(|b| b.heated == Some(true));
    if !lead || heated {
        return None;
    }
    let today = look.today?;
    let mut weakest = by_gravity(acid).or_else(|| by_volts(look, blocks))?;
    let charged = look.entries().iter().any(|e| {
        weakest.on < e.at.date() && matches!(e.event, Event::Charge { .. } | Event::Equalise { .. })
    });
    if charged {
        // Charged since: what was read then is no longer so.
        return None;
    }
    let site = site(look);
    let (coldest, place) = coldest(look, site.as_ref(), today)?;
    let stood = f64::from(days(weakest.on, today).max(0));
    if let Some(per_day) =
        look.tables.battery.self_discharge_per_day(stands_at(look, site.as_ref(), today))
    {
        weakest.gravity -= per_day.value * stood;
        weakest.cites.push(per_day.cite);
    }
    let error = look.limit("freeze-gravity-error");
    let freezes = look.tables.battery.freezing_point(weakest.gravity - error.value)?;
    let least = look.limit("freeze-margin");
    let margin_k = (coldest - freezes.value).as_kelvin();
    weakest.cites.extend([freezes.cite, error.cite, place, least.cite]);
    Some(FreezeMargin {
        on: weakest.on,
        part: weakest.part,
        gravity: weakest.gravity,
        from: weakest.from,
        freezes: freezes.value,
        coldest,
        margin_k,
        holds: least.value < margin_k,
        cites: weakest.cites,
    })
}

/// The cell that stood lowest on the last day on which most were read.
fn by_gravity(acid: Option<&Acid>) -> Option<Weakest> {
    let acid = acid?;
    let sitting = acid.last_sitting()?;
    let lowest = sitting.values.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Weakest {
        on: sitting.on,
        part: lowest.0.to_string(),
        gravity: lowest.1,
        from: AcidFrom::Gravity,
        cites: vec![owners_log(), acid.correction.rule.per_kelvin.cite.clone()],
    })
}

/// The block whose last rest volts were lowest, as the acid of a flooded cell at that charge.
fn by_volts(look: &Look<'_>, blocks: &[BlockHistory]) -> Option<Weakest> {
    let last = blocks.iter().filter_map(|b| {
        let point = b.rest.last()?;
        Some((b.block, point.at.date(), point.soc?))
    });
    let (block, on, soc) = last.min_by(|a, b| a.2.total_cmp(&b.2))?;
    let bands = bands(look.tables)?;
    Some(Weakest {
        on,
        part: block.to_string(),
        gravity: interpolate(&bands.rows, soc * 100.0)?,
        from: AcidFrom::RestVolts,
        cites: vec![owners_log(), bands.full.cite],
    })
}

/// The climate of the rig's place, where it is known.
fn site(look: &Look<'_>) -> Option<Site> {
    let place = look.study.design.place.as_ref()?;
    Site::of(place, &Climate::embedded().ok()?, look.tables).ok()
}

/// Warmth at which it stands: the mean of the month at its place, else that of the study.
fn stands_at(look: &Look<'_>, site: Option<&Site>, today: Date) -> Temperature {
    let month = usize::try_from(today.month() - 1).unwrap_or(0);
    let mean = site.and_then(|s| s.air_c.get(month).copied());
    mean.map_or(look.study.ambient.temperature, Temperature::celsius)
}

/// The coldest of this month and the next at the rig's place: the owner's word where no climate is
/// known, and never colder than that.
fn coldest(look: &Look<'_>, site: Option<&Site>, today: Date) -> Option<(Temperature, Cite)> {
    let place = look.study.design.place.as_ref()?;
    let stated = place.coldest;
    let owner = Cite::new("owner", "the design file", Status::Read);
    let Some(site) = site else {
        return stated.map(|t| (t, owner));
    };
    let month = usize::try_from(today.month() - 1).unwrap_or(0);
    let of = |m: usize| {
        let day = site.air_c.get(m)? - COLDEST_DAY * site.air_sd_c.get(m)?;
        Some(day - site.air_range_c.get(m)? / 2.0)
    };
    let lowest = [of(month)?, of((month + 1) % 12)?].into_iter().fold(f64::INFINITY, f64::min);
    let bound = stated.map_or(site.extremes.lowest_nine_years_c, Temperature::as_celsius);
    let cite = Cite::new("gldas", "this month and the next at this place", Status::Read);
    Some((Temperature::celsius(lowest.max(bound)), cite))
}

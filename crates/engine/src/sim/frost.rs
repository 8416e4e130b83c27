//! At which cold the acid freezes, charge by charge, against the cold of the place.

use super::nights::Nights;
use super::place::Site;
use crate::cite::Cite;
use crate::tables::battery::GravityBand;
use crate::tables::climate::MONTHS;
use crate::tables::{Sourced, Tables};
use crate::units::Temperature;

/// The acid of a lead block at a charge. AGM and gel are held to that of a flooded cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Acid {
    /// Its gravity, the middle of the band that was read, of acid that is 1.265 when full.
    pub gravity: Sourced<f64>,
    /// What a hydrometer may read too much.
    pub error: Sourced<f64>,
    /// Where it freezes, with that error taken off its gravity.
    pub freezes: Sourced<Temperature>,
}

impl Acid {
    /// The acid at a state of charge, 0 to 1; `None` where the tables do not say.
    #[must_use]
    pub fn at(tables: &Tables, soc: f64) -> Option<Self> {
        let gravity = gravity(tables, soc)?;
        let error = tables.limits.value("freeze-gravity-error");
        let freezes = tables.battery.freezing_point(gravity.value - error.value)?;
        Some(Self { gravity, error, freezes })
    }
}

/// What stands behind a freezing point, in the words used everywhere.
#[must_use]
pub const fn basis(flooded: bool) -> &'static str {
    if flooded {
        "with the hydrometer's error"
    } else {
        "held to the acid of a flooded cell, with the hydrometer's error"
    }
}

/// Gravity of full-charge 1.265 acid at a state of charge, the middle of the band that was read.
#[must_use]
pub fn gravity(tables: &Tables, soc: f64) -> Option<Sourced<f64>> {
    let bands = bands(tables)?;
    let mut rows: Vec<(f64, f64)> =
        bands.iter().map(|b| (b.charge_percent, f64::midpoint(b.low, b.high))).collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let middle = crate::number::interpolate(&rows, soc * 100.0)?;
    bands.first().map(|b| Sourced::new(middle, b.cite.clone()))
}

fn bands(tables: &Tables) -> Option<&[GravityBand]> {
    let (_, bands) = tables.battery.gravity().iter().find(|g| g.0 == "deep cycle 1.265")?;
    Some(bands)
}

/// The acid at one charge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrostRow {
    /// State of charge, 0 to 1.
    pub charge: f64,
    /// Its gravity, the middle of the band.
    pub gravity: f64,
    /// Where it freezes, with the hydrometer's error taken off [C].
    pub freezes_c: f64,
}

/// A lead bank in the cold of its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Frost {
    /// From full to flat.
    pub rows: Vec<FrostRow>,
    /// State of charge at which a stay ends.
    pub floor: f64,
    /// Where the acid freezes at that charge; `None` where the table does not say [C].
    pub at_floor_c: Option<f64>,
    /// It is the acid of the blocks themselves, not of AGM or gel held to it.
    pub flooded: bool,
    /// Cold to prepare for at the place [C].
    pub warning_c: f64,
    /// Lowest of the rows' charges that stays liquid in that cold; `None` where none does.
    pub safe_charge: Option<f64>,
    /// Where the figures come from.
    pub cites: Vec<Cite>,
}

/// Months, 1 is January, whose cold nights come under a temperature: the mean less half the swing of
/// the day and twice the spread from day to day.
#[must_use]
pub fn months_under(site: &Site, celsius: f64) -> Vec<u32> {
    let cold = |m: usize| site.air_c[m] - site.air_range_c[m] / 2.0 - 2.0 * site.air_sd_c[m];
    (1_u32..=12).zip(0..MONTHS).filter(|(_, m)| cold(*m) < celsius).map(|(n, _)| n).collect()
}

impl Frost {
    /// The frost of the place on a lead bank; `None` for one that does not freeze.
    #[must_use]
    pub fn of(nights: &Nights, tables: &Tables) -> Option<Self> {
        let parked = &nights.parked;
        let (at_floor_c, flooded) = (Some(parked.freezes_at_floor_c?), parked.flooded);
        let bands = bands(tables)?;
        let mut cites: Vec<Cite> = bands.first().map(|b| b.cite.clone()).into_iter().collect();
        let mut rows = Vec::with_capacity(bands.len());
        for band in bands {
            let charge = band.charge_percent / 100.0;
            let Some(acid) = Acid::at(tables, charge) else { continue };
            if rows.is_empty() {
                cites.extend([acid.freezes.cite.clone(), acid.error.cite.clone()]);
            }
            let freezes_c = acid.freezes.value.as_celsius();
            rows.push(FrostRow { charge, gravity: acid.gravity.value, freezes_c });
        }
        rows.sort_by(|a, b| b.charge.total_cmp(&a.charge));
        let warning_c = nights.parked.freeze_warning_c;
        let liquid = rows.iter().filter(|r| r.freezes_c < warning_c).map(|r| r.charge);
        let safe_charge = liquid.reduce(f64::min);
        Some(Self { rows, floor: nights.floor, at_floor_c, flooded, warning_c, safe_charge, cites })
    }
}

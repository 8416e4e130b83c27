//! At which cold the acid freezes, charge by charge, against the cold of the place.

use super::nights::Nights;
use super::place::Site;
use crate::cite::Cite;
use crate::tables::Tables;
use crate::tables::climate::MONTHS;

/// The acid at one charge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrostRow {
    /// State of charge, 0 to 1.
    pub charge: f64,
    /// Its gravity, the thinner end of the band.
    pub gravity: f64,
    /// Where it freezes [C].
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
        let at_floor_c = Some(nights.parked.freezes_at_floor_c?);
        let (_, bands) = tables.battery.gravity().first()?;
        let mut cites: Vec<Cite> = bands.first().map(|b| b.cite.clone()).into_iter().collect();
        let mut rows = Vec::with_capacity(bands.len());
        for band in bands {
            let Some(freezes) = tables.battery.freezing_point(band.low) else { continue };
            if rows.is_empty() {
                cites.push(freezes.cite.clone());
            }
            let freezes_c = freezes.value.as_celsius();
            rows.push(FrostRow {
                charge: band.charge_percent / 100.0,
                gravity: band.low,
                freezes_c,
            });
        }
        rows.sort_by(|a, b| b.charge.total_cmp(&a.charge));
        let warning_c = nights.parked.freeze_warning_c;
        let liquid = rows.iter().filter(|r| r.freezes_c < warning_c).map(|r| r.charge);
        let safe_charge = liquid.reduce(f64::min);
        Some(Self { rows, floor: nights.floor, at_floor_c, warning_c, safe_charge, cites })
    }
}

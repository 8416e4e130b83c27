//! Twelve monthly figures of the owner, put into the map's climate.

use super::calendar::{Blend, Calendar};
use super::place::{Site, SiteError, mean, mean_weights};
use crate::number::{exp, ln};
use crate::tables::climate::{LEVELS, MONTHS};
use crate::tables::generator::GeneratorTables;

/// What a figure rounded to one decimal may be off, and a little [kWh/m2 a day].
const ROUNDING: f64 = 0.06;
/// Rounds of bringing the months to their figures. The blend from month to month smooths the year,
/// so that a month's own level must be set a little beyond its figure; three rounds leave 0.1 %.
const ROUNDS: usize = 8;
/// Halvings of the shift of a month; 2^-40 of the span is far below a figure's last digit.
const HALVINGS: usize = 40;
/// Widest shift of the logit.
const SHIFT_MAX: f64 = 8.0;

/// The index by month and level that makes each month's energy the owner's figure.
///
/// # Errors
/// Says which month is brighter or darker than a flat plane can be there.
pub(super) fn scaled(
    site: &Site,
    typed: &[f64; MONTHS],
    numbers: &GeneratorTables,
) -> Result<[[f64; LEVELS]; MONTHS], SiteError> {
    let (least, most) = (numbers.number("month-index-min"), numbers.number("month-index-max"));
    let clear = site.clear_kwh_m2_day();
    let mut wanted = [0.0; MONTHS];
    for (month, figure) in typed.iter().enumerate() {
        let bounds = (least * clear[month], most * clear[month]);
        if *figure + ROUNDING < bounds.0 || bounds.1 < *figure - ROUNDING {
            return Err(SiteError::Sun { month, typed: *figure, bounds });
        }
        wanted[month] = (figure / clear[month].max(1e-9)).clamp(least, most);
    }
    let weights = mean_weights(&site.levels);
    let mut own = wanted;
    let mut index = site.index;
    for _ in 0..ROUNDS {
        index = std::array::from_fn(|m| shifted(site, m, own[m], &weights));
        let of_month = index.map(|levels| mean(&levels, &weights));
        for month in 0..MONTHS {
            let energy = |d: usize| Blend::of(d).mix(&of_month) * site.calendar.clear_day_w_m2(d);
            let got = Calendar::month_mean(month, energy) * 0.024 / clear[month].max(1e-9);
            if 0.0 < got {
                own[month] = (own[month] * wanted[month] / got).clamp(least, most);
            }
        }
    }
    Ok(index)
}

/// A month's levels, moved in the logit until their mean is the one wanted.
fn shifted(site: &Site, month: usize, wanted: f64, weights: &[f64; LEVELS]) -> [f64; LEVELS] {
    let max = site.recipe.index_max;
    let logit = site.index[month].map(|k| {
        let share = (k / max).clamp(1e-6, 1.0 - 1e-6);
        ln(share / (1.0 - share))
    });
    let top = site.recipe.index_top;
    let moved = |by: f64| logit.map(|y| (max / (1.0 + exp(-(y + by)))).min(top));
    let (mut low, mut high) = (-SHIFT_MAX, SHIFT_MAX);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if mean(&moved(middle), weights) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    moved((low + high) / 2.0)
}

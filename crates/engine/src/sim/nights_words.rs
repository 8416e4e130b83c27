//! What limits a stay, in sentences.

use super::calendar::month_name;
use super::nights::Nights;
use super::run::StayYears;
use crate::calc::time_to_full::TimeToFull;
use crate::units::Temperature;
use crate::units::show::{self, UnitSystem};

/// A sun that covers the loads to this share is no limit.
const ENOUGH: f64 = 1.2;

/// Ends by cut-off that are worth a sentence.
const CUT_OFF_SHARE: f64 = 0.1;

/// A bank that gives less than this share of its label for cold is told.
const COLD_SHARE: f64 = 0.95;

impl Nights {
    /// The name of the month it speaks of.
    #[must_use]
    pub fn month_name(&self) -> &'static str {
        month_name(self.month)
    }

    /// So many nights as a person says them: one decimal, and `or more` where the run stopped.
    #[must_use]
    pub fn said(&self, nights: f64) -> String {
        if self.most <= nights {
            format!("{} or more", show::fixed(self.most, 0))
        } else {
            show::fixed(nights, 1)
        }
    }

    /// The answer in one sentence.
    #[must_use]
    pub fn says(&self) -> String {
        let of = if self.recorded { "starts in your recorded year" } else { "years" };
        format!(
            "In {} this rig stays unplugged for {} nights in 90 of 100 {of}; for {} in half of \
             them, for {} in 95 of 100.",
            self.month_name(),
            self.said(self.sure.in_90),
            self.said(self.sure.in_50),
            self.said(self.sure.in_95)
        )
    }
}

/// What limits the nights, the chief one first; `least_c` is the temperature under which the cells
/// take no charge.
pub(super) fn limits(
    nights: &Nights,
    chosen: &StayYears,
    (least_c, units): (f64, UnitSystem),
) -> Vec<String> {
    let mut words = chief(nights, chosen, least_c, units);
    words.extend(cut_off(nights, chosen));
    words.extend(chargers(nights));
    if nights.cold_share < COLD_SHARE {
        words.push(format!(
            "The cold: at this month's mean of {} the bank gives {} % of its label.",
            show::temperature(Temperature::celsius(mean_air_c(nights).round()), units),
            show::fixed(100.0 * nights.cold_share, 0)
        ));
    }
    words
}

fn mean_air_c(nights: &Nights) -> f64 {
    nights.site.air_c[(nights.month as usize + 11) % 12]
}

/// Sources too small for the loads, or that hold too few volts.
fn chargers(nights: &Nights) -> Vec<String> {
    let mut words = Vec::new();
    for by in &nights.full_by {
        if let TimeToFull::Never(reached) = by.time {
            words.push(format!(
                "The charger: {} with its {} A never fills the bank while the loads run; it stays at \
                 {} %.",
                by.source,
                show::fixed(by.amps, 0),
                show::fixed(100.0 * reached, 0)
            ));
        }
        if let Some((held_v, needed_v)) = by.too_low {
            words.push(format!(
                "The charger: {} holds the posts at {} V and a full charge asks for {} V, so it never \
                 truly fills the bank.",
                by.source,
                show::fixed(held_v, 1),
                show::fixed(needed_v, 1)
            ));
        }
    }
    words
}

/// What ends most stays, in one sentence.
fn chief(nights: &Nights, chosen: &StayYears, least_c: f64, units: UnitSystem) -> Vec<String> {
    let mut words = Vec::new();
    let ended = chosen.ends.iter().filter(|e| !e.outlasted).count();
    let cut = chosen.ends.iter().filter(|e| e.cut_off && !e.outlasted).count();
    let by_cut = ended <= 2 * cut && !cut_off(nights, chosen).is_empty();
    let offered_wh: f64 = chosen.ends.iter().map(|e| e.in_wh + e.wasted_wh).sum();
    let taken_wh: f64 = chosen.ends.iter().map(|e| e.in_wh).sum();
    let month = nights.by_month.iter().find(|m| m.month == nights.month);
    let (load, sun) = month.map_or((0.0, 0.0), |m| (m.load_wh_day, m.offered_wh_day));
    let hours: f64 = chosen.ends.iter().map(|e| e.hours).sum();
    // Cells that frost keeps from charging leave most of what they could use of the sun behind.
    let frozen = mean_air_c(nights) < least_c && taken_wh * 24.0 < 0.5 * sun.min(load) * hours;
    let wh = |value: f64| format!("{} Wh", show::fixed(value, 0));
    let outlasted = chosen.ends.iter().filter(|e| e.outlasted).count();
    if 2 * outlasted > chosen.ends.len() {
        words.push(format!(
            "Nothing, in more than half of the years: sun and other sources offer {} a day and the \
             loads take {}.",
            wh(sun),
            wh(load)
        ));
    } else if nights.array_w <= 0.0 && sun <= 0.0 {
        words.push(format!(
            "The bank: nothing charges it on the way, and the loads take {} a day.",
            wh(load)
        ));
    } else if frozen {
        words.push(format!(
            "The cold: this month's mean is {} and the cells take no charge under {}, so of the {} \
             a day that the sun offers only {} % goes in; the loads take {}. Warm the box.",
            show::temperature(Temperature::celsius(mean_air_c(nights).round()), units),
            show::temperature(Temperature::celsius(least_c), units),
            wh(sun),
            show::fixed(100.0 * taken_wh / offered_wh, 0),
            wh(load)
        ));
    } else if sun < load {
        words.push(format!(
            "The sun: it offers {} on a mean day of this month and the loads take {}; the bank \
             only puts off the end.",
            wh(sun),
            wh(load)
        ));
    } else if sun < ENOUGH * load {
        words.push(format!(
            "The sun, just: it offers {} on a mean day and the loads take {}, so a run of dull \
             days ends it and the bank is not filled again between two.",
            wh(sun),
            wh(load)
        ));
    } else if by_cut {
        words.push(format!(
            "Not the sun, which offers {} a day against {} for the loads, but what cuts the loads off \
             before the bank is empty.",
            wh(sun),
            wh(load)
        ));
    } else {
        words.push(format!(
            "The bank: the sun offers {} a day against {} for the loads, but a run of dull days \
             is longer than the bank lasts.",
            wh(sun),
            wh(load)
        ));
    }
    words
}

/// Stays that end before the floor: on low volts, or because the cells are too cold to give.
fn cut_off(nights: &Nights, chosen: &StayYears) -> Vec<String> {
    let cold = chosen.ends.iter().filter(|e| e.too_cold).count();
    let cut = chosen.ends.iter().filter(|e| e.cut_off).count() - cold;
    let share = |n: usize| fraction(n, chosen.ends.len());
    let percent = |part: f64| show::fixed(100.0 * part, 0);
    let mut words = Vec::new();
    if CUT_OFF_SHARE <= share(cold) {
        words.push(format!(
            "The cold: in {} of 100 years the cells get so cold that they may not be discharged \
             and the loads go off, though the bank is not empty. Warm the box.",
            percent(share(cold))
        ));
    }
    if CUT_OFF_SHARE <= share(cut) {
        words.push(format!(
            "The cut-off: in {} of 100 years the loads drop out on low volts before the bank is \
             down to {} %.",
            percent(share(cut)),
            percent(nights.floor)
        ));
    }
    words
}

fn fraction(part: usize, whole: usize) -> f64 {
    let number = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    number(part) / number(whole).max(1.0)
}

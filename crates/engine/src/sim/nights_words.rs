//! What limits a stay, in sentences.

use super::nights::Nights;
use super::run::StayYears;
use crate::calc::time_to_full::TimeToFull;
use crate::units::show::{self, UnitSystem};

/// A sun that covers the loads to this share is no limit.
const ENOUGH: f64 = 1.2;

/// Ends by cut-off that are worth a sentence.
const CUT_OFF_SHARE: f64 = 0.1;

/// What limits the nights, the chief one first.
pub(super) fn limits(nights: &Nights, chosen: &StayYears, units: UnitSystem) -> Vec<String> {
    let mut words = Vec::new();
    let month = nights.by_month.iter().find(|m| m.month == nights.month);
    let (load, sun) = month.map_or((0.0, 0.0), |m| (m.load_wh_day, m.offered_wh_day));
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
    } else {
        words.push(format!(
            "The bank: the sun offers {} a day against {} for the loads, but a run of dull days \
             is longer than the bank lasts.",
            wh(sun),
            wh(load)
        ));
    }
    let cut = chosen.ends.iter().filter(|e| e.cut_off).count();
    let share = |n: usize| fraction(n, chosen.ends.len());
    if CUT_OFF_SHARE <= share(cut) {
        words.push(format!(
            "The cut-off: in {} % of the years the loads drop out on low volts before the bank is \
             down to {} %.",
            show::fixed(100.0 * share(cut), 0),
            show::fixed(100.0 * nights.floor, 0)
        ));
    }
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
    }
    if nights.parked.freeze_warning_c < 0.0 && nights.floor < 1.0 {
        let cold = crate::units::Temperature::celsius(nights.parked.freeze_warning_c);
        words.push(format!(
            "The cold: prepare for {} here; a cold bank gives less than its label.",
            show::temperature(cold, units)
        ));
    }
    words
}

fn fraction(part: usize, whole: usize) -> f64 {
    let number = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    number(part) / number(whole).max(1.0)
}

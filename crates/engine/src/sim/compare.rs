//! What the handbooks and the envelope say beside what the simulation says, and why they differ.
//!
//! Each sentence is made of the figures of the rig at hand; none blames a cause it has no figure for.

use super::handbook::{HandbookAnswer, SizingAsk};
use super::nights::Nights;
use crate::units::show;

/// One method beside the rig and the simulation.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside<'a> {
    /// What the method says.
    pub answer: &'a HandbookAnswer,
    /// What it was asked, and so what the rig has.
    pub asked: SizingAsk,
    /// Why the simulation says otherwise, in words.
    pub difference: String,
}

/// Every method, in the order of the handbooks; nothing where they could not be asked.
#[must_use]
pub fn beside(nights: &Nights) -> Vec<Beside<'_>> {
    let Some(asked) = nights.handbook_ask else { return Vec::new() };
    let all = nights.handbook.iter();
    all.map(|answer| Beside { answer, asked, difference: difference(nights, &asked, answer) })
        .collect()
}

fn difference(nights: &Nights, asked: &SizingAsk, answer: &HandbookAnswer) -> String {
    let said = match (answer.ah, answer.modules, answer.depth) {
        (Some(ah), _, _) => bank(asked, ah),
        (_, Some(strings), _) => array(asked, strings),
        (_, _, Some(depth)) => envelope(nights, asked, depth),
        _ => String::new(),
    };
    format!("{said} {}", simulated(nights, asked))
}

/// Share of a method's bank that is the load itself, and what it multiplies that by.
fn bank(asked: &SizingAsk, ah: f64) -> String {
    let needed = asked.daily_wh / asked.nominal_v * asked.nights;
    format!(
        "It asks {} Ah and the rig has {} Ah: it takes {} Ah for {} nights without any sun, times {} \
         for depth, cold and margins.",
        show::fixed(ah, 0),
        show::fixed(asked.rated_ah, 0),
        show::fixed(needed, 0),
        show::decimal(asked.nights, 1),
        show::fixed(ah / needed, 2)
    )
}

fn array(asked: &SizingAsk, strings: f64) -> String {
    format!(
        "It asks {} strings wired at the bank's volts and the rig has {} W: it takes {} sun hours \
         every day, so it knows no dull spell.",
        show::fixed(strings, 0),
        show::fixed(asked.array_w, 0),
        show::decimal(asked.sun_h.unwrap_or(0.0), 1)
    )
}

fn envelope(nights: &Nights, asked: &SizingAsk, depth: f64) -> String {
    format!(
        "It says {} % gone: {} Wh and {} sun hours every day, and all of the label, of which the bank \
         gives {} % at this month's temperature.",
        show::fixed(100.0 * depth, 0),
        show::fixed(asked.daily_wh, 0),
        show::decimal(asked.sun_h.unwrap_or(0.0), 1),
        show::fixed(100.0 * nights.cold_share, 0)
    )
}

/// What the simulation found; the depth only where it followed the same nights.
fn simulated(nights: &Nights, asked: &SizingAsk) -> String {
    let sun = if 0.0 < asked.array_w {
        format!("with the dull and clear days of {} W", show::fixed(asked.array_w, 0))
    } else {
        "without panels".to_owned()
    };
    let percent = |share: f64| show::fixed(100.0 * share, 0);
    if nights.trip_nights.is_some() {
        let [half, most] = nights.trip_depth;
        format!(
            "The simulation, {sun}, has {} % gone in half of the years and no more than {} % in 90 of \
             100.",
            percent(half),
            percent(most)
        )
    } else {
        let sure = show::fixed(nights.sure.in_90, 1);
        format!("The simulation, {sun}, reaches {sure} nights in 90 of 100 years.")
    }
}

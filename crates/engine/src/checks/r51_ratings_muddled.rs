//! R51: a rating that is not amp-hours at 20 hours.

use super::context::{CheckError, Context, Said, owner};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::block::{BlockModel, Chemistry};
use crate::units::capacity::{Capacity, Rating};
use crate::units::show;
use crate::units::{Current, Duration};
use std::collections::BTreeSet;

/// The hour rate that the tables and rules of lead batteries are written for.
const USUAL_HOURS: f64 = 20.0;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let used: BTreeSet<&str> = cx.study.facts.blocks.iter().map(|b| b.model.as_str()).collect();
    let mut said = Vec::new();
    for model in cx.design().blocks.iter().filter(|m| used.contains(m.name.as_str())) {
        let words = match model.rating {
            Some(Rating::Reserve(time)) => Some(reserve(cx, model, time)?),
            Some(Rating::Cranking(amps)) => Some(cranking(model, amps)),
            Some(Rating::Capacity(capacity)) => other_rate(cx, model, capacity),
            None => None,
        };
        said.extend(words.map(|(says, sources)| Said {
            severity: Severity::Note,
            path: format!("block.{}.rating", model.name),
            part: model.name.clone(),
            says,
            remedy: format!(
                "Look for amp-hours at 20 h on the sheet of {} and write block.{}.rating = \
                 \"... Ah at 20 h\".",
                model.name, model.name
            ),
            why: "The slower a lead battery is emptied, the more it gives: amp-hours without their \
                  hours mean nothing.",
            sources,
            gates: None,
        }));
    }
    Ok(said)
}

type Words = (String, Vec<Cite>);

/// Minutes at 25 A as amp-hours.
///
/// # Formula
/// C20 = k * m; C25 = m * I / 60
/// # Symbols
/// - m, reserve capacity [min]; k, amp-hours per minute; I, the current of the test [A]
/// - C20, about the amp-hours at 20 h; C25, the amp-hours at that current
/// # Valid
/// Lead batteries; k is a rule of thumb.
/// # Source
/// rating-definitions, RC x 0.6, read
/// # Checked by
/// hand worked on the page of R51; it cannot detect a wrong k
fn reserve(cx: &Context<'_>, model: &BlockModel, time: Duration) -> Result<Words, CheckError> {
    let per_minute = cx.limit("reserve-to-capacity")?;
    let amps = cx.limit("reserve-current")?;
    let minutes = time.as_minutes();
    let says = format!(
        "{} gives reserve minutes, not amp-hours: RC {} min is about {} Ah at 20 h, {} Ah at {} A.",
        model.name,
        show::decimal(minutes, 0),
        show::decimal(per_minute.value * minutes, 0),
        show::decimal(minutes * amps.value / 60.0, 0),
        show::decimal(amps.value, 0)
    );
    Ok((says, vec![per_minute.cite, amps.cite]))
}

fn cranking(model: &BlockModel, amps: Current) -> Words {
    let says = format!(
        "{} gives {} of cranking, which is amps for half a minute in the cold: no amp-hours follow \
         from it.",
        model.name,
        show::current(amps)
    );
    (says, vec![Cite::practice("rule R51: cranking amps are no capacity"), owner()])
}

/// Lead at another rate, with what the published curves that reach it make of it at 20 hours.
fn other_rate(cx: &Context<'_>, model: &BlockModel, capacity: Capacity) -> Option<Words> {
    let hours = capacity.rate().as_hours();
    let usual = (hours - USUAL_HOURS).abs() < 0.05;
    // LFP gives nearly the same at any rate this slow, so its basis hardly matters.
    if usual || model.chemistry == Some(Chemistry::Lfp) {
        return None;
    }
    let (mut low, mut high) = (f64::MAX, 0.0_f64);
    let mut cites = vec![owner()];
    for curve in cx.tables.battery.rate_curves() {
        let reaches = |h: f64| {
            curve.rows.first().is_some_and(|r| r.0 <= h)
                && curve.rows.last().is_some_and(|r| h <= r.0)
        };
        if !(reaches(hours) && reaches(USUAL_HOURS)) {
            continue;
        }
        let (Some(own), Some(twenty)) = (curve.at(hours), curve.at(USUAL_HOURS)) else {
            continue;
        };
        let at_twenty = capacity.as_amp_hours() * twenty.value / own.value;
        (low, high) = (low.min(at_twenty), high.max(at_twenty));
        cites.push(twenty.cite);
    }
    let shown = |ah: f64| show::decimal(ah, 0);
    let turned = match (1 < cites.len(), shown(low) == shown(high)) {
        (false, _) => "no published curve here turns that into 20 h".to_owned(),
        (true, true) => format!("that is about {} Ah at 20 h", shown(low)),
        (true, false) => format!("that is about {} to {} Ah at 20 h", shown(low), shown(high)),
    };
    let says = format!(
        "{} is rated {} Ah at {} h, which means {}; {turned}.",
        model.name,
        shown(capacity.as_amp_hours()),
        show::decimal(hours, 1),
        show::current(capacity.rated_current())
    );
    Some((says, cites))
}

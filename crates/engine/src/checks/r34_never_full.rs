//! R34: a bank that is never full: absorption cut off by a clock or by too large a tail, and trips
//! on which nothing charges.

use super::context::{CheckError, Context, Said, owner};
use super::logged::{PATH, look};
use super::sources::{chain, is_maintained};
use crate::calc::time_to_full::amps_after_hold;
use crate::care::cells::Acid;
use crate::care::charging::Charging;
use crate::care::look::owners_log;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::load::Trip;
use crate::sim::chain::{Chain, Feed, Source};
use crate::units::{Current, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let chain = chain(cx);
    if !chain.chemistry.is_lead() {
        return Ok(Vec::new());
    }
    let mut said = Vec::new();
    for source in chain.sources.iter().filter(|s| s.feed != Feed::Inverter) {
        said.extend(ended_early(cx, &chain, source)?);
    }
    for trip in &cx.design().trips {
        said.extend(away(cx, &chain, trip)?);
    }
    said.extend(logged(cx)?);
    Ok(said)
}

/// What the log says: days since it was full, and charges that a clock ended too early.
fn logged(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(look) = look(cx) else {
        return Ok(Vec::new());
    };
    let acid = Acid::of(&look);
    let charging = Charging::of(&look, acid.as_ref());
    let said = |says: String, remedy: &str, cite: Cite| Said {
        severity: if is_maintained(cx) { Severity::Note } else { Severity::Fix },
        path: PATH.to_owned(),
        part: "the bank".to_owned(),
        says,
        remedy: remedy.to_owned(),
        why: "What is missing at each early end adds up, and sulphate that stands for weeks hardens.",
        sources: vec![owners_log(), cite, abstract_of_loss()],
        gates: None,
    };
    let mut all = Vec::new();
    let most = cx.limit("days-since-full-max")?;
    let late = charging.days_since_full.filter(|days| most.value < f64::from(*days));
    if let Some((days, on)) = late.zip(charging.last_full).filter(|_| look.today.is_some()) {
        let says = format!("The log has it full last on {on}, {days} days ago.");
        let remedy = "Charge it until the amps fall to the tail, once a week, and write it down.";
        all.push(said(says, remedy, most.cite));
    }
    if !charging.tails_over.is_empty() {
        let tail = cx.limit("tail-clock-max")?;
        let says = format!(
            "{} of the last year's charges ended while more than {} % of the amp-hours still flowed.",
            charging.tails_over.len(),
            show::decimal(tail.value * 100.0, 0)
        );
        let remedy =
            "Let absorption go on until the amps fall under that, longer after a deep discharge.";
        all.push(said(says, remedy, tail.cite));
    }
    Ok(all)
}

/// Absorption that ends while the bank still takes amps.
fn ended_early(
    cx: &Context<'_>,
    chain: &Chain,
    source: &Source,
) -> Result<Option<Said>, CheckError> {
    let Some(acceptance) = chain.acceptance else {
        return Ok(None);
    };
    let most = cx.limit("tail-clock-max")?;
    let most_a = most.value * acceptance.amp_hours;
    let name = &source.name;
    let share = |amps: f64| show::decimal(amps / acceptance.amp_hours * 100.0, 1);
    let (key, amps, how) = match (source.tail_a, source.absorb_most_h) {
        (Some(tail), _) if most_a < tail => {
            ("tail", tail, format!("ends absorption at {}", show::current(Current::amps(tail))))
        }
        (None, Some(hours)) if source.rated => {
            let amps = amps_after_hold(cx.tables, acceptance, source.most_a, hours);
            let clock = show::decimal(hours, 1);
            ("absorption_time", amps, format!("ends absorption by the clock after {clock} h"))
        }
        _ => return Ok(None),
    };
    if amps <= most_a {
        return Ok(None);
    }
    Ok(Some(Said {
        severity: Severity::Fix,
        path: format!("device.{name}.{key}"),
        part: name.clone(),
        says: format!(
            "{name} {how}, while the bank still takes about {}, {} % of its amp-hours; it is not \
             full under {} %.",
            show::current(Current::amps(amps)),
            share(amps),
            show::decimal(most.value * 100.0, 0)
        ),
        remedy: format!(
            "Let {name} hold absorption until the amps fall under {}, longer after a deep \
             discharge, and see that this happens once a week.",
            show::current(Current::amps(most_a))
        ),
        why: "What is missing at each early end adds up, and sulphate that stands for weeks hardens.",
        sources: vec![owner(), most.cite, abstract_of_loss()],
        gates: None,
    }))
}

/// A trip longer than a bank should go without being full, with nothing to charge it.
fn away(cx: &Context<'_>, chain: &Chain, trip: &Trip) -> Result<Option<Said>, CheckError> {
    let most = cx.limit("days-since-full-max")?;
    let Some(nights) = trip.nights.filter(|n| most.value < *n) else {
        return Ok(None);
    };
    let on = |feed: Feed| chain.sources.iter().any(|s| s.feed == feed);
    let runs = |time: Option<crate::units::Duration>| time.is_some_and(|t| t.as_hours() > 0.0);
    let sun = on(Feed::Sun) && !cx.design().arrays.is_empty();
    let charged = sun
        || (on(Feed::Generator) && runs(trip.generator))
        || (on(Feed::Engine) && runs(trip.driving));
    if charged {
        return Ok(None);
    }
    let name = &trip.part.name;
    Ok(Some(Said {
        severity: Severity::Fix,
        path: format!("trip.{name}.nights"),
        part: name.clone(),
        says: format!(
            "{} nights on {name} and nothing that charges: the bank stands part full for more than \
             {} days.",
            show::decimal(nights, 0),
            show::decimal(most.value, 0)
        ),
        remedy: format!(
            "Plan a full charge at least once a week: sun, generator hours (trip.{name}.generator) \
             or driving hours (trip.{name}.driving)."
        ),
        why: "A lead bank that is not filled for weeks sulphates; undercharging was the main cause \
              of early loss in the tests.",
        sources: vec![owner(), most.cite, abstract_of_loss()],
        gates: None,
    }))
}

fn abstract_of_loss() -> Cite {
    Cite::new("capacity-loss-abstract", "incomplete recharge", Status::Read)
}

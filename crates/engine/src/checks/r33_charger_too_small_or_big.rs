//! R33: a charger that is too small or too big for the bank, and its hours from half to full.

use super::context::{CheckError, Context, Said, listed, owner};
use super::sources::chain;
use crate::calc::time_to_full::TimeToFull;
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::block::Chemistry;
use crate::model::device::DeviceKind;
use crate::sim::chain::{Chain, Feed, Source};
use crate::tables::Sourced;
use crate::units::{Current, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let chain = chain(cx);
    let Some(amp_hours) = cx.bank_amp_hours().filter(|ah| *ah > 0.0) else {
        return Ok(Vec::new());
    };
    let mut said = Vec::new();
    for feed in [Feed::Shore, Feed::Generator] {
        let group: Vec<&Source> = chain.sources.iter().filter(|s| s.feed == feed).collect();
        let (known, silent): (Vec<&Source>, Vec<&Source>) =
            group.into_iter().partition(|s| s.rated);
        said.extend(silent.into_iter().map(unknown));
        if !known.is_empty() {
            said.extend(mains(cx, &chain, amp_hours, &known)?);
        }
    }
    let others = chain.sources.iter().filter(|s| matches!(s.feed, Feed::Sun | Feed::Engine));
    for source in others.filter(|s| s.rated && s.kind != DeviceKind::TowLine) {
        said.extend(too_big(cx, &chain, amp_hours, &[source])?);
    }
    Ok(said)
}

/// Chargers on one supply, which work together.
fn mains(
    cx: &Context<'_>,
    chain: &Chain,
    amp_hours: f64,
    group: &[&Source],
) -> Result<Option<Said>, CheckError> {
    if let Some(said) = too_big(cx, chain, amp_hours, group)? {
        return Ok(Some(said));
    }
    let (fix, note) = (cx.limit("charger-small-fix")?, cx.limit("charger-small-note")?);
    let amps = total(group);
    let share = amps / amp_hours;
    if note.value <= share {
        return Ok(None);
    }
    let small = share < fix.value;
    let hours = hours(cx, chain, amps);
    let target = show::current(Current::amps(amp_hours * note.value));
    Ok(Some(Said {
        severity: if small { Severity::Fix } else { Severity::Note },
        path: path(group),
        part: names(group),
        says: format!("{}{hours}", percent(group, amps, amp_hours)),
        remedy: format!(
            "Plan so many hours of hook-up or generator for each full charge, or charge with about \
             {target}, a tenth of the amp-hours; a larger generator changes nothing, the charger \
             sets the rate."
        ),
        why: "With few amps a lead cell never gasses, its acid layers, and the last tenth takes \
              longer than one stays.",
        sources: vec![owner(), if small { fix.cite } else { note.cite }, acceptance()],
        gates: None,
    }))
}

fn too_big(
    cx: &Context<'_>,
    chain: &Chain,
    amp_hours: f64,
    group: &[&Source],
) -> Result<Option<Said>, CheckError> {
    let amps = group.iter().map(|s| given(cx, s)).sum::<f64>();
    let Some((most, who)) = most(cx, chain, amp_hours)?.filter(|m| m.0.value < amps) else {
        return Ok(None);
    };
    let limit = show::current(Current::amps(most.value));
    Ok(Some(Said {
        severity: Severity::Fix,
        path: path(group),
        part: names(group),
        says: format!("{} {who} is {limit} at most.", percent(group, amps, amp_hours)),
        remedy: format!("Limit {} to {limit}, or add amp-hours.", names(group)),
        why: "More amps than the plates can take heat them, boil off water and shed material.",
        sources: vec![owner(), most.cite],
        gates: None,
    }))
}

/// The most the bank may be charged with: the maker's word, else a fifth for flooded cells.
fn most(
    cx: &Context<'_>,
    chain: &Chain,
    amp_hours: f64,
) -> Result<Option<(Sourced<f64>, &'static str)>, CheckError> {
    let stated = cx.bank().and_then(|bank| {
        let model = cx.design().block_model(&bank.block)?;
        Some(model.charge_max?.as_amps() * f64::from(bank.parallel))
    });
    if let Some(amps) = stated {
        return Ok(Some((Sourced::new(amps, owner()), "What the maker of the blocks allows")));
    }
    if chain.chemistry != Chemistry::Flooded {
        return Ok(None);
    }
    let share = cx.limit("charger-flooded-max")?;
    Ok(Some((share.map(|s| s * amp_hours), "What flooded cells take")))
}

/// Amps a source really gives: a solar controller no more than its array.
fn given(cx: &Context<'_>, source: &Source) -> f64 {
    if source.feed != Feed::Sun {
        return source.most_a;
    }
    let volts = cx.nominal_volts().map_or(12.0, |v| v.as_volts());
    let arrays = cx.design().arrays.iter();
    let fed = arrays.filter(|a| a.controller.as_deref() == Some(source.name.as_str()));
    let watts: f64 = fed
        .filter_map(|a| Some(a.panel?.as_watts() * f64::from(a.series) * f64::from(a.parallel)))
        .sum();
    if watts > 0.0 { source.most_a.min(watts / volts) } else { source.most_a }
}

fn hours(cx: &Context<'_>, chain: &Chain, amps: f64) -> String {
    match chain.half_to_full(cx.tables, amps, 0.0) {
        Some(TimeToFull::Hours(h)) => {
            format!(" About {} h from half to full, with nothing running.", show::decimal(h, 0))
        }
        Some(TimeToFull::Never(at)) => format!(
            " It never gets there: {} % after two days from half, with nothing running.",
            show::decimal(at * 100.0, 0)
        ),
        None => String::new(),
    }
}

fn unknown(source: &Source) -> Said {
    let name = &source.name;
    Said {
        severity: Severity::Note,
        path: format!("device.{name}.rating"),
        part: name.clone(),
        says: format!(
            "It is not known how many amps {name} gives, so not how long a charge takes."
        ),
        remedy: format!("Read its rating plate and write device.{name}.rating."),
        why: "The charger sets the hours of hook-up and generator.",
        sources: vec![acceptance()],
        gates: None,
    }
}

fn acceptance() -> Cite {
    Cite::new(
        "copetti-1993",
        "share of the amps that stays as charge",
        crate::cite::Status::Recalled,
    )
}

fn total(group: &[&Source]) -> f64 {
    group.iter().map(|s| s.most_a).sum()
}

fn percent(group: &[&Source], amps: f64, amp_hours: f64) -> String {
    format!(
        "{} from {} into {} Ah is {} %.",
        show::current(Current::amps(amps)),
        names(group),
        show::decimal(amp_hours, 0),
        show::decimal(amps / amp_hours * 100.0, 1)
    )
}

fn names(group: &[&Source]) -> String {
    let names: Vec<&str> = group.iter().map(|s| s.name.as_str()).collect();
    listed(&names)
}

fn path(group: &[&Source]) -> String {
    format!("device.{}.rating", group.first().map_or("", |s| s.name.as_str()))
}

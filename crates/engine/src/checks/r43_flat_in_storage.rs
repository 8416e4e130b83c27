//! R43: a rig that stands unused until its bank is flat.

use super::context::{CheckError, Context, Said, listed, owner};
use super::logged::{PATH, look};
use super::sources::{is_maintained, storage_days};
use crate::care::cells::blocks_of;
use crate::care::look::owners_log;
use crate::evidence::log::Event;
use crate::finding::Severity;
use crate::sim::storage::StorageDrain;
use crate::units::{Current, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut said = planned(cx)?;
    said.extend(logged(cx)?);
    Ok(said)
}

/// What the log says: it was found low and nothing was charged since.
fn logged(cx: &Context<'_>) -> Result<Option<Said>, CheckError> {
    let Some(look) = look(cx) else {
        return Ok(None);
    };
    let most = cx.limit("storage-discharge-max")?;
    let blocks = blocks_of(&look);
    let found = blocks.iter().filter_map(|b| {
        let last = b.rest.last()?;
        Some((b.block, last.at, last.soc?))
    });
    let Some((block, at, soc)) = found.min_by(|a, b| a.2.total_cmp(&b.2)) else {
        return Ok(None);
    };
    let charged = look
        .entries()
        .iter()
        .any(|e| at <= e.at && matches!(e.event, Event::Charge { .. } | Event::Equalise { .. }));
    let stands = look.today.is_some_and(|today| at.date() < today);
    if charged || !stands || soc >= 1.0 - most.value {
        return Ok(None);
    }
    Ok(Some(Said {
        severity: Severity::Fix,
        path: PATH.to_owned(),
        part: block.to_string(),
        says: format!(
            "On {} {block} stood at about {} % by its rest volts, and no charge is written since.",
            at.date(),
            show::decimal(soc * 100.0, 0)
        ),
        remedy: "Charge it full now, and find what drew it down.".to_owned(),
        why: "A lead bank that stands half empty sulphates and freezes; nothing in it tells anyone.",
        sources: vec![owners_log(), most.cite],
        gates: None,
    }))
}

/// What the design says of the time in which it stands unused.
fn planned(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(amp_hours) = cx.bank_amp_hours().filter(|ah| *ah > 0.0 && !is_maintained(cx)) else {
        return Ok(Vec::new());
    };
    let storage = cx.design().storage.as_ref();
    let written = storage_days(cx);
    let usual = cx.limit("storage-days-unsaid")?;
    let days = written.unwrap_or(usual.value);
    let off = storage.and_then(|s| s.isolator_off) == Some(true);
    let drain = StorageDrain::of(cx.study, cx.tables);
    let (slow, fast) = drain.share_gone(amp_hours, days, off);
    let most = cx.limit("storage-discharge-max")?;
    // A hair of room: thirty days at one per cent are just the limit.
    if fast <= most.value + 1e-9 {
        return Ok(Vec::new());
    }
    let left = storage.and_then(|s| s.at_charge).unwrap_or(1.0);
    let half = drain.days_to(amp_hours, (left - 0.5).max(0.0), off);
    let sure = written.is_some() && most.value < slow;
    let mut sources = vec![owner(), most.cite];
    sources.extend(drain.cites());
    if written.is_none() {
        sources.push(usual.cite);
    }
    Ok(vec![Said {
        severity: if sure { Severity::Fix } else { Severity::Note },
        path: "storage".to_owned(),
        part: "the bank".to_owned(),
        says: says(&drain, off, (days, written.is_some()), (slow, fast), half),
        remedy: remedy(off),
        why: "A lead bank that stands half empty sulphates and freezes; nothing in it tells anyone.",
        sources,
        gates: None,
    }])
}

fn says(
    drain: &StorageDrain,
    off: bool,
    (days, written): (f64, bool),
    (slow, fast): (f64, f64),
    half: f64,
) -> String {
    let names: Vec<String> = drain
        .drains
        .iter()
        .filter(|d| d.amps > 0.0 && (d.always || !off))
        .map(|d| format!("{} {}", d.name, show::current(Current::amps(d.amps))))
        .collect();
    let what = if names.is_empty() { String::new() } else { format!(" ({})", listed(&names)) };
    let time = if written { "Stored for" } else { "Left alone for" };
    let part = |share: f64| show::decimal((share * 100.0).min(100.0), 0);
    let range = if 1.0 <= slow {
        "all it has".to_owned()
    } else if (fast - slow).abs() < 0.005 {
        format!("{} %", part(fast))
    } else {
        format!("{} % to {} % (the sources on self-discharge differ)", part(slow), part(fast))
    };
    format!(
        "{time} {} days it loses {range}{what}. Half flat after {} days.",
        show::decimal(days, 0),
        show::decimal(half, 0)
    )
}

fn remedy(off: bool) -> String {
    if off {
        "Fit a maintainer or a small panel and write storage.maintained = true, or charge it full \
         every month; look for what still draws past the isolator."
            .to_owned()
    } else {
        "Pull the real isolator and write storage.isolator_off = true, or fit a maintainer or a \
         small panel (storage.maintained = true); write storage.time."
            .to_owned()
    }
}

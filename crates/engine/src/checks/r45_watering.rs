//! R45: watering neglected, done before the charge, or done from the tap. It reads the log.

use super::context::{CheckError, Context, Said, listed};
use super::logged::{PATH, look};
use crate::care::look::{Look, owners_log, part_words};
use crate::cite::Cite;
use crate::evidence::log::{Event, Level, Subject, WaterKind};
use crate::finding::Severity;
use crate::model::block::Chemistry;
use std::collections::BTreeMap;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(look) = look(cx).filter(|l| l.chemistry() == Some(Chemistry::Flooded)) else {
        return Ok(Vec::new());
    };
    let days = cx.limit("water-check-days")?;
    let mut said = Vec::new();
    said.extend(bare(&look, &days.cite));
    said.extend(late(&look, days.value, &days.cite));
    said.extend(before_charge(&look, &days.cite));
    said.extend(tap(&look, &days.cite));
    Ok(said)
}

const REMEDY: &str =
    "Cover the plates only, charge full, then fill with pure water to just under the tube.";

fn said(part: String, says: String, remedy: &str, cite: &Cite) -> Said {
    Said {
        severity: Severity::Fix,
        path: PATH.to_owned(),
        part,
        says,
        remedy: remedy.to_owned(),
        why: "Bare plates are lost; a cell filled before the charge boils over and loses acid.",
        sources: vec![owners_log(), cite.clone()],
        gates: None,
    }
}

/// Parts whose plates stood bare when they were last looked at, and were not filled since.
fn bare(look: &Look<'_>, cite: &Cite) -> Option<Said> {
    let mut bare: BTreeMap<&Subject, bool> = BTreeMap::new();
    for entry in look.entries() {
        match entry.event {
            Event::Looked { level } => {
                bare.insert(&entry.subject, level == Level::PlatesBare);
            }
            Event::Water { .. } => {
                bare.insert(&entry.subject, false);
            }
            _ => {}
        }
    }
    let dry: Vec<String> = bare.iter().filter(|b| *b.1).map(|b| part_words(b.0)).collect();
    if dry.is_empty() {
        return None;
    }
    let says = format!("The plates of {} stood bare when last looked at.", listed(&dry));
    Some(said(listed(&dry), says, REMEDY, cite))
}

/// Nobody has looked for longer than a month.
fn late(look: &Look<'_>, most: f64, cite: &Cite) -> Option<Said> {
    let today = look.today?;
    let looked = |e: &Event| matches!(e, Event::Looked { .. } | Event::Water { .. });
    let last = look.entries().iter().rev().find(|e| looked(&e.event));
    let first = look.entries().first()?.at.date();
    let since = last.map_or(first, |e| e.at.date());
    let days = (today - since).get_days();
    if f64::from(days) <= most {
        return None;
    }
    let says = match last {
        Some(_) => format!("The fluid was last looked at on {since}, {days} days ago."),
        None => format!("The log begins on {since} and nobody has looked at the fluid since."),
    };
    Some(said(
        "the bank".to_owned(),
        says,
        "Look into every cell now. Cover bare plates only, charge full, then fill.",
        cite,
    ))
}

/// The last filling was done before the charge though the plates were covered.
fn before_charge(look: &Look<'_>, cite: &Cite) -> Option<Said> {
    let water = |e: &&&crate::evidence::log::Entry| matches!(e.event, Event::Water { .. });
    let last = look.entries().iter().rev().find(water)?;
    let Event::Water { before_charge: Some(true), .. } = last.event else {
        return None;
    };
    let day = last.at.date();
    let was_bare = look.entries().iter().any(|e| {
        e.at.date() == day && matches!(e.event, Event::Looked { level: Level::PlatesBare })
    });
    if was_bare {
        return None;
    }
    let says = format!("On {day} it was filled before the charge.");
    Some(said(part_words(&last.subject), says, REMEDY, cite))
}

/// The last water of a known kind came from the tap.
fn tap(look: &Look<'_>, cite: &Cite) -> Option<Said> {
    let last = look.entries().iter().rev().find_map(|e| match e.event {
        Event::Water { kind: Some(kind), .. } => Some((e.at.date(), kind)),
        _ => None,
    });
    let (day, _) = last.filter(|l| l.1 == WaterKind::Tap)?;
    let says = format!("On {day} it was filled from the tap.");
    let remedy =
        "Use distilled or deionised water only; what tap water brings stays in the cell for ever.";
    Some(said("the bank".to_owned(), says, remedy, cite))
}

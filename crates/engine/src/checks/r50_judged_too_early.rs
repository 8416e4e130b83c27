//! R50: a new bank judged by its first discharges. It reads the capacity tests of the log.

use super::context::{CheckError, Context, Said};
use super::logged::{PATH, look};
use super::r49_worn_out::{percent, sources};
use crate::care::capacity;
use crate::care::look::Look;
use crate::evidence::log::{Event, Subject};
use crate::finding::Severity;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(look) = look(cx) else {
        return Ok(Vec::new());
    };
    let tests = capacity::tests(&look);
    let last = tests.iter().rev().find(|t| t.part == "the bank");
    let (Some(last), Some(cycles)) = (last, is_young(cx, &look)?) else {
        return Ok(Vec::new());
    };
    let formed = cx.limit("cycles-to-form")?;
    if 1.0 <= last.share.high {
        return Ok(Vec::new());
    }
    Ok(vec![Said {
        severity: Severity::Note,
        path: PATH.to_owned(),
        part: "the bank".to_owned(),
        says: format!(
            "The test of {} gave {} % after {} cycles: new plates are still forming.",
            last.on,
            percent(last.share.now),
            show::decimal(cycles, 0)
        ),
        remedy: format!(
            "Use it gently and test again after {} cycles before you complain or replace.",
            show::decimal(formed.value, 0)
        ),
        why: "New plates reach their rating after some tens of cycles.",
        sources: sources(last, formed.cite),
        gates: None,
    }])
}

/// Cycles behind the bank, when they are known and fewer than plates take to form: as written, or as the
/// log counts charges since the whole bank was replaced.
pub(super) fn is_young(cx: &Context<'_>, look: &Look<'_>) -> Result<Option<f64>, CheckError> {
    let formed = cx.limit("cycles-to-form")?;
    let lead = look.chemistry().is_some_and(crate::model::block::Chemistry::is_lead);
    let Some(bank) = cx.bank().filter(|_| lead) else {
        return Ok(None);
    };
    let written: Vec<f64> = bank.blocks.iter().filter_map(|b| b.cycles).collect();
    if !written.is_empty() {
        let most = written.into_iter().fold(0.0, f64::max);
        return Ok(Some(most).filter(|c| *c < formed.value));
    }
    let new = look
        .entries()
        .iter()
        .rposition(|e| e.subject == Subject::Bank && matches!(e.event, Event::Replaced { .. }));
    let Some(new) = new else {
        return Ok(None);
    };
    let since = look.entries().iter().skip(new);
    let charges = since.filter(|e| matches!(e.event, Event::Charge { .. })).count();
    Ok(Some(crate::care::robust::count(charges)).filter(|c| *c < formed.value))
}

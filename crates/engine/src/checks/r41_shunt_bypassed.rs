//! R41: what reaches the bank's negative past the shunt, so that the battery monitor does not see it.

use super::context::{CheckError, Context, Said, listed};
use super::walk::fed_without;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(shunt) = cx.design().devices_of(DeviceKind::Shunt).next() else {
        return Ok(Vec::new());
    };
    // The breakaway switch takes current for the seconds of an accident and must pass by everything.
    let counted = |d: &&Device| d.kind != DeviceKind::Breakaway;
    let past = |d: &&Device| fed_without(cx, &d.part.name, &|kind| kind == DeviceKind::Shunt);
    let unseen: Vec<&str> = cx
        .loads()
        .chain(cx.charge_sources())
        .filter(counted)
        .filter(past)
        .map(|d| d.part.name.as_str())
        .collect();
    if unseen.is_empty() {
        return Ok(Vec::new());
    }
    let (names, shunt) = (listed(&unseen), shunt.part.name.as_str());
    Ok(vec![Said {
        severity: Severity::Fix,
        path: format!("device.{shunt}"),
        part: shunt.to_owned(),
        says: format!("{shunt} does not see {names}: the monitor's per cent will drift."),
        remedy: format!(
            "Move the minus of {names} to the side of {shunt} away from the bank; only the lead of {shunt} and its \
             own sense wire go on the bank's minus post."
        ),
        why: "A monitor counts what flows through its shunt, and nothing else.",
        sources: vec![Cite::new("monitor-pages", "everything through the shunt", Status::Read)],
        gates: None,
    }])
}

//! R56: a gas or CO alarm that is dead while gas is open or people are aboard.

use super::context::{CheckError, Context, Said, listed};
use super::walk::fed_without;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::model::lead::{Pole, Terminal};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let built = &cx.design().as_built;
    let alarms: Vec<&Device> = cx.design().devices_of(DeviceKind::Alarm).collect();
    let mut said: Vec<Said> = alarms.iter().filter_map(|a| cut_off(cx, a)).collect();
    let names: Vec<&str> = alarms.iter().map(|a| a.part.name.as_str()).collect();
    let who = if names.is_empty() { "the gas alarm".to_owned() } else { listed(&names) };
    let gas = built.gas_open == Some(true);
    let says = match built.alarm_powered {
        Some(true) => return Ok(said),
        Some(false) if gas => format!("The gas cylinder is open and {who} has no power."),
        Some(false) => format!("{who} has no power while people are aboard."),
        None if alarms.is_empty() && !gas => return Ok(said),
        None if alarms.is_empty() => {
            "The gas cylinder is open and the file names no alarm.".to_owned()
        }
        None if gas => {
            format!("The gas cylinder is open and it is not known whether {who} has power.")
        }
        None => format!("It is not known whether {who} has power while people are aboard."),
    };
    said.push(one("as_built.alarm_powered".to_owned(), &who, says));
    Ok(said)
}

/// An alarm with leads of its own that do not reach the bank at this stage.
fn cut_off(cx: &Context<'_>, alarm: &Device) -> Option<Said> {
    let name = &alarm.part.name;
    let wired = [Pole::Plus, Pole::Minus]
        .into_iter()
        .any(|p| cx.study.wiring.at(&Terminal::stud(name, p)).next().is_some());
    if !wired || cx.bank().is_none() || fed_without(cx, name, &|_| false) {
        return None;
    }
    let says = format!("The leads of {name} do not reach the bank: it is dead at this stage.");
    Some(one(format!("device.{name}"), name, says))
}

fn one(path: String, part: &str, says: String) -> Said {
    Said {
        severity: Severity::Stop,
        path,
        part: part.to_owned(),
        says,
        remedy: "Close the cylinder or restore the alarm, press its test button, and write \
                 as_built.alarm_powered = true."
            .to_owned(),
        why: "Gas and carbon monoxide give no warning of their own to people asleep.",
        sources: vec![Cite::new("storage-columns", "alarm left without power", Status::Read)],
        gates: None,
    }
}

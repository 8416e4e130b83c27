//! R39: a start that pulls an inverter's volts under its cut-off while the bank is not empty.

use super::context::{CheckError, Context, Said};
use super::supply::efficiency;
use super::walk::fed_without;
use crate::circuit::netlist::{Fitted, Netlist};
use crate::circuit::operate::{State, Supply};
use crate::cite::Cite;
use crate::facts::device::loads_on;
use crate::facts::{Ambient, Facts};
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::tables::Sourced;
use crate::units::{Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut said = Vec::new();
    for inverter in cx.design().devices_of(DeviceKind::Inverter) {
        if fed_without(cx, &inverter.part.name, &|_| false) {
            said.extend(judged(cx, inverter)?);
        }
    }
    Ok(said)
}

/// The hardest start on an inverter.
struct Start {
    /// What starts.
    name: String,
    /// Power at the inverter's plugs [W].
    watts: f64,
    /// Power at its direct current studs [W].
    drawn_w: f64,
}

fn judged(cx: &Context<'_>, inverter: &Device) -> Result<Option<Said>, CheckError> {
    let efficiency = efficiency(cx, inverter)?;
    let margin = cx.limit("inverter-sag-margin")?;
    let (Some(start), Some(cut_off)) =
        (start(cx, inverter, efficiency.value), cut_off(cx, inverter)?)
    else {
        return Ok(None);
    };
    let needed_v = cut_off.value.as_volts() + margin.value;
    let (soc, soc_cite) = asked(cx)?;
    let volts_v = volts(cx, inverter, soc, start.drawn_w)?;
    if volts_v.is_some_and(|v| needed_v <= v) {
        return Ok(None);
    }
    let begins = begins(cx, inverter, start.drawn_w, needed_v)?;
    let cites = [efficiency.cite, margin.cite.clone(), cut_off.cite.clone()];
    let mut sources: Vec<Cite> = cites.into_iter().chain(soc_cite).collect();
    sources.push(Cite::new(
        "inverter-sag-threads",
        "trips on a bank that is not empty",
        crate::cite::Status::Read,
    ));
    sources.extend(cx.study.facts.blocks.first().map(|b| b.cite.clone()));
    let name = &inverter.part.name;
    // Within the margin it depends on the inverter and the day.
    let drops = volts_v.is_none_or(|v| v < cut_off.value.as_volts());
    let will = if drops { "will" } else { "may" };
    let pulls = volts_v.map_or_else(
        || "no current gives it that power".to_owned(),
        |v| format!("it pulls the volts to {}", show::voltage(Voltage::volts(v))),
    );
    Ok(Some(Said {
        severity: Severity::Fix,
        path: format!("device.{name}.cut_off"),
        part: name.clone(),
        says: format!(
            "At {} % {} ({} W) {will} trip {name} though the bank is not empty: {pulls}, and {} is \
             needed ({} cut-off and {} V in hand). {}",
            show::decimal(soc * 100.0, 0),
            start.name,
            show::decimal(start.watts, 0),
            show::voltage(Voltage::volts(needed_v)),
            show::voltage(cut_off.value),
            show::decimal(margin.value, 1),
            begins.words()
        ),
        remedy: format!(
            "Shorten or thicken the leads to {name}, mend poor joints, add a string, or start {} \
             with the bank fuller or a charger running.",
            start.name
        ),
        why: "The start's amps lose volts in the bank and in every lead and joint, and the \
              inverter sees only what is left.",
        sources,
        gates: None,
    }))
}

/// The hardest start among the loads named on the inverter; with none named, its own surge.
fn start(cx: &Context<'_>, inverter: &Device, efficiency: f64) -> Option<Start> {
    let loads = loads_on(cx.design(), &inverter.part.name);
    let hardest = loads
        .filter_map(|l| Some((l.part.name.clone(), l.surge.or(l.power)?.as_watts())))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let own = || {
        let most = inverter.surge.or(inverter.power)?;
        Some((format!("the full surge of {}", inverter.part.name), most.as_watts()))
    };
    let (name, watts) = hardest.or_else(own)?;
    Some(Start { name, watts, drawn_w: watts / efficiency })
}

fn cut_off(cx: &Context<'_>, inverter: &Device) -> Result<Option<Sourced<Voltage>>, CheckError> {
    if let Some(stated) = inverter.cut_off {
        return Ok(Some(Sourced::new(stated, super::context::owner())));
    }
    let share = cx.limit("inverter-cut-off-share")?;
    Ok(cx.nominal_volts().map(|v| share.map(|s| v * s)))
}

/// The state of charge to judge at: the one asked or written, or the lowest a bank of its kind is
/// usually planned to.
fn asked(cx: &Context<'_>) -> Result<(f64, Option<Cite>), CheckError> {
    let blocks = &cx.study.facts.blocks;
    let written =
        cx.bank().is_some_and(|b| b.soc.is_some() || b.blocks.iter().any(|s| s.soc.is_some()));
    if cx.study.ambient.soc.is_some() || written {
        // The emptiest block decides, since its volts are the lowest.
        return Ok((blocks.iter().map(|b| b.soc).fold(1.0, f64::min), None));
    }
    let lead = blocks.iter().all(|b| b.chemistry.is_lead());
    let floor = cx.limit(if lead { "planned-floor-lead" } else { "planned-floor-lfp" })?;
    Ok((floor.value, Some(floor.cite)))
}

/// Volts at the inverter at the start, every block at this state of charge; nothing when no
/// current gives it that power.
fn volts(
    cx: &Context<'_>,
    inverter: &Device,
    soc: f64,
    watts: f64,
) -> Result<Option<f64>, CheckError> {
    let study = cx.study;
    let mut design = study.design.clone();
    for state in design.banks.iter_mut().flat_map(|b| &mut b.blocks) {
        // A rest voltage measured at one charge says nothing of another.
        (state.soc, state.rest) = (None, None);
    }
    let ambient = Ambient { soc: Some(soc), temperature: study.ambient.temperature };
    let facts = Facts::of(&design, cx.tables, ambient);
    let netlist = Netlist::of(&design, &study.wiring, &facts, &study.ohms, &Fitted::ALL);
    let name = &inverter.part.name;
    let Some(at) = netlist.device_terminals(name) else {
        return Ok(None);
    };
    let factored = netlist.network.factor()?;
    Ok(match Supply::new(&factored, name, at)?.at_power(watts, None)? {
        State::Solved(operation) | State::CutOff { operation, .. } => Some(operation.volts_v),
        State::Collapsed { .. } => None,
    })
}

/// Where a start begins to trip the inverter as the bank runs down.
enum Begins {
    Full,
    Below(f64),
}

impl Begins {
    fn words(&self) -> String {
        let percent = |soc: f64| show::decimal(soc * 100.0, 0);
        match self {
            Self::Full => "It does so even when the bank is full.".to_owned(),
            Self::Below(soc) => format!("It begins below {} %.", percent(*soc)),
        }
    }
}

/// Halves the span between full and the lowest charge searched until it is within one percent;
/// lower charge means lower volts and more resistance, so there is one such point.
fn begins(
    cx: &Context<'_>,
    inverter: &Device,
    watts: f64,
    needed_v: f64,
) -> Result<Begins, CheckError> {
    let holds = |soc: f64| -> Result<bool, CheckError> {
        Ok(volts(cx, inverter, soc, watts)?.is_some_and(|v| needed_v <= v))
    };
    let (mut low, mut high) = (cx.limit("search-floor")?.value, 1.0);
    if !holds(high)? {
        return Ok(Begins::Full);
    }
    if holds(low)? {
        return Ok(Begins::Below(low));
    }
    for _ in 0..7 {
        let middle = f64::midpoint(low, high);
        if holds(middle)? {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(Begins::Below(high))
}

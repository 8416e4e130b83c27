//! R63: big loads that start by themselves on the inverter's side.

use super::context::{CheckError, Context, Said, listed};
use super::supply::efficiency;
use crate::cite::{Cite, Status};
use crate::facts::device::loads_on;
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::units::{Power, show};

/// Something on the inverter that starts by itself, or may.
struct Starter<'a> {
    name: &'a str,
    path: String,
    power: Option<Power>,
    /// The owner gave it a place in the day, so it is wanted there.
    planned: bool,
    /// Nobody said whether it starts by itself.
    unsure: bool,
}

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(inverter) = cx.design().devices_of(DeviceKind::Inverter).next() else {
        return Ok(Vec::new());
    };
    let starters = starters(cx);
    let mut said = too_many(cx, inverter, &starters);
    for starter in starters.iter().filter(|s| !s.planned && !s.unsure) {
        said.push(left_on(cx, inverter, starter)?);
    }
    let circuits = cx.design().mains.iter().flat_map(|m| &m.circuits);
    let nowhere = circuits.filter(|c| c.automatic == Some(true) && c.on_inverter.is_none());
    said.extend(nowhere.map(|c| {
        let says = format!(
            "{} starts by itself, and it is not known whether the inverter feeds it.",
            c.name
        );
        one(format!("mains.circuit.{}.on_inverter", c.name), &c.name, says)
    }));
    Ok(said)
}

/// Circuits and loads on the inverter that may start by themselves; one name counts once.
fn starters<'a>(cx: &Context<'a>) -> Vec<Starter<'a>> {
    let design = cx.design();
    let loads =
        || design.devices_of(DeviceKind::Inverter).flat_map(|i| loads_on(design, &i.part.name));
    let wanted = |name: &str| {
        loads().any(|l| l.part.name == name && (l.daily.is_some() || l.energy.is_some()))
    };
    let circuits = design.mains.iter().flat_map(|m| &m.circuits);
    let mut all: Vec<Starter<'a>> = circuits
        .filter(|c| c.on_inverter == Some(true) && c.automatic != Some(false))
        .map(|c| Starter {
            name: &c.name,
            path: format!("mains.circuit.{}", c.name),
            power: c.power,
            planned: wanted(&c.name),
            unsure: c.automatic.is_none(),
        })
        .collect();
    for load in loads().filter(|l| l.automatic == Some(true)) {
        if all.iter().all(|s| s.name != load.part.name) {
            all.push(Starter {
                name: &load.part.name,
                path: format!("load.{}", load.part.name),
                power: load.power,
                planned: wanted(&load.part.name),
                unsure: false,
            });
        }
    }
    all
}

fn too_many(cx: &Context<'_>, inverter: &Device, starters: &[Starter<'_>]) -> Vec<Said> {
    let rated: Power = cx.design().devices_of(DeviceKind::Inverter).filter_map(|d| d.power).sum();
    let together: Power = starters.iter().filter_map(|s| s.power).sum();
    if inverter.power.is_none() || together <= rated {
        return Vec::new();
    }
    let names: Vec<&str> = starters.iter().filter(|s| s.power.is_some()).map(|s| s.name).collect();
    let says = format!(
        "{} can start by {} and take {} W together; {} is rated {} W.",
        listed(&names),
        if names.len() == 1 { "itself" } else { "themselves" },
        show::decimal(together.as_watts(), 0),
        inverter.part.name,
        show::decimal(rated.as_watts(), 0)
    );
    vec![one(format!("device.{}.power", inverter.part.name), &inverter.part.name, says)]
}

fn left_on(cx: &Context<'_>, inverter: &Device, it: &Starter<'_>) -> Result<Said, CheckError> {
    let efficiency = efficiency(cx, inverter)?;
    let held = cx.bank_amp_hours().zip(cx.nominal_volts()).map(|(ah, v)| ah * v.as_volts());
    let says = match (it.power.filter(|p| 0.0 < p.as_watts()), held) {
        (Some(power), Some(watt_hours)) => {
            let hours = watt_hours * efficiency.value / power.as_watts();
            format!(
                "{} at {} W would empty the bank in {} h, and it starts by itself.",
                it.name,
                show::decimal(power.as_watts(), 0),
                show::decimal(hours, 1)
            )
        }
        (Some(power), None) => format!(
            "{} at {} W hangs on the inverter and starts by itself.",
            it.name,
            show::decimal(power.as_watts(), 0)
        ),
        (None, _) => format!(
            "{} hangs on the inverter and starts by itself; its power is not known.",
            it.name
        ),
    };
    let mut said = one(it.path.clone(), it.name, says);
    said.sources.push(efficiency.cite);
    Ok(said)
}

fn one(path: String, part: &str, says: String) -> Said {
    Said {
        severity: Severity::Fix,
        path,
        part: part.to_owned(),
        says,
        remedy: format!(
            "Move {part} to a circuit the inverter does not feed or set it to gas or off; if it is \
             meant to run from the bank, give it a daily time among the loads of the inverter."
        ),
        why: "What starts by itself does so when nobody looks, and the bank is empty by morning.",
        sources: vec![Cite::new(
            "inverter-install-pages",
            "loads left on the inverter",
            Status::Read,
        )],
        gates: None,
    }
}

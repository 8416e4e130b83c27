//! Joints, fuses, switches, and how much current each load and charge source means.

use crate::cite::{Cite, Status};
use crate::finding::Assumed;
use crate::model::design::Design;
use crate::model::device::{Device, DeviceKind};
use crate::model::load::Load;
use crate::tables::Tables;
use crate::tables::termination::JointResistance;
use crate::units::show;
use crate::units::{Current, Resistance, Voltage};
use std::collections::BTreeMap;

/// Resistance of a joint that says nothing of its own, in the bank's links and outside the bank: what
/// the owner states for the links, else a crimp and a stud contact, each the middle of its usual band.
pub(super) fn joints(
    design: &Design,
    tables: &Tables,
    assumed: &mut Vec<Assumed>,
) -> (Resistance, Resistance) {
    let part = |kind: &str| tables.termination.joint_resistance(kind).map(JointResistance::middle);
    let (crimp, contact) = (part("crimp"), part("stud"));
    let usual: Resistance = [&crimp, &contact].into_iter().flatten().map(|p| p.value).sum();
    let cite = contact.or(crimp).map_or_else(|| Cite::practice("joint"), |p| p.cite);
    let mut assume = |path: String, what: &str| {
        assumed.push(Assumed {
            path,
            value: format!("{} at every joint {what}", show::resistance(usual)),
            how_to_measure: "millivolts from post to cable end under a known load, divided by the \
                             amps: 1 mV at 10 A is 0.1 mohm"
                .to_owned(),
            matters: "unequal joints move current from one string to another; every joint adds to \
                      the drop"
                .to_owned(),
            cite: cite.clone(),
        });
    };
    let stated = design.bank().and_then(|b| b.joint);
    if let Some(bank) = design.bank().filter(|_| stated.is_none()) {
        assume(format!("{}.joint", bank.path), "of the bank's links");
    }
    if !design.leads.is_empty() {
        assume("joint".to_owned(), "outside the bank that says nothing of its own");
    }
    (stated.unwrap_or(usual), usual)
}

/// Resistance of every pass-through device.
pub(super) fn resistances(
    design: &Design,
    tables: &Tables,
    assumed: &mut Vec<Assumed>,
) -> BTreeMap<String, Resistance> {
    let mut all = BTreeMap::new();
    for device in design.devices.iter().filter(|d| d.kind.passes_through()) {
        let name = device.part.name.clone();
        if let Some(resistance) = device.resistance {
            all.insert(name, resistance);
            continue;
        }
        let (resistance, cite) = usual_resistance(device, tables);
        assumed.push(Assumed {
            path: format!("device.{name}.resistance"),
            value: show::resistance(resistance),
            how_to_measure: "millivolts across its two studs under a known load, divided by the \
                             amps"
                .to_owned(),
            matters: "a few hundredths of a volt at full load".to_owned(),
            cite,
        });
        all.insert(name, resistance);
    }
    all
}

fn usual_resistance(device: &Device, tables: &Tables) -> (Resistance, Cite) {
    let Some(rating) = device.rating.filter(|r| r.as_amps() > 0.0) else {
        return (Resistance::ZERO, Cite::practice("no rating given: taken as nothing"));
    };
    let row = match device.kind {
        DeviceKind::Fuse | DeviceKind::Breaker => "fuse-drop-at-rating",
        DeviceKind::Shunt => "shunt-drop-at-rating",
        _ => "switch-drop-at-rating",
    };
    let drop = tables.limits.value(row);
    (Resistance::ohms(drop.value / 1000.0 / rating.as_amps()), drop.cite)
}

/// What a load or charge source draws or gives, and how that is known.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignCurrent {
    /// Steady amps; positive leaves the bank, negative charges it.
    pub steady: Current,
    /// Amps for a moment at the start; not less than the steady amps of a load.
    pub surge: Current,
    /// How the figure comes about, in one sentence.
    pub why: String,
    /// Where the inputs come from.
    pub cite: Cite,
}

/// A device and what it draws or gives.
#[derive(Clone, Debug, PartialEq)]
pub struct DeviceCurrent {
    /// The device.
    pub device: String,
    /// Its current.
    pub current: DesignCurrent,
}

/// Nominal volts of the bank in force.
#[must_use]
pub fn nominal_volts(design: &Design) -> Option<Voltage> {
    let bank = design.bank()?;
    let volts = design.block_model(&bank.block)?.volts?;
    Some(volts.in_series(bank.series).voltage())
}

/// Loads that hang on a device.
pub fn loads_on<'a>(design: &'a Design, device: &'a str) -> impl Iterator<Item = &'a Load> {
    design.loads.iter().filter(move |l| l.fed_from.as_deref() == Some(device))
}

/// The largest steady current a device draws from the bank or gives to it.
#[must_use]
pub fn design_current(design: &Design, tables: &Tables, device: &Device) -> Option<DesignCurrent> {
    let nominal = nominal_volts(design)?;
    let own = || Cite::new("owner", "the design file", Status::Read);
    if device.kind == DeviceKind::Inverter {
        return inverter_current(tables, device, nominal);
    }
    if device.kind.is_charge_source() {
        return device.rating.map(|amps| DesignCurrent {
            steady: -amps,
            surge: -amps,
            why: format!("{} gives at most {}", device.part.name, show::current(amps)),
            cite: own(),
        });
    }
    if !device.kind.is_load() {
        return None;
    }
    if let Some(amps) = device.rating {
        return Some(DesignCurrent {
            steady: amps,
            surge: amps,
            why: format!("{} is rated {}", device.part.name, show::current(amps)),
            cite: own(),
        });
    }
    if let Some(power) = device.power {
        let efficiency = device.efficiency.unwrap_or(1.0).max(0.05);
        let amps = Current::amps(power.as_watts() / efficiency / nominal.as_volts());
        let why = format!("{} takes {} W", device.part.name, show::decimal(power.as_watts(), 0));
        return Some(DesignCurrent { steady: amps, surge: amps, why, cite: own() });
    }
    loads_together(design, device, nominal)
}

/// All loads on a device at once.
fn loads_together(design: &Design, device: &Device, nominal: Voltage) -> Option<DesignCurrent> {
    let mut steady = Current::ZERO;
    let mut extra = Current::ZERO;
    let mut count = 0_u32;
    for load in loads_on(design, &device.part.name) {
        let Some(amps) = load_amps(load, nominal) else {
            continue;
        };
        steady = steady + amps;
        let start = load.surge.map_or(amps, |p| Current::amps(p.as_watts() / nominal.as_volts()));
        extra = extra.max(start - amps);
        count += 1;
    }
    (count > 0).then(|| DesignCurrent {
        steady,
        surge: steady + extra,
        why: format!("{count} loads on {} running together", device.part.name),
        cite: Cite::new("owner", "the design file", Status::Read),
    })
}

/// Running current of a load at the bank's nominal volts.
#[must_use]
pub fn load_amps(load: &Load, nominal: Voltage) -> Option<Current> {
    load.current.or_else(|| load.power.map(|p| Current::amps(p.as_watts() / nominal.as_volts())))
}

/// An inverter draws most when the bank is lowest: at its own cut-off.
fn inverter_current(tables: &Tables, device: &Device, nominal: Voltage) -> Option<DesignCurrent> {
    let power = device.power?;
    let (efficiency, mut cite) = match device.efficiency {
        Some(share) => (share.max(0.05), Cite::new("owner", "the design file", Status::Read)),
        None => {
            let usual = tables.limits.value("inverter-efficiency");
            (usual.value, usual.cite)
        }
    };
    let cut_off = device.cut_off.unwrap_or_else(|| {
        let usual = tables.limits.value("inverter-cut-off-share");
        cite = usual.cite;
        nominal * usual.value
    });
    let steady = Current::amps(power.as_watts() / efficiency / cut_off.as_volts());
    let surge_power = device.surge.unwrap_or(power).max(power);
    let surge = Current::amps(surge_power.as_watts() / efficiency / cut_off.as_volts());
    let why = format!(
        "{} W at {} V and {} %",
        show::decimal(power.as_watts(), 0),
        show::decimal(cut_off.as_volts(), 2),
        show::decimal(efficiency * 100.0, 0),
    );
    Some(DesignCurrent { steady, surge, why, cite })
}

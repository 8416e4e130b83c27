//! Draws that an owner asks about: the usual loads, a charge, the start of a motor; the drop on
//! each path held against its limit; and the same network for another program to solve.

pub mod ladder;

use crate::circuit::error::SolveError;
use crate::circuit::network::{Injection, Terminals};
use crate::circuit::share::{Draw, PathShare, Share, ShareState};
use crate::circuit::spice;
use crate::cite::{Cite, Status};
use crate::facts::device::nominal_volts;
use crate::model::device::DeviceKind;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::{Current, Power, show};

/// A path with its drop held against what it may lose.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgedPath {
    /// The path.
    pub share: PathShare,
    /// Its drop as a share of the bank's nominal volts [%].
    pub percent: f64,
    /// What it may lose [%].
    pub limit_percent: f64,
    /// Which rule sets that limit, in words.
    pub governed_by: String,
    /// The drop is not above the limit; `None` where no current is asked of this path.
    pub within: Option<bool>,
    /// Where the limit comes from.
    pub cite: Cite,
}

/// Every load at its own current, as [`Study::discharge`] has it.
#[must_use]
pub fn usual(study: &Study) -> Draw {
    let loads = connected(study, |amps| amps > 0.0);
    if !loads.is_empty() {
        return Draw::Devices(loads);
    }
    let all = study.discharge.as_ref().map_or(0.0, |share| share.total_amps);
    Draw::Amps(Current::amps(all))
}

/// A charge of so many amps from the largest charge source; at the take-off when there is none.
#[must_use]
pub fn charge(study: &Study, amps: Current) -> Draw {
    let sources = connected(study, |amps| amps < 0.0);
    let largest = sources.iter().min_by(|a, b| a.1.as_amps().total_cmp(&b.1.as_amps()));
    match largest {
        Some((device, _)) => Draw::Devices(vec![(device.clone(), -amps)]),
        None => Draw::Amps(-amps),
    }
}

/// The draw at the moment at which the hardest-starting load starts on top of it.
#[must_use]
pub fn with_surge(study: &Study, draw: &Draw) -> Draw {
    let Some((device, extra)) = hardest_start(study) else {
        return draw.clone();
    };
    match draw {
        Draw::Devices(list) => {
            let mut list = list.clone();
            match list.iter_mut().find(|d| d.0 == device) {
                Some((_, amps)) => *amps = *amps + extra,
                None => list.push((device, extra)),
            }
            Draw::Devices(list)
        }
        Draw::Amps(amps) => Draw::Amps(*amps + extra),
        Draw::Watts(power) => {
            let volts = nominal_volts(&study.design).map_or(0.0, |v| v.as_volts());
            Draw::Watts(*power + Power::watts(extra.as_amps() * volts))
        }
    }
}

/// The load with the largest current above its steady one, and that extra current.
fn hardest_start(study: &Study) -> Option<(String, Current)> {
    study
        .currents
        .iter()
        .filter(|c| c.current.steady.as_amps() > 0.0)
        .filter(|c| study.netlist.device_terminals(&c.device).is_some())
        .map(|c| (c.device.clone(), c.current.surge - c.current.steady))
        .filter(|(_, extra)| extra.as_amps() > 0.0)
        .max_by(|a, b| a.1.as_amps().total_cmp(&b.1.as_amps()))
}

fn connected(study: &Study, wanted: fn(f64) -> bool) -> Vec<(String, Current)> {
    study
        .currents
        .iter()
        .filter(|c| wanted(c.current.steady.as_amps()))
        .filter(|c| study.netlist.device_terminals(&c.device).is_some())
        .map(|c| (c.device.clone(), c.current.steady))
        .collect()
}

/// Every path of a share, held against the owner's limit or that of the practice.
#[must_use]
pub fn judged_paths(study: &Study, tables: &Tables, share: &Share) -> Vec<JudgedPath> {
    let nominal_v = nominal_volts(&study.design).map_or(share.bank_volts, |v| v.as_volts());
    share
        .paths
        .iter()
        .filter_map(|path| {
            let limit = limit(study, tables, path, nominal_v)?;
            let percent = path.drop_mv / 10.0 / nominal_v.max(1e-9);
            // A charge path loses its volts the other way round.
            let within = (path.amps.abs() > 1e-9).then_some(percent.abs() <= limit.percent);
            Some(JudgedPath {
                share: path.clone(),
                percent,
                limit_percent: limit.percent,
                governed_by: limit.governed_by,
                within,
                cite: limit.cite,
            })
        })
        .collect()
}

struct DropLimit {
    percent: f64,
    governed_by: String,
    cite: Cite,
}

fn limit(study: &Study, tables: &Tables, path: &PathShare, nominal_v: f64) -> Option<DropLimit> {
    let device = study.design.device(&path.id)?;
    if device.kind.is_charge_source() {
        let most = tables.limits.value("drop-charge-path");
        let percent = most.value / nominal_v.max(1e-9) * 100.0;
        let governed_by = format!("{} V on a charge path", show::decimal(most.value, 2));
        return Some(DropLimit { percent, governed_by, cite: most.cite });
    }
    let word = study.design.rig.practice.word();
    let settings = tables.practices.of(word)?;
    let critical = is_critical(study, path, device.kind);
    if let Some(share) = study.design.limits.drop.filter(|_| critical) {
        let cite = Cite::new("owner", "limit.drop", Status::Read);
        let governed_by = "your own limit".to_owned();
        return Some(DropLimit { percent: share * 100.0, governed_by, cite });
    }
    let (sourced, which) = if critical {
        (&settings.drop_critical_percent, "important circuits")
    } else {
        (&settings.drop_other_percent, "other circuits")
    };
    let governed_by = format!("{word}, {which}");
    Some(DropLimit { percent: sourced.value, governed_by, cite: sourced.cite.clone() })
}

/// Inverters and panels are important unless the owner says of a lead on the way that it is not;
/// so the sizing has it too.
fn is_critical(study: &Study, path: &PathShare, kind: DeviceKind) -> bool {
    let said: Vec<bool> =
        path.leads.iter().filter_map(|id| study.wiring.lead(id)?.stated.critical).collect();
    if said.contains(&true) {
        return true;
    }
    matches!(kind, DeviceKind::Inverter | DeviceKind::Panel) && !said.contains(&false)
}

/// The network with the draw of a share as a SPICE deck, complete in itself.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn deck(study: &Study, draw: &Draw, share: &Share) -> Result<String, SolveError> {
    let Some(bank) = study.netlist.bank else {
        return Err(SolveError::NoBank);
    };
    let mut network = study.netlist.network.clone();
    for (name, at, amp) in drawn(study, draw, share, bank) {
        network.add_injection(Injection { name, from: at.plus, to: at.minus, amp });
    }
    let title = format!("{}. {}", study.design.rig.name, share.says);
    spice::deck(&network, &title, bank).map(|deck| deck.text)
}

/// What is drawn, where, and how many amps of it.
fn drawn(
    study: &Study,
    draw: &Draw,
    share: &Share,
    bank: Terminals,
) -> Vec<(String, Terminals, f64)> {
    if let Draw::Devices(list) = draw {
        let at = |name: &str| study.netlist.device_terminals(name);
        return list
            .iter()
            .filter_map(|(name, amps)| Some((name.clone(), at(name)?, amps.as_amps())))
            .collect();
    }
    // A device that got no power at any current draws nothing.
    if share.state == ShareState::Collapsed {
        return Vec::new();
    }
    let device = study.consumer.device.as_ref();
    let at = device.and_then(|d| study.netlist.device_terminals(d)).unwrap_or(bank);
    let name = device.map_or("take-off", String::as_str).to_owned();
    vec![(name, at, share.total_amps)]
}

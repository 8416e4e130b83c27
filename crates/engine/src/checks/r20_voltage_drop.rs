//! R20: volts lost between the bank and what it feeds or what fills it.

use super::context::{CheckError, Context, Said, listed};
use super::walk::fed_without;
use crate::circuit::share::{PathShare, Share};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::units::{Current, Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut said = Vec::new();
    let discharge = cx.study.discharge.as_ref().map_err(Clone::clone)?;
    for path in paths(discharge) {
        said.extend(load(cx, path)?);
    }
    if let Some(charge) = &cx.study.charge {
        for path in paths(charge.as_ref().map_err(Clone::clone)?) {
            said.extend(source(cx, path)?);
        }
    }
    Ok(said)
}

fn paths(share: &Share) -> impl Iterator<Item = &PathShare> {
    share.paths.iter().filter(|p| !p.leads.is_empty())
}

fn load(cx: &Context<'_>, path: &PathShare) -> Result<Option<Said>, CheckError> {
    let Some((device, nominal)) = cx.design().device(&path.id).zip(cx.nominal_volts()) else {
        return Ok(None);
    };
    // What hangs on the middle of the bank has no bank volts to lose; R13 judges it.
    if path.amps <= 0.0 || !fed_without(cx, &path.id, &|_| false) {
        return Ok(None);
    }
    let practice = cx.practice()?;
    let owner = cx.whole.limits.drop.map(|share| (share * 100.0, super::context::owner()));
    let critical = owner.unwrap_or((
        practice.drop_critical_percent.value,
        practice.drop_critical_percent.cite.clone(),
    ));
    let most = cx.limit("drop-other")?;
    let percent = path.drop_mv / 10.0 / nominal.as_volts();
    let (severity, limit, cite) = if most.value < percent {
        (Severity::Stop, most.value, most.cite)
    } else if is_critical(cx, device, path) && critical.0 < percent {
        (Severity::Fix, critical.0, critical.1)
    } else {
        return Ok(None);
    };
    let says = format!(
        "{} loses {} ({} %) at {}; {} % is allowed.",
        path.id,
        show::voltage(Voltage::millivolts(path.drop_mv)),
        show::decimal(percent, 1),
        show::current(Current::amps(path.amps)),
        show::decimal(limit, 0)
    );
    Ok(Some(said(cx, path, severity, says, cite)))
}

/// What may not lose more than the smaller limit: inverter, charger, panel feed, and what the
/// owner marked, such as navigation lights and the bilge pump.
fn is_critical(cx: &Context<'_>, device: &Device, path: &PathShare) -> bool {
    let marked = path
        .leads
        .iter()
        .any(|id| cx.study.wiring.lead(id).is_some_and(|l| l.stated.critical == Some(true)));
    marked || matches!(device.kind, DeviceKind::Inverter | DeviceKind::Panel)
}

fn source(cx: &Context<'_>, path: &PathShare) -> Result<Option<Said>, CheckError> {
    let limit = cx.limit("drop-charge-path")?;
    let lost = own_drop(cx, path);
    let whole = fed_without(cx, &path.id, &|_| false);
    if !whole || path.amps >= 0.0 || lost.as_volts() <= limit.value {
        return Ok(None);
    }
    let most = cx.limit("drop-other")?;
    let nominal = cx.nominal_volts().map_or(0.0, Voltage::as_volts);
    let wild = 0.0 < nominal && most.value / 100.0 * nominal < lost.as_volts();
    let (severity, cite) =
        if wild { (Severity::Stop, most.cite) } else { (Severity::Fix, limit.cite) };
    let says = format!(
        "{} stands {} above the posts at its full {}; {} V is allowed.",
        path.id,
        show::voltage(lost),
        show::current(Current::amps(path.amps.abs())),
        show::decimal(limit.value, 1)
    );
    Ok(Some(said(cx, path, severity, says, cite)))
}

/// What a charge source loses in conductors and joints when it alone gives its full current: no bank
/// takes the full current of all of them at once.
fn own_drop(cx: &Context<'_>, path: &PathShare) -> Voltage {
    let ohm: f64 = cx
        .study
        .wiring
        .leads
        .iter()
        .zip(&cx.study.ohms)
        .filter(|(lead, _)| path.leads.contains(&lead.id))
        .map(|(_, ohms)| ohms.total())
        .sum();
    Voltage::volts(path.amps.abs() * ohm)
}

fn said(cx: &Context<'_>, path: &PathShare, severity: Severity, says: String, cite: Cite) -> Said {
    Said {
        severity,
        path: format!("device.{}.drop", path.id),
        part: path.id.clone(),
        says,
        remedy: remedy(cx, path),
        why: "Volts lost on the way switch an inverter off early and keep a charger from ever \
              filling the bank.",
        sources: vec![cite],
        gates: None,
    }
}

/// The lead of the way that loses most is the one to change.
fn remedy(cx: &Context<'_>, path: &PathShare) -> String {
    let share = cx.study.discharge.as_ref().ok();
    let charge = cx.study.charge.as_ref().and_then(|c| c.as_ref().ok());
    let share = if path.amps < 0.0 { charge } else { share };
    let mut lost: Vec<(String, f64)> = share
        .iter()
        .flat_map(|s| &s.leads)
        .filter(|l| path.leads.contains(&l.id))
        .map(|l| (format!("lead {}", l.id), l.drop_mv.abs()))
        .collect();
    lost.sort_by(|a, b| b.1.total_cmp(&a.1));
    let worst: Vec<&str> = lost.iter().take(2).map(|l| l.0.as_str()).collect();
    format!("Use a thicker or shorter cable for {}, which lose most.", listed(&worst))
}

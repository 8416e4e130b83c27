//! R62: a charger that the inverter feeds from the bank it charges.

use super::context::{CheckError, Context, Said};
use super::supply::{Supply, efficiency, live, on_the_same_circuits};
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::units::{Power, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(inverter) = cx.design().devices_of(DeviceKind::Inverter).next() else {
        return Ok(Vec::new());
    };
    let mut said = Vec::new();
    for charger in cx.design().devices_of(DeviceKind::Charger) {
        let name = &charger.part.name;
        if on_inverter(cx, charger) {
            let (heat, cites) = heat(cx, charger, inverter)?;
            let into = heat.map_or_else(
                || "power".to_owned(),
                |w| format!("{} W", show::decimal(w.as_watts(), 0)),
            );
            let says = format!(
                "{name} is fed by {}: the battery is charging itself and turning {into} into heat.",
                inverter.part.name
            );
            said.push(one(name, says, cites));
        } else if charger.fed_by.is_none() && may_be_fed(cx) {
            let says = format!(
                "It is not known which circuit feeds {name}; on the inverter's side the battery \
                 would charge itself."
            );
            said.push(one(name, says, Vec::new()));
        }
    }
    Ok(said)
}

/// Said of the charger itself, or of a mains circuit of the same name.
fn on_inverter(cx: &Context<'_>, charger: &Device) -> bool {
    let circuits = cx.design().mains.iter().flat_map(|m| &m.circuits);
    charger.fed_by.as_deref() == Some(Supply::Inverter.word())
        || circuits
            .into_iter()
            .any(|c| c.name.eq_ignore_ascii_case(&charger.part.name) && c.on_inverter == Some(true))
}

/// The inverter feeds circuits that the shore or a generator feeds too, so a charger may hang on
/// one of them.
fn may_be_fed(cx: &Context<'_>) -> bool {
    on_the_same_circuits(cx).contains(&Supply::Inverter) && 2 <= live(cx).len()
}

/// What goes round and is lost: the battery gives more than it gets back.
///
/// # Formula
/// H = P / (a * b) - P
/// # Symbols
/// - P, what the charger puts into the bank, its absorption volts times its rating, but no
///   more than the inverter can feed [W]
/// - a, efficiency of the charger; b, efficiency of the inverter
/// - returns H, heat [W]; nothing when volts or amps are not known
/// # Valid
/// A charger at full output. The loss inside the battery comes on top.
/// # Source
/// physics, energy in less energy out, computed
/// # Checked by
/// hand worked on the page of R62; it cannot detect a wrong efficiency
fn heat(
    cx: &Context<'_>,
    charger: &Device,
    inverter: &Device,
) -> Result<(Option<Power>, Vec<Cite>), CheckError> {
    let own = efficiency(cx, inverter)?;
    let of_charger = match charger.efficiency {
        Some(share) => crate::tables::Sourced::new(share.max(0.05), super::context::owner()),
        None => cx.limit("charger-efficiency")?,
    };
    let volts = charger.absorption.or_else(|| cx.nominal_volts());
    let cites = vec![own.cite.clone(), of_charger.cite.clone()];
    let Some((volts, amps)) = volts.zip(charger.rating) else {
        return Ok((None, cites));
    };
    let most = inverter.power.map_or(f64::MAX, |p| p.as_watts() * of_charger.value);
    let into_bank = (volts.as_volts() * amps.as_amps()).min(most);
    let heat = into_bank / (of_charger.value * own.value) - into_bank;
    Ok((Some(Power::watts(heat)), cites))
}

fn one(name: &str, says: String, cites: Vec<Cite>) -> Said {
    let pages = Cite::new("inverter-install-pages", "charging loop", Status::Read);
    Said {
        severity: Severity::Fix,
        path: format!("device.{name}.fed_by"),
        part: name.to_owned(),
        says,
        remedy: format!(
            "Move {name} to a shore-only circuit or switch its breaker off while the inverter \
             runs, and write device.{name}.fed_by = \"shore\"."
        ),
        why: "Each round through inverter and charger loses a part, until the bank is empty.",
        sources: [vec![pages], cites].concat(),
        gates: None,
    }
}

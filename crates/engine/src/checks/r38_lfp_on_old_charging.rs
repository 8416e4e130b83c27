//! R38: lithium on charge sources made for lead.

use super::context::{CheckError, Context, Said, owner};
use super::sources::{chain, coldest};
use crate::cite::{Cite, Status};
use crate::finding::{Gate, Severity};
use crate::model::device::{Device, DeviceKind};
use crate::sim::chain::{Chain, Feed, Source};
use crate::units::{Current, Temperature, Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let chain = chain(cx);
    if chain.chemistry.is_lead() || cx.study.facts.blocks.is_empty() {
        return Ok(Vec::new());
    }
    let mut said = Vec::new();
    for source in chain.sources.iter().filter(|s| s.feed != Feed::Inverter) {
        said.extend(cold(cx, source)?);
    }
    for device in &cx.design().devices {
        said.extend(profile(device));
    }
    for device in cx.design().devices_of(DeviceKind::Alternator) {
        said.extend(alternator(cx, &chain, device)?);
    }
    said.extend(no_precharge(cx));
    Ok(said)
}

fn pages(what: &str) -> Cite {
    Cite::new("lfp-swap-pages", what, Status::Read)
}

/// The warmest of the lockouts between a source and the cells: its own, a protection board's, the
/// block's.
fn lockout(cx: &Context<'_>, source: &Source) -> Option<f64> {
    let block = cx.bank().and_then(|b| cx.design().block_model(&b.block)?.lockout_below);
    let boards = cx.design().devices_of(DeviceKind::Bms).filter_map(|d| d.lockout_below);
    boards.chain(block).map(Temperature::as_celsius).chain(source.lockout_below_c).reduce(f64::max)
}

fn cold(cx: &Context<'_>, source: &Source) -> Result<Option<Said>, CheckError> {
    let least = cx.limit("lfp-charge-temperature-min")?;
    let heated = cx.design().enclosure.as_ref().is_some_and(|b| b.heated == Some(true));
    let lockout = lockout(cx, source);
    if heated || lockout.is_some_and(|c| least.value <= c) {
        return Ok(None);
    }
    let place = coldest(cx);
    if place.as_ref().is_some_and(|c| least.value <= c.value) {
        return Ok(None);
    }
    let name = &source.name;
    let shown = |c: f64| show::temperature(Temperature::celsius(c), cx.units());
    let guard = lockout.map_or_else(
        || "nothing is written that stops it".to_owned(),
        |c| format!("what stops it does so only under {}", shown(c)),
    );
    let (severity, cold) = match &place {
        Some(cold) => (Severity::Stop, format!("down to {}", shown(cold.value))),
        None => (Severity::Fix, "as cold as it gets there, which is not known".to_owned()),
    };
    let mut sources = vec![pages("no charge in the cold"), least.cite];
    sources.extend(place.map(|c| c.cite));
    Ok(Some(
        Said {
            severity,
            path: format!("device.{name}.lockout_below"),
            part: name.clone(),
            says: format!(
                "{name} can charge cells colder than {}: {guard}, and the place is {cold}.",
                shown(least.value)
            ),
            remedy: format!(
                "Set a low-temperature cut-off, or read that of the blocks' own board, and write \
             device.{name}.lockout_below or the block's; or keep the box warm and write box.heated \
             = true. Less than freezing only where the maker's sheet allows it."
            ),
            why: "Charge in the cold plates metal on the cells: they lose capacity and may short \
              inside.",
            sources,
            gates: None,
        }
        .only(&[Gate::Charge]),
    ))
}

fn profile(device: &Device) -> Option<Said> {
    let name = &device.part.name;
    let (key, what) = match (device.equalise, device.desulphate) {
        (Some(volts), _) => ("equalise", format!("equalises at {}", show::voltage(volts))),
        (None, Some(true)) => ("desulphate", "has a profile against sulphate on".to_owned()),
        _ => return None,
    };
    Some(Said {
        severity: Severity::Stop,
        path: format!("device.{name}.{key}"),
        part: name.clone(),
        says: format!("{name} {what}: lithium cells must never see it."),
        remedy: format!(
            "Switch it off for good on {name} and take device.{name}.{key} out of the file; if it \
             cannot be switched off, {name} must go."
        ),
        why: "Volts above the cells' limit trip the board at best, and vent a cell at worst.",
        sources: vec![owner(), pages("profiles made for lead")],
        gates: None,
    })
}

fn alternator(
    cx: &Context<'_>,
    chain: &Chain,
    device: &Device,
) -> Result<Option<Said>, CheckError> {
    let Some(rating) = device.rating.filter(|_| device.limiter != Some(true)) else {
        return Ok(None);
    };
    let share = cx.limit("lfp-alternator-share-max")?;
    let stated = cx.bank().and_then(|bank| {
        let most = cx.design().block_model(&bank.block)?.charge_max?;
        Some(most.as_amps() * f64::from(bank.parallel))
    });
    let usual =
        cx.tables.charging.currents(chain.table_word()).into_iter().find(|r| r.kind == "normal");
    let usual = usual.zip(cx.bank_amp_hours());
    let (takes, cite) = match (stated, usual) {
        (Some(amps), _) => (amps, owner()),
        (None, Some((row, amp_hours))) => (row.high * amp_hours, row.cite.clone()),
        (None, None) => return Ok(None),
    };
    if takes <= share.value * rating.as_amps() {
        return Ok(None);
    }
    let name = &device.part.name;
    let limiter = if device.limiter == Some(false) { "has no" } else { "is not known to have a" };
    Ok(Some(Said {
        severity: Severity::Fix,
        path: format!("device.{name}.limiter"),
        part: name.clone(),
        says: format!(
            "The bank takes {} and {name} is rated {}; it {limiter} limiter. It will run hot for \
             hours.",
            show::current(Current::amps(takes)),
            show::current(rating)
        ),
        remedy: format!(
            "Charge through a dc-dc charger or a regulator that limits amps and watches the \
             alternator's heat, and write device.{name}.limiter = true."
        ),
        why: "Lithium takes all it can get to the end; an alternator made for a moment's charge \
              burns out, and one that loses its battery kills the electronics on its line.",
        sources: vec![cite, share.cite, pages("alternators")],
        gates: None,
    }))
}

fn no_precharge(cx: &Context<'_>) -> Option<Said> {
    let inverter = cx.design().devices_of(DeviceKind::Inverter).next()?;
    if cx.design().devices_of(DeviceKind::Precharge).next().is_some() {
        return None;
    }
    let name = &inverter.part.name;
    let volts = cx.nominal_volts().unwrap_or(Voltage::ZERO);
    Some(Said {
        severity: Severity::Note,
        path: format!("device.{name}"),
        part: name.clone(),
        says: format!(
            "Nothing fills the capacitors of {name} before the switch joins them to {}: the inrush \
             trips the blocks' board, or burns the switch.",
            show::voltage(volts)
        ),
        remedy:
            "Fit a pre-charge resistor with a push-button across the open switch and add it as a \
                 device of kind precharge, or read in the inverter's sheet that it has its own."
                .to_owned(),
        why: "Empty capacitors are a short for a moment.",
        sources: vec![pages("pre-charge")],
        gates: None,
    })
}

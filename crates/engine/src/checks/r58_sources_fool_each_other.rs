//! R58: a source that another one makes believe the bank is full.

use super::context::{CheckError, Context, Said, owner};
use super::sources::chain;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::sim::chain::{Chain, Feed, Phase, Source};
use crate::units::{Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let chain = chain(cx);
    let gated = cx
        .design()
        .devices
        .iter()
        .filter(|d| d.kind == DeviceKind::Generator || chain.source(&d.part.name).is_some());
    Ok(gated.filter_map(|device| judged(&chain, device)).collect())
}

/// Volts at which a source holds the posts for hours, nothing flowing.
fn holds(source: &Source) -> Option<f64> {
    let stated = |set: &Option<crate::sim::chain::SetVolts>| set.as_ref().is_some_and(|s| s.stated);
    let known = stated(&source.float) || stated(&source.absorption);
    source.set_v(Phase::Float, 25.0).filter(|_| known && source.feed != Feed::Inverter)
}

/// The other source that holds the highest volts.
fn other<'a>(chain: &'a Chain, device: &Device) -> Option<(&'a Source, f64)> {
    let others = chain.sources.iter().filter(|s| s.name != device.part.name);
    // What the generator itself feeds stops with it.
    let others =
        others.filter(|s| device.kind != DeviceKind::Generator || s.feed != Feed::Generator);
    others.filter_map(|s| Some((s, holds(s)?))).max_by(|a, b| a.1.total_cmp(&b.1))
}

fn judged(chain: &Chain, device: &Device) -> Option<Said> {
    let (source, held) = other(chain, device)?;
    let name = &device.part.name;
    let own = chain.source(name);
    let own_set = own.filter(|s| s.absorption.as_ref().is_some_and(|a| a.stated));
    let own_set = own_set.and_then(|s| s.set_v(Phase::Absorb, 25.0));
    let (key, under, begins) = match (device.resume, own_set) {
        (Some(resume), _) if resume.as_volts() < held => ("resume", resume.as_volts(), true),
        (_, Some(set)) if set < held - 0.05 => ("absorption", set, false),
        _ => return None,
    };
    let what = if begins { "begins to charge only under" } else { "stops at" };
    Some(Said {
        severity: Severity::Note,
        path: format!("device.{name}.{key}"),
        part: name.clone(),
        says: format!(
            "{} holds the bank at {} and {name} {what} {}: {} holds volts up, so {name} thinks it is \
             full.",
            source.name,
            show::voltage(Voltage::volts(held)),
            show::voltage(Voltage::volts(under)),
            source.name
        ),
        remedy: format!(
            "Set {name} to begin by time or by counted amp-hours, or its volts above those of {}; \
             when you want {name} to fill the bank, switch {} off.",
            source.name, source.name
        ),
        why: "A source that judges the bank by its volts sees those of the other source.",
        sources: vec![
            owner(),
            Cite::new("charge-series-owner", "two sources at once", Status::Read),
        ],
        gates: None,
    })
}

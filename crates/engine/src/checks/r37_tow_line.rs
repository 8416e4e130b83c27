//! R37: what really comes through the line of a tow plug.

use super::context::{CheckError, Context, Said, owner};
use super::sources::chain;
use crate::facts::device::{load_amps, loads_on, nominal_volts};
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::sim::chain::{Chain, Phase, Source};
use crate::sim::line::{Line, articles};
use crate::tables::Sourced;
use crate::units::{Current, Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let chain = chain(cx);
    let mut said = Vec::new();
    for device in cx.design().devices_of(DeviceKind::TowLine) {
        if let Some(source) = chain.source(&device.part.name) {
            said.extend(line(cx, &chain, source, device)?);
            said.extend(parted(device));
        }
    }
    for device in cx.design().devices_of(DeviceKind::DcDc) {
        if let Some(source) = chain.source(&device.part.name) {
            said.extend(starved(cx, source)?);
        }
    }
    Ok(said)
}

/// The volts of the posts at which a tow line is judged.
fn posts(cx: &Context<'_>, chain: &Chain) -> Result<Sourced<f64>, CheckError> {
    let at_12 = cx.limit("tow-line-post-voltage")?;
    // The figure is that of six lead cells.
    let sixes = f64::from(chain.cells) / if chain.chemistry.is_lead() { 6.0 } else { 4.0 };
    Ok(at_12.map(|v| v * sixes))
}

fn line(
    cx: &Context<'_>,
    chain: &Chain,
    source: &Source,
    device: &Device,
) -> Result<Vec<Said>, CheckError> {
    let (posts, least) = (posts(cx, chain)?, cx.limit("tow-line-current-min")?);
    let amps = source.amps_at(posts.value, Phase::Absorb, 25.0);
    let name = &device.part.name;
    let sources = vec![owner(), articles(), posts.cite.clone(), least.cite.clone()];
    let mut said = Vec::new();
    if amps < least.value {
        said.push(Said {
            severity: Severity::Note,
            path: format!("device.{name}.length"),
            part: name.clone(),
            says: format!(
                "Expect {} from {name} with the posts at {}, about {} Ah per driving hour: top-up \
                 only.{}",
                show::current(Current::amps(amps)),
                show::voltage(Voltage::volts(posts.value)),
                show::decimal(amps, 0),
                way(source)
            ),
            remedy: format!(
                "Count on it for topping up only, or fit a dc-dc charger near the bank with a thick \
                 pair from the vehicle; measure volts at the posts while driving to know {name}."
            ),
            why: "The vehicle holds its own battery, not yours: a long thin line loses the few \
                  tenths of a volt that drive a charge.",
            sources: sources.clone(),
            gates: None,
        });
    }
    said.extend(fridge(cx, device, amps, sources));
    Ok(said)
}

fn way(source: &Source) -> String {
    source.line.map_or_else(String::new, |l: Line| {
        format!(
            " The line has {} milliohm out and back, {} of them in the vehicle.",
            show::decimal((l.ohm + source.ohm) * 1000.0, 0),
            show::decimal(l.ohm * 1000.0, 0)
        )
    })
}

/// Loads that run on the line while driving, a three-way fridge above all.
fn fridge(
    cx: &Context<'_>,
    device: &Device,
    amps: f64,
    sources: Vec<crate::cite::Cite>,
) -> Option<Said> {
    let name = &device.part.name;
    let nominal = nominal_volts(cx.design())?;
    let wanted: f64 = loads_on(cx.design(), name)
        .filter_map(|l| load_amps(l, nominal))
        .map(|a| a.as_amps())
        .sum();
    (amps < wanted).then(|| Said {
        severity: Severity::Fix,
        path: format!("device.{name}.rating"),
        part: name.clone(),
        says: format!(
            "What hangs on {name} draws {} and the line gives {}: the rest comes out of the bank \
             while you drive.",
            show::current(Current::amps(wanted)),
            show::current(Current::amps(amps))
        ),
        remedy: format!(
            "Run the fridge on gas only while parked, give it a line of its own from the vehicle, \
             or feed {name} through a thicker pair."
        ),
        why: "A three-way fridge takes more than most tow lines bring.",
        sources,
        gates: None,
    })
}

fn parted(device: &Device) -> Option<Said> {
    let name = &device.part.name;
    let (severity, says) = match device.relay {
        Some(true) => return None,
        Some(false) => (
            Severity::Fix,
            format!(
                "Nothing parts {name} from the vehicle's battery when the engine stands: the rig \
                 empties the battery that must start the engine."
            ),
        ),
        None => (
            Severity::Note,
            format!("It is not known whether a relay parts {name} when the engine stands."),
        ),
    };
    Some(Said {
        severity,
        path: format!("device.{name}.relay"),
        part: name.clone(),
        says,
        remedy: format!(
            "Fit a relay that closes with the engine, or measure the plug with the engine off: no \
             volts means there is one. Then write device.{name}.relay = true."
        ),
        why: "Two batteries on one line share what they have, day and night.",
        sources: vec![articles()],
        gates: None,
    })
}

/// A dc-dc charger that its line cannot feed.
fn starved(cx: &Context<'_>, source: &Source) -> Result<Option<Said>, CheckError> {
    let Some(line) = source.line.filter(|_| source.rated) else {
        return Ok(None);
    };
    let out_v = source.set_v(Phase::Absorb, 25.0).unwrap_or(line.source_v);
    let fed = line.most_a(source, out_v);
    if source.most_a <= fed {
        return Ok(None);
    }
    let name = &source.name;
    let least = cx.limit("tow-line-current-min")?;
    Ok(Some(Said {
        severity: Severity::Note,
        path: format!("device.{name}.length"),
        part: name.clone(),
        says: format!(
            "{name} is rated {} and its line feeds {}: it drops out when the volts at its input \
             fall under {}.",
            show::current(Current::amps(source.most_a)),
            show::current(Current::amps(fed)),
            show::voltage(Voltage::volts(line.least_v))
        ),
        remedy: format!(
            "Thicken or shorten the pair from the vehicle, or set {name} to fewer amps."
        ),
        why: "A converter pulls more amps the lower its volts are, until the line gives out.",
        sources: vec![owner(), articles(), least.cite],
        gates: None,
    }))
}

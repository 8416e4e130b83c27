//! R32: a source whose volts at the posts never fill a lead bank.

use super::context::{CheckError, Context, Said, owner};
use super::sources::{cell_word, chain};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::block::Chemistry;
use crate::model::device::DeviceKind;
use crate::sim::chain::{Chain, Feed, Phase, Source};
use crate::tables::Sourced;
use crate::tables::charging::Stage;
use crate::units::{Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let chain = chain(cx);
    let Some(need) = needed(cx, &chain)?.filter(|_| chain.chemistry.is_lead() && 0 < chain.cells)
    else {
        return Ok(Vec::new());
    };
    let tail_a = tail_amps(cx);
    let drop = cx.limit("drop-charge-path")?;
    let judged = |source: &Source| Judged::of(source, &chain, tail_a);
    let fills = chain.sources.iter().filter(|s| asks(s)).any(|s| {
        judged(s)
            .is_some_and(|j| s.absorption.as_ref().is_some_and(|a| a.stated) && need.value <= j.end)
    });
    let mut said = Vec::new();
    for source in chain.sources.iter().filter(|s| asks(s)) {
        let stated = source.absorption.as_ref().is_some_and(|a| a.stated);
        let Some(found) = judged(source).filter(|_| stated) else {
            said.push(unknown(source, &need));
            continue;
        };
        if found.end < need.value - 1e-9 {
            said.push(low(source, &chain, (&found, &need), fills));
        } else if found.full < need.value && drop.value < found.lost_v {
            said.push(held_back(source, &chain, (&found, &need), drop.cite.clone()));
        }
    }
    Ok(said)
}

/// A plain tow line holds no volts of its own: rule R37 judges it.
fn asks(source: &Source) -> bool {
    source.feed != Feed::Inverter && source.kind != DeviceKind::TowLine
}

/// The volts a cell must be held at, at 25 C.
fn needed(cx: &Context<'_>, chain: &Chain) -> Result<Option<Sourced<f64>>, CheckError> {
    if chain.chemistry == Chemistry::Flooded {
        return cx.limit("absorption-flooded-min").map(Some);
    }
    // Sources differ for the others: what the lowest of them asks is the least that can fill a cell.
    let rows = cx.tables.charging.set_points(chain.table_word(), Stage::Absorption);
    let lowest = rows.into_iter().min_by(|a, b| a.low.as_volts().total_cmp(&b.low.as_volts()));
    Ok(lowest.map(|r| Sourced::new(r.low.as_volts(), r.cite.clone())))
}

/// Amps at which a bank is nearly full.
fn tail_amps(cx: &Context<'_>) -> f64 {
    let share = cx.tables.charging.tails().first().map_or(0.0, |t| t.1.value);
    cx.bank_amp_hours().unwrap_or(0.0) * share
}

/// Volts per cell that reach the posts.
struct Judged {
    studs_v: f64,
    end: f64,
    full: f64,
    lost_v: f64,
}

impl Judged {
    fn of(source: &Source, chain: &Chain, tail_a: f64) -> Option<Self> {
        let cells = f64::from(chain.cells);
        let studs_v = source.set_v(Phase::Absorb, 25.0)?;
        let at = |amps: f64| source.posts_v(Phase::Absorb, 25.0, amps);
        let most_a = if source.rated { source.most_a } else { 0.0 };
        let (end, full) = (at(tail_a.min(most_a.max(tail_a)))?, at(most_a)?);
        Some(Self { studs_v, end: end / cells, full: full / cells, lost_v: studs_v - full })
    }
}

fn volts(v: f64) -> String {
    show::voltage(Voltage::volts(v))
}

fn low(
    source: &Source,
    chain: &Chain,
    (found, need): (&Judged, &Sourced<f64>),
    fills: bool,
) -> Said {
    let name = &source.name;
    let cells = f64::from(chain.cells);
    let fixed = source
        .float
        .as_ref()
        .zip(source.absorption.as_ref())
        .is_some_and(|(f, a)| f.stated && (f.volts - a.volts).abs() < 0.05);
    let fixed = if fixed { "a fixed " } else { "" };
    // An alternator cannot always be set; another source may fill the bank once a week.
    let passing = matches!(source.kind, DeviceKind::Alternator | DeviceKind::DcDc) && fills;
    let never = if passing {
        format!("On {name} alone the bank never gets full.")
    } else {
        "It will never get full. Plates sulphate.".to_owned()
    };
    Said {
        severity: if passing { Severity::Note } else { Severity::Fix },
        path: format!("device.{name}.absorption"),
        part: name.clone(),
        says: format!(
            "{name} holds {fixed}{} at its studs, {} at the posts when the charge ends: {} V per \
             cell, and {} needs {} V at 25 °C. {never}",
            volts(found.studs_v),
            volts(found.end * cells),
            show::fixed(found.end, 2),
            cell_word(chain.chemistry),
            show::fixed(need.value, 2),
        ),
        remedy: format!(
            "Set {name} so that the posts read {} or what the blocks' own sheet says, or fill the \
             bank from a source that can; a fixed converter must be changed.",
            volts(need.value * cells)
        ),
        why: "Below this a lead cell never gasses: the acid layers and the sulphate of the last \
              tenth hardens.",
        sources: vec![owner(), need.cite.clone()],
        gates: None,
    }
}

fn held_back(
    source: &Source,
    chain: &Chain,
    (found, need): (&Judged, &Sourced<f64>),
    drop: Cite,
) -> Said {
    let name = &source.name;
    Said {
        severity: Severity::Fix,
        path: format!("device.{name}.absorption"),
        part: name.clone(),
        says: format!(
            "{name} shows {} while the posts get {} at its full {}: {} V is lost on the way, so it \
             begins to hold back at {} V per cell in place of {} V.",
            volts(found.studs_v),
            volts(found.full * f64::from(chain.cells)),
            show::current(crate::units::Current::amps(source.most_a)),
            show::fixed(found.lost_v, 2),
            show::fixed(found.full, 2),
            show::fixed(need.value, 2),
        ),
        remedy: format!(
            "Shorten or thicken the leads of {name}, or let it measure at the posts over wires of \
             its own and write device.{name}.sense = \"posts\"."
        ),
        why: "A charger that sees more than the posts get ends the fast part of the charge early, \
              and a clock then cuts off the rest.",
        sources: vec![owner(), need.cite.clone(), drop],
        gates: None,
    }
}

fn unknown(source: &Source, need: &Sourced<f64>) -> Said {
    let name = &source.name;
    Said {
        severity: Severity::Note,
        path: format!("device.{name}.absorption"),
        part: name.clone(),
        says: format!(
            "It is not known to what volts {name} charges; whether it ever fills the bank cannot be \
             said."
        ),
        remedy: format!(
            "Read its set points, or its volts with the bank nearly full, and write \
             device.{name}.absorption and float."
        ),
        why: "A source that stops too low leaves the bank part full for good.",
        sources: vec![need.cite.clone()],
        gates: None,
    }
}

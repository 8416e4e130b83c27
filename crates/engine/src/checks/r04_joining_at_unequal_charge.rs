//! R04: strings that are to be joined at different volts.

use super::context::{CheckError, Context, Said, listed};
use crate::finding::{Gate, Severity};
use crate::model::as_built::Measured;
use crate::model::bank::{Bank, BlockId};
use crate::units::{Voltage, show};

/// Until the strings are measured nothing may be joined or charged.
const UNTIL_MEASURED: &[Gate] = &[Gate::Energise, Gate::Charge];

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank().filter(|b| 2 <= b.parallel) else {
        return Ok(Vec::new());
    };
    let lfp = cx.study.facts.blocks.iter().any(|b| !b.chemistry.is_lead());
    let rest: Vec<Option<Voltage>> = (0..bank.parallel).map(|s| rest_of(cx, bank, s)).collect();
    let mut said = Vec::new();
    let missing: Vec<String> = (0..bank.parallel)
        .zip(&rest)
        .filter(|(_, volts)| volts.is_none())
        .map(|(s, _)| format!("string {}", BlockId::string_letters(s)))
        .collect();
    if !missing.is_empty() {
        said.push(unmeasured(cx, bank, &missing, lfp)?);
    }
    let known: Vec<(u32, Voltage)> =
        (0..bank.parallel).zip(&rest).filter_map(|(s, v)| Some((s, (*v)?))).collect();
    let by = |a: &&(u32, Voltage), b: &&(u32, Voltage)| a.1.as_volts().total_cmp(&b.1.as_volts());
    // One string alone is apart from nothing; that the others are missing is told above.
    if 2 <= known.len()
        && let (Some(low), Some(high)) = (known.iter().min_by(by), known.iter().max_by(by))
    {
        said.extend(apart(cx, bank, (*low, *high), lfp)?);
    }
    Ok(said)
}

/// Volts of an open string at rest: the string's own reading, or the sum of its blocks'.
fn rest_of(cx: &Context<'_>, bank: &Bank, string: u32) -> Option<Voltage> {
    let readings = &cx.design().as_built.volts;
    let read = |what: &Measured| readings.iter().find(|r| r.what == *what).map(|r| r.volts);
    read(&Measured::String(string)).or_else(|| {
        let mut total = Voltage::ZERO;
        for place in 0..bank.series {
            let id = BlockId { string, place };
            total = total + bank.state_of(id).rest.or_else(|| read(&Measured::Block(id)))?;
        }
        Some(total)
    })
}

fn unmeasured(
    cx: &Context<'_>,
    bank: &Bank,
    missing: &[String],
    lfp: bool,
) -> Result<Said, CheckError> {
    Ok(Said {
        severity: if lfp { Severity::Stop } else { Severity::Fix },
        path: "as_built.volts".to_owned(),
        part: "the open strings".to_owned(),
        says: format!(
            "Not measured at rest yet: {}; whether the strings of {} may be joined is not known.",
            listed(missing),
            bank.block
        ),
        remedy: "Charge each string full on its own, let it rest four hours, and write its volts."
            .to_owned(),
        why: "A fuller string empties itself into the other the moment they are joined.",
        sources: vec![
            cx.limit("join-voltage-difference-12v-max")?.cite,
            cx.limit("rest-hours-min")?.cite,
        ],
        gates: Some(UNTIL_MEASURED),
    })
}

fn apart(
    cx: &Context<'_>,
    bank: &Bank,
    ends: ((u32, Voltage), (u32, Voltage)),
    lfp: bool,
) -> Result<Option<Said>, CheckError> {
    let (low, high) = ends;
    let apart = high.1 - low.1;
    let figure = cx.limit("join-voltage-difference-12v-max")?;
    let model = cx.design().block_model(&bank.block);
    let maker = model.and_then(|m| m.join_within).map(|v| v * f64::from(bank.series));
    // The trade's figure is for 12 V; it grows with the volts of the bank.
    let twelfths = cx.nominal_volts().map_or(1.0, |v| v.as_volts() / 12.0);
    let lead = Voltage::volts(figure.value * twelfths);
    let limit = if lfp { maker } else { Some(maker.unwrap_or(lead)) };
    // Readings come in hundredths of a volt, so a difference at the limit is not over it.
    let over = limit.is_none_or(|l| l.as_volts() + 1e-9 < apart.as_volts());
    if !over {
        return Ok(None);
    }
    let letter = BlockId::string_letters;
    let allowed = limit.map_or_else(
        || "and what its maker allows is not known".to_owned(),
        |l| format!("{} is allowed", show::voltage(l)),
    );
    Ok(Some(Said {
        severity: if lfp { Severity::Stop } else { Severity::Fix },
        path: format!("{}.rest", bank.path),
        part: format!("strings {} and {}", letter(high.0), letter(low.0)),
        says: format!(
            "String {} rests at {} and string {} at {}: {} apart, {allowed}.",
            letter(high.0),
            show::voltage(high.1),
            letter(low.0),
            show::voltage(low.1),
            show::voltage(apart)
        ),
        remedy: "Charge each one full on its own, let it rest, then join.".to_owned(),
        why: "A fuller string empties itself into the other the moment they are joined.",
        sources: vec![figure.cite],
        gates: None,
    }))
}

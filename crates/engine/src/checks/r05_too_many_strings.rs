//! R05: more strings in parallel than share well, or a larger block that would need fewer.

use super::context::{CheckError, Context, Said, owner};
use crate::finding::Severity;
use crate::model::bank::Bank;
use crate::model::block::BlockModel;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank().filter(|b| 2 <= b.parallel) else {
        return Ok(Vec::new());
    };
    let most = cx.limit("strings-lead-max")?;
    let lead = cx.study.facts.blocks.iter().all(|b| b.chemistry.is_lead());
    let larger = larger_block(cx, bank);
    let mut said = Said {
        severity: Severity::Fix,
        path: format!("{}.parallel", bank.path),
        part: "the bank".to_owned(),
        says: format!(
            "{} strings of lead batteries stand in parallel; about {} is the most that share well.",
            bank.parallel,
            show::decimal(most.value, 0)
        ),
        remedy: larger.map_or_else(
            || "Use fewer, bigger blocks: look for the same volts with more amp-hours.".to_owned(),
            |m| format!("Use {} in fewer strings.", m.name),
        ),
        why: "Fewer, bigger blocks share better, and there are fewer joints to go bad.",
        sources: vec![most.cite],
        gates: None,
    };
    if lead && most.value < f64::from(bank.parallel) {
        return Ok(vec![said]);
    }
    let Some(larger) = larger else {
        return Ok(Vec::new());
    };
    said.severity = Severity::Note;
    said.says = format!(
        "{} strings of {} stand in parallel; {} has the same volts and more amp-hours, and fewer \
         of it weigh no more than you allow.",
        bank.parallel, bank.block, larger.name
    );
    said.sources = vec![owner()];
    Ok(vec![said])
}

/// A block of the design with the same volts and more amp-hours, in fewer strings within the mass
/// the owner allows.
fn larger_block<'a>(cx: &Context<'a>, bank: &Bank) -> Option<&'a BlockModel> {
    let own = cx.design().block_model(&bank.block)?;
    let amp_hours = |m: &BlockModel| m.rating.and_then(|r| r.capacity()).map(|c| c.as_amp_hours());
    let (volts, own_ah) = (own.volts?, amp_hours(own)?);
    let allowed = cx.whole.limits.mass?;
    cx.whole.blocks.iter().find(|m| {
        let same = m.volts.is_some_and(|v| v.near(volts, volts * 0.01));
        let strings =
            amp_hours(m).map_or(f64::MAX, |ah| (own_ah * f64::from(bank.parallel) / ah).ceil());
        let mass = m.mass.map(|kg| kg * (strings * f64::from(bank.series)));
        m.name != own.name
            && same
            && m.chemistry == own.chemistry
            && strings < f64::from(bank.parallel)
            && mass.is_some_and(|kg| kg <= allowed)
    })
}

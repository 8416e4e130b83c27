//! R06: a reading that says a block is reversed or a link is in the wrong place.

use super::context::{CheckError, Context, Said, listed};
use crate::circuit::wiring::LeadRole;
use crate::finding::{Gate, Severity};
use crate::model::as_built::{Measured, VoltReading};
use crate::model::bank::{Bank, BlockId};
use crate::units::{Voltage, show};

/// What nobody has measured holds the gates that a wrong link would burn at, and no others: the
/// parts must be bought before they can be measured.
const UNTIL_MEASURED: &[Gate] = &[Gate::Energise, Gate::Charge];

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank() else {
        return Ok(Vec::new());
    };
    let mut said = Vec::new();
    for reading in &cx.design().as_built.volts {
        said.extend(judged(cx, bank, reading)?);
    }
    said.extend(unmeasured(cx, bank)?);
    Ok(said)
}

/// The volts a reading should show: what the blocks in it add up to, nothing across a gap.
fn expected(cx: &Context<'_>, what: &Measured) -> Option<Voltage> {
    let of = |wanted: &dyn Fn(BlockId) -> bool| {
        let blocks = cx.study.facts.blocks.iter().filter(|b| wanted(b.id));
        let volts: Vec<Voltage> = blocks.map(|b| b.emf).collect();
        (!volts.is_empty()).then(|| volts.into_iter().fold(Voltage::ZERO, |sum, v| sum + v))
    };
    match what {
        Measured::Block(id) => of(&|block| block == *id),
        Measured::String(string) => of(&|block| block.string == *string),
        Measured::Gap(_) => Some(Voltage::ZERO),
    }
}

fn name(what: &Measured) -> String {
    match what {
        Measured::Block(id) => id.to_string(),
        Measured::String(string) => format!("string {}", BlockId::string_letters(*string)),
        Measured::Gap(lead) => format!("gap {lead}"),
    }
}

fn judged(
    cx: &Context<'_>,
    bank: &Bank,
    reading: &VoltReading,
) -> Result<Option<Said>, CheckError> {
    let share = cx.limit("gate-voltage-tolerance")?;
    let Some(expected) = expected(cx, &reading.what) else {
        return Ok(None);
    };
    let block = cx.study.facts.blocks.first().map_or(0.0, |b| b.nominal.as_volts());
    let tolerance = share.value * block;
    let (want, got) = (expected.as_volts(), reading.volts.as_volts());
    let wrong_sign = 0.0 < want && got < 0.0;
    if (got - want).abs() <= tolerance && !wrong_sign {
        return Ok(None);
    }
    let name = name(&reading.what);
    Ok(Some(Said {
        severity: Severity::Stop,
        path: format!("as_built.volts.\"{name}\""),
        part: name.clone(),
        says: format!(
            "{name}: expected {}, got {}. {}",
            show::voltage(expected),
            show::voltage(reading.volts),
            what_it_means(bank, block, got - want, &reading.what)
        ),
        remedy: "Do not fit the next link. Check the sign of each block with the meter, then each \
                 link against the plan."
            .to_owned(),
        why: "A reversed block or a link on the wrong post is the commonest start of a battery \
              fire.",
        sources: vec![share.cite],
        gates: None,
    }))
}

/// What a wrong reading usually is, told by its size in blocks.
fn what_it_means(bank: &Bank, block: f64, off: f64, what: &Measured) -> &'static str {
    let blocks = if 0.0 < block { (off.abs() / block).round() } else { 0.0 };
    let series = f64::from(bank.series);
    let whole = |n: f64| (blocks - n).abs() < 0.5;
    match what {
        Measured::Gap(_) if whole(2.0 * series) => "A whole string is backwards.",
        Measured::Gap(_) if whole(series) => {
            "A block is reversed or the lead is on the wrong post."
        }
        Measured::Gap(_) => "The lead is on a post in the middle of a string.",
        Measured::Block(_) if whole(2.0) => "It is reversed, or the meter leads are swapped.",
        Measured::String(_) if whole(2.0) => "One of its blocks is reversed.",
        Measured::Block(_) | Measured::String(_) => {
            "A block is reversed or flat, or a link is in the wrong place."
        }
    }
}

/// What must still be measured: each block, each open string, each gap that closes a loop.
fn unmeasured(cx: &Context<'_>, bank: &Bank) -> Result<Option<Said>, CheckError> {
    let has = |what: &Measured| cx.design().as_built.volts.iter().any(|r| r.what == *what);
    let blocks: Vec<String> = bank
        .block_ids()
        .into_iter()
        .filter(|id| !has(&Measured::Block(*id)))
        .map(|id| id.to_string())
        .collect();
    let mut missing = if 4 < blocks.len() && blocks.len() == bank.block_ids().len() {
        vec![format!("each of the {} blocks", blocks.len())]
    } else {
        blocks
    };
    if 1 < bank.series {
        let strings = (0..bank.parallel).filter(|s| !has(&Measured::String(*s)));
        missing.extend(strings.map(|s| format!("string {}", BlockId::string_letters(s))));
    }
    for string in 1..bank.parallel {
        let closing = closing_leads(cx, bank, string);
        if !closing.iter().any(|lead| has(&Measured::Gap(lead.clone()))) {
            missing.extend(closing.last().map(|lead| format!("gap {lead}")));
        }
    }
    if missing.is_empty() {
        return Ok(None);
    }
    Ok(Some(Said {
        severity: Severity::Stop,
        path: "as_built.volts".to_owned(),
        part: "the readings".to_owned(),
        says: format!("Not measured yet: {}.", listed(&missing)),
        remedy:
            "Measure each with the meter proved on a live block just before, red lead on plus, \
                 and write the reading with its sign under [as_built.volts], as in A1 = \"6.31 V\"."
                .to_owned(),
        why: "A reversed block or a link on the wrong post is the commonest start of a battery \
              fire.",
        sources: vec![cx.limit("gate-voltage-tolerance")?.cite],
        gates: Some(UNTIL_MEASURED),
    }))
}

/// The two leads that join a string to those before it; whichever is fitted second closes a loop.
fn closing_leads(cx: &Context<'_>, bank: &Bank, string: u32) -> Vec<String> {
    let posts = [Bank::string_plus(string), bank.string_minus(string)];
    let leads = cx.study.wiring.leads.iter().filter(|l| match l.role {
        LeadRole::PlusLink | LeadRole::MinusLink => posts.contains(&l.to),
        LeadRole::StringPlus | LeadRole::StringMinus => posts.contains(&l.from),
        LeadRole::SeriesLink | LeadRole::Feed => false,
    });
    leads.map(|l| l.id.clone()).collect()
}

//! R03: blocks that differ in chemistry, capacity, age or use.

use super::context::{CheckError, Context, Said, listed, owner};
use crate::finding::Severity;
use crate::model::bank::{Bank, BlockId};
use crate::units::{Duration, show};

/// One block as this rule sees it.
struct Seen {
    id: BlockId,
    amp_hours: Option<f64>,
    age: Option<Duration>,
    cycles: Option<f64>,
    have: bool,
}

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank().filter(|b| 1 < b.count()) else {
        return Ok(Vec::new());
    };
    let mut said: Vec<Said> = chemistries(cx, bank).into_iter().collect();
    let seen: Vec<Seen> = bank.block_ids().into_iter().map(|id| seen(cx, bank, id)).collect();
    for string in 0..bank.parallel {
        let string: Vec<&Seen> = seen.iter().filter(|s| s.id.string == string).collect();
        said.extend(capacities(cx, bank, &string)?);
        said.extend(ages(cx, bank, &string)?);
        said.extend(cycles(cx, bank, &string)?);
    }
    said.extend(new_string(cx, bank, &seen)?);
    said.extend(unknown(bank, &seen));
    Ok(said)
}

fn seen(cx: &Context<'_>, bank: &Bank, id: BlockId) -> Seen {
    let state = bank.state_of(id);
    let rating = cx.model(id).and_then(|m| m.rating);
    Seen {
        id,
        amp_hours: rating.and_then(|r| r.capacity()).map(|c| c.as_amp_hours()),
        age: cx.study.facts.block(id).and_then(|f| f.age),
        cycles: state.cycles,
        have: state.have.unwrap_or(bank.have),
    }
}

fn finding(bank: &Bank, id: BlockId, severity: Severity, says: String) -> Said {
    Said {
        severity,
        path: format!("{}.{id}", bank.path),
        part: id.to_string(),
        says,
        remedy: format!("Replace the whole string of {id} by equal blocks bought together."),
        why: "A new battery in an old string ages to match the old one.",
        sources: Vec::new(),
        gates: None,
    }
}

fn chemistries(cx: &Context<'_>, bank: &Bank) -> Option<Said> {
    let first = cx.study.facts.blocks.first()?;
    let other = cx.study.facts.blocks.iter().find(|b| b.chemistry != first.chemistry)?;
    let mut said = finding(
        bank,
        other.id,
        Severity::Stop,
        format!(
            "{} is {} and {} is {}: one charger cannot suit both.",
            first.id,
            first.chemistry.word(),
            other.id,
            other.chemistry.word()
        ),
    );
    "Build the bank of one chemistry; join another only through a charger of its own."
        .clone_into(&mut said.remedy);
    said.why = "What fills the one overcharges or starves the other.";
    Some(said.from_source(crate::cite::Cite::practice("rule R03")))
}

/// A block with one figure of it.
type Figure<'a> = (&'a Seen, f64);

/// The least and the most of a figure among those blocks where it is known.
fn extremes<'a>(
    blocks: &[&'a Seen],
    of: impl Fn(&Seen) -> Option<f64>,
) -> Option<(Figure<'a>, Figure<'a>)> {
    let known = || blocks.iter().filter_map(|s| Some((*s, of(s)?)));
    let least = known().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let most = known().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some((least, most))
}

fn capacities(cx: &Context<'_>, bank: &Bank, string: &[&Seen]) -> Result<Option<Said>, CheckError> {
    let limit = cx.limit("mixed-capacity-max")?;
    let Some((least, most)) = extremes(string, |s| s.amp_hours) else {
        return Ok(None);
    };
    if most.1 <= least.1 * (1.0 + limit.value) {
        return Ok(None);
    }
    let says = format!(
        "{} has {} Ah and {} in the same string {} Ah: the smaller one is emptied first, every \
         time.",
        least.0.id,
        show::decimal(least.1, 0),
        most.0.id,
        show::decimal(most.1, 0)
    );
    Ok(Some(finding(bank, least.0.id, Severity::Fix, says).from_source(limit.cite)))
}

fn ages(cx: &Context<'_>, bank: &Bank, string: &[&Seen]) -> Result<Option<Said>, CheckError> {
    let limit = cx.limit("mixed-age-max")?;
    let Some((least, most)) = extremes(string, |s| s.age.map(Duration::as_months)) else {
        return Ok(None);
    };
    if most.1 - least.1 <= limit.value {
        return Ok(None);
    }
    let says = format!(
        "{} is {} months old and {} in the same string {}: the newer one ages to match the older.",
        least.0.id,
        show::decimal(least.1, 0),
        most.0.id,
        show::decimal(most.1, 0)
    );
    Ok(Some(finding(bank, least.0.id, Severity::Fix, says).from_source(limit.cite)))
}

/// A block counts as new when the other has done as many cycles more as the limit.
fn cycles(cx: &Context<'_>, bank: &Bank, string: &[&Seen]) -> Result<Option<Said>, CheckError> {
    let limit = cx.limit("mixed-cycles-max")?;
    let Some((least, most)) = extremes(string, |s| s.cycles) else {
        return Ok(None);
    };
    if most.1 - least.1 <= limit.value {
        return Ok(None);
    }
    let says = format!(
        "{} has done {} cycles and joins {}, which has done {}.",
        least.0.id,
        show::decimal(least.1, 0),
        most.0.id,
        show::decimal(most.1, 0)
    );
    Ok(Some(finding(bank, least.0.id, Severity::Fix, says).from_source(limit.cite)))
}

/// A whole string newer than another: the makers disagree, so it is told and not judged.
fn new_string(cx: &Context<'_>, bank: &Bank, seen: &[Seen]) -> Result<Option<Said>, CheckError> {
    let limit = cx.limit("mixed-age-max")?;
    let heads: Vec<&Seen> = seen.iter().filter(|s| s.id.place == 0).collect();
    let Some((least, most)) = extremes(&heads, |s| s.age.map(Duration::as_months)) else {
        return Ok(None);
    };
    if most.1 - least.1 <= limit.value {
        return Ok(None);
    }
    let letter = |s: &Seen| BlockId::string_letters(s.id.string);
    let says = format!(
        "String {} is {} months old and string {} beside it {}; makers disagree whether a new \
         string may join an old one.",
        letter(least.0),
        show::decimal(least.1, 0),
        letter(most.0),
        show::decimal(most.1, 0)
    );
    let mut said = finding(bank, least.0.id, Severity::Note, says);
    "Ask the maker; if the answer is yes, charge both strings full before they are joined."
        .clone_into(&mut said.remedy);
    said.path = format!("{}.parallel", bank.path);
    said.why = "The new string has less resistance, so it carries the old one's work.";
    Ok(Some(said.from_source(limit.cite)))
}

/// Some blocks are in hand and nobody says how old they are.
fn unknown(bank: &Bank, seen: &[Seen]) -> Option<Said> {
    let old: Vec<String> =
        seen.iter().filter(|s| s.have && s.age.is_none()).map(|s| s.id.to_string()).collect();
    if old.is_empty() {
        return None;
    }
    Some(Said {
        severity: Severity::Fix,
        path: format!("{}.age", bank.path),
        part: "the blocks in hand".to_owned(),
        says: format!(
            "{} {} in hand and nothing says how old: whether the blocks match is not known.",
            listed(&old),
            if old.len() == 1 { "is" } else { "are" }
        ),
        remedy: format!(
            "Read the date code on each case and write the age, as in block.{}.age = \"2 years\".",
            bank.block
        ),
        why: "A new battery in an old string ages to match the old one.",
        sources: vec![owner()],
        gates: None,
    })
}

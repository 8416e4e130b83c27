//! R01: one string works harder than its neighbours because of where the main leads leave.

use super::context::{CheckError, Context, Said};
use super::resolve::{Strings, ohms_as_studied, strings_of, with_take_off};
use crate::circuit::share::Share;
use crate::circuit::wiring::take_off_terminals;
use crate::finding::Severity;
use crate::model::bank::{Bank, BlockId, TakeOff};
use crate::model::lead::Terminal;
use crate::units::{Current, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank().filter(|b| b.parallel >= 2) else {
        return Ok(Vec::new());
    };
    let mut said = Vec::new();
    let discharge = cx.study.discharge.as_ref().map_err(Clone::clone)?;
    let mut shares = vec![("discharge", discharge)];
    if let Some(charge) = &cx.study.charge {
        shares.push(("charge", charge.as_ref().map_err(Clone::clone)?));
    }
    let fix = cx.limit("share-spread-fix")?;
    let note = cx.limit("share-spread-note")?;
    // A module over its limit on the way that spreads less is told before a wider spread within it.
    let worst = shares
        .into_iter()
        .map(|(way, share)| (way, strings(share)))
        .filter(|(_, strings)| note.value < strings.over_mean())
        .map(|(way, strings)| (over_a_module_limit(cx, way, &strings), way, strings))
        .max_by(|a, b| {
            let stops = a.0.is_some().cmp(&b.0.is_some());
            stops.then(a.2.over_mean().total_cmp(&b.2.over_mean()))
        });
    let Some((stop, way, strings)) = worst else {
        return Ok(said);
    };
    let over = strings.over_mean();
    let severity = match stop {
        Some(_) => Severity::Stop,
        None if fix.value < over => Severity::Fix,
        None => Severity::Note,
    };
    let total = strings.amps.iter().map(|a| a.abs()).sum::<f64>();
    said.push(Said {
        severity,
        path: format!("{}.takeoff", bank.path),
        part: "the take-off".to_owned(),
        says: says(bank, way, &strings, stop),
        remedy: remedy(cx, bank, total)?,
        why: "The block that always works hardest wears out first, and then drags the others down.",
        sources: vec![fix.cite, note.cite],
        gates: None,
    });
    Ok(said)
}

fn strings(share: &Share) -> Strings {
    Strings { amps: share.strings.iter().map(|s| s.amps).collect() }
}

/// The module limit that the hardest worked string exceeds; for LFP only.
fn over_a_module_limit(cx: &Context<'_>, way: &str, strings: &Strings) -> Option<Current> {
    let string = strings.hardest();
    let id = BlockId { string, place: 0 };
    let facts = cx.study.facts.block(id)?;
    let model = cx.model(id)?;
    let limit = if way == "charge" { model.charge_max } else { model.discharge_max }?;
    let amps = strings.amps.get(usize::try_from(string).ok()?)?.abs();
    (!facts.chemistry.is_lead() && limit.as_amps() < amps).then_some(limit)
}

fn says(bank: &Bank, way: &str, strings: &Strings, stop: Option<Current>) -> String {
    let (plus, minus) = take_off_terminals(bank);
    let letter = BlockId::string_letters(strings.hardest());
    let percent = show::fixed(strings.over_mean() * 100.0, 0);
    let from = match (&bank.takeoff, plus.block(), minus.block()) {
        (TakeOff::Busbars { .. }, _, _) => "The strings hang on busbars".to_owned(),
        (_, Some(p), Some(m)) if p.string == m.string => {
            format!("Both main leads leave from string {}", BlockId::string_letters(p.string))
        }
        _ => format!("The main leads leave from {plus} and {minus}"),
    };
    let limit = stop.map_or_else(String::new, |limit| {
        format!(" That is over the {} its maker allows.", show::current(limit))
    });
    format!(
        "{from}. On {way} string {letter} carries {percent} % more than the mean of the strings \
         ({}) and dies first.{limit}",
        strings.shown()
    )
}

/// A take-off that shares evenly, with the amps it gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Move {
    /// The take-off to go to.
    pub takeoff: TakeOff,
    /// What the strings then carry.
    pub strings: Strings,
}

/// The first take-off, of those that move the fewest leads, that leaves no finding of this rule:
/// two posts, else busbars with equal leads.
///
/// # Errors
/// When a network has no answer or a figure is missing.
pub fn best_move(cx: &Context<'_>, bank: &Bank, amps: f64) -> Result<(Move, bool), CheckError> {
    let note = cx.limit("share-spread-note")?.value;
    let mut best: Option<Move> = None;
    for takeoff in posts(bank) {
        let strings = solved(cx, &takeoff, amps)?;
        let better = best.as_ref().is_none_or(|b| strings.over_mean() < b.strings.over_mean());
        let enough = strings.over_mean() <= note;
        if better {
            best = Some(Move { takeoff, strings });
        }
        if enough {
            break;
        }
    }
    let clears = best.as_ref().is_some_and(|b| b.strings.over_mean() <= note);
    if let Some(best) = best.filter(|_| clears) {
        return Ok((best, true));
    }
    let bars =
        TakeOff::Busbars { plus: "string plus".to_owned(), minus: "string minus".to_owned() };
    let strings = solved(cx, &bars, amps)?;
    let even = strings.over_mean() <= note;
    Ok((Move { takeoff: bars, strings }, even))
}

/// Every pair of posts: one lead moved first, then both.
fn posts(bank: &Bank) -> Vec<TakeOff> {
    let (plus, minus) = take_off_terminals(bank);
    let pluses = (0..bank.parallel).map(Bank::string_plus);
    let pairs =
        pluses.flat_map(|p| (0..bank.parallel).map(move |s| (p.clone(), bank.string_minus(s))));
    let mut pairs: Vec<(Terminal, Terminal)> = pairs.collect();
    // A stable sort: within the same number of moved leads the far string comes first, since the
    // diagonal is what the trade looks for.
    pairs.reverse();
    pairs.sort_by_key(|(p, m)| u8::from(*p != plus) + u8::from(*m != minus));
    pairs.into_iter().map(|(plus, minus)| TakeOff::Posts { plus, minus }).collect()
}

fn solved(cx: &Context<'_>, takeoff: &TakeOff, amps: f64) -> Result<Strings, CheckError> {
    let changed = with_take_off(cx.design(), takeoff);
    let ohms = |id: &str, role| ohms_as_studied(cx, id, role);
    strings_of(cx, &changed, &ohms, Current::amps(amps))
}

fn remedy(cx: &Context<'_>, bank: &Bank, amps: f64) -> Result<String, CheckError> {
    let (best, even) = best_move(cx, bank, amps)?;
    let then = best.strings.shown();
    if !even {
        return Ok(format!(
            "Look at the blocks and joints first: even equal leads to busbars give {then}."
        ));
    }
    Ok(match &best.takeoff {
        TakeOff::Posts { plus, minus } => {
            let (now_plus, now_minus) = take_off_terminals(bank);
            let moved = match (*plus == now_plus, *minus == now_minus) {
                (true, _) => format!("Move the minus main lead to {minus}"),
                (_, true) => format!("Move the plus main lead to {plus}"),
                _ => format!("Move the plus main lead to {plus} and the minus one to {minus}"),
            };
            format!("{moved}: then {then}.")
        }
        _ => format!(
            "Lead every string to a plus and a minus busbar with equal leads: then {then}. No two \
             posts of the bank do it."
        ),
    })
}

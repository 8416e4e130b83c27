//! R27: blocks or a box that nothing holds when the rig stops, leaps or rolls.

use super::context::{CheckError, Context, Said, listed};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::fit::hold_down::{HoldDown, HoldRow, HoldStatus};
use crate::model::hold::Held;
use crate::units::show;

/// Why, in one line.
const WHY: &str = "What is not held goes through whatever stands in front of it.";

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(hold) = HoldDown::of(cx.design(), cx.tables) else {
        return Ok(Vec::new());
    };
    let cite = hold.rows.first().map_or_else(|| Cite::practice("rule R27"), |r| r.cite.clone());
    if cx.design().holds.is_empty() {
        return Ok(vec![nothing(cx, &hold, cite)]);
    }
    let mut said = Vec::new();
    for held in [Held::Blocks, Held::Box] {
        said.extend(refused(cx, &hold, held));
    }
    if said.is_empty() && !hold.holds() {
        said.push(unknown(cx, &hold, cite.clone()));
    }
    said.extend(travel(cx, &hold, cite));
    Ok(said)
}

fn one(severity: Severity, path: String, says: String, remedy: String, cite: Cite) -> Said {
    let part = "the hold-down".to_owned();
    Said { severity, path, part, says, remedy, why: WHY, sources: vec![cite], gates: None }
}

/// The mass that becomes a hammer.
fn hammer(cx: &Context<'_>, hold: &HoldDown) -> String {
    hold.in_all.map_or_else(
        || "the bank becomes a hammer".to_owned(),
        |m| format!("{} becomes a hammer", show::mass(m, cx.units())),
    )
}

/// What would hold, as a sentence that starts with a verb.
fn would(hold: &HoldDown, held: Option<Held>) -> String {
    let wanted = hold.would.iter().filter(|w| held.is_none_or(|h| w.held == h));
    let words: Vec<String> =
        wanted.map(|w| format!("{} for the {}", w.words, w.held.word())).collect();
    if words.is_empty() {
        return "Ask a trailer or boat builder what holds it, and write it under [hold.NAME]."
            .to_owned();
    }
    format!("Use {}, and write it under [hold.NAME].", listed(&words))
}

fn nothing(cx: &Context<'_>, hold: &HoldDown, cite: Cite) -> Said {
    let says = format!(
        "The file says nothing of what holds the bank down. At an emergency stop {}.",
        hammer(cx, hold)
    );
    one(Severity::Stop, "hold".to_owned(), says, would(hold, None), cite)
}

/// What must be known first.
fn unknown(cx: &Context<'_>, hold: &HoldDown, cite: Cite) -> Said {
    let words: Vec<String> = hold.unknown.iter().map(|u| u.what.clone()).collect();
    let paths: Vec<String> = hold.unknown.iter().map(|u| u.path.clone()).collect();
    let says = format!(
        "It is not known whether the bank is held down: {} not in the file. At an emergency stop {}.",
        are(&words),
        hammer(cx, hold)
    );
    let path = paths.first().cloned().unwrap_or_else(|| "hold".to_owned());
    let remedy = format!("Find out and write {}.", listed(&paths));
    one(Severity::Stop, path, says, remedy, cite)
}

fn are(words: &[String]) -> String {
    let verb = if words.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", listed(words))
}

/// The direction that is farthest from being held: what the practice asks first, then the road.
fn refused(cx: &Context<'_>, hold: &HoldDown, held: Held) -> Option<Said> {
    let fails = |r: &&HoldRow| r.held == held && r.status == HoldStatus::Fails;
    let share = |r: &HoldRow| r.capacity.map_or(0.0, |c| c.as_newtons() / r.demand.as_newtons());
    let worst = |binding: bool| {
        let rows =
            hold.rows.iter().filter(fails).filter(|r| if binding { r.binding } else { r.road });
        rows.min_by(|a, b| share(a).total_cmp(&share(b)))
    };
    let (row, severity) = worst(true)
        .map(|r| (r, Severity::Stop))
        .or_else(|| worst(false).map(|r| (r, Severity::Fix)))?;
    let units = cx.units();
    let holds = row.capacity.map_or_else(|| "nothing".to_owned(), |c| show::force(c, units));
    let first =
        row.governed_by.as_ref().map_or_else(String::new, |g| format!(" First to give way: {g}."));
    let mut says = format!(
        "What holds the {} bears {holds} {} where {} pull ({}).{first}",
        held.word(),
        row.direction.word(),
        show::force(row.demand, units),
        row.case
    );
    if severity == Severity::Stop {
        says = format!("At an emergency stop {}. {says}", hammer(cx, hold));
    }
    let set = cx.design().holds.iter().find(|h| h.held == held).or(cx.design().holds.first());
    let path = set.map_or_else(|| "hold".to_owned(), |h| format!("hold.{}", h.part.name));
    Some(one(severity, path, says, would(hold, Some(held)), row.cite.clone()))
}

/// How far a block may shift.
fn travel(cx: &Context<'_>, hold: &HoldDown, cite: Cite) -> Option<Said> {
    let (most, play) = hold.travel?;
    let units = cx.units();
    let most_shown = show::length(most, units);
    let (severity, says) = match play {
        Some(play) if play <= most => return None,
        Some(play) => (
            Severity::Stop,
            format!(
                "A block can shift {} in its box; {most_shown} is the most.",
                show::length(play, units)
            ),
        ),
        None => (
            Severity::Fix,
            format!(
                "It is not known how far a block can shift in its box; {most_shown} is the most."
            ),
        ),
    };
    let remedy =
        "Fill the gaps with strips of board, push each block by hand, and write what is left \
                  as box.play."
            .to_owned();
    Some(one(severity, "box.play".to_owned(), says, remedy, cite))
}

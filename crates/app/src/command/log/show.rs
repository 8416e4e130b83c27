//! `log show`: what the log says of each part, and its entries.

use super::{Job, due, no_log};
use crate::args::LogShowArgs;
use crate::failure::Failure;
use crate::json;
use crate::json::log::ShowJson;
use crate::log::parts::Parts;
use crate::log::{entries, words};
use crate::terminal::style::Style;
use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use crate::terminal::{add_part, findings, say};
use engine::care::Care;
use engine::care::capacity::Health;
use engine::care::cells::{CellHistory, GravityPoint, Range};
use engine::care::equalise::Verdict;
use engine::evidence::log::{Entry, Event, Subject};
use engine::units::show;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Most entries listed where nobody asked for more.
const LISTED: usize = 12;

/// Which entries and parts are shown.
struct Choice {
    part: Option<Subject>,
    since: Option<Date>,
    all: bool,
}

/// Without a word: what the log says, and what is due.
pub(super) fn both(job: &Job<'_>) -> Result<(), Failure> {
    let care = job.care()?;
    if job.is_json() {
        return run(job, &LogShowArgs { part: Vec::new(), since: None, all: false });
    }
    let choice = Choice { part: None, since: None, all: false };
    say(&format!("{}\n{}", shown(job, &care, &choice), due::list(job, &care)))
}

pub(super) fn run(job: &Job<'_>, args: &LogShowArgs) -> Result<(), Failure> {
    let part = words::part(&args.part, &Parts::of(&job.rig))?;
    let since = args
        .since
        .as_deref()
        .map(|text| text.trim().parse::<Date>().map_err(|_| Failure::no_day("since", text)));
    let choice = Choice { part, since: since.transpose()?, all: args.all };
    let care = job.care()?;
    if job.is_json() {
        let chosen = chosen(job, &choice);
        return say(&json::text(&ShowJson::of(&care, &chosen)));
    }
    say(&shown(job, &care, &choice))
}

/// The entries asked for, in order of time.
fn chosen<'a>(job: &'a Job<'_>, choice: &Choice) -> Vec<&'a Entry> {
    let log = &job.rig.evidence.log;
    let all: Vec<&Entry> = if choice.all { log.entries.iter().collect() } else { log.standing() };
    let fits = |e: &&Entry| {
        choice.part.as_ref().is_none_or(|part| words::within(&e.subject, part))
            && choice.since.is_none_or(|day| day <= e.at.date())
    };
    all.into_iter().filter(fits).collect()
}

fn shown(job: &Job<'_>, care: &Care, choice: &Choice) -> String {
    let log = &job.rig.evidence.log;
    if log.entries.is_empty() {
        return no_log(job);
    }
    let style = Style::for_output();
    let mut text = heading(job, style);
    let mut part = |title: &str, body: String| add_part(&mut text, style, title, &body);
    if choice.part.is_none() {
        part("What the log says", diagnoses(job, care, style));
        part("The bank", lines(&bank(job, care)));
    }
    part("Cells", cells(job, care, choice));
    part("Blocks at rest", blocks(care, choice));
    part("Water", water(job, care, choice));
    if choice.part.is_none() {
        part("Capacity tests", tests(care));
        part("Left out", lines(&doubts(care)));
    }
    let listed = listed(job, choice);
    part("Entries", listed);
    text
}

fn heading(job: &Job<'_>, style: Style) -> String {
    let standing = job.rig.evidence.log.standing();
    let name = style.bold(&job.rig.design.rig.name);
    let span = match (standing.first(), standing.last()) {
        (Some(first), Some(last)) => {
            format!("{} to {}", first.at.date(), last.at.date())
        }
        _ => "all taken back".to_owned(),
    };
    format!("{name}  log, {} entries, {span}, {}\n", standing.len(), job.path.display())
}

fn lines(all: &[String]) -> String {
    all.iter().map(|line| hanging("  ", line)).collect()
}

fn diagnoses(job: &Job<'_>, care: &Care, style: Style) -> String {
    let mut text = String::new();
    for one in &care.diagnoses {
        let head = format!("  {}: ", one.part);
        text.push_str(&style.bold(&hanging(&head, one.kind.words())));
        text.push_str(&hanging("       ", &one.says));
        text.push_str(&style.bold(&hanging("       do   ", &one.remedy)));
        text.push_str(&hanging("       why  ", one.why));
        if !one.cites.is_empty() {
            let from = findings::sources(&one.cites, &job.rig.tables);
            text.push_str(&hanging("       from ", &from));
        }
    }
    text
}

fn percent(share: f64) -> String {
    format!("{} %", show::fixed(100.0 * share, 0))
}

fn percents(range: &Range) -> String {
    format!("{} ({} to {})", percent(range.now), percent(range.low), percent(range.high))
}

fn bank(job: &Job<'_>, care: &Care) -> Vec<String> {
    let mut all = Vec::new();
    all.extend(care.health.as_ref().map(|h| health(h, care.today)));
    let charging = &care.charging;
    if let Some((full, days)) = charging.last_full.zip(charging.days_since_full) {
        all.push(format!("Last full on {full}, {days} days ago."));
    }
    all.push(care.equalise.says.clone());
    if care.equalise.verdict == Verdict::Now {
        let steps = care.equalise.how.iter().enumerate();
        all.extend(steps.map(|(at, step)| format!("{}. {step}", at + 1)));
    }
    if let Some(freeze) = &care.freeze {
        let units = job.units();
        let word = if freeze.holds { "That holds." } else { "Charge it before the frost." };
        all.push(format!(
            "The weakest acid, in {}, freezes at {}; the coldest of the month to come is {} here. \
             {word}",
            freeze.part,
            show::temperature(freeze.freezes, units),
            show::temperature(freeze.coldest, units)
        ));
    }
    all
}

fn health(health: &Health, today: Option<Date>) -> String {
    let rests = match health.tests {
        0 => "from age and use alone; a capacity test would tell".to_owned(),
        1 => "from one capacity test".to_owned(),
        n => format!("from {n} capacity tests"),
    };
    let mut text = format!("Capacity left: {}, {rests}.", percents(&health.now));
    match health.below_80 {
        Some(day) if today.is_some_and(|today| day <= today) => {
            text.push_str(" It is more likely than not under 80 %, where a bank is replaced.");
        }
        Some(day) => {
            text.push_str(&format!(" As likely as not under 80 % by {day}"));
            let early = health.below_80_early.map(|d| format!(", one chance in ten by {d}"));
            text.push_str(&early.unwrap_or_default());
            text.push('.');
        }
        None => {}
    }
    text
}

fn cells(job: &Job<'_>, care: &Care, choice: &Choice) -> String {
    let wanted = |cell: &&CellHistory| {
        choice.part.as_ref().is_none_or(|part| words::within(&Subject::Cell(cell.cell), part))
    };
    let chosen: Vec<&CellHistory> =
        care.cells.iter().filter(wanted).filter(|c| !c.points.is_empty()).collect();
    if chosen.is_empty() {
        return String::new();
    }
    let columns = [
        ("cell", Lean::Left),
        ("gravity", Lean::Right),
        ("charge", Lean::Right),
        ("on", Lean::Left),
        ("beside others", Lean::Right),
        ("in a year", Lean::Right),
        ("how it stands", Lean::Left),
    ];
    let rows = chosen.iter().filter_map(|cell| cell_row(cell)).collect();
    let mut text = table(&columns, rows);
    if let Some(correction) = &care.correction {
        let from = findings::sources(
            std::slice::from_ref(&correction.rule.per_kelvin.cite),
            &job.rig.tables,
        );
        text.push_str(&hanging("  ", &format!("Gravity corrected for temperature by {from}.")));
    }
    text
}

fn cell_row(cell: &CellHistory) -> Option<Vec<String>> {
    let counted = |p: &&GravityPoint| p.doubted.is_none();
    let last = cell.points.iter().rfind(counted).or_else(|| cell.points.last())?;
    Some(vec![
        cell.cell.to_string(),
        show::fixed(last.corrected, 3),
        last.soc.map(percent).unwrap_or_default(),
        last.at.date().to_string(),
        cell.offset.map(|r| signed(r.now)).unwrap_or_default(),
        cell.trend_per_year.map(|r| signed(r.now)).unwrap_or_default(),
        cell.state.word().to_owned(),
    ])
}

/// A difference of gravity with its sign.
fn signed(value: f64) -> String {
    let text = show::fixed(value, 3);
    if text.starts_with('-') || text == "0.000" { text } else { format!("+{text}") }
}

fn blocks(care: &Care, choice: &Choice) -> String {
    let columns = [
        ("block", Lean::Left),
        ("rest", Lean::Right),
        ("charge", Lean::Right),
        ("on", Lean::Left),
        ("beside others", Lean::Right),
        ("replaced", Lean::Left),
    ];
    let mut rows = Vec::new();
    for block in &care.blocks {
        let of = Subject::Block(block.block);
        if choice.part.as_ref().is_some_and(|part| !words::within(&of, part)) {
            continue;
        }
        let replaced: Vec<String> = block.replaced.iter().map(ToString::to_string).collect();
        let last = block.rest.last();
        if last.is_none() && replaced.is_empty() {
            continue;
        }
        let millivolts = |r: Range| format!("{} mV", show::fixed(1000.0 * r.now, 0));
        rows.push(vec![
            block.block.to_string(),
            last.map(|p| show::voltage(p.volts)).unwrap_or_default(),
            last.and_then(|p| p.soc).map(percent).unwrap_or_default(),
            last.map(|p| p.at.date().to_string()).unwrap_or_default(),
            block.offset_v.map(millivolts).unwrap_or_default(),
            replaced.join(", "),
        ]);
    }
    if rows.is_empty() { String::new() } else { table(&columns, rows) }
}

fn water(job: &Job<'_>, care: &Care, choice: &Choice) -> String {
    let columns = [
        ("cell", Lean::Left),
        ("in a month", Lean::Right),
        ("times its string", Lean::Right),
        ("since", Lean::Left),
    ];
    let rows: Vec<Vec<String>> = care
        .water
        .iter()
        .filter(|w| {
            let of = Subject::Cell(w.cell);
            choice.part.as_ref().is_none_or(|part| words::within(&of, part))
        })
        .map(|w| {
            vec![
                w.cell.to_string(),
                entries::volume(w.per_month_cm3, job.units()),
                w.over_string.map(|v| show::fixed(v, 1)).unwrap_or_default(),
                w.from.to_string(),
            ]
        })
        .collect();
    if rows.is_empty() { String::new() } else { table(&columns, rows) }
}

fn tests(care: &Care) -> String {
    let columns = [
        ("on", Lean::Left),
        ("of", Lean::Left),
        ("at", Lean::Right),
        ("lasted", Lean::Right),
        ("new", Lean::Right),
        ("capacity", Lean::Left),
    ];
    let hours = |d: engine::units::Duration| format!("{} h", show::fixed(d.as_hours(), 1));
    let rows: Vec<Vec<String>> = care
        .tests
        .iter()
        .map(|t| {
            vec![
                t.on.to_string(),
                t.part.clone(),
                show::current(t.current),
                hours(t.lasted),
                hours(t.rated),
                percents(&t.share),
            ]
        })
        .collect();
    if rows.is_empty() { String::new() } else { table(&columns, rows) }
}

fn doubts(care: &Care) -> Vec<String> {
    let told = care.doubts.iter().take(LISTED);
    let mut all: Vec<String> =
        told.map(|d| format!("entry {}, {}: {} {}", d.entry, d.part, d.says, d.remedy)).collect();
    if LISTED < care.doubts.len() {
        all.push(format!("{} more; --json lists all.", care.doubts.len() - LISTED));
    }
    all
}

/// The entries asked for; without a wish, the latest.
fn listed(job: &Job<'_>, choice: &Choice) -> String {
    let chosen = chosen(job, choice);
    let whole = choice.all || choice.part.is_some() || choice.since.is_some();
    let skipped = if whole { 0 } else { chosen.len().saturating_sub(LISTED) };
    let standing: BTreeSet<i64> = job.rig.evidence.log.standing().iter().map(|e| e.id).collect();
    let mut text = String::new();
    if 0 < skipped {
        text.push_str(&format!("  {skipped} earlier ones: --since DATE or a part shows them, --all everything ever kept\n"));
    }
    for entry in chosen.iter().skip(skipped) {
        let gone = if standing.contains(&entry.id) { "" } else { "  (no longer stands)" };
        let gone = if entry.event == Event::Withdrawn { "" } else { gone };
        let of = entry.corrects.map(|id| format!("  instead of {id}")).unwrap_or_default();
        let line = entries::line(entry, job.units());
        text.push_str(&format!("  {:>5}  {line}{of}{gone}\n", entry.id));
    }
    text
}

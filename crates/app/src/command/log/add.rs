//! `log add`: one entry in words, one a line, or many by the form.

use super::{Job, form};
use crate::args::LogAddArgs;
use crate::failure::Failure;
use crate::json;
use crate::log::clock::Now;
use crate::log::parts::Parts;
use crate::log::{entries, jump, words};
use crate::terminal::wrap::hanging;
use crate::terminal::{say, warn};
use engine::evidence::log::Entry;
use jiff::civil::DateTime;
use std::io::BufRead;

pub(super) fn run(job: &Job<'_>, args: &LogAddArgs) -> Result<(), Failure> {
    if args.lines {
        return lines(job, args);
    }
    let at = moment(args, job.now)?;
    if args.entry.is_empty() {
        return form::run(job, at, args.note.as_deref());
    }
    let parts = Parts::of(&job.rig);
    let mut entry = words::entry(&args.entry, at, &parts)?;
    entry.note = joined(&entry.note, args.note.as_deref());
    entry.corrects = args.correct;
    kept(job, &[entry], parts.plausible.jump)
}

fn moment(args: &LogAddArgs, now: Now) -> Result<DateTime, Failure> {
    args.when.as_deref().map_or(Ok(now.local), |text| words::when(text, now.local))
}

/// Keeps entries and says so, and what is odd beside the last readings. Nothing is said to be kept before it is on the disk.
pub(super) fn kept(job: &Job<'_>, entries: &[Entry], jump: f64) -> Result<(), Failure> {
    let mut store = job.store_to_write()?;
    let ids = store.add("add", &job.made(), entries).map_err(|t| t.at(&job.path))?;
    if job.is_json() {
        return say(&json::text(&json::log::AddedJson { added: ids, known: 0 }));
    }
    let before = &job.rig.evidence.log;
    let mut text = String::new();
    for (entry, id) in entries.iter().zip(&ids) {
        text.push_str(&format!("{id}  {}\n", entries::line(entry, job.units())));
        if let Some(says) = jump::of(entry, before, jump) {
            let undo = format!("{says} If it was a slip: `bankwright log {} undo`.", job.rig.name);
            text.push_str(&hanging("    ", &undo));
        }
    }
    if let [_, _, ..] = ids.as_slice() {
        text.push_str(&format!("{} entries kept.\n", ids.len()));
    }
    say(&text)
}

/// One entry a line, each kept and told before the next is read. A line that is no entry is told
/// on the error stream, and the rest goes on.
fn lines(job: &Job<'_>, args: &LogAddArgs) -> Result<(), Failure> {
    let parts = Parts::of(&job.rig);
    let mut store = job.store_to_write()?;
    let mut bad = 0;
    for (at, line) in std::io::stdin().lock().lines().enumerate() {
        let line = line.map_err(|e| not_text(at + 1, &e))?;
        if line.trim().is_empty() {
            continue;
        }
        let when = moment(args, Now::of(job.args.rig.today.as_deref())?)?;
        match words::entry(&[line], when, &parts) {
            Err(failure) => {
                bad += 1;
                warn(&format!("line {}: {}", at + 1, failure.shown()));
            }
            Ok(mut entry) => {
                entry.note = joined(&entry.note, args.note.as_deref());
                let ids = store.add("add", &job.made(), &[entry]).map_err(|t| t.at(&job.path))?;
                for id in ids {
                    say(&format!("{id}\n"))?;
                }
            }
        }
    }
    if bad == 0 { Ok(()) } else { Err(not_all(bad)) }
}

fn joined(note: &str, more: Option<&str>) -> String {
    let both = [note, more.unwrap_or("").trim()];
    both.into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join("; ")
}

fn not_text(line: usize, error: &std::io::Error) -> Failure {
    Failure::log(
        format!("Line {line} cannot be read: {error}."),
        "What came before it is kept; send the rest again.".to_owned(),
    )
}

fn not_all(bad: usize) -> Failure {
    let lines = if bad == 1 { "One line is" } else { "Some lines are" };
    Failure::log(
        format!("{lines} not kept; the others are."),
        "Mend what is told above and send only that again.".to_owned(),
    )
}

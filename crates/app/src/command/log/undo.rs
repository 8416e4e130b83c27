//! `log undo`: what was said last no longer stands; it stays in the file.

use super::{Job, no_log};
use crate::args::LogUndoArgs;
use crate::failure::Failure;
use crate::json;
use crate::log::entries;
use crate::terminal::say;
use engine::evidence::log::Entry;

/// Most entries named one by one.
const NAMED: usize = 8;

pub(super) fn run(job: &Job<'_>, args: &LogUndoArgs) -> Result<(), Failure> {
    let Some(mut store) = job.store()? else { return say(&no_log(job)) };
    let made = job.made();
    let done = match (args.entry, args.back) {
        (Some(id), _) => store.take_back_one(&made, id).map(|one| one.map(|e| vec![e])),
        (None, true) => store.bring_back(&made),
        (None, false) => store.take_back(&made),
    };
    let found = done.map_err(|t| t.at(&job.path))?.unwrap_or_default();
    if job.is_json() {
        let ids = found.iter().map(|e| e.id).collect();
        let (taken_back, brought_back) = if args.back { (vec![], ids) } else { (ids, vec![]) };
        return say(&json::text(&json::log::UndoneJson { taken_back, brought_back }));
    }
    say(&told(job, args, &found))
}

fn told(job: &Job<'_>, args: &LogUndoArgs, found: &[Entry]) -> String {
    let rig = &job.rig.name;
    let (what, other) = match (found.len(), args.back, args.entry) {
        (0, true, _) => return "Nothing was taken back that could come back.\n".to_owned(),
        (0, false, Some(id)) => return format!("Entry {id} does not stand any more.\n"),
        (0, false, None) => return "There is nothing left to take back.\n".to_owned(),
        (_, true, _) => ("Stands again", "undo"),
        (_, false, _) => ("Taken back", "undo --back"),
    };
    let mut text = String::new();
    for entry in found.iter().take(NAMED) {
        let line = entries::line(entry, job.units());
        text.push_str(&format!("{what}: {}  {line}\n", entry.id));
    }
    if NAMED < found.len() {
        text.push_str(&format!("{what}: {} more\n", found.len() - NAMED));
    }
    text.push_str(&format!("The other way again: `bankwright log {rig} {other}`.\n"));
    text
}

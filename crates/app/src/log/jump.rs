//! A reading far from the one before it: mostly a slip of the pen, and asked about at once.

use engine::evidence::log::{Entry, Event, Log};
use engine::units::show;

/// The last gravity of the same cell.
pub(crate) fn last_gravity(entry: &Entry, log: &Log) -> Option<(f64, jiff::civil::Date)> {
    log.standing().into_iter().rev().find_map(|e| match e.event {
        Event::Gravity { gravity, .. } if e.subject == entry.subject && e.at <= entry.at => {
            Some((gravity, e.at.date()))
        }
        _ => None,
    })
}

/// What is odd about an entry beside the log so far: a reading further from the last than `jump`.
pub(crate) fn of(entry: &Entry, log: &Log, jump: f64) -> Option<String> {
    let Event::Gravity { gravity, .. } = entry.event else { return None };
    let (before, on) = last_gravity(entry, log)?;
    (jump < (gravity - before).abs()).then(|| {
        format!(
            "On {on} this cell read {}; now {}: read it once more.",
            show::fixed(before, 3),
            show::fixed(gravity, 3)
        )
    })
}

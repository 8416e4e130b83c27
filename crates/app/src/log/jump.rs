//! A reading far from the one before it: mostly a slip of the pen, and asked about at once.

use engine::evidence::log::{Entry, Event, Log};
use engine::units::show;

/// Points of gravity between two readings of one cell that a careful owner reads twice. A bank
/// between full and empty spans about a hundred and fifty; this is a question, never a refusal.
const GRAVITY_JUMP: f64 = 0.060;

/// The last gravity of the same cell.
pub(crate) fn last_gravity(entry: &Entry, log: &Log) -> Option<(f64, jiff::civil::Date)> {
    log.standing().into_iter().rev().find_map(|e| match e.event {
        Event::Gravity { gravity, .. } if e.subject == entry.subject && e.at <= entry.at => {
            Some((gravity, e.at.date()))
        }
        _ => None,
    })
}

/// What is odd about an entry beside the log so far.
pub(crate) fn of(entry: &Entry, log: &Log) -> Option<String> {
    let Event::Gravity { gravity, .. } = entry.event else { return None };
    let (before, on) = last_gravity(entry, log)?;
    (GRAVITY_JUMP < (gravity - before).abs()).then(|| {
        format!(
            "On {on} this cell read {}; now {}: read it once more.",
            show::fixed(before, 3),
            show::fixed(gravity, 3)
        )
    })
}

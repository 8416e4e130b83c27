//! The blocks stay where they are: which of them to turn half round, and where to take off.

use super::exact::SAME;
use super::grid::Distances;
use super::sharing::STRINGS_MAX;
use super::worth::weigh;
use super::{Problem, Spot, Worth};

/// Banks up to this many blocks have every way of turning tried.
const ALL_TURNS_BLOCKS: usize = 12;

/// Which blocks stand half round, where the main leads leave, and what that is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Turned {
    /// Whether each block is turned half round from how its case is drawn.
    pub halves: Vec<bool>,
    /// The strings whose plus and whose minus end the main leads leave from.
    pub takeoff: [usize; 2],
    /// What it is worth.
    pub worth: Worth,
}

/// The best turns of blocks that stay in their places; for each block its left near corner and
/// whether its length lies along y. `None` for a bank that the ladder is not solved for.
///
/// Up to twelve blocks every way is tried; beyond that single turns are made while they help.
#[must_use]
pub fn best_turns(problem: &Problem, places: &[(Spot, bool)], now: &[bool]) -> Option<Turned> {
    let distances = distances(problem, places)?;
    let cells: Vec<usize> = (0..problem.count()).collect();
    let mut best: Option<Turned> = None;
    let judge = |halves: &[bool], best: &mut Option<Turned>| {
        let to_beat = best.as_ref().map_or(f64::INFINITY, |b| b.worth.cost - SAME);
        let weighed = weigh(problem, &distances, &cells, halves);
        let found = weighed.best(problem, &distances, to_beat);
        if let Some((takeoff, worth)) = found {
            *best = Some(Turned { halves: halves.to_vec(), takeoff, worth });
        }
        found.is_some()
    };
    // As they stand now first, so that a turn has to gain something.
    judge(now, &mut best);
    if problem.count() <= ALL_TURNS_BLOCKS {
        for bits in 0..1_u32 << problem.count() {
            let halves: Vec<bool> = (0..problem.count()).map(|n| bits >> n & 1 == 1).collect();
            judge(&halves, &mut best);
        }
        return best;
    }
    // Every round but the last gains, so there are no more rounds than blocks squared.
    for _ in 0..problem.count() * problem.count() {
        let stands = best.as_ref()?.halves.clone();
        let mut gained = false;
        for block in 0..problem.count() {
            let mut halves = stands.clone();
            halves[block] = !halves[block];
            gained |= judge(&halves, &mut best);
        }
        if !gained {
            break;
        }
    }
    best
}

/// The best take-off of blocks that stay exactly as they are.
#[must_use]
pub fn best_take_off(problem: &Problem, places: &[(Spot, bool)], now: &[bool]) -> Option<Turned> {
    let distances = distances(problem, places)?;
    let cells: Vec<usize> = (0..problem.count()).collect();
    let weighed = weigh(problem, &distances, &cells, now);
    let (takeoff, worth) = weighed.best(problem, &distances, f64::INFINITY)?;
    Some(Turned { halves: now.to_vec(), takeoff, worth })
}

fn distances(problem: &Problem, places: &[(Spot, bool)]) -> Option<Distances> {
    let usable = 0 < problem.count()
        && places.len() == problem.count()
        && problem.blocks.len() == problem.count()
        && problem.parallel <= STRINGS_MAX;
    usable.then(|| Distances::at(problem, places))
}

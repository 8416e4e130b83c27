//! The best arrangement found, and whether it is known to be the best there is.

use super::exact::{Exact, SAME};
use super::grid::{Distances, Pattern, patterns};
use super::local::{Local, steps_for};
use super::sharing::STRINGS_MAX;
use super::{Arrangement, Problem, Worth};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;

/// Banks up to this many blocks are searched to the end.
pub const EXACT_BLOCKS: usize = 6;

/// Stands looked at before an exact search gives up; a bank of six blocks needs a fraction of it.
const EXACT_STANDS: u64 = 40_000_000;

/// Starts of the local search in each pattern.
const STARTS: u64 = 4;

/// What a search came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The best of every pattern that fits, the best first.
    pub arrangements: Vec<(Arrangement, Worth)>,
    /// No arrangement of the cells is better than the first.
    pub exact: bool,
}

/// Searches; the same seed gives the same answer. Nothing is found when the blocks fit no pattern,
/// or the bank has more strings than a ladder is solved for.
#[must_use]
pub fn search(problem: &Problem, seed: u64) -> Found {
    let mut arrangements = Vec::new();
    let mut exact = problem.count() <= EXACT_BLOCKS;
    let usable = 0 < problem.count()
        && problem.parallel <= STRINGS_MAX
        && problem.blocks.len() == problem.count();
    if !usable {
        return Found { arrangements, exact: false };
    }
    for (n, pattern) in patterns(problem).into_iter().enumerate() {
        let distances = Distances::of(problem, pattern);
        let mut best = by_steps(problem, &distances, pattern, (seed, n as u64));
        if problem.count() <= EXACT_BLOCKS {
            let start = Some(best.clone());
            let mut way = Exact::new(problem, &distances, pattern, EXACT_STANDS, start);
            exact &= way.run();
            best = way.best.unwrap_or(best);
        }
        arrangements.push(best);
    }
    // A stable sort keeps the earlier pattern of two that are worth the same.
    arrangements.sort_by(|a, b| {
        if (a.1.cost - b.1.cost).abs() < SAME {
            std::cmp::Ordering::Equal
        } else {
            a.1.cost.total_cmp(&b.1.cost)
        }
    });
    Found { arrangements, exact }
}

/// The best of a few local searches of one pattern.
fn by_steps(
    problem: &Problem,
    distances: &Distances,
    pattern: Pattern,
    (seed, stream): (u64, u64),
) -> (Arrangement, Worth) {
    let mut best: Option<(Arrangement, Worth)> = None;
    for start in 0..STARTS {
        let mixed = seed ^ (stream * STARTS + start).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let random = Xoshiro256PlusPlus::seed_from_u64(mixed);
        let mut local = Local { problem, distances, pattern, random };
        let from = in_rows(problem, pattern, start);
        let found = local.run(from, steps_for(problem.count()));
        if best.as_ref().is_none_or(|(_, w)| found.1.cost < w.cost - SAME) {
            best = Some(found);
        }
    }
    best.unwrap_or_else(|| {
        let start = in_rows(problem, pattern, 0);
        let worth = super::worth(problem, &start);
        (start, worth)
    })
}

/// Blocks in the order of the cells, like a snake or row by row; the take-off at either end.
fn in_rows(problem: &Problem, pattern: Pattern, start: u64) -> Arrangement {
    let snake = start.is_multiple_of(2);
    let cells = (0..problem.count())
        .map(|n| {
            let (row, along) = (n / pattern.columns, n % pattern.columns);
            let back = snake && row % 2 == 1;
            let column = if back { pattern.columns - 1 - along } else { along };
            row * pattern.columns + column
        })
        .collect::<Vec<usize>>();
    // The last row of a snake may be part empty at its near end.
    let cells = if cells.iter().all(|c| *c < pattern.cells()) {
        cells
    } else {
        (0..problem.count()).collect()
    };
    Arrangement {
        pattern,
        cells,
        halves: (0..problem.count()).map(|n| start < 2 && n % 2 == 1).collect(),
        takeoff: [0, problem.parallel - 1],
    }
}

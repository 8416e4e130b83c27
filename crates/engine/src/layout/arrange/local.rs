//! A seeded local search of one pattern: worse steps are taken less and less often.

use super::exact::SAME;
use super::grid::{Distances, Pattern, count_f64};
use super::worth::weigh;
use super::{Arrangement, Problem, Worth};
use crate::number;
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::Rng;

/// Share of the cost of the start that a step may be worse at first.
const WARM: f64 = 0.05;

/// The same at the end.
const COLD: f64 = 1e-4;

/// A search of one pattern.
pub(super) struct Local<'a> {
    pub(super) problem: &'a Problem,
    pub(super) distances: &'a Distances,
    pub(super) pattern: Pattern,
    pub(super) random: Xoshiro256PlusPlus,
}

/// Where the search stands.
#[derive(Clone)]
struct State {
    /// What is in each cell: a block, or nothing from the block count up.
    inside: Vec<usize>,
    cells: Vec<usize>,
    halves: Vec<bool>,
    takeoff: [usize; 2],
}

impl Local<'_> {
    /// A number below a bound that is small against 2^32.
    fn below(&mut self, bound: usize) -> usize {
        let high = self.random.next_u64() >> 32;
        ((high * bound as u64) >> 32) as usize
    }

    /// Between 0 and 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits are what a number holds")]
    fn chance(&mut self) -> f64 {
        (self.random.next_u64() >> 11) as f64 / 9_007_199_254_740_992.0
    }

    /// Runs a number of steps from a start and gives the best it met.
    pub(super) fn run(&mut self, start: Arrangement, steps: u32) -> (Arrangement, Worth) {
        let mut now = self.state(&start);
        let mut worth = self.worth(&now);
        let (mut best, mut best_worth) = (now.clone(), worth);
        let start_cost = worth.cost.max(1e-9);
        let cool = number::ln(COLD / WARM) / f64::from(steps.max(1));
        for step in 0..steps {
            let heat = start_cost * WARM * number::exp(cool * f64::from(step));
            let mut next = now.clone();
            self.change(&mut next);
            let next_worth = self.worth(&next);
            let worse = next_worth.cost - worth.cost;
            if worse <= 0.0 || self.chance() < number::exp(-worse / heat) {
                (now, worth) = (next, next_worth);
                if worth.cost < best_worth.cost - SAME {
                    (best, best_worth) = (now.clone(), worth);
                }
            }
        }
        self.settled(best)
    }

    fn state(&self, start: &Arrangement) -> State {
        let cells = self.pattern.cells();
        let mut inside: Vec<Option<usize>> = vec![None; cells];
        for (block, cell) in start.cells.iter().enumerate() {
            inside[*cell] = Some(block);
        }
        let mut empty = self.problem.count()..;
        let inside = inside.into_iter().map(|b| b.or_else(|| empty.next()).unwrap_or(0)).collect();
        State {
            inside,
            cells: start.cells.clone(),
            halves: start.halves.clone(),
            takeoff: start.takeoff,
        }
    }

    fn worth(&self, state: &State) -> Worth {
        weigh(self.problem, self.distances, &state.cells, &state.halves).with(
            self.problem,
            self.distances,
            state.takeoff,
        )
    }

    /// One step: two cells exchanged, a block or a string turned, two strings exchanged, a string
    /// run the other way, or the take-off moved.
    fn change(&mut self, state: &mut State) {
        let (count, series) = (self.problem.count(), self.problem.series);
        let parallel = self.problem.parallel;
        match self.below(12) {
            0..=3 => {
                let (a, b) = (self.below(self.pattern.cells()), self.below(self.pattern.cells()));
                swap_cells(state, a, b, count);
            }
            4..=6 => {
                let block = self.below(count);
                state.halves[block] = !state.halves[block];
            }
            7 => {
                let string = self.below(parallel);
                for half in &mut state.halves[string * series..(string + 1) * series] {
                    *half = !*half;
                }
            }
            8 => {
                let (a, b) = (self.below(parallel), self.below(parallel));
                for place in 0..series {
                    let (a, b) = (a * series + place, b * series + place);
                    swap_cells(state, state.cells[a], state.cells[b], count);
                    state.halves.swap(a, b);
                }
            }
            9 => {
                let string = self.below(parallel);
                for place in 0..series / 2 {
                    let (a, b) = (string * series + place, (string + 1) * series - 1 - place);
                    swap_cells(state, state.cells[a], state.cells[b], count);
                    state.halves.swap(a, b);
                }
                for half in &mut state.halves[string * series..(string + 1) * series] {
                    *half = !*half;
                }
            }
            _ if self.problem.takes_off_anywhere() => {
                let pole = self.below(2);
                state.takeoff[pole] = self.below(parallel);
            }
            _ => {
                let block = self.below(count);
                state.halves[block] = !state.halves[block];
            }
        }
    }

    /// The best take-off for where the blocks now stand, after every single change that helps was
    /// made: no exchange of two cells and no turn of one block is left that makes it better.
    fn settled(&self, mut state: State) -> (Arrangement, Worth) {
        let count = self.problem.count();
        let mut worth = self.taken_best(&mut state, f64::INFINITY).unwrap_or(Worth {
            copper_m: 0.0,
            spread_percent: 0.0,
            cost: f64::INFINITY,
        });
        // Each round gains, and no bank needs more rounds than it has pairs of cells.
        for _ in 0..self.pattern.cells() * self.pattern.cells() {
            let mut gained = false;
            for a in 0..self.pattern.cells() {
                for b in a..self.pattern.cells() {
                    for turn in 0..4 {
                        let mut next = state.clone();
                        swap_cells(&mut next, a, b, count);
                        for (bit, cell) in [(1, a), (2, b)] {
                            let block = next.inside[cell];
                            if turn & bit != 0 && block < count {
                                next.halves[block] = !next.halves[block];
                            }
                        }
                        if let Some(better) = self.taken_best(&mut next, worth.cost - SAME) {
                            (state, worth, gained) = (next, better, true);
                        }
                    }
                }
            }
            if !gained {
                break;
            }
        }
        let arrangement = Arrangement {
            pattern: self.pattern,
            cells: state.cells,
            halves: state.halves,
            takeoff: state.takeoff,
        };
        (arrangement, worth)
    }

    fn taken_best(&self, state: &mut State, to_beat: f64) -> Option<Worth> {
        let weighed = weigh(self.problem, self.distances, &state.cells, &state.halves);
        let (takeoff, worth) = weighed.best(self.problem, self.distances, to_beat)?;
        state.takeoff = takeoff;
        Some(worth)
    }
}

/// Exchanges what is in two cells.
fn swap_cells(state: &mut State, a: usize, b: usize, count: usize) {
    state.inside.swap(a, b);
    for cell in [a, b] {
        let block = state.inside[cell];
        if block < count {
            state.cells[block] = cell;
        }
    }
}

/// Steps that a bank of that size is worth: more than enough for a bank that fits a box, and a
/// bound for one that does not.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded just before")]
pub(super) fn steps_for(count: usize) -> u32 {
    (count_f64(count) * count_f64(count) * 150.0).clamp(2_000.0, 60_000.0) as u32
}

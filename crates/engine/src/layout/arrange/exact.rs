//! Every arrangement of a pattern looked at, those that cannot win cut off early.

use super::grid::{Distances, Pattern, count_f64, stand};
use super::worth::weigh;
use super::{Arrangement, Joining, Problem, Worth};

/// A cost this much less is no gain; it keeps rounding from choosing between equals.
pub(super) const SAME: f64 = 1e-12;

/// The search of one pattern by depth: block after block into every free cell, both ways round.
pub(super) struct Exact<'a> {
    problem: &'a Problem,
    distances: &'a Distances,
    pattern: Pattern,
    cells: Vec<usize>,
    halves: Vec<bool>,
    taken: Vec<bool>,
    shortest_mm: f64,
    /// Stands still to be looked at; at none the search stops and is not exact.
    pub(super) left: u64,
    /// The best so far, from whichever pattern.
    pub(super) best: Option<(Arrangement, Worth)>,
}

/// What is already laid on the way down.
#[derive(Clone, Copy)]
struct Laid {
    series_mm: f64,
    longest_mm: [f64; 2],
}

impl<'a> Exact<'a> {
    pub(super) fn new(
        problem: &'a Problem,
        distances: &'a Distances,
        pattern: Pattern,
        left: u64,
        best: Option<(Arrangement, Worth)>,
    ) -> Self {
        Self {
            problem,
            distances,
            pattern,
            cells: vec![0; problem.count()],
            halves: vec![false; problem.count()],
            taken: vec![false; pattern.cells()],
            shortest_mm: distances.shortest_series(),
            left,
            best,
        }
    }

    /// Looks at every way; `false` when it had to stop before the end.
    ///
    /// The way down is a counter per block rather than a call of itself, so that its depth needs no
    /// stack: `stands[n]` is the next stand to try for block n.
    pub(super) fn run(&mut self) -> bool {
        let count = self.problem.count();
        let stands = self.pattern.cells() * 2;
        let mut next = vec![0_usize; count];
        let mut laid = vec![Laid { series_mm: 0.0, longest_mm: [0.0; 2] }; count + 1];
        let mut block = 0;
        loop {
            if next[block] == stands {
                if block == 0 {
                    return true;
                }
                next[block] = 0;
                block -= 1;
                self.taken[self.cells[block]] = false;
                continue;
            }
            let (cell, half) = (next[block] / 2, next[block] % 2 == 1);
            next[block] += 1;
            if self.taken[cell] {
                continue;
            }
            if self.left == 0 {
                return false;
            }
            self.left -= 1;
            self.cells[block] = cell;
            self.halves[block] = half;
            let now = self.laid_with(block, laid[block]);
            if !self.may_win(block, now) {
                continue;
            }
            if block + 1 == count {
                self.judge();
                continue;
            }
            self.taken[cell] = true;
            laid[block + 1] = now;
            block += 1;
        }
    }

    /// The cable after one more block is placed.
    fn laid_with(&self, block: usize, before: Laid) -> Laid {
        let series = self.problem.series;
        let (string, place) = (block / series, block % series);
        let mut now = before;
        let own = |minus: bool| stand(self.cells[block], self.halves[block], minus);
        if 0 < place {
            let from = stand(self.cells[block - 1], self.halves[block - 1], true);
            now.series_mm += self.distances.between(from, own(false));
        }
        let ends = [(place == 0, false), (place + 1 == series, true)];
        for (pole, (is_end, minus)) in ends.into_iter().enumerate() {
            if !is_end {
                continue;
            }
            let reach = match self.problem.joining {
                Joining::Bars { .. } => self.distances.outward(own(minus), minus),
                Joining::Links if string == 0 => 0.0,
                Joining::Links => {
                    let other = block - series;
                    let post = stand(self.cells[other], self.halves[other], minus);
                    self.distances.between(post, own(minus))
                }
            };
            now.longest_mm[pole] = now.longest_mm[pole].max(reach);
        }
        now
    }

    /// Whether what is laid, with the shortest links there can be for the rest, still beats the
    /// best. The spread and the main leads cost nothing at least.
    fn may_win(&self, block: usize, now: Laid) -> bool {
        let Some((_, best)) = &self.best else {
            return true;
        };
        let (series, parallel) = (self.problem.series, self.problem.parallel);
        let done = (block / series) * (series - 1) + block % series;
        let links = parallel * (series - 1);
        let partners = match self.problem.joining {
            Joining::Links => parallel - 1,
            Joining::Bars { .. } => parallel,
        };
        let slack = count_f64(links + 2 * partners) * self.problem.cable.slack_mm;
        let mm = now.series_mm
            + count_f64(links - done) * self.shortest_mm
            + count_f64(partners) * (now.longest_mm[0] + now.longest_mm[1])
            + slack;
        mm / 1000.0 < best.cost - SAME
    }

    fn judge(&mut self) {
        let weighed = weigh(self.problem, self.distances, &self.cells, &self.halves);
        let to_beat = self.best.as_ref().map_or(f64::INFINITY, |(_, w)| w.cost - SAME);
        if let Some((takeoff, worth)) = weighed.best(self.problem, self.distances, to_beat) {
            let arrangement = Arrangement {
                pattern: self.pattern,
                cells: self.cells.clone(),
                halves: self.halves.clone(),
                takeoff,
            };
            self.best = Some((arrangement, worth));
        }
    }
}

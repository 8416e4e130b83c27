//! The cells the blocks go into and how far each post of a cell is from each post of another.

use super::{Case, Problem, Spot};

/// Cells in columns and rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pattern {
    /// Columns, along x.
    pub columns: usize,
    /// Rows, along y.
    pub rows: usize,
    /// Every case stands a quarter round: its length along y.
    pub quarter: bool,
}

impl Pattern {
    /// How many cells there are.
    #[must_use]
    pub const fn cells(self) -> usize {
        self.columns * self.rows
    }

    /// Length along x and along y of a case in this pattern.
    #[must_use]
    pub const fn case_size(self, case: &Case) -> [f64; 2] {
        if self.quarter { [case.width, case.length] } else { [case.length, case.width] }
    }

    /// What the blocks take up with their gaps and margins, along x and along y.
    #[must_use]
    pub fn needs(self, problem: &Problem) -> [f64; 2] {
        let size = self.case_size(&problem.case);
        let along = |count: usize, side: f64| {
            let count = count_f64(count);
            count * side + (count - 1.0) * problem.gap + 2.0 * problem.margin
        };
        [along(self.columns, size[0]), along(self.rows, size[1])]
    }

    /// Left near corner of a cell; cells count along x first, from the owner's left hand. The
    /// blocks stand in the middle of the box.
    #[must_use]
    pub fn corner(self, problem: &Problem, cell: usize) -> Spot {
        let size = self.case_size(&problem.case);
        let needs = self.needs(problem);
        let at = [count_f64(cell % self.columns), count_f64(cell / self.columns)];
        let side = |axis: usize| {
            let spare = problem.room[axis].map_or(0.0, |room| (room - needs[axis]).max(0.0));
            spare / 2.0 + problem.margin + at[axis] * (size[axis] + problem.gap)
        };
        [side(0), side(1)]
    }

    /// Where the posts of a block in a cell stand: plus, minus.
    #[must_use]
    pub fn posts(self, problem: &Problem, cell: usize, half: bool) -> [Spot; 2] {
        posts_at(&problem.case, self.corner(problem, cell), self.quarter, half)
    }
}

/// Where the posts of a case stand whose left near corner is known: plus, minus.
fn posts_at(case: &Case, corner: Spot, quarter: bool, half: bool) -> [Spot; 2] {
    [case.plus, case.minus].map(|[u, v]| {
        let (u, v) = if half { (case.length - u, case.width - v) } else { (u, v) };
        let (x, y) = if quarter { (case.width - v, u) } else { (u, v) };
        [corner[0] + x, corner[1] + y]
    })
}

/// A small count as a number.
#[expect(clippy::cast_precision_loss, reason = "a bank has few blocks")]
pub(super) const fn count_f64(count: usize) -> f64 {
    count as f64
}

/// Every pattern that has a cell for every block, wastes no column or row, and fits the box.
#[must_use]
pub(super) fn patterns(problem: &Problem) -> Vec<Pattern> {
    let count = problem.count();
    let mut all: Vec<Pattern> = Vec::new();
    for columns in 1..=count {
        let rows = count.div_ceil(columns);
        // Fewer columns do with the same rows: the last column would stand empty.
        if count.div_ceil(rows) != columns {
            continue;
        }
        for quarter in [false, true] {
            let pattern = Pattern { columns, rows, quarter };
            let needs = pattern.needs(problem);
            let fits = (0..2).all(|n| problem.room[n].is_none_or(|room| needs[n] <= room + 1e-6));
            if fits {
                all.push(pattern);
            }
        }
    }
    all
}

/// The posts of every cell both ways round, and all distances between them.
pub(super) struct Distances {
    stands: usize,
    between: Vec<f64>,
    /// From each stand to the end of the plus and of the minus main lead or bar.
    outward: Vec<[f64; 2]>,
}

/// A post of a block: cell, half round or not, minus or plus.
pub(super) const fn stand(cell: usize, half: bool, minus: bool) -> usize {
    cell * 4 + (half as usize) * 2 + minus as usize
}

impl Distances {
    pub(super) fn of(problem: &Problem, pattern: Pattern) -> Self {
        let places: Vec<(Spot, bool)> = (0..pattern.cells())
            .map(|cell| (pattern.corner(problem, cell), pattern.quarter))
            .collect();
        Self::at(problem, &places)
    }

    /// Between cells of which each left near corner is known, and whether the case in it stands a
    /// quarter round.
    pub(super) fn at(problem: &Problem, places: &[(Spot, bool)]) -> Self {
        let stands = places.len() * 4;
        let mut spots: Vec<Spot> = Vec::with_capacity(stands);
        for (corner, quarter) in places {
            for half in [false, true] {
                spots.extend(posts_at(&problem.case, *corner, *quarter, half));
            }
        }
        let mut between = Vec::with_capacity(stands * stands);
        for a in &spots {
            between.extend(spots.iter().map(|b| apart(*a, *b)));
        }
        let ends = match problem.joining {
            super::Joining::Links => problem.mains,
            super::Joining::Bars { plus, minus } => [Some(plus), Some(minus)],
        };
        let outward =
            spots.iter().map(|a| ends.map(|end| end.map_or(0.0, |b| apart(*a, b)))).collect();
        Self { stands, between, outward }
    }

    /// Between two posts [mm].
    #[inline]
    pub(super) fn between(&self, a: usize, b: usize) -> f64 {
        self.between[a * self.stands + b]
    }

    /// From a post to where the main lead, or the bar, of that pole is [mm]; nothing when that is
    /// not known.
    #[inline]
    pub(super) fn outward(&self, post: usize, minus: bool) -> f64 {
        self.outward[post][usize::from(minus)]
    }

    /// The shortest series link there can be between two different cells [mm].
    pub(super) fn shortest_series(&self) -> f64 {
        let mut least = f64::INFINITY;
        for a in (0..self.stands).filter(|a| a % 2 == 1) {
            for b in (0..self.stands).filter(|b| b % 2 == 0 && b / 4 != a / 4) {
                least = least.min(self.between(a, b));
            }
        }
        if least.is_finite() { least } else { 0.0 }
    }
}

fn apart(a: Spot, b: Spot) -> f64 {
    ((a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1])).sqrt()
}

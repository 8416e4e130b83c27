//! Small dense symmetric systems: the square root of a matrix, and what it solves.

use crate::sim::vector::{Work, widest};

/// The lower square root of a symmetric positive matrix, row by row.
#[derive(Clone, Debug)]
pub(super) struct Chol {
    lower: Vec<f64>,
    size: usize,
}

/// The smallest pivot let through: a variance under it is rounding.
const PIVOT_MIN: f64 = 1e-30;

impl Chol {
    /// Takes the root; only the lower half of the matrix is read.
    pub(super) fn of(mut lower: Vec<f64>, size: usize) -> Self {
        // The widest registers at hand; every sum is taken in the same order whatever they are.
        widest(Factor { lower: &mut lower, size });
        Self { lower, size }
    }

    /// One row of the root, up to and with its diagonal.
    #[inline(always)]
    fn row(&self, row: usize) -> &[f64] {
        &self.lower[row * self.size..row * self.size + row + 1]
    }

    /// Solves L x = b in place: deviations become ones of spread one, each its own.
    pub(super) fn whiten(&self, values: &mut [f64]) {
        widest(Whiten { chol: self, values });
    }

    /// Solves L' x = b in place.
    pub(super) fn back(&self, values: &mut [f64]) {
        for row in (0..self.size).rev() {
            let here = self.row(row);
            let value = values[row] / here[row];
            values[row] = value;
            for (column, factor) in here[..row].iter().enumerate() {
                values[column] -= factor * value;
            }
        }
    }

    /// Solves L L' x = b in place.
    pub(super) fn solve(&self, values: &mut [f64]) {
        self.whiten(values);
        self.back(values);
    }

    /// The logarithm of the determinant of L, half that of the matrix.
    pub(super) fn log_root(&self) -> f64 {
        (0..self.size).map(|row| crate::number::ln(self.lower[row * self.size + row])).sum()
    }
}

/// The root in place, row by row.
struct Factor<'a> {
    lower: &'a mut [f64],
    size: usize,
}

impl Work for Factor<'_> {
    type Out = ();

    #[inline(always)]
    fn work(self) {
        let Self { lower, size } = self;
        for row in 0..size {
            let (above, rest) = lower.split_at_mut(row * size);
            let here = &mut rest[..size];
            for column in 0..row {
                let other = &above[column * size..column * size + column + 1];
                let sum = here[column] - dot(&here[..column], &other[..column]);
                here[column] = sum / other[column];
            }
            let left = here[row] - dot(&here[..row], &here[..row]);
            here[row] = left.max(PIVOT_MIN).sqrt();
        }
    }
}

struct Whiten<'a> {
    chol: &'a Chol,
    values: &'a mut [f64],
}

impl Work for Whiten<'_> {
    type Out = ();

    #[inline(always)]
    fn work(self) {
        for row in 0..self.chol.size {
            let here = self.chol.row(row);
            let sum = self.values[row] - dot(&here[..row], &self.values[..row]);
            self.values[row] = sum / here[row];
        }
    }
}

struct Products<'a> {
    rows: &'a [Vec<f64>],
    matrix: &'a mut [f64],
}

impl Work for Products<'_> {
    type Out = ();

    #[inline(always)]
    fn work(self) {
        let size = self.rows.len();
        for (i, row) in self.rows.iter().enumerate() {
            for (j, other) in self.rows.iter().enumerate().take(i + 1) {
                self.matrix[i * size + j] = dot(row, other);
            }
        }
    }
}

/// The lower half of the products of rows with one another.
pub(super) fn products(rows: &[Vec<f64>]) -> Vec<f64> {
    let mut matrix = vec![0.0; rows.len() * rows.len()];
    widest(Products { rows, matrix: &mut matrix });
    matrix
}

/// Sum of products, four at a time so that the compiler may take them together.
#[inline(always)]
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let count = a.len().min(b.len());
    let (a, b) = (&a[..count], &b[..count]);
    let mut sums = [0.0; 4];
    let (fours_a, fours_b) = (a.chunks_exact(4), b.chunks_exact(4));
    let (rest_a, rest_b) = (fours_a.remainder(), fours_b.remainder());
    for (x, y) in fours_a.zip(fours_b) {
        for lane in 0..4 {
            sums[lane] += x[lane] * y[lane];
        }
    }
    let rest: f64 = rest_a.iter().zip(rest_b).map(|(x, y)| x * y).sum();
    (sums[0] + sums[2]) + (sums[1] + sums[3]) + rest
}

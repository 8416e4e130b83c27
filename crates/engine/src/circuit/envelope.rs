//! The sparse solve: LDL^T of a conductance matrix inside its envelope.
//!
//! The matrix of a network of conductances is symmetric and positive definite once one node per
//! island is held at zero volts. Eliminating a node is then a star turned into a mesh: every
//! conductance that arises is a sum and a product of positive ones. The diagonal is never stored
//! and never subtracted from; a pivot is the sum of what still hangs on the node. So the factor
//! keeps nearly all its digits however far apart a joint and a load are.

/// The factor: for each row the reach of its envelope, the multipliers in it, and the pivot.
#[derive(Clone, Debug)]
pub(crate) struct Envelope {
    /// For each row the last row it touches; never falls from one row to the next.
    last: Vec<usize>,
    /// Where the entries of each row begin; the entry of row k for row j is at `start[k] + j - k - 1`.
    start: Vec<usize>,
    /// Conductances between rows before elimination [S], multipliers after it.
    entries: Vec<f64>,
    /// Conductance to the held node [S] before elimination and during it.
    to_held: Vec<f64>,
    /// The sum of conductances at each row when its turn comes [S].
    pivots: Vec<f64>,
}

/// Row whose pivot is zero or not finite.
#[derive(Debug, PartialEq)]
pub(crate) struct BadPivot(pub(crate) usize);

impl Envelope {
    /// An envelope wide enough for all pairs of rows that touch.
    pub(crate) fn of(rows: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Self {
        let mut last: Vec<usize> = (0..rows).collect();
        for (a, b) in pairs {
            let (low, high) = (a.min(b), a.max(b));
            last[low] = last[low].max(high);
        }
        let mut start = Vec::with_capacity(rows + 1);
        start.push(0);
        let mut reach = 0;
        for row in 0..rows {
            // A row that reaches past the next one hands its reach on: that is where fill comes.
            reach = reach.max(last[row]);
            last[row] = reach;
            start.push(start[row] + (reach - row));
        }
        let entries = vec![0.0; start[rows]];
        Self { last, start, entries, to_held: vec![0.0; rows], pivots: vec![0.0; rows] }
    }

    /// The number of rows.
    pub(crate) fn rows(&self) -> usize {
        self.last.len()
    }

    /// Adds a conductance between two rows.
    pub(crate) fn add_between(&mut self, a: usize, b: usize, conductance_s: f64) {
        let (low, high) = (a.min(b), a.max(b));
        self.entries[self.start[low] + high - low - 1] += conductance_s;
    }

    /// Adds a conductance between a row and the held node.
    pub(crate) fn add_to_held(&mut self, row: usize, conductance_s: f64) {
        self.to_held[row] += conductance_s;
    }

    /// Eliminates every row in turn.
    pub(crate) fn eliminate(&mut self) -> Result<(), BadPivot> {
        for row in 0..self.last.len() {
            let (done, ahead) = self.entries.split_at_mut(self.start[row + 1]);
            let own = &mut done[self.start[row]..];
            let pivot = self.to_held[row] + own.iter().sum::<f64>();
            // `pivot > 0.0` is false for a pivot that is not a number.
            if !(pivot > 0.0 && pivot.is_finite()) {
                return Err(BadPivot(row));
            }
            self.pivots[row] = pivot;
            let held = self.to_held[row];
            for near in 0..own.len() {
                let other = row + 1 + near;
                let share = own[near] / pivot;
                if share > 0.0 {
                    self.to_held[other] += share * held;
                    let begin = self.start[other] - self.start[row + 1];
                    let far = &own[near + 1..];
                    for (entry, conductance) in ahead[begin..begin + far.len()].iter_mut().zip(far)
                    {
                        *entry += share * conductance;
                    }
                }
            }
            for entry in own {
                *entry /= pivot;
            }
        }
        Ok(())
    }

    /// Turns the currents into the rows into the volts of the rows above the held node, in place.
    pub(crate) fn solve(&self, values: &mut [f64]) {
        let rows = self.last.len();
        for row in 0..rows {
            let (before, after) = values.split_at_mut(row + 1);
            let current_a = before[row];
            for (value, share) in after.iter_mut().zip(self.row(row)) {
                *value += share * current_a;
            }
            before[row] = current_a / self.pivots[row];
        }
        for row in (0..rows).rev() {
            let (before, after) = values.split_at_mut(row + 1);
            let from_later: f64 =
                self.row(row).iter().zip(after.iter()).map(|(share, volts)| share * volts).sum();
            before[row] += from_later;
        }
    }

    /// The multipliers of one row.
    fn row(&self, row: usize) -> &[f64] {
        &self.entries[self.start[row]..self.start[row + 1]]
    }
}

#[cfg(test)]
mod tests {
    use super::{BadPivot, Envelope};

    #[test]
    fn two_rows_by_hand() {
        // Hand worked: 2 S from row 0 to row 1, 1 S from row 1 to the held node, 3 A into row 0.
        // All 3 A pass both: row 1 stands at 3 / 1 = 3 V, row 0 at 3 + 3 / 2 = 4.5 V.
        let mut envelope = Envelope::of(2, [(0, 1)].into_iter());
        envelope.add_between(1, 0, 2.0);
        envelope.add_to_held(1, 1.0);
        assert_eq!(envelope.eliminate(), Ok(()), "both rows are tied down");
        let mut values = [3.0, 0.0];
        envelope.solve(&mut values);
        assert!((values[0] - 4.5).abs() < 1e-15, "row 0 at {}", values[0]);
        assert!((values[1] - 3.0).abs() < 1e-15, "row 1 at {}", values[1]);
    }

    #[test]
    fn a_star_fills_its_envelope() {
        // Hand worked: row 0 is the middle of a star with 1 S to rows 1 and 2, each with 1 S to the
        // held node. 1 A into row 1: from row 1, 1 ohm down, beside 1 + 1 + 1 = 3 ohm round the
        // star: row 1 stands at 0.75 V; the other path carries 0.25 A: row 0 at 0.5, row 2 at 0.25.
        let mut envelope = Envelope::of(3, [(0, 1), (0, 2)].into_iter());
        envelope.add_between(0, 1, 1.0);
        envelope.add_between(0, 2, 1.0);
        envelope.add_to_held(1, 1.0);
        envelope.add_to_held(2, 1.0);
        assert_eq!(envelope.eliminate(), Ok(()), "all rows are tied down");
        let mut values = [0.0, 1.0, 0.0];
        envelope.solve(&mut values);
        for (got, want) in values.iter().zip([0.5, 0.75, 0.25]) {
            assert!((got - want).abs() < 1e-15, "got {got}, want {want}");
        }
    }

    #[test]
    fn a_row_that_hangs_on_nothing_is_told() {
        let mut envelope = Envelope::of(1, std::iter::empty());
        assert_eq!(envelope.eliminate(), Err(BadPivot(0)), "nothing holds row 0");
    }
}

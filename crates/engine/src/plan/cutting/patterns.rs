//! The ways to fill one length with pieces of given kinds.
//!
//! A pattern says how many pieces of each kind are cut from one length. Kinds are sorted longest first,
//! and every weight already holds one cut, so that a length of L mm has room for L + cut.

/// Walks through the patterns of one length, the fullest with long pieces first.
#[derive(Debug)]
pub struct Patterns<'a> {
    weights: &'a [u64],
    counts: &'a [u16],
    /// At least one piece of this kind is in every pattern.
    pinned: Option<usize>,
    /// False leaves out patterns that merely drop a piece of the last kind.
    with_loose: bool,
    least_used: u64,
    room: u64,
    capacity: u64,
    pattern: Vec<u16>,
    state: State,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    Fresh,
    Running,
    Done,
}

impl<'a> Patterns<'a> {
    /// Patterns with no room left for a further piece, and a few that have; see [`is_tight`].
    #[must_use]
    pub fn full(
        weights: &'a [u64],
        counts: &'a [u16],
        capacity: u64,
        pinned: Option<usize>,
    ) -> Self {
        Self::new(weights, counts, capacity, pinned)
    }

    /// Every pattern that uses at least `least_used`.
    #[must_use]
    pub fn all(weights: &'a [u64], counts: &'a [u16], capacity: u64, least_used: u64) -> Self {
        Self { with_loose: true, least_used, ..Self::new(weights, counts, capacity, None) }
    }

    fn new(weights: &'a [u64], counts: &'a [u16], capacity: u64, pinned: Option<usize>) -> Self {
        Self {
            weights,
            counts,
            pinned,
            with_loose: false,
            least_used: 0,
            room: capacity,
            capacity,
            pattern: vec![0; weights.len()],
            state: State::Fresh,
        }
    }

    /// The next pattern and the room it uses.
    pub fn advance(&mut self) -> Option<(&[u16], u64)> {
        match self.state {
            State::Done => return None,
            State::Fresh => {
                self.state = State::Running;
                self.fill(0);
                if self.pinned.is_some_and(|kind| self.pattern[kind] == 0) {
                    self.state = State::Done;
                    return None;
                }
            }
            State::Running => {
                if !self.step() {
                    self.state = State::Done;
                    return None;
                }
            }
        }
        Some((&self.pattern, self.capacity - self.room))
    }

    /// Takes one piece away as late in the pattern as possible and fills up behind it.
    fn step(&mut self) -> bool {
        let last = self.weights.len().saturating_sub(1);
        // What could still be added behind the kind under the finger.
        let mut behind = 0;
        for kind in (0..self.weights.len()).rev() {
            let least = u16::from(self.pinned == Some(kind));
            let in_reach = kind < last || self.with_loose;
            if in_reach && self.pattern[kind] > least {
                let room = self.room + self.weights[kind];
                let used_most = self.capacity - room + behind.min(room);
                if used_most >= self.least_used {
                    self.pattern[kind] -= 1;
                    self.room = room;
                    self.fill(kind + 1);
                    return true;
                }
            }
            self.room += u64::from(self.pattern[kind]) * self.weights[kind];
            behind += u64::from(self.counts[kind]) * self.weights[kind];
            self.pattern[kind] = 0;
        }
        false
    }

    fn fill(&mut self, from: usize) {
        for kind in from..self.weights.len() {
            let fits = u16::try_from(self.room / self.weights[kind]).unwrap_or(u16::MAX);
            let take = fits.min(self.counts[kind]);
            self.pattern[kind] = take;
            self.room -= u64::from(take) * self.weights[kind];
        }
    }
}

/// True when no waiting piece fits into the slack, neither added nor in exchange for a shorter one.
///
/// A plan whose length is not tight can be made tight by moving longer pieces into it from lengths cut
/// later; they only become emptier, so nothing more has to be bought or opened. The search therefore
/// looks at tight patterns only.
#[must_use]
pub fn is_tight(weights: &[u64], counts: &[u16], pattern: &[u16], slack: u64) -> bool {
    // Kinds run from long to short, so the last waiting longer kind is the nearest in length.
    let mut nearest_longer: Option<u64> = None;
    for (kind, &weight) in weights.iter().enumerate() {
        if pattern[kind] > 0 && nearest_longer.is_some_and(|longer| longer - weight <= slack) {
            return false;
        }
        if counts[kind] > pattern[kind] {
            if weight <= slack {
                return false;
            }
            nearest_longer = Some(weight);
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::{Patterns, is_tight};

    fn collected(mut patterns: Patterns<'_>) -> Vec<Vec<u16>> {
        let mut all = Vec::new();
        while let Some((pattern, _)) = patterns.advance() {
            all.push(pattern.to_vec());
        }
        all
    }

    #[test]
    fn all_patterns_of_a_small_length_are_walked_once() {
        // Hand worked: 5 and 3 in 9, two of each: 5+3, 5, 3+3, 3 and none; 5+5 is 10 and too long.
        let got = collected(Patterns::all(&[5, 3], &[2, 2], 9, 0));
        assert_eq!(got, [[1, 1], [1, 0], [0, 2], [0, 1], [0, 0]], "each pattern once");
        let got = collected(Patterns::all(&[5, 3], &[2, 2], 9, 6));
        assert!(
            got.contains(&vec![1, 1]) && got.contains(&vec![0, 2]),
            "those of 6 or more are there"
        );
    }

    #[test]
    fn full_patterns_hold_the_pinned_kind() {
        let got = collected(Patterns::full(&[5, 3, 2], &[2, 2, 1], 9, Some(0)));
        assert_eq!(got, [[1, 1, 0], [1, 0, 1]], "5+3 and 5+2, hand worked");
    }

    #[test]
    fn a_pattern_is_tight_when_no_exchange_fits() {
        // Hand worked: 5+2 in 9 leaves 2; the waiting 3 fits in exchange for the 2.
        assert!(!is_tight(&[5, 3, 2], &[1, 1, 1], &[1, 0, 1], 2), "3 can replace 2");
        assert!(is_tight(&[5, 3, 2], &[1, 1, 1], &[1, 1, 0], 1), "nothing fits into 1");
    }
}

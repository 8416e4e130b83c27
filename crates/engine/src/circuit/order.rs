//! The order in which nodes are eliminated, chosen so that the envelope stays narrow.
//!
//! Reverse Cuthill-McKee: walk outward from a far end, neighbours with few neighbours first, then
//! turn the walk round. On the chains and ladders of a battery bank it leaves a band a few wide.

/// For each vertex its neighbours, all lists in one.
pub(crate) struct Neighbours {
    start: Vec<usize>,
    list: Vec<usize>,
}

impl Neighbours {
    /// Collects the neighbours of `count` vertices from the pairs that touch.
    pub(crate) fn of(count: usize, pairs: impl Iterator<Item = (usize, usize)> + Clone) -> Self {
        let mut start = vec![0; count + 1];
        for (a, b) in pairs.clone() {
            start[a + 1] += 1;
            start[b + 1] += 1;
        }
        for vertex in 0..count {
            start[vertex + 1] += start[vertex];
        }
        let mut next = start.clone();
        let mut list = vec![0; start[count]];
        for (a, b) in pairs {
            list[next[a]] = b;
            next[a] += 1;
            list[next[b]] = a;
            next[b] += 1;
        }
        Self { start, list }
    }

    /// The neighbours of one vertex; a vertex that touches twice is named twice.
    pub(crate) fn around(&self, vertex: usize) -> &[usize] {
        &self.list[self.start[vertex]..self.start[vertex + 1]]
    }

    /// How many neighbours a vertex has, counted as often as they touch.
    pub(crate) fn degree(&self, vertex: usize) -> usize {
        self.start[vertex + 1] - self.start[vertex]
    }
}

/// A walk over the vertices, outward from one of them.
struct Walk {
    order: Vec<usize>,
    /// The number of the walk that last came by a vertex; zero is never.
    seen: Vec<usize>,
    round: usize,
}

impl Walk {
    /// Walks the piece that holds `first`; leaves it in `order[begin..]`.
    fn run(&mut self, neighbours: &Neighbours, first: usize, begin: usize) {
        self.round += 1;
        self.order.truncate(begin);
        self.order.push(first);
        self.seen[first] = self.round;
        let mut next = begin;
        while next < self.order.len() {
            let from = self.order.len();
            for &vertex in neighbours.around(self.order[next]) {
                if self.seen[vertex] < self.round {
                    self.seen[vertex] = self.round;
                    self.order.push(vertex);
                }
            }
            self.order[from..].sort_unstable_by_key(|&vertex| (neighbours.degree(vertex), vertex));
            next += 1;
        }
    }
}

/// The elimination order of all vertices that are not left out.
///
/// Pieces that do not touch follow one another. The same graph gives the same order everywhere.
pub(crate) fn reverse_cuthill_mckee(neighbours: &Neighbours, left_out: &[bool]) -> Vec<usize> {
    let count = left_out.len();
    // A vertex left out counts as seen by every walk, so no walk enters it.
    let seen = left_out.iter().map(|&out| if out { usize::MAX } else { 0 }).collect();
    let mut walk = Walk { order: Vec::with_capacity(count), seen, round: 0 };
    for vertex in 0..count {
        if walk.seen[vertex] > 0 {
            continue;
        }
        let begin = walk.order.len();
        // The last vertex of a walk is a far end; starting there makes the levels narrow. Once
        // more from there settles nearly every bank; the order is only a matter of speed.
        walk.run(neighbours, vertex, begin);
        for _ in 0..2 {
            let far = walk.order[walk.order.len() - 1];
            walk.run(neighbours, far, begin);
        }
    }
    walk.order.reverse();
    walk.order
}

#[cfg(test)]
mod tests {
    use super::{Neighbours, reverse_cuthill_mckee};

    #[test]
    fn a_shuffled_chain_comes_out_in_a_row() {
        // Hand worked: the chain 3-0-4-1-2 has two ends, so the order is the chain or its mirror.
        let pairs = [(3, 0), (0, 4), (4, 1), (1, 2)];
        let neighbours = Neighbours::of(5, pairs.iter().copied());
        let order = reverse_cuthill_mckee(&neighbours, &[false; 5]);
        assert!(
            order == [3, 0, 4, 1, 2] || order == [2, 1, 4, 0, 3],
            "neighbours in the chain stay neighbours, got {order:?}"
        );
    }

    #[test]
    fn a_vertex_left_out_cuts_the_graph() {
        let pairs = [(0, 1), (1, 2)];
        let neighbours = Neighbours::of(3, pairs.iter().copied());
        let mut order = reverse_cuthill_mckee(&neighbours, &[false, true, false]);
        order.sort_unstable();
        assert_eq!(order, [0, 2], "the middle is not in the order, both ends are");
    }
}

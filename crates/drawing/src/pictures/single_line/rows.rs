//! Where the boxes beside the trunk stand: each branch runs outwards in a row, and back again in the next
//! row when the sheet ends.

use super::tree::Tree;

/// How a box is joined to what it hangs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Entry {
    /// From the trunk.
    Trunk,
    /// From the box beside it in the same row.
    Beside,
    /// From a box further up, in the column before: down and across.
    Elbow,
    /// From the box above it in the same column.
    Above,
    /// From a box further up in the same column, around the outer side.
    Outer,
}

/// A box in its row and column; column 0 stands next to the trunk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    pub(super) node: usize,
    pub(super) parent: Option<usize>,
    pub(super) row: usize,
    pub(super) column: usize,
    pub(super) outwards: bool,
    pub(super) entry: Entry,
}

/// The branches on one side of one trunk node, row under row.
pub(super) fn rows(tree: &Tree<'_>, branches: &[usize], columns: usize) -> Vec<Spot> {
    let mut spots = Vec::new();
    let mut next = 0;
    for branch in branches {
        let first = Spot {
            node: *branch,
            parent: None,
            row: next,
            column: 0,
            outwards: true,
            entry: Entry::Trunk,
        };
        next = place(tree, first, columns, &mut spots) + 1;
    }
    spots
}

/// Places a box and all that hangs on it; the last row used. A branch is a few boxes deep, so the call
/// stack stays shallow.
fn place(tree: &Tree<'_>, spot: Spot, columns: usize, spots: &mut Vec<Spot>) -> usize {
    spots.push(spot);
    let beside = if spot.outwards {
        Some(spot.column + 1).filter(|c| *c < columns)
    } else {
        spot.column.checked_sub(1)
    };
    let mut last = spot.row;
    for (n, child) in tree.nodes[spot.node].children.iter().enumerate() {
        let parent = Some(spot.node);
        let row = if n == 0 && beside.is_some() { spot.row } else { last + 1 };
        let child = match (beside, n) {
            (Some(column), 0) => {
                Spot { node: *child, parent, row, column, entry: Entry::Beside, ..spot }
            }
            (Some(column), _) => {
                Spot { node: *child, parent, row, column, entry: Entry::Elbow, ..spot }
            }
            (None, n) => Spot {
                node: *child,
                parent,
                row,
                outwards: !spot.outwards,
                entry: if n == 0 { Entry::Above } else { Entry::Outer },
                ..spot
            },
        };
        last = place(tree, child, columns, spots).max(last);
    }
    last
}

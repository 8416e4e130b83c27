//! What holds the box and the blocks, and whether it is enough.

use crate::finding::Severity;

/// One load case in one direction.
#[derive(Clone, Debug, PartialEq)]
pub struct HoldDown {
    /// The load case in words.
    pub case: String,
    /// The direction: `forward`, `rearward`, `sideways`, `up`, `down`.
    pub direction: String,
    /// What pulls [N].
    pub demand_n: f64,
    /// What it can hold [N]; `None` when the fasteners are not known.
    pub capacity_n: Option<f64>,
    /// The part that gives way first.
    pub governed_by: Option<String>,
    /// How bad; `None` when it holds.
    pub verdict: Option<Severity>,
}

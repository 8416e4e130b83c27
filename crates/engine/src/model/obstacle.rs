//! What stands beside, in or over the box and is not part of the bank.

use super::part::{Part, PlanPoint};
use crate::units::Length;

/// A thing that takes room: a gas cylinder, a jack, a spare wheel, a door in its swing.
#[derive(Clone, Debug, PartialEq)]
pub struct Obstacle {
    /// Name and stage.
    pub part: Part,
    /// What it is, in the owner's words.
    pub kind: Option<String>,
    /// Its left near corner on the plan.
    pub at: PlanPoint,
    /// Its size along x and y; a point where nothing was said.
    pub size: PlanPoint,
    /// Its underside above the floor of the box.
    pub bottom: Length,
    /// Its height from its underside; `None` reaches higher than any lid.
    pub height: Option<Length>,
}

impl Obstacle {
    /// Its top above the floor of the box, where it has one.
    #[must_use]
    pub fn top(&self) -> Option<Length> {
        self.height.map(|height| self.bottom + height)
    }
}

//! A lead that is already laid, as those after it have to mind it.

use super::route::{Job, Route};
use super::taut::Spot;
use crate::model::lead::Terminal;
use crate::model::part::PlanPoint;
use crate::units::Length;

/// Laid leads are minded by places so far apart along them.
pub(super) const LAID_STEP_MM: f64 = 5.0;

/// A lead already routed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Laid {
    pub(super) id: String,
    pub(super) terminals: [Terminal; 2],
    pub(super) points: Vec<PlanPoint>,
    pub(super) half_mm: f64,
    /// The greatest radius of its bends.
    pub(super) widest_mm: f64,
    /// Its highest underside.
    pub(super) high: Length,
    /// Places along its middle.
    pub(super) places: Vec<LaidPlace>,
    /// Least and greatest of both measures of those places.
    pub(super) corners: [Spot; 2],
}

/// A place in the middle of a lead already routed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LaidPlace {
    pub(super) at: Spot,
    pub(super) height: f64,
    /// The leg of the plan it lies on.
    pub(super) leg: usize,
}

impl Laid {
    pub(super) fn of(job: &Job, route: &Route) -> Self {
        let half_mm = route.diameter.as_mm() / 2.0;
        let places = if job.decided { route.places(LAID_STEP_MM) } else { Vec::new() };
        Self {
            id: job.id.clone(),
            terminals: job.terminals.clone(),
            points: route.points.clone(),
            half_mm,
            widest_mm: route.radii.iter().map(|r| r.as_mm()).fold(0.0, f64::max),
            high: route.run_height,
            corners: corners(&places),
            places,
        }
    }

    /// Whether a leg of a new lead, of which the last is known, and one of this leave the same stud:
    /// their lugs lie one on the other there, and the hand that bolts them spreads the cables.
    pub(super) fn together(
        &self,
        terminals: &[Terminal; 2],
        (leg, last): (usize, usize),
        own: usize,
    ) -> bool {
        let own_last = self.points.len().saturating_sub(2);
        let ends_on = |n: usize, end: usize, last: usize| n == if end == 0 { 0 } else { last };
        let both = |e: usize, f: usize| {
            terminals[e] == self.terminals[f] && ends_on(leg, e, last) && ends_on(own, f, own_last)
        };
        (0..2).any(|e| (0..2).any(|f| both(e, f)))
    }
}

fn corners(places: &[LaidPlace]) -> [Spot; 2] {
    let none = [Spot::at(f64::MAX, f64::MAX), Spot::at(f64::MIN, f64::MIN)];
    places.iter().fold(none, |[low, high], place| {
        let Spot { x, y } = place.at;
        [Spot::at(low.x.min(x), low.y.min(y)), Spot::at(high.x.max(x), high.y.max(y))]
    })
}

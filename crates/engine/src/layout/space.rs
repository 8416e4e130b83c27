//! The line of a lead in space, as closely spaced points along its centre.
//!
//! On the plan it is straight legs joined by arcs; its heights are the same in the upright sheet that
//! stands on that way.

use super::laid::LaidPlace;
use super::route::Route;
use super::shortest::spot;
use super::taut::Spot;
use super::track::Track;
use crate::model::part::PlanPoint;
use crate::units::Length;

/// A point in space, measured from the inner near corner of the box at the owner's left hand and
/// from the floor under the blocks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpacePoint {
    /// To the right and away from the owner.
    pub at: PlanPoint,
    /// Up.
    pub height: Length,
}

impl Route {
    /// Its centre line from stud to stud, in points at most so far apart. The ends lie half a
    /// diameter above the faces on which the lugs lie.
    #[must_use]
    pub fn line(&self, step: Length) -> Vec<SpacePoint> {
        let places = self.places(step.as_mm().max(0.01));
        let point = |p: &LaidPlace| SpacePoint {
            at: PlanPoint { x: Length::mm(p.at.x), y: Length::mm(p.at.y) },
            height: Length::mm(p.height),
        };
        places.iter().map(point).collect()
    }

    /// How high its underside is where it comes nearest to a place of the plan.
    #[must_use]
    pub fn height_near(&self, place: PlanPoint) -> Length {
        const STEP_MM: f64 = 2.0;
        let at = spot(place);
        let off = |p: &LaidPlace| p.at.apart(at);
        let places = self.places(STEP_MM);
        let nearest = places.iter().reduce(|a, b| if off(b) < off(a) { b } else { a });
        nearest.map_or(self.run_height, |p| Length::mm(p.height) - self.diameter / 2.0)
    }

    /// Its heights as a way of their own: along the plan and up.
    fn sheet(&self) -> Track {
        let half = self.diameter / 2.0;
        let corner = |n: usize| {
            let rise = &self.heights[n];
            Spot::at(rise.along.as_mm(), (rise.height + half).as_mm())
        };
        let corners: Vec<Spot> = (0..self.heights.len()).map(corner).collect();
        let last = self.heights.len().saturating_sub(1);
        let inner = self.heights.get(1..last).unwrap_or_default();
        let radii: Vec<f64> = inner.iter().map(|r| r.radius.as_mm()).collect();
        Track::through(&corners, &radii)
    }

    /// Places along its middle, at most so far apart.
    pub(super) fn places(&self, step_mm: f64) -> Vec<LaidPlace> {
        let spots: Vec<Spot> = self.points.iter().map(|p| spot(*p)).collect();
        let radii: Vec<f64> = self.radii.iter().map(|r| r.as_mm()).collect();
        let plan = Track::through(&spots, &radii);
        let sheet = self.sheet();
        let long = sheet.long();
        // A lead is at most some hundred metres long, a step at least a hundredth of a millimetre.
        let steps = (long / step_mm).ceil().clamp(1.0, 1e7);
        let mut done = 0.0;
        let mut all = Vec::new();
        while done <= steps {
            let seen = sheet.at(long * done / steps);
            all.push(LaidPlace { at: plan.at(seen.x), height: seen.y, leg: plan.leg(seen.x) });
            done += 1.0;
        }
        all
    }
}

//! The line of a lead in space, as closely spaced points along its centre.
//!
//! On the plan it is straight legs joined by arcs; upwards it leaves its stud level, climbs in an S of
//! two arcs to the height of its run, and comes down in another.

use super::path;
use super::route::{Climb, Route};
use crate::model::part::PlanPoint;
use crate::number;
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

/// Draws the line of one route.
struct Pen<'a> {
    route: &'a Route,
    step_mm: f64,
    line: Vec<SpacePoint>,
}

impl Route {
    /// Its centre line from stud to stud, in points at most so far apart. The ends lie half a
    /// diameter above the faces on which the lugs lie.
    #[must_use]
    pub fn line(&self, step: Length) -> Vec<SpacePoint> {
        let step_mm = step.as_mm().max(0.01);
        let mut pen = Pen { route: self, step_mm, line: Vec::new() };
        let mut height_mm = self.from_height.as_mm();
        for n in 0..self.points.len().saturating_sub(1) {
            height_mm = pen.leg(n, height_mm);
            pen.corner(n, height_mm);
        }
        pen.line
    }

    /// What the corner after a leg takes of it.
    fn taken_mm(&self, corner: usize) -> f64 {
        match (self.points.get(corner..corner + 3), self.radii.get(corner)) {
            (Some([a, b, c]), Some(radius)) => {
                let half = path::turn_at(*a, *b, *c).abs() / 2.0;
                radius.as_mm() * number::sin(half) / number::cos(half).max(1e-6)
            }
            _ => 0.0,
        }
    }
}

impl Pen<'_> {
    /// Draws a leg with what climbs on it; returns the height at its end.
    fn leg(&mut self, n: usize, start_mm: f64) -> f64 {
        let route = self.route;
        let (a, b) = (route.points[n], route.points[n + 1]);
        let long = path::apart_mm(a, b);
        let from = if n == 0 { 0.0 } else { route.taken_mm(n - 1) };
        let to = long - route.taken_mm(n);
        let run = route.run_height.as_mm();
        let heights = [(start_mm, run), (run, route.to_height.as_mm())];
        let mut height = start_mm;
        self.put(a, b, from / long.max(1e-9), height);
        for (climb, (low, high)) in route.climbs.iter().zip(heights) {
            let Some(climb) = climb.filter(|c| c.leg == n) else {
                continue;
            };
            self.stroke((a, b), climb.from.as_mm(), height);
            self.climb((a, b), &climb, (low, high));
            height = high;
        }
        self.stroke((a, b), to, height);
        // A lead too thin on facts for an S rises where its leg ends.
        let is_last = n + 2 == route.points.len();
        if is_last { route.to_height.as_mm() } else { height }
    }

    /// One point on a leg.
    fn put(&mut self, a: PlanPoint, b: PlanPoint, share: f64, height_mm: f64) {
        let at = PlanPoint { x: a.x + (b.x - a.x) * share, y: a.y + (b.y - a.y) * share };
        let height = Length::mm(height_mm) + self.route.diameter / 2.0;
        self.line.push(SpacePoint { at, height });
    }

    /// A level straight from where the line is to so far along the leg.
    fn stroke(&mut self, (a, b): (PlanPoint, PlanPoint), to_mm: f64, height_mm: f64) {
        let long = path::apart_mm(a, b).max(1e-9);
        let here = self.line.last().map_or(a, |p| p.at);
        let from_mm = path::apart_mm(a, here);
        for share in shares(to_mm - from_mm, self.step_mm) {
            self.put(a, b, (from_mm + (to_mm - from_mm) * share) / long, height_mm);
        }
    }

    /// An S of two arcs, with an upright straight between them where it is high.
    fn climb(&mut self, (a, b): (PlanPoint, PlanPoint), climb: &Climb, (low, high): (f64, f64)) {
        let long = path::apart_mm(a, b).max(1e-9);
        let radius = self.route.bend_radius.map_or(0.0, Length::as_mm);
        let (rise, from, span) = ((high - low).abs(), climb.from.as_mm(), climb.span.as_mm());
        let sign = if low <= high { 1.0 } else { -1.0 };
        let cos = (1.0 - rise / (2.0 * radius.max(1e-9))).max(0.0);
        let angle = number::atan2((1.0 - cos * cos).sqrt(), cos);
        let arc = radius * (1.0 - number::cos(angle));
        for share in shares(radius * angle, self.step_mm) {
            let along = radius * number::sin(angle * share);
            let up = radius * (1.0 - number::cos(angle * share));
            self.put(a, b, (from + along) / long, low + sign * up);
        }
        let upright = rise - 2.0 * arc;
        for share in shares(upright, self.step_mm) {
            self.put(a, b, (from + span / 2.0) / long, low + sign * (arc + upright * share));
        }
        for share in shares(radius * angle, self.step_mm) {
            let along = radius * number::sin(angle * (1.0 - share));
            let up = radius * (1.0 - number::cos(angle * (1.0 - share)));
            self.put(a, b, (from + span - along) / long, high - sign * up);
        }
    }

    /// The arc after a leg.
    fn corner(&mut self, n: usize, height_mm: f64) {
        let Some([a, b, c]) = self.route.points.get(n..n + 3) else {
            return;
        };
        let radius = self.route.radii.get(n).map_or(0.0, |r| r.as_mm());
        let turn = path::turn_at(*a, *b, *c);
        let taken = self.route.taken_mm(n);
        let long = path::apart_mm(*a, *b).max(1e-9);
        let way = ((b.x - a.x).as_mm() / long, (b.y - a.y).as_mm() / long);
        let start = (b.x.as_mm() - taken * way.0, b.y.as_mm() - taken * way.1);
        for share in shares(radius * turn.abs(), self.step_mm) {
            let part = turn.abs() * share;
            let (along, aside) = (radius * number::sin(part), radius * (1.0 - number::cos(part)));
            let aside = if turn < 0.0 { -aside } else { aside };
            let at = PlanPoint {
                x: Length::mm(start.0 + along * way.0 - aside * way.1),
                y: Length::mm(start.1 + along * way.1 + aside * way.0),
            };
            let height = Length::mm(height_mm) + self.route.diameter / 2.0;
            self.line.push(SpacePoint { at, height });
        }
    }
}

/// Shares of a length in equal steps of at most so much, the whole last; none of no length.
fn shares(long_mm: f64, step_mm: f64) -> impl Iterator<Item = f64> {
    // A lead is at most some hundred metres long, a step at least a hundredth of a millimetre.
    let steps = (long_mm / step_mm).ceil().clamp(0.0, 1e7);
    let mut done = 0.0;
    std::iter::from_fn(move || {
        let more = 1e-9 < long_mm && done < steps;
        done += 1.0;
        more.then(|| done / steps)
    })
}

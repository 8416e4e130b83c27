//! Plane geometry of a lead: legs, distances, rounded corners, the rise over what lies below.

use crate::model::part::PlanPoint;
use crate::number;
use crate::units::Length;

/// Points closer than this are one point.
pub(super) const SAME_MM: f64 = 0.001;

/// Distance between two points.
pub(super) fn apart_mm(a: PlanPoint, b: PlanPoint) -> f64 {
    number::hypot((b.x - a.x).as_mm(), (b.y - a.y).as_mm())
}

/// Runs along x or along y.
pub(super) fn is_square(a: PlanPoint, b: PlanPoint) -> bool {
    (a.x - b.x).as_mm().abs() < SAME_MM || (a.y - b.y).as_mm().abs() < SAME_MM
}

/// Distance from a point to a leg.
pub(super) fn off_leg_mm(p: PlanPoint, a: PlanPoint, b: PlanPoint) -> f64 {
    let (dx, dy) = ((b.x - a.x).as_mm(), (b.y - a.y).as_mm());
    let long = dx * dx + dy * dy;
    if long < SAME_MM * SAME_MM {
        return apart_mm(p, a);
    }
    let share = (((p.x - a.x).as_mm() * dx + (p.y - a.y).as_mm() * dy) / long).clamp(0.0, 1.0);
    let foot = PlanPoint { x: a.x + Length::mm(dx * share), y: a.y + Length::mm(dy * share) };
    apart_mm(p, foot)
}

/// Whether a leg runs over a rectangle, further in than a touch of its edge.
pub(super) fn leg_over(a: PlanPoint, b: PlanPoint, corner: PlanPoint, far: PlanPoint) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, end, low, high) in [
        (a.x.as_mm(), b.x.as_mm(), corner.x.as_mm(), far.x.as_mm()),
        (a.y.as_mm(), b.y.as_mm(), corner.y.as_mm(), far.y.as_mm()),
    ] {
        let (low, high) = (low + SAME_MM, high - SAME_MM);
        let step = end - start;
        if step.abs() < SAME_MM {
            if start < low || high < start {
                return false;
            }
        } else {
            let (enter, leave) = ((low - start) / step, (high - start) / step);
            from = from.max(enter.min(leave));
            to = to.min(enter.max(leave));
        }
    }
    from < to
}

/// Distance between two legs; nothing where they cross.
pub(super) fn legs_apart_mm(one: [PlanPoint; 2], other: [PlanPoint; 2]) -> f64 {
    let side = |p: PlanPoint, leg: [PlanPoint; 2]| {
        let (dx, dy) = ((leg[1].x - leg[0].x).as_mm(), (leg[1].y - leg[0].y).as_mm());
        dx * (p.y - leg[0].y).as_mm() - dy * (p.x - leg[0].x).as_mm()
    };
    let splits = |leg, by: [PlanPoint; 2]| side(by[0], leg) * side(by[1], leg) < 0.0;
    if splits(one, other) && splits(other, one) {
        return 0.0;
    }
    [
        off_leg_mm(one[0], other[0], other[1]),
        off_leg_mm(one[1], other[0], other[1]),
        off_leg_mm(other[0], one[0], one[1]),
        off_leg_mm(other[1], one[0], one[1]),
    ]
    .into_iter()
    .fold(f64::INFINITY, f64::min)
}

/// The same path without repeated points and without points on a straight run; `None` when the
/// path turns back on itself.
pub(super) fn tidied(points: &[PlanPoint]) -> Option<Vec<PlanPoint>> {
    let mut kept: Vec<PlanPoint> = Vec::new();
    for &p in points {
        if kept.last().is_some_and(|&q| apart_mm(p, q) < SAME_MM) {
            continue;
        }
        if let [.., a, b] = kept[..]
            && is_square(a, b)
            && is_square(b, p)
            && is_square(a, p)
        {
            if apart_mm(a, p) < apart_mm(a, b) || apart_mm(a, p) < apart_mm(b, p) {
                return None;
            }
            kept.pop();
        }
        kept.push(p);
    }
    Some(kept)
}

/// What a cable needs of its path, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Needs {
    /// Radius of the centre line; 0 while the size is not known.
    pub(super) radius_mm: f64,
    /// Straight part at the start, under the lug.
    pub(super) reach_from_mm: f64,
    /// Straight part at the end.
    pub(super) reach_to_mm: f64,
    /// How far the run lies above the start.
    pub(super) rise_from_mm: f64,
    /// How far the run lies above the end.
    pub(super) rise_to_mm: f64,
}

/// Where the cable climbs or comes down: on which leg, and from how far along it to how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Climb {
    /// Counted from the first leg.
    pub(super) leg: usize,
    /// Along the leg from its first corner.
    pub(super) from_mm: f64,
    /// Run along the plan.
    pub(super) span_mm: f64,
}

/// How long a path is and whether the cable can follow it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Measured {
    /// Along the centre line, stud to stud.
    pub(super) length_mm: f64,
    /// By how much the leg with least room is too short for its bends and lugs.
    pub(super) short_mm: f64,
    /// Radius at each corner as drawn.
    pub(super) fits_mm: Vec<f64>,
    /// At the start and at the end; a lead that lies level has none.
    pub(super) climbs: [Option<Climb>; 2],
}

impl Measured {
    /// The tightest corner as drawn; `None` on a straight lead.
    pub(super) fn tightest_mm(&self) -> Option<f64> {
        self.fits_mm.iter().copied().reduce(f64::min)
    }
}

/// How far a path turns at a corner.
pub(super) fn turn_at(a: PlanPoint, corner: PlanPoint, b: PlanPoint) -> f64 {
    let (dx, dy) = ((corner.x - a.x).as_mm(), (corner.y - a.y).as_mm());
    let (ex, ey) = ((b.x - corner.x).as_mm(), (b.y - corner.y).as_mm());
    number::atan2(dx * ey - dy * ex, dx * ex + dy * ey)
}

/// Tangent of half a turn: what a corner of radius 1 takes of either leg.
pub(super) fn half_tangent(turn: f64) -> f64 {
    let half = turn.abs() / 2.0;
    number::sin(half) / number::cos(half).max(1e-6)
}

/// Measures a path with a radius for each of its corners.
///
/// # Formula
/// l = sum(legs) - sum(R (2 tan(a/2) - a)) + e(h1) + e(h2)
/// # Symbols
/// - `points`: corners of the path from stud to stud
/// - `radii`: R, radius wanted at each corner [mm]
/// - `needs`: h1, h2, rise at either end [mm]
/// - a, turn at a corner [rad]; a corner too near its neighbours gets the radius that fits
/// - e, see [`rise`]
/// - returns l [mm] and what is missing for the bends [mm]
/// # Valid
/// Corners of less than half a turn.
/// # Source
/// physics, two tangents of R tan(a/2) are replaced by an arc of R a, computed
/// # Checked by
/// hand-worked L and straight paths in the tests of this file.
pub(super) fn measure(points: &[PlanPoint], radii: &[f64], needs: &Needs) -> Measured {
    let legs: Vec<f64> = points.windows(2).map(|w| apart_mm(w[0], w[1])).collect();
    let last = legs.len().saturating_sub(1);
    let turns: Vec<f64> = points.windows(3).map(|w| turn_at(w[0], w[1], w[2]).abs()).collect();
    let takes: Vec<f64> =
        (0..last).map(|n| radii.get(n).copied().unwrap_or(0.0) * half_tangent(turns[n])).collect();
    let take = |n: Option<usize>| n.and_then(|n| takes.get(n)).copied().unwrap_or(0.0);
    let before = |n: usize| if n == 0 { needs.reach_from_mm } else { take(n.checked_sub(1)) };
    let after = |n: usize| if n == last { needs.reach_to_mm } else { take(Some(n)) };
    let (from_extra, from_span) = rise(needs.rise_from_mm, needs.radius_mm);
    let (to_extra, to_span) = rise(needs.rise_to_mm, needs.radius_mm);
    let free: Vec<f64> = (0..legs.len()).map(|n| legs[n] - before(n) - after(n)).collect();
    // A climb is made beside its lug where there is room, else wherever there is most.
    let roomiest =
        (0..legs.len()).reduce(|a, b| if free[a] < free[b] { b } else { a }).unwrap_or(0);
    let up = if free.first().is_some_and(|room| from_span <= *room) { 0 } else { roomiest };
    let used = |n: usize| if n == up { from_span } else { 0.0 };
    let down =
        if free.last().is_some_and(|room| to_span <= *room - used(last)) { last } else { roomiest };
    let mut short_mm = 0.0_f64;
    let mut fits: Vec<f64> = (0..last).map(|n| radii.get(n).copied().unwrap_or(0.0)).collect();
    for (n, room) in free.iter().enumerate() {
        let spans = used(n) + if n == down { to_span } else { 0.0 };
        short_mm = short_mm.max(spans - room);
        let corners = [n.checked_sub(1), (n != last).then_some(n)];
        let wanted = take(corners[0]) + take(corners[1]);
        let scale = ((room + wanted - spans) / wanted.max(1e-9)).clamp(0.0, 1.0);
        for corner in corners.into_iter().flatten() {
            fits[corner] = fits[corner].min(radii.get(corner).copied().unwrap_or(0.0) * scale);
        }
    }
    let saved: f64 = fits.iter().zip(&turns).map(|(r, a)| r * (2.0 * half_tangent(*a) - a)).sum();
    let sum: f64 = legs.iter().sum();
    let climb = |leg: usize, from_mm: f64, span_mm: f64| {
        (0.0 < span_mm).then_some(Climb { leg, from_mm, span_mm })
    };
    let end_of = |n: usize| legs.get(n).copied().unwrap_or(0.0) - after(n);
    Measured {
        length_mm: sum - saved + from_extra + to_extra,
        short_mm,
        fits_mm: fits,
        climbs: [climb(up, before(up), from_span), climb(down, end_of(down) - to_span, to_span)],
    }
}

/// Extra length and run of the S by which a lead climbs over what lies below it.
///
/// # Formula
/// cos(a) = 1 - h / (2 R); run = 2 R sin(a); extra = 2 R a - run
/// # Symbols
/// - `height_mm`: h, height to climb [mm]
/// - `radius_mm`: R, bend radius of the centre line [mm]
/// - a, angle of either arc [rad]
/// - returns extra length and run along the plan [mm]
/// # Valid
/// 0 <= h <= 2 R; a higher climb gets a straight upright part between two quarter circles, and a
/// radius of nothing climbs straight up.
/// # Source
/// physics, two equal arcs that meet tangent, computed
/// # Checked by
/// hand-worked point and the limit h = 2 R in the tests of this file.
pub(super) fn rise(height_mm: f64, radius_mm: f64) -> (f64, f64) {
    if height_mm <= 0.0 {
        return (0.0, 0.0);
    }
    if 2.0 * radius_mm <= height_mm {
        let run = 2.0 * radius_mm;
        return (height_mm - run + std::f64::consts::PI * radius_mm - run, run);
    }
    let cos = 1.0 - height_mm / (2.0 * radius_mm);
    let sin = (1.0 - cos * cos).sqrt();
    let run = 2.0 * radius_mm * sin;
    (2.0 * radius_mm * number::atan2(sin, cos) - run, run)
}

#[cfg(test)]
mod tests {
    use super::{Needs, apart_mm, legs_apart_mm, measure, rise, tidied};
    use crate::model::part::PlanPoint;
    use crate::units::Length;
    use proptest::prelude::{prop_assert, proptest};

    fn at(x: f64, y: f64) -> PlanPoint {
        PlanPoint { x: Length::mm(x), y: Length::mm(y) }
    }

    const BARE: Needs = Needs {
        radius_mm: 0.0,
        reach_from_mm: 0.0,
        reach_to_mm: 0.0,
        rise_from_mm: 0.0,
        rise_to_mm: 0.0,
    };

    #[test]
    fn a_rounded_corner_saves_the_tangents_less_the_arc() {
        // Hand worked: legs of 300 and 200 mm, radius 70 mm: 500 - 2 * 70 + pi / 2 * 70 = 469.956.
        let path = [at(0.0, 0.0), at(300.0, 0.0), at(300.0, 200.0)];
        let needs = Needs { radius_mm: 70.0, reach_from_mm: 40.0, reach_to_mm: 40.0, ..BARE };
        let got = measure(&path, &[needs.radius_mm; 8], &needs);
        assert!((got.length_mm - 469.956).abs() < 0.001, "{} mm", got.length_mm);
        assert!(got.short_mm <= 0.0, "both legs have room: {}", got.short_mm);
    }

    #[test]
    fn a_leg_too_short_for_its_bend_says_by_how_much() {
        // Hand worked: the second leg is 90 mm and needs 40 for the lug and 70 for the bend, so 20
        // are missing and a radius of 50 is all that fits.
        let path = [at(0.0, 0.0), at(300.0, 0.0), at(300.0, 90.0)];
        let needs = Needs { radius_mm: 70.0, reach_from_mm: 40.0, reach_to_mm: 40.0, ..BARE };
        let got = measure(&path, &[needs.radius_mm; 8], &needs);
        assert!((got.short_mm - 20.0).abs() < 1e-9, "{} mm short", got.short_mm);
        assert!((got.tightest_mm().unwrap_or(0.0) - 50.0).abs() < 1e-9, "{:?}", got.tightest_mm());
    }

    #[test]
    fn a_climb_costs_little_cable() {
        // Hand worked: 20 mm up with R = 70: cos a = 0.857143, a = 0.541100, run 72.111, arcs
        // 75.754, extra 3.643.
        let (extra, run) = rise(20.0, 70.0);
        assert!((run - 72.111).abs() < 0.001 && (extra - 3.643).abs() < 0.001, "{extra}, {run}");
        // At h = 2 R the two arcs are quarter circles: extra is pi R - 2 R.
        let (extra, run) = rise(140.0, 70.0);
        assert!((extra - 79.911).abs() < 0.001 && (run - 140.0).abs() < 1e-9, "{extra}, {run}");
        assert!((rise(20.0, 0.0).0 - 20.0).abs() < 1e-9, "no radius climbs straight up");
    }

    #[test]
    fn a_path_that_turns_back_is_no_path() {
        let back = [at(0.0, 0.0), at(100.0, 0.0), at(50.0, 0.0)];
        assert_eq!(tidied(&back), None, "turns back");
        let straight = [at(0.0, 0.0), at(50.0, 0.0), at(50.0, 0.0), at(100.0, 0.0)];
        assert_eq!(tidied(&straight).map(|p| p.len()), Some(2), "one straight leg");
    }

    #[test]
    fn crossing_legs_touch() {
        let one = [at(0.0, 50.0), at(100.0, 50.0)];
        assert!(legs_apart_mm(one, [at(50.0, 0.0), at(50.0, 100.0)]) < 1e-9, "they cross");
        let beside = legs_apart_mm(one, [at(0.0, 80.0), at(100.0, 80.0)]);
        assert!((beside - 30.0).abs() < 1e-9, "30 mm apart, not {beside}");
    }

    proptest! {
        #[test]
        fn no_path_is_shorter_than_the_straight_line(
            x1 in -900.0..900.0_f64, y1 in -900.0..900.0_f64, mid in -900.0..900.0_f64,
            radius in 0.0..120.0_f64, up in 0.0..300.0_f64,
        ) {
            let ends = (at(0.0, 0.0), at(x1, y1));
            let needs = Needs { radius_mm: radius, reach_from_mm: 40.0, rise_from_mm: up, ..BARE };
            let path = tidied(&[ends.0, at(mid, 0.0), at(mid, y1), ends.1]);
            if let Some(path) = path {
                let got = measure(&path, &[needs.radius_mm; 8], &needs);
                // A micrometre for rounding.
                prop_assert!(apart_mm(ends.0, ends.1) <= got.length_mm + 0.001, "{:?}", got);
            }
        }
    }
}

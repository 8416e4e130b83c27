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

/// How long a path is and whether the cable can follow it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Measured {
    /// Along the centre line, stud to stud.
    pub(super) length_mm: f64,
    /// By how much the leg with least room is too short for its bends and lugs.
    pub(super) short_mm: f64,
    /// The tightest corner as drawn; `None` on a straight lead.
    pub(super) tightest_mm: Option<f64>,
}

/// Measures a path whose corners are square.
///
/// # Formula
/// l = sum(legs) - n * (2 - pi/2) * R + e(h1) + e(h2)
/// # Symbols
/// - `points`: corners of the path from stud to stud
/// - `needs`: R, bend radius [mm]; h1, h2, rise at either end [mm]
/// - n, number of corners; a corner too near its neighbours gets the radius that fits
/// - e, see [`rise`]
/// - returns l [mm] and what is missing for the bends [mm]
/// # Valid
/// Square corners. A straight lead may run at any angle.
/// # Source
/// physics, two tangents of R are replaced by a quarter circle, computed
/// # Checked by
/// hand-worked L and straight paths in the tests of this file.
pub(super) fn measure(points: &[PlanPoint], needs: &Needs) -> Measured {
    let legs: Vec<f64> = points.windows(2).map(|w| apart_mm(w[0], w[1])).collect();
    let last = legs.len().saturating_sub(1);
    let (from_extra, from_span) = rise(needs.rise_from_mm, needs.radius_mm);
    let (to_extra, to_span) = rise(needs.rise_to_mm, needs.radius_mm);
    // A climb is made wherever there is most room for it.
    let longest = (0..legs.len()).reduce(|a, b| if legs[a] < legs[b] { b } else { a });
    let mut short_mm = 0.0_f64;
    let mut fits = vec![needs.radius_mm; last];
    for (n, leg) in legs.iter().enumerate() {
        let lug = if n == 0 { needs.reach_from_mm } else { 0.0 }
            + if n == last { needs.reach_to_mm } else { 0.0 }
            + if longest == Some(n) { from_span + to_span } else { 0.0 };
        let corners = u8::from(n != 0) + u8::from(n != last);
        let taken = lug + f64::from(corners) * needs.radius_mm;
        short_mm = short_mm.max(taken - leg);
        let each = if corners == 0 { 0.0 } else { (leg - lug).max(0.0) / f64::from(corners) };
        for corner in [n.checked_sub(1), (n != last).then_some(n)].into_iter().flatten() {
            fits[corner] = fits[corner].min(each);
        }
    }
    let saved: f64 = fits.iter().map(|r| r * (2.0 - std::f64::consts::FRAC_PI_2)).sum();
    let sum: f64 = legs.iter().sum();
    Measured {
        length_mm: sum - saved + from_extra + to_extra,
        short_mm,
        tightest_mm: fits.iter().copied().reduce(f64::min),
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
        let got = measure(&path, &needs);
        assert!((got.length_mm - 469.956).abs() < 0.001, "{} mm", got.length_mm);
        assert!(got.short_mm <= 0.0, "both legs have room: {}", got.short_mm);
    }

    #[test]
    fn a_leg_too_short_for_its_bend_says_by_how_much() {
        // Hand worked: the second leg is 90 mm and needs 40 for the lug and 70 for the bend, so 20
        // are missing and a radius of 50 is all that fits.
        let path = [at(0.0, 0.0), at(300.0, 0.0), at(300.0, 90.0)];
        let needs = Needs { radius_mm: 70.0, reach_from_mm: 40.0, reach_to_mm: 40.0, ..BARE };
        let got = measure(&path, &needs);
        assert!((got.short_mm - 20.0).abs() < 1e-9, "{} mm short", got.short_mm);
        assert!((got.tightest_mm.unwrap_or(0.0) - 50.0).abs() < 1e-9, "{:?}", got.tightest_mm);
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
                let got = measure(&path, &needs);
                // A micrometre for rounding.
                prop_assert!(apart_mm(ends.0, ends.1) <= got.length_mm + 0.001, "{:?}", got);
            }
        }
    }
}

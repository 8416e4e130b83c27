//! Points, rounded bends and turned boxes; millimetres, x to the right, y down as on the sheet.

use engine::number;

/// A place on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right [mm].
    pub x: f64,
    /// Down [mm].
    pub y: f64,
}

/// A place on the sheet.
#[must_use]
pub const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

impl Point {
    /// This place moved.
    #[must_use]
    pub fn moved(self, dx: f64, dy: f64) -> Self {
        Self { x: self.x + dx, y: self.y + dy }
    }

    /// Straight distance [mm].
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        let (dx, dy) = (other.x - self.x, other.y - self.y);
        (dx * dx + dy * dy).sqrt()
    }

    /// The place a part of the way to another: 0 is here, 1 is there.
    #[must_use]
    pub fn towards(self, other: Self, part: f64) -> Self {
        Self { x: self.x + (other.x - self.x) * part, y: self.y + (other.y - self.y) * part }
    }

    /// This place turned about another, clockwise as seen on the sheet [degrees].
    #[must_use]
    pub fn turned(self, about: Self, degrees: f64) -> Self {
        let (s, c) = (number::sin(degrees.to_radians()), number::cos(degrees.to_radians()));
        let (dx, dy) = (self.x - about.x, self.y - about.y);
        Self { x: about.x + dx * c - dy * s, y: about.y + dx * s + dy * c }
    }
}

/// One stroke of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Lift the pen and start here.
    Move(Point),
    /// Straight to here.
    Line(Point),
    /// Along a circle to here, the short way round.
    Arc {
        /// Where it ends.
        to: Point,
        /// Radius [mm].
        radius: f64,
        /// Turning clockwise as seen on the sheet.
        clockwise: bool,
    },
    /// Back to the start.
    Close,
}

/// The strokes of a line through points, its bends rounded as far as the straight parts allow.
///
/// An open line begins and ends exactly on its first and last point.
#[must_use]
pub fn outline(points: &[Point], closed: bool, radius_mm: f64) -> Vec<Step> {
    let points = distinct(points, closed);
    let n = points.len();
    if n < 2 {
        return Vec::new();
    }
    let mut steps = Vec::new();
    if closed && n > 2 {
        for i in 0..n {
            bend(&mut steps, [points[(i + n - 1) % n], points[i], points[(i + 1) % n]], radius_mm);
        }
        steps.push(Step::Close);
    } else {
        steps.push(Step::Move(points[0]));
        for three in points.windows(3) {
            bend(&mut steps, [three[0], three[1], three[2]], radius_mm);
        }
        steps.push(Step::Line(points[n - 1]));
    }
    if let Some(Step::Line(first)) = steps.first().copied() {
        steps[0] = Step::Move(first);
    }
    steps
}

/// Two points nearer than this are one [mm]; a plotter's step is far larger.
const SAME: f64 = 1e-6;

fn distinct(points: &[Point], closed: bool) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for &p in points {
        if kept.last().is_none_or(|last| SAME < last.distance(p)) {
            kept.push(p);
        }
    }
    if closed && kept.len() > 1 && kept[0].distance(kept[kept.len() - 1]) <= SAME {
        kept.pop();
    }
    kept
}

/// Rounds the bend at the middle of three points.
///
/// With the turn u between the two directions, the arc touches each side at r tan(u/2) from the corner,
/// and tan(u/2) = sin u / (1 + cos u). At most half of each side is taken, so that neighbours meet.
fn bend(steps: &mut Vec<Step>, [before, corner, after]: [Point; 3], radius_mm: f64) {
    let (a, b) = (before.distance(corner), corner.distance(after));
    let (ax, ay) = ((corner.x - before.x) / a, (corner.y - before.y) / a);
    let (bx, by) = ((after.x - corner.x) / b, (after.y - corner.y) / b);
    let (cos, sin) = (ax * bx + ay * by, ax * by - ay * bx);
    // A straight run needs no arc, and a line folded back on itself has none.
    if sin.abs() < 1e-9 || radius_mm <= 0.0 {
        steps.push(Step::Line(corner));
        return;
    }
    let half_tan = sin.abs() / (1.0 + cos);
    let reach = (radius_mm * half_tan).min(a / 2.0).min(b / 2.0);
    steps.push(Step::Line(corner.towards(before, reach / a)));
    steps.push(Step::Arc {
        to: corner.towards(after, reach / b),
        radius: reach / half_tan,
        clockwise: 0.0 < sin,
    });
}

/// A box that may be turned: its four corners in order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corners(pub [Point; 4]);

impl Corners {
    /// Left, top, right and bottom of the upright box around it.
    #[must_use]
    pub fn bounds(&self) -> [f64; 4] {
        let fold = |f: fn(f64, f64) -> f64, g: fn(&Point) -> f64| {
            self.0.iter().map(g).reduce(f).unwrap_or(0.0)
        };
        [
            fold(f64::min, |p| p.x),
            fold(f64::min, |p| p.y),
            fold(f64::max, |p| p.x),
            fold(f64::max, |p| p.y),
        ]
    }

    /// The same box with each side moved inwards [mm].
    #[must_use]
    pub fn shrunk(&self, by_mm: f64) -> Self {
        let [a, b, _, d] = self.0;
        let (wide, high) = (a.distance(b).max(SAME), a.distance(d).max(SAME));
        let step = |p: Point, along: f64, down: f64| {
            let (u, v) = (along * by_mm / wide, down * by_mm / high);
            p.moved((b.x - a.x) * u + (d.x - a.x) * v, (b.y - a.y) * u + (d.y - a.y) * v)
        };
        let turns = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)];
        let mut corners = self.0;
        for (corner, (along, down)) in corners.iter_mut().zip(turns) {
            *corner = step(*corner, along, down);
        }
        Self(corners)
    }

    /// True when the two boxes share more than a given depth [mm].
    ///
    /// Boxes are apart when their shadows on the normal of some side are apart.
    #[must_use]
    pub fn overlaps(&self, other: &Self, depth_mm: f64) -> bool {
        // Most pairs lie far apart, and their upright bounds tell it at once.
        if 0.0 <= depth_mm && self.is_far_from(other) {
            return false;
        }
        let sides = [(self, 0), (self, 1), (other, 0), (other, 1)];
        sides.iter().all(|(shape, i)| {
            let (p, q) = (shape.0[*i], shape.0[*i + 1]);
            let length = p.distance(q);
            if length <= SAME {
                return true;
            }
            let normal = at((q.y - p.y) / length, (p.x - q.x) / length);
            let (a, b) = (self.shadow(normal), other.shadow(normal));
            depth_mm < a.1.min(b.1) - a.0.max(b.0)
        })
    }

    /// True when every side runs along the sheet or up it, and none is a mere point: then a gap between
    /// its bounds and those of another box is a gap between the two.
    #[must_use]
    pub fn is_upright(&self) -> bool {
        let [a, b, c, _] = self.0;
        let along = |p: Point, q: Point| (p.x - q.x).abs() <= 0.0 || (p.y - q.y).abs() <= 0.0;
        along(a, b) && along(b, c) && SAME < a.distance(b) && SAME < b.distance(c)
    }

    /// True when the bounds are apart by more than any rounding.
    fn is_far_from(&self, other: &Self) -> bool {
        const FAR: f64 = 0.01;
        let [left, top, right, low] = self.bounds();
        let [l, t, r, b] = other.bounds();
        right + FAR < l || r + FAR < left || low + FAR < t || b + FAR < top
    }

    fn shadow(&self, normal: Point) -> (f64, f64) {
        let along = self.0.map(|p| p.x * normal.x + p.y * normal.y);
        (along.into_iter().fold(f64::MAX, f64::min), along.into_iter().fold(f64::MIN, f64::max))
    }
}

/// Maps the rig's millimetres to the sheet's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Millimetres on paper for one of the rig.
    pub scale: f64,
    /// Where the rig's origin lies on the sheet.
    pub origin: Point,
}

impl View {
    /// A place of the rig on the sheet.
    #[must_use]
    pub fn place(&self, x_mm: f64, y_mm: f64) -> Point {
        self.origin.moved(x_mm * self.scale, y_mm * self.scale)
    }

    /// A length of the rig on the sheet [mm].
    #[must_use]
    pub fn length(&self, mm: f64) -> f64 {
        mm * self.scale
    }

    /// The scale as drawings say it: "1 : 5", or "1 : 1" for a template.
    #[must_use]
    pub fn says(&self) -> String {
        let (paper, rig) =
            if self.scale <= 1.0 { (1.0, 1.0 / self.scale) } else { (self.scale, 1.0) };
        let plain = |v: f64| crate::svg::number((v * 100.0).round() / 100.0);
        format!("{}\u{a0}:\u{a0}{}", plain(paper), plain(rig))
    }
}

/// The scale among those in common use at which something fits a space on paper, never larger than true.
#[must_use]
pub fn usual_scale(rig_mm: (f64, f64), paper_mm: (f64, f64)) -> f64 {
    let fits = |r: &&f64| rig_mm.0 / **r <= paper_mm.0 && rig_mm.1 / **r <= paper_mm.1;
    USUAL.iter().find(fits).map_or(0.01, |r| 1.0 / r)
}

/// The scales in common use from one upwards, the smallest first.
#[must_use]
pub fn usual_from(scale: f64) -> Vec<f64> {
    // A scale that was read from this list must find itself again.
    USUAL.iter().rev().map(|r| 1.0 / r).filter(|s| scale * (1.0 - 1e-9) <= *s).collect()
}

/// The ratios of metric scale rules, and those of the rules that read so many inches to the foot.
const USUAL: [f64; 16] =
    [1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 32.0, 50.0, 100.0];

#[cfg(test)]
mod tests {
    use super::{Corners, Step, View, at, outline, usual_scale};

    #[test]
    fn a_right_angle_is_rounded_with_its_radius() {
        // Hand worked: radius 3 at a right angle touches both sides 3 from the corner.
        let steps = outline(&[at(0.0, 0.0), at(10.0, 0.0), at(10.0, 8.0)], false, 3.0);
        let Some(Step::Arc { to, radius, clockwise }) = steps.get(2).copied() else {
            panic!("the bend is an arc: {steps:?}");
        };
        assert!(to.distance(at(10.0, 3.0)) < 1e-9 && (radius - 3.0).abs() < 1e-9, "{steps:?}");
        assert!(clockwise, "right then down turns clockwise on a sheet");
        assert_eq!(steps.last(), Some(&Step::Line(at(10.0, 8.0))), "it ends on its last point");
    }

    #[test]
    fn a_bend_takes_at_most_half_of_a_side() {
        let steps = outline(&[at(0.0, 0.0), at(4.0, 0.0), at(4.0, 40.0)], false, 30.0);
        let Some(Step::Arc { radius, .. }) = steps.get(2).copied() else {
            panic!("the bend is an arc: {steps:?}");
        };
        assert!((radius - 2.0).abs() < 1e-9, "half of 4 mm, at a right angle: {radius}");
    }

    #[test]
    fn turned_boxes_overlap_only_where_they_do() {
        let square = |x: f64, y: f64, turn: f64| {
            let c = at(x, y);
            Corners(
                [c.moved(-1.0, -1.0), c.moved(1.0, -1.0), c.moved(1.0, 1.0), c.moved(-1.0, 1.0)]
                    .map(|p| p.turned(c, turn)),
            )
        };
        // Hand worked: a square on its tip reaches 1.414 along the axes; 2.4 away it touches the upright
        // one (1 + 1.414), 2.45 away it does not; along the diagonal its flat side is 1 from its middle.
        let upright = square(0.0, 0.0, 0.0);
        assert!(upright.overlaps(&square(2.4, 0.0, 45.0), 0.0), "1 + 1.414 > 2.4");
        assert!(!upright.overlaps(&square(2.45, 0.0, 45.0), 0.0), "1 + 1.414 < 2.45");
        assert!(
            !upright.overlaps(&square(1.75, 1.75, 45.0), 0.0),
            "1.414 + 1 < 2.475 on the diagonal"
        );
    }

    #[test]
    fn scales_are_those_of_a_rule() {
        assert!((usual_scale((860.0, 430.0), (190.0, 120.0)) - 0.2).abs() < 1e-12, "860 / 5 = 172");
        let view =
            View { scale: usual_scale((100.0, 100.0), (190.0, 120.0)), origin: at(10.0, 5.0) };
        assert_eq!(view.says(), "1\u{a0}:\u{a0}1", "a template is true to size");
        let view = View { scale: 0.4, origin: at(10.0, 5.0) };
        assert_eq!(view.says(), "1\u{a0}:\u{a0}2.5", "two and a half");
        assert!(view.place(100.0, 50.0).distance(at(50.0, 25.0)) < 1e-9, "10 + 40, 5 + 20");
    }
}

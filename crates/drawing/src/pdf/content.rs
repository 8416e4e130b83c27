//! The marks of a scene as the strokes, surfaces and texts of a PDF page.

use super::face::Face;
use super::{POINTS, Placed, single_precision};
use crate::geometry::{Point, Step, at, outline};
use crate::marks::sheet::Area;
use crate::scene::{Anchor, Arc, Circle, Dash, Fill, Item, Label, Path, Rect, Stroke};
use crate::style::Tone;
use crate::text::Weight;
use engine::number;
use pdf_writer::types::{LineCapStyle, LineJoinStyle, TextRenderingMode};
use pdf_writer::{Content, Name, Str};

/// Names of the two weights on a page.
pub(super) const FONTS: [&[u8]; 2] = [b"Regular", b"Bold"];

/// A page while it is drawn. Everything is in millimetres, y down, as in a scene.
pub(super) struct Page<'a> {
    content: Content,
    faces: &'a mut [Face; 2],
}

impl<'a> Page<'a> {
    pub(super) fn new(faces: &'a mut [Face; 2], height_mm: f64) -> Self {
        let mut content = Content::new();
        let scale = POINTS;
        content.transform([scale, 0.0, 0.0, -scale, 0.0, height_mm * scale].map(single_precision));
        content.set_line_join(LineJoinStyle::RoundJoin);
        Self { content, faces }
    }

    pub(super) fn finish(self) -> Vec<u8> {
        self.content.finish().to_vec()
    }

    /// Draws a scene in its place, and no further than its window.
    pub(super) fn place(&mut self, placed: &Placed<'_>) {
        self.content.save_state();
        if let Some(window) = placed.window {
            self.rectangle(window.corner, window.width, window.height);
            self.content.clip_nonzero().end_path();
        }
        let Point { x, y } = placed.corner;
        self.content.transform([1.0, 0.0, 0.0, 1.0, x, y].map(single_precision));
        let window = placed.window.map(|w| Area { corner: w.corner.moved(-x, -y), ..w });
        let mut waiting: Vec<&Item> = placed.scene.items.iter().rev().collect();
        while let Some(item) = waiting.pop() {
            match item {
                Item::Group(group) => waiting.extend(group.items.iter().rev()),
                _ if window.is_some_and(|w| !shows(item, w)) => {}
                Item::Path(path) => self.path(path),
                Item::Circle(circle) => self.circle(circle),
                Item::Rect(rect) => self.rect(rect),
                Item::Arc(arc) => self.arc(arc),
                Item::Label(label) => self.label(label),
            }
        }
        self.content.restore_state();
    }

    fn path(&mut self, path: &Path) {
        let steps = outline(&path.points, path.closed, path.corner);
        self.shape(&steps, path.stroke, path.fill, bounds_of(&path.points));
    }

    fn rect(&mut self, rect: &Rect) {
        let Rect { corner, width, height, .. } = *rect;
        let points = [
            corner,
            corner.moved(width, 0.0),
            corner.moved(width, height),
            corner.moved(0.0, height),
        ];
        let steps = outline(&points, true, rect.round);
        self.shape(&steps, rect.stroke, rect.fill, bounds_of(&points));
    }

    fn circle(&mut self, circle: &Circle) {
        let (c, r) = (circle.centre, circle.radius);
        let quarter = |x: f64, y: f64| Step::Arc { to: c.moved(x, y), radius: r, clockwise: true };
        let steps = [
            Step::Move(c.moved(r, 0.0)),
            quarter(0.0, r),
            quarter(-r, 0.0),
            quarter(0.0, -r),
            quarter(r, 0.0),
            Step::Close,
        ];
        let bounds = bounds_of(&[c.moved(-r, -r), c.moved(r, r)]);
        self.shape(&steps, circle.stroke, circle.fill, bounds);
    }

    fn arc(&mut self, arc: &Arc) {
        let first = arc.centre.moved(arc.radius, 0.0);
        let mut steps = vec![Step::Move(first.turned(arc.centre, arc.start))];
        // No piece runs over more than a quarter, which one curve follows to 3 parts in 10,000.
        let pieces = (1..=4_u8).find(|n| arc.sweep <= f64::from(*n) * 90.0).unwrap_or(4);
        for n in 1..=pieces {
            let turn = arc.start + arc.sweep * f64::from(n) / f64::from(pieces);
            let to = first.turned(arc.centre, turn);
            steps.push(Step::Arc { to, radius: arc.radius, clockwise: true });
        }
        self.shape(&steps, Some(arc.stroke), Fill::Open, [0.0; 4]);
    }

    fn shape(&mut self, steps: &[Step], stroke: Option<Stroke>, fill: Fill, bounds: [f64; 4]) {
        if steps.is_empty() {
            return;
        }
        if let Fill::Hatch(tone, apart) = fill {
            self.hatch(steps, tone, apart, bounds);
        }
        if let Fill::Flat(tone) = fill {
            let [r, g, b] = parts(tone);
            self.content.set_fill_rgb(r, g, b);
        }
        if let Some(stroke) = stroke {
            self.pen(stroke);
        }
        self.strokes(steps);
        match (fill, stroke) {
            (Fill::Flat(_), Some(_)) => self.content.fill_nonzero_and_stroke(),
            (Fill::Flat(_), None) => self.content.fill_nonzero(),
            (_, Some(_)) => self.content.stroke(),
            (_, None) => self.content.end_path(),
        };
    }

    /// Slanting lines inside an outline.
    fn hatch(&mut self, steps: &[Step], tone: Tone, apart: f64, [left, top, right, low]: [f64; 4]) {
        self.content.save_state();
        self.strokes(steps);
        self.content.clip_nonzero().end_path();
        self.pen(Stroke::solid(tone, 0.25));
        let (high, slant) = (low - top, apart * core::f64::consts::SQRT_2);
        // A thousand lines a few millimetres apart are more than any sheet holds.
        for n in 0..1000_u16 {
            let x = left + f64::from(n) * slant;
            if right + high < x {
                break;
            }
            self.strokes(&[Step::Move(at(x, top)), Step::Line(at(x - high, low))]);
            self.content.stroke();
        }
        self.content.restore_state();
    }

    fn pen(&mut self, stroke: Stroke) {
        let [r, g, b] = parts(stroke.tone);
        let (cap, dash) = match stroke.dash {
            Dash::Solid => (LineCapStyle::RoundCap, None),
            Dash::Dashed(on) => (LineCapStyle::ButtCap, Some([on, on / 1.5])),
            Dash::Beads(apart) => (LineCapStyle::RoundCap, Some([0.0, apart])),
        };
        let dash = dash.map_or_else(Vec::new, |d| d.map(single_precision).to_vec());
        self.content
            .set_stroke_rgb(r, g, b)
            .set_line_width(single_precision(stroke.width))
            .set_line_cap(cap)
            .set_dash_pattern(dash, 0.0);
    }

    fn strokes(&mut self, steps: &[Step]) {
        let mut here = at(0.0, 0.0);
        for step in steps {
            match *step {
                Step::Move(p) => {
                    self.content.move_to(single_precision(p.x), single_precision(p.y));
                    here = p;
                }
                Step::Line(p) => {
                    self.content.line_to(single_precision(p.x), single_precision(p.y));
                    here = p;
                }
                Step::Arc { to, radius, clockwise } => {
                    let (a, b) = handles(here, to, radius, clockwise);
                    let [ax, ay, bx, by] = [a.x, a.y, b.x, b.y].map(single_precision);
                    let (x, y) = (single_precision(to.x), single_precision(to.y));
                    self.content.cubic_to(ax, ay, bx, by, x, y);
                    here = to;
                }
                Step::Close => {
                    self.content.close_path();
                }
            }
        }
    }

    fn rectangle(&mut self, corner: Point, width: f64, height: f64) {
        let [x, y, w, h] = [corner.x, corner.y, width, height].map(single_precision);
        self.content.rect(x, y, w, h);
    }

    fn label(&mut self, label: &Label) {
        let face = match label.weight {
            Weight::Regular => 0,
            Weight::Bold => 1,
        };
        let codes = self.faces[face].written(&label.text);
        let back = match label.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => label.width() / 2.0,
            Anchor::End => label.width(),
        };
        let turn = label.turn.to_radians();
        let (sin, cos) = (number::sin(turn), number::cos(turn));
        let (x, y) = (label.place.x - back * cos, label.place.y - back * sin);
        // The page runs down and letters stand up: the second axis is turned over.
        let matrix = [cos, sin, sin, -cos, x, y].map(single_precision);
        let [r, g, b] = parts(label.tone);
        if let Some(rim) = label.rim {
            self.pen(Stroke::solid(rim, label.size / 5.0));
            self.content.begin_text().set_font(Name(FONTS[face]), single_precision(label.size));
            self.content.set_text_rendering_mode(TextRenderingMode::Stroke);
            self.content.set_text_matrix(matrix).show(Str(&codes)).end_text();
        }
        self.content.begin_text().set_font(Name(FONTS[face]), single_precision(label.size));
        self.content.set_fill_rgb(r, g, b).set_text_rendering_mode(TextRenderingMode::Fill);
        self.content.set_text_matrix(matrix).show(Str(&codes)).end_text();
    }
}

/// Red, green and blue from nothing to one.
fn parts(tone: Tone) -> [f32; 3] {
    tone.rgb().map(|part| f32::from(part) / 255.0)
}

/// The handles of the curve that follows part of a circle from one place to another, the short way.
///
/// With the turn u between the two radii, each handle reaches 4/3 tan(u/4) of the radius along the
/// tangent; at a quarter turn the curve is then within 3 parts in 10,000 of the circle.
fn handles(from: Point, to: Point, radius: f64, clockwise: bool) -> (Point, Point) {
    let chord = from.distance(to);
    let half = (chord / 2.0 / radius.max(1e-9)).min(1.0);
    let quarter_turn = number::atan2(half, (1.0 - half * half).max(0.0).sqrt()) / 2.0;
    let reach = radius * 4.0 / 3.0 * number::sin(quarter_turn) / number::cos(quarter_turn);
    let (ux, uy) = ((to.x - from.x) / chord.max(1e-9), (to.y - from.y) / chord.max(1e-9));
    // The tangent leans off the chord by half the turn, to the left of the way where it is clockwise.
    let (sin, cos) = (half, (1.0 - half * half).max(0.0).sqrt());
    let side = if clockwise { -1.0 } else { 1.0 };
    let (lx, ly) = (-uy * side, ux * side);
    let a = from.moved((ux * cos + lx * sin) * reach, (uy * cos + ly * sin) * reach);
    let b = to.moved((-ux * cos + lx * sin) * reach, (-uy * cos + ly * sin) * reach);
    (a, b)
}

/// True when part of an item may lie in a window.
fn shows(item: &Item, window: Area) -> bool {
    let (right, low) = (window.corner.x + window.width, window.corner.y + window.height);
    let [left, top, far, bottom] = match item {
        Item::Path(path) => bounds_of(&path.points),
        Item::Circle(c) => {
            bounds_of(&[c.centre.moved(-c.radius, -c.radius), c.centre.moved(c.radius, c.radius)])
        }
        Item::Rect(r) => bounds_of(&[r.corner, r.corner.moved(r.width, r.height)]),
        Item::Arc(a) => {
            bounds_of(&[a.centre.moved(-a.radius, -a.radius), a.centre.moved(a.radius, a.radius)])
        }
        Item::Label(label) => label.corners().bounds(),
        Item::Group(_) => return true,
    };
    // Half of the heaviest line is more than any mark reaches beyond its points.
    const LINE: f64 = 1.0;
    window.corner.x - LINE < far
        && left < right + LINE
        && window.corner.y - LINE < bottom
        && top < low + LINE
}

fn bounds_of(points: &[Point]) -> [f64; 4] {
    let start = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
    points.iter().fold(start, |[l, t, r, b], p| [l.min(p.x), t.min(p.y), r.max(p.x), b.max(p.y)])
}

#[cfg(test)]
mod tests {
    use super::handles;
    use crate::geometry::at;

    #[test]
    fn a_curve_follows_its_circle() {
        // A quarter clockwise on the sheet, from the right to the bottom of a circle of 10 about 0, 0.
        let (from, to) = (at(10.0, 0.0), at(0.0, 10.0));
        let (a, b) = handles(from, to, 10.0, true);
        // 4/3 tan(22.5 degrees) = 0.5523, the well-known handle of a quarter.
        assert!(
            a.distance(at(10.0, 5.523)) < 0.001 && b.distance(at(5.523, 10.0)) < 0.001,
            "{a:?} {b:?}"
        );
        let middle = at((10.0 + 3.0 * a.x + 3.0 * b.x) / 8.0, (3.0 * a.y + 3.0 * b.y + 10.0) / 8.0);
        assert!((middle.distance(at(0.0, 0.0)) - 10.0).abs() < 0.003, "{middle:?}");
    }
}

//! Faults of lettering that a test can see: labels over labels, struck by a line, cut by the edge, or too
//! small to read.

use crate::geometry::{Corners, Point};
use crate::scene::{Fill, Item, Label, Scene, Stroke};
use crate::style::{Tone, size};

/// Labels may touch this deep before they count as overlapping [mm]; boxes are a little larger than ink.
const TOUCH: f64 = 0.2;

/// Pairs of labels that lie over each other.
#[must_use]
pub fn overlapping_labels(scene: &Scene) -> Vec<(String, String)> {
    let boxes = scene.text_boxes();
    let mut found = Vec::new();
    for (i, (a, box_a)) in boxes.iter().enumerate() {
        for (b, box_b) in &boxes[i + 1..] {
            if box_a.overlaps(box_b, TOUCH) {
                found.push(((*a).to_owned(), (*b).to_owned()));
            }
        }
    }
    found
}

/// Labels that the picture's edge cuts.
#[must_use]
pub fn outside(scene: &Scene) -> Vec<String> {
    let cut = |[left, top, right, bottom]: [f64; 4]| {
        left < 0.0 || top < 0.0 || scene.width < right || scene.height < bottom
    };
    let boxes = scene.text_boxes().into_iter();
    boxes.filter(|(_, c)| cut(c.bounds())).map(|(text, _)| text.to_owned()).collect()
}

/// Labels that a line runs through or that something is drawn over.
///
/// A line is harmless when a filled shape between it and the label holds the whole label, as the ring
/// of a lead's number does; so is a line behind a label with a rim. The faint squares never count.
#[must_use]
pub fn struck_labels(scene: &Scene) -> Vec<String> {
    let drawn = drawn(scene);
    let mut found = Vec::new();
    for (i, mark) in drawn.iter().enumerate() {
        let Mark::Label(label) = mark else { continue };
        // Boxes are a little larger than ink, so a line may touch them.
        let area = label.corners().shrunk(TOUCH);
        let behind = drawn[..i].iter().rev().take_while(|m| !m.holds(&area));
        let struck = label.rim.is_none() && behind.into_iter().any(|m| m.strikes(&area));
        if struck || drawn[i + 1..].iter().any(|m| m.strikes(&area) || m.covers(&area)) {
            found.push(label.text.clone());
        }
    }
    found
}

/// A drawn thing reduced to what matters for lettering.
enum Mark<'a> {
    Label(&'a Label),
    Shape {
        /// Around the shape or along the line; a circle has many corners.
        points: Vec<Point>,
        closed: bool,
        stroke: Option<Stroke>,
        filled: bool,
    },
}

/// Corners that stand for a circle; the chord is then within 1 % of the radius.
const CIRCLE: u8 = 24;

fn drawn(scene: &Scene) -> Vec<Mark<'_>> {
    let mut marks = Vec::new();
    let mut waiting: Vec<&Item> = scene.items.iter().rev().collect();
    while let Some(item) = waiting.pop() {
        match item {
            Item::Group(group) => waiting.extend(group.items.iter().rev()),
            Item::Label(label) => marks.push(Mark::Label(label)),
            Item::Path(p) => marks.push(shape(p.points.clone(), p.closed, p.stroke, p.fill)),
            Item::Circle(c) => {
                let points = around(c.centre, c.radius, 0.0, 360.0);
                marks.push(shape(points, true, c.stroke, c.fill));
            }
            Item::Arc(a) => {
                let points = around(a.centre, a.radius, a.start, a.sweep);
                marks.push(shape(points, false, Some(a.stroke), Fill::Open));
            }
            Item::Rect(r) => {
                let (c, w, h) = (r.corner, r.width, r.height);
                let points = vec![c, c.moved(w, 0.0), c.moved(w, h), c.moved(0.0, h)];
                marks.push(shape(points, true, r.stroke, r.fill));
            }
        }
    }
    marks
}

fn shape<'a>(points: Vec<Point>, closed: bool, stroke: Option<Stroke>, fill: Fill) -> Mark<'a> {
    let stroke = stroke.filter(|s| s.tone != Tone::Grid);
    Mark::Shape { points, closed, stroke, filled: matches!(fill, Fill::Flat(_)) }
}

fn around(centre: Point, radius: f64, start: f64, sweep: f64) -> Vec<Point> {
    let first = centre.moved(radius, 0.0);
    let corner = |i: u8| first.turned(centre, start + sweep * f64::from(i) / f64::from(CIRCLE));
    (0..=CIRCLE).map(corner).collect()
}

impl Mark<'_> {
    /// True when one of its strokes runs through the area.
    fn strikes(&self, area: &Corners) -> bool {
        let Self::Shape { points, closed, stroke: Some(stroke), .. } = self else { return false };
        let back = if *closed { points.first() } else { None };
        let ends = points.iter().skip(1).chain(back);
        points.iter().zip(ends).any(|(a, b)| bar(*a, *b, stroke.width).overlaps(area, 0.0))
    }

    /// True when it is filled and the whole area lies inside.
    fn holds(&self, area: &Corners) -> bool {
        let Self::Shape { points, filled: true, .. } = self else { return false };
        area.0.iter().all(|p| inside(points, *p))
    }

    /// True when it is filled and part of the area lies inside.
    fn covers(&self, area: &Corners) -> bool {
        let Self::Shape { points, filled: true, .. } = self else { return false };
        let middle = area.0[0].towards(area.0[2], 0.5);
        inside(points, middle) || area.0.iter().any(|p| inside(points, p.towards(middle, 0.1)))
    }
}

/// A stroke between two points as a box.
fn bar(a: Point, b: Point, width: f64) -> Corners {
    let length = a.distance(b).max(1e-9);
    let (dx, dy) = ((b.y - a.y) / length * width / 2.0, (a.x - b.x) / length * width / 2.0);
    Corners([a.moved(dx, dy), b.moved(dx, dy), b.moved(-dx, -dy), a.moved(-dx, -dy)])
}

/// True when a ray to the right crosses the outline an odd number of times.
fn inside(outline: &[Point], p: Point) -> bool {
    let next = outline.iter().skip(1).chain(outline.first());
    let crossings = outline.iter().zip(next).filter(|(a, b)| {
        (a.y <= p.y) != (b.y <= p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
    });
    crossings.count() % 2 == 1
}

/// Labels under ten points in print.
#[must_use]
pub fn too_small(scene: &Scene) -> Vec<String> {
    // A rounding of the tenth decimal is not a smaller letter.
    let labels = scene.labels().into_iter();
    labels.filter(|l| l.size < size::SMALL - 1e-9).map(|l| l.text.clone()).collect()
}

/// Labels with a sign that the face lacks, so that another face would stand in for it.
#[must_use]
pub fn unknown_signs(scene: &Scene) -> Vec<String> {
    let strange = |text: &str| text.chars().any(|c| !crate::text::has_sign(c));
    scene.labels().into_iter().filter(|l| strange(&l.text)).map(|l| l.text.clone()).collect()
}

/// Every fault of lettering in a picture, one sentence each; none in a good one.
#[must_use]
pub fn faults(scene: &Scene) -> Vec<String> {
    let over = overlapping_labels(scene).into_iter().map(|(a, b)| format!("{a} lies over {b}"));
    let each = |list: Vec<String>, what: &'static str| {
        list.into_iter().map(move |label| format!("{label} {what}"))
    };
    over.chain(each(outside(scene), "is cut by the edge"))
        .chain(each(struck_labels(scene), "is struck by a line"))
        .chain(each(too_small(scene), "is under ten points"))
        .chain(each(unknown_signs(scene), "has a sign that the face lacks"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{outside, overlapping_labels, struck_labels, too_small, unknown_signs};
    use crate::geometry::at;
    use crate::marks::lead::ring;
    use crate::scene::{Anchor, Item, Label, Path, Scene, Stroke};
    use crate::style::Tone;

    fn scene(labels: Vec<Label>) -> Scene {
        Scene {
            id: "t".to_owned(),
            title: "t".to_owned(),
            description: String::new(),
            width: 50.0,
            height: 30.0,
            view: None,
            items: labels.into_iter().map(Into::into).collect(),
        }
    }

    #[test]
    fn faults_of_lettering_are_named() {
        let good = Label::new(at(5.0, 10.0), "A1", 4.0);
        let over = Label::new(at(7.0, 11.0), "55 A", 4.0);
        let cut = Label::new(at(45.0, 20.0), "main fuse", 4.0);
        let turned =
            Label::new(at(2.0, 25.0), "430 mm", 4.0).anchored(Anchor::Middle).turned(-90.0);
        let tiny = Label::new(at(20.0, 28.0), "tiny", 2.0);
        let strange = Label::new(at(30.0, 8.0), "\u{4e2d}", 4.0);
        let scene = scene(vec![good, over, cut, turned, tiny, strange]);
        let pair = ("A1".to_owned(), "55 A".to_owned());
        assert_eq!(overlapping_labels(&scene), [pair], "the two that lie over each other");
        // Hand worked: 430 mm is about 15 mm long; turned, it reaches from 17 to 33, below 30.
        assert_eq!(outside(&scene), ["main fuse", "430 mm"], "cut at the right and at the bottom");
        assert_eq!(too_small(&scene), ["tiny"], "2 mm is under ten points");
        assert_eq!(unknown_signs(&scene), ["\u{4e2d}"], "not a Latin sign");
    }

    #[test]
    fn a_line_through_a_label_is_seen() {
        let through = |x: f64| -> Item {
            let stroke = Stroke::solid(Tone::Pencil, 0.2);
            Path::line(&[at(x, 2.0), at(x + 1.0, 28.0)], stroke).into()
        };
        let label = || Label::new(at(5.0, 15.0), "main fuse", 4.0);
        let struck = |items: Vec<Item>| {
            let mut scene = scene(Vec::new());
            scene.items = items;
            struck_labels(&scene)
        };
        let none = Vec::<String>::new();
        assert_eq!(struck(vec![through(10.0), label().into()]), ["main fuse"], "behind it");
        assert_eq!(struck(vec![label().into(), through(10.0)]), ["main fuse"], "over it");
        assert_eq!(struck(vec![through(40.0), label().into()]), none, "beside it");
        let rimmed = label().rimmed(Tone::Light);
        assert_eq!(struck(vec![through(10.0), rimmed.into()]), none, "the rim parts them");
        let number = ring(at(10.5, 15.0), "12", Tone::Ink);
        assert_eq!(struck(vec![through(10.0), number.into()]), none, "the ring parts them");
        let number = ring(at(10.5, 15.0), "12", Tone::Ink);
        let other = ring(at(12.5, 15.0), "3", Tone::Ink);
        assert_eq!(struck(vec![number.into(), other.into()]), ["12"], "one ring over another");
    }
}

//! Leads and links, with the number that they carry everywhere.

use crate::geometry::Point;
use crate::scene::{Anchor, Circle, Dash, Fill, Group, Item, Label, Path, Rect, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, text_width_mm};

/// Which side of the bank something is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Polarity {
    /// Red, with beads along the middle, and a + at its posts.
    Positive,
    /// Ink, plain, and a − at its posts.
    Negative,
    /// From a − to a + within a string: a hollow bar, because it is on neither side.
    Link,
}

impl Polarity {
    /// The word shown and read out.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Positive => "positive",
            Self::Negative => "negative",
            Self::Link => "link",
        }
    }

    /// The sign at a post; a link has none of its own.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Positive => "+",
            Self::Negative => "−",
            Self::Link => "",
        }
    }

    /// Its tone.
    #[must_use]
    pub const fn tone(self) -> Tone {
        match self {
            Self::Positive => Tone::Red,
            Self::Negative | Self::Link => Tone::Ink,
        }
    }
}

/// Whether something is decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Decided: drawn whole.
    Decided,
    /// A wish: drawn broken.
    Wish,
    /// Its way is not found yet: drawn in pencil.
    Sketch,
}

/// One lead on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Lead {
    /// The number or name it has on the page, in the book, on the cut list and on the label.
    pub number: String,
    /// From its first end to its second.
    pub points: Vec<Point>,
    /// Its side.
    pub polarity: Polarity,
    /// Its width on paper [mm].
    pub width: f64,
    /// Whether it is decided.
    pub standing: Standing,
    /// Middle of the ring with its number.
    pub ring: Option<Point>,
}

/// Radius of a bend in widths of the lead; a stiff lead does not turn on the spot.
const BEND: f64 = 3.0;

/// Width of the pale edge on each side of a lead, where it crosses another [mm].
const CASING: f64 = 0.5;

/// Distance of beads in widths of the lead.
const BEADS: f64 = 1.1;

/// Draws a lead: a pale casing, the lead, what tells its side, and the ring.
///
/// It begins and ends exactly on its first and last point.
#[must_use]
pub fn lead(lead: &Lead) -> Group {
    let word = lead.polarity.word();
    let (id, title) = match lead.polarity {
        Polarity::Link => (format!("lead-{}", lead.number), format!("Link {}", lead.number)),
        _ => (format!("lead-{}", lead.number), format!("Lead {}, {word}", lead.number)),
    };
    let mut group = Group::named(&id, &format!("lead {word}"), &title);
    group.data.push(("lead".to_owned(), lead.number.clone()));
    let along = |tone: Tone, width: f64, dash: Dash| -> Item {
        Path {
            points: lead.points.clone(),
            closed: false,
            corner: lead.width * BEND,
            stroke: Some(Stroke { tone, width, dash }),
            fill: Fill::Open,
        }
        .into()
    };
    let body = match lead.standing {
        Standing::Decided | Standing::Sketch => Dash::Solid,
        Standing::Wish => Dash::Dashed(lead.width * 2.0),
    };
    let width = lead.width;
    let sketched = lead.standing == Standing::Sketch;
    let tone = if sketched { Tone::Pencil } else { lead.polarity.tone() };
    group.items.push(along(Tone::Light, width + 2.0 * CASING, Dash::Solid));
    group.items.push(along(tone, width, body));
    match lead.polarity {
        Polarity::Positive => {
            group.items.push(along(Tone::Light, width * 0.32, Dash::Beads(width * BEADS)));
        }
        Polarity::Link => group.items.push(along(Tone::Light, width * 0.5, body)),
        Polarity::Negative => {}
    }
    if let Some(place) = lead.ring {
        group.items.push(ring(place, &lead.number, lead.polarity.tone()).into());
    }
    group
}

/// Radius of the common ring, which holds one figure [mm].
pub const RING: f64 = 2.6;

/// Width of the ring around a number or name; a name makes it longer than high [mm].
#[must_use]
pub fn ring_width(number: &str) -> f64 {
    // The figures keep 1 mm of air on each side, as much as the round ends take.
    (text_width_mm(number, size::SMALL, Weight::Bold) + 2.0).max(2.0 * RING)
}

/// A number in a ring, or a name in a long one.
#[must_use]
pub fn ring(centre: Point, number: &str, tone: Tone) -> Group {
    let stroke = Some(Stroke::solid(tone, line::NORMAL));
    let fill = Fill::Flat(Tone::Light);
    let width = ring_width(number);
    let around: Item = if width < 2.0 * RING + 1e-9 {
        Circle { centre, radius: RING, stroke, fill }.into()
    } else {
        let corner = centre.moved(-width / 2.0, -RING);
        Rect { corner, width, height: 2.0 * RING, round: RING, stroke, fill }.into()
    };
    let label = Label::new(centre, number, size::SMALL)
        .bold()
        .tone(tone)
        .anchored(Anchor::Middle)
        .levelled();
    Group::of("ring", vec![around, label.into()])
}

/// The place a part of the way along a line through points: 0.5 is its middle.
#[must_use]
pub fn place_along(points: &[Point], part: f64) -> Option<Point> {
    let whole: f64 = points.windows(2).map(|p| p[0].distance(p[1])).sum();
    let mut left = whole * part;
    for p in points.windows(2) {
        let length = p[0].distance(p[1]);
        if left <= length && 0.0 < length {
            return Some(p[0].towards(p[1], left / length));
        }
        left -= length;
    }
    points.last().copied()
}

#[cfg(test)]
mod tests {
    use super::{Lead, Polarity, Standing, lead, place_along};
    use crate::geometry::{Point, at};
    use crate::scene::Scene;
    use crate::svg::{Setting, svg};

    /// First and last coordinates of every path in an SVG text.
    fn path_ends(svg: &str) -> Vec<(Point, Point)> {
        let ends = |d: &str| {
            let mut places: Vec<Point> = Vec::new();
            let mut rest = d;
            while let Some(command) = rest.chars().next() {
                rest = &rest[1..];
                let end = rest.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(rest.len());
                let n: Vec<f64> = rest[..end].split(' ').filter_map(|n| n.parse().ok()).collect();
                rest = &rest[end..];
                let place = match (command, n.as_slice(), places.last()) {
                    ('H', [x], Some(last)) => at(*x, last.y),
                    ('V', [y], Some(last)) => at(last.x, *y),
                    (_, [.., x, y], _) => at(*x, *y),
                    _ => continue,
                };
                places.push(place);
            }
            (places[0], places[places.len() - 1])
        };
        let paths = svg.split("<path d=\"").skip(1);
        paths.map(|p| ends(p.split('"').next().unwrap_or(""))).collect()
    }

    #[test]
    fn a_drawn_lead_ends_on_its_posts() {
        let from = at(12.3456, 7.0);
        let to = at(61.001, 33.25);
        for polarity in [Polarity::Positive, Polarity::Negative, Polarity::Link] {
            let drawn = lead(&Lead {
                number: "4".to_owned(),
                points: vec![from, at(12.3456, 20.0), at(40.0, 21.0), at(61.001, 20.0), to],
                polarity,
                width: 1.6,
                standing: Standing::Decided,
                ring: Some(at(30.0, 20.5)),
            });
            let scene = Scene {
                id: "t".to_owned(),
                title: "t".to_owned(),
                description: String::new(),
                width: 80.0,
                height: 50.0,
                view: None,
                items: vec![drawn.into()],
            };
            let ends = path_ends(&svg(&scene, Setting::Inline));
            assert!(ends.len() >= 2, "casing and lead are drawn");
            for (first, last) in ends {
                // The text has three decimals, so 0.01 mm leaves room for their rounding alone.
                assert!(first.distance(from) < 0.01, "{polarity:?} begins at {first:?}");
                assert!(last.distance(to) < 0.01, "{polarity:?} ends at {last:?}");
            }
        }
    }

    #[test]
    fn the_middle_of_a_bent_line_is_half_its_length() {
        // Hand worked: 10 right and 6 down are 16 long; 8 along is at (8, 0), 13 along at (10, 3).
        let points = [at(0.0, 0.0), at(10.0, 0.0), at(10.0, 6.0)];
        for (part, want) in [(0.5, at(8.0, 0.0)), (13.0 / 16.0, at(10.0, 3.0))] {
            let got = place_along(&points, part).expect("the line has points");
            assert!(got.distance(want) < 1e-9, "{part}: {got:?}");
        }
        assert_eq!(place_along(&[], 0.5), None, "no line, no place");
    }
}

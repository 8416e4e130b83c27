//! Dimension lines, leader lines and bars to measure against: all in pencil.

use crate::geometry::{Point, View, at};
use crate::scene::{Anchor, Circle, Fill, Group, Item, Label, Path, Rect, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, text_width_mm, with_unit};
use engine::number;

const PENCIL: Stroke = Stroke::solid(Tone::Pencil, line::THIN);

/// Half the length of a slanting tick [mm].
const TICK: f64 = 1.1;

/// A dimension between two places, set off to the left of the way from the first to the second.
///
/// Lettering reads from the bottom or from the right; where the span is too short for it, it stands
/// beyond the second end.
#[must_use]
pub fn dimension(from: Point, to: Point, off: f64, text: &str) -> Group {
    let length = from.distance(to);
    let mut group = Group::of("dimension", Vec::new());
    if length <= 1e-6 {
        return group;
    }
    let along = at((to.x - from.x) / length, (to.y - from.y) / length);
    // Left of the way: on the sheet y runs down, so right turned back is up.
    let left = at(along.y, -along.x);
    let shift = |p: Point, d: f64| p.moved(left.x * d, left.y * d);
    let (a, b) = (shift(from, off), shift(to, off));
    let beyond = off.signum() * 1.6;
    let gap = off.signum() * 1.0;
    for (end, foot) in [(a, from), (b, to)] {
        group.items.push(Path::line(&[shift(foot, gap), shift(end, beyond)], PENCIL).into());
        group.items.push(tick(end, along).into());
    }
    let width = text_width_mm(text, size::SMALL, Weight::Regular);
    let turn = readable(number::atan2(along.y, along.x).to_degrees());
    let fits = width + 4.0 <= length;
    if fits {
        // The line is left out behind the figure, as a draughtsman does.
        let half = (width / 2.0 + 1.0) / length;
        group.items.push(Path::line(&[a, a.towards(b, 0.5 - half)], PENCIL).into());
        group.items.push(Path::line(&[a.towards(b, 0.5 + half), b], PENCIL).into());
        group.items.push(figure(a.towards(b, 0.5), text, turn).into());
    } else {
        let out = 2.0 + width;
        let tail = b.moved(along.x * 1.2, along.y * 1.2);
        group.items.push(Path::line(&[a, tail], PENCIL).into());
        let reach = 1.6 + out / 2.0;
        group.items.push(figure(b.moved(along.x * reach, along.y * reach), text, turn).into());
    }
    group
}

fn figure(place: Point, text: &str, turn: f64) -> Label {
    Label::new(place, text, size::SMALL)
        .tone(Tone::Pencil)
        .anchored(Anchor::Middle)
        .turned(turn)
        .levelled()
}

/// Turned so that it is never upside down, and reads from the right where it is upright.
fn readable(degrees: f64) -> f64 {
    if 89.9 < degrees {
        degrees - 180.0
    } else if degrees < -90.1 {
        degrees + 180.0
    } else {
        degrees
    }
}

fn tick(at: Point, along: Point) -> Path {
    // Half-way between the line and its normal, leaning as a right-handed stroke does.
    let lean = Point { x: (along.x + along.y) * TICK, y: (along.y - along.x) * TICK };
    let stroke = Stroke::solid(Tone::Pencil, line::NORMAL);
    Path::line(&[at.moved(-lean.x, -lean.y), at.moved(lean.x, lean.y)], stroke)
}

/// A line from a label to the thing it speaks of, with a dot on the thing.
///
/// The label stands on the far side of the elbow, in as many lines as are given.
#[must_use]
pub fn leader(thing: Point, elbow: Point, lines: &[&str]) -> Group {
    let right = thing.x <= elbow.x;
    let shelf = elbow.moved(if right { 3.0 } else { -3.0 }, 0.0);
    let dot = Circle { centre: thing, radius: 0.6, stroke: None, fill: Fill::Flat(Tone::Pencil) };
    let mut items: Vec<Item> = vec![Path::line(&[thing, elbow, shelf], PENCIL).into(), dot.into()];
    let anchor = if right { Anchor::Start } else { Anchor::End };
    let mut place = shelf.moved(if right { 1.0 } else { -1.0 }, 0.0);
    for text in lines {
        items.push(Label::new(place, text, size::SMALL).anchored(anchor).levelled().into());
        place = place.moved(0.0, size::SMALL * 1.25);
    }
    Group::of("leader", items)
}

/// An arrow with words under its middle: where one stands, which way is forward.
#[must_use]
pub fn arrow(from: Point, to: Point, text: &str) -> Group {
    let length = from.distance(to);
    let back = to.towards(from, (3.0 / length).min(1.0));
    let head = [to, back.turned(to, 18.0), back.turned(to, -18.0)];
    let mut items: Vec<Item> = vec![
        Path::line(&[from, back], PENCIL).into(),
        Path::shape(&head, None, Fill::Flat(Tone::Pencil)).into(),
    ];
    let under = from.towards(to, 0.5).moved(0.0, size::SMALL * 1.3);
    let label = Label::new(under, text, size::SMALL).tone(Tone::Pencil).anchored(Anchor::Middle);
    items.push(label.into());
    Group::of("arrow", items)
}

/// Height of the bar with its figures and its sentence [mm].
pub const BAR_HEIGHT: f64 = 12.0;

/// A bar that must measure 100 mm on paper, for templates at true size.
#[must_use]
pub fn check_bar(corner: Point) -> Group {
    let mut items: Vec<Item> = Vec::new();
    for i in 0..10_u8 {
        let fill = if i % 2 == 0 { Fill::Flat(Tone::Ink) } else { Fill::Flat(Tone::Light) };
        let square = Rect {
            corner: corner.moved(f64::from(i) * 10.0, 0.0),
            width: 10.0,
            height: 2.0,
            round: 0.0,
            stroke: Some(Stroke::solid(Tone::Ink, line::THIN)),
            fill,
        };
        items.push(square.into());
    }
    let base = corner.y + 2.0 + size::SMALL * 1.1;
    for (x, text) in
        [(0.0, "0".to_owned()), (50.0, "50".to_owned()), (100.0, with_unit("100", "mm"))]
    {
        let place = at(corner.x + x, base);
        items.push(Label::new(place, &text, size::SMALL).anchored(Anchor::Middle).into());
    }
    let words = "Measure the bar: 100\u{a0}mm or do not drill.";
    let under = at(corner.x, base + size::SMALL * 1.4);
    items.push(Label::new(under, words, size::LABEL).bold().into());
    Group { title: Some("Check bar, 100 mm".to_owned()), ..Group::of("check-bar", items) }
}

/// A bar as long as a stated length of the rig, with that length in words at its end.
#[must_use]
pub fn scale_bar(view: View, corner: Point, rig_mm: f64, says: &str) -> Group {
    let length = view.length(rig_mm);
    let ends = [corner, corner.moved(length, 0.0)];
    let mut items: Vec<Item> =
        vec![Path::line(&ends, Stroke::solid(Tone::Pencil, line::HEAVY)).into()];
    for (end, text) in [(ends[0], "0".to_owned()), (ends[1], says.to_owned())] {
        items.push(Path::line(&[end, end.moved(0.0, -1.6)], PENCIL).into());
        let place = end.moved(0.0, size::SMALL * 1.2);
        let label = Label::new(place, &text, size::SMALL).tone(Tone::Pencil);
        items.push(label.anchored(Anchor::Middle).into());
    }
    Group::of("scale-bar", items)
}

#[cfg(test)]
mod tests {
    use super::{dimension, readable};
    use crate::geometry::at;
    use crate::scene::Item;

    #[test]
    fn lettering_is_never_upside_down() {
        // Up the sheet is -90 on paper: it reads from the right.
        for (line, want) in
            [(0.0, 0.0), (180.0, 0.0), (-90.0, -90.0), (90.0, -90.0), (135.0, -45.0)]
        {
            assert!((readable(line) - want).abs() < 1e-9, "a line at {line}");
        }
    }

    #[test]
    fn a_dimension_is_set_off_to_the_left_of_the_way() {
        // Hand worked: from left to right, left of the way is up; 8 up from y = 20 is y = 12.
        let drawn = dimension(at(10.0, 20.0), at(60.0, 20.0), 8.0, "860 mm");
        let label = drawn.items.iter().find_map(|i| match i {
            Item::Label(label) => Some(label),
            _ => None,
        });
        let middle = label.map(|l| l.place).expect("it has its figure");
        // The base line lies half a capital, 0.334 x 3.53 = 1.179 mm, under the line.
        assert!(middle.distance(at(35.0, 12.0 + 1.179)) < 0.001, "{middle:?}");
        let short = dimension(at(10.0, 20.0), at(14.0, 20.0), 8.0, "40 mm");
        let beyond = short
            .items
            .iter()
            .any(|i| matches!(i, Item::Label(l) if 14.0 < l.corners().bounds()[0]));
        assert!(beyond, "a figure wider than its span stands beyond it");
    }
}

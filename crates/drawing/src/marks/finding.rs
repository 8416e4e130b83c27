//! STOP, FIX and NOTE: an octagon with a cross, a triangle, a ring, each with its word.

use crate::geometry::{Point, at};
use crate::scene::{Circle, Fill, Group, Item, Label, Path, Stroke};
use crate::style::{Tone, size};
use crate::text::{Weight, text_width_mm, wrapped};
use engine::finding::Severity;

/// Its tone.
#[must_use]
pub const fn tone(severity: Severity) -> Tone {
    match severity {
        Severity::Stop => Tone::Red,
        Severity::Fix => Tone::Amber,
        Severity::Note => Tone::Ink,
    }
}

/// The sign alone, this wide; use [`finding_mark`] wherever there is room for its word.
#[must_use]
pub fn sign(severity: Severity, centre: Point, width: f64) -> Group {
    let items = match severity {
        Severity::Stop => stop(centre, width / 2.0),
        Severity::Fix => fix(centre, width / 2.0),
        Severity::Note => note(centre, width / 2.0),
    };
    Group {
        title: Some(severity.word().to_owned()),
        ..Group::of(&format!("sign {}", severity.word().to_lowercase()), items)
    }
}

/// The sign with its word to the right.
#[must_use]
pub fn finding_mark(severity: Severity, centre: Point, width: f64) -> Group {
    let word = Label::new(centre.moved(width / 2.0 + 1.6, 0.0), severity.word(), size::LABEL)
        .bold()
        .tone(tone(severity))
        .levelled();
    Group::of("finding-mark", vec![sign(severity, centre, width).into(), word.into()])
}

fn stop(centre: Point, radius: f64) -> Vec<Item> {
    // A flat side on top, as the road sign has.
    let corner = |i: u8| centre.moved(0.0, -radius).turned(centre, 22.5 + 45.0 * f64::from(i));
    let corners: Vec<Point> = (0..8).map(corner).collect();
    let arm = radius * 0.4;
    let stroke = Stroke::solid(Tone::Light, radius * 0.26);
    let bar = |dx: f64, dy: f64| -> Item {
        Path::line(&[centre.moved(-dx, -dy), centre.moved(dx, dy)], stroke).into()
    };
    vec![Path::shape(&corners, None, Fill::Flat(Tone::Red)).into(), bar(arm, arm), bar(arm, -arm)]
}

fn fix(centre: Point, radius: f64) -> Vec<Item> {
    let (half, top, low) = (radius * 1.02, radius * 0.95, radius * 0.82);
    let corners = [centre.moved(0.0, -top), centre.moved(half, low), centre.moved(-half, low)];
    let line = radius * 0.2;
    let mut shape =
        Path::shape(&corners, Some(Stroke::solid(Tone::Amber, line)), Fill::Flat(Tone::Light));
    shape.corner = radius * 0.12;
    let bar = Path::line(
        &[centre.moved(0.0, -radius * 0.3), centre.moved(0.0, radius * 0.25)],
        Stroke::solid(Tone::Amber, line),
    );
    let dot = Circle {
        centre: centre.moved(0.0, radius * 0.54),
        radius: line * 0.6,
        stroke: None,
        fill: Fill::Flat(Tone::Amber),
    };
    vec![shape.into(), bar.into(), dot.into()]
}

fn note(centre: Point, radius: f64) -> Vec<Item> {
    let line = radius * 0.2;
    let ring = Circle {
        centre,
        radius: radius - line / 2.0,
        stroke: Some(Stroke::solid(Tone::Ink, line)),
        fill: Fill::Flat(Tone::Light),
    };
    let dot = Circle {
        centre: centre.moved(0.0, -radius * 0.42),
        radius: line * 0.65,
        stroke: None,
        fill: Fill::Flat(Tone::Ink),
    };
    let stem = Path::line(
        &[centre.moved(0.0, -radius * 0.08), centre.moved(0.0, radius * 0.46)],
        Stroke::solid(Tone::Ink, line),
    );
    vec![ring.into(), dot.into(), stem.into()]
}

/// One note in the margin.
#[derive(Clone, Debug, PartialEq)]
pub struct MarginNote {
    /// How bad.
    pub severity: Severity,
    /// The rule's number, small.
    pub code: String,
    /// What is, in one sentence with the owner's own numbers.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

/// Draws a margin note from its left upper corner; also the height it takes.
#[must_use]
pub fn margin_note(note: &MarginNote, corner: Point, width: f64) -> (Group, f64) {
    let sign = 5.4;
    let left = corner.x + sign + 2.0;
    let first = corner.y + sign / 2.0;
    let mark = finding_mark(note.severity, at(corner.x + sign / 2.0, first), sign);
    let word_width = text_width_mm(note.severity.word(), size::LABEL, Weight::Bold);
    let code = Label::new(at(left + word_width + 1.4, first), &note.code, size::SMALL)
        .tone(Tone::Pencil)
        .levelled();
    let mut items: Vec<Item> = vec![mark.into(), code.into()];
    let mut base = first + size::LABEL * 0.34;
    let room = width - sign - 2.0;
    for (text, weight) in [(&note.what, Weight::Regular), (&note.remedy, Weight::Bold)] {
        for line in wrapped(text, room, size::LABEL, weight) {
            base += size::LABEL * LEADING;
            let mut label = Label::new(at(left, base), &line, size::LABEL);
            label.weight = weight;
            items.push(label.into());
        }
        // A little air between what is and what to do.
        base += size::LABEL * 0.15;
    }
    let group = Group::of("margin-note", items);
    (group, base + size::LABEL * 0.4 - corner.y)
}

/// From base line to base line, in parts of the em.
const LEADING: f64 = 1.32;

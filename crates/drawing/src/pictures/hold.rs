//! The hold-down: what pulls at the box in each direction, and what its fasteners bear.

use super::canvas::{Canvas, EDGE, INK};
use super::{Setting, Subject};
use crate::geometry::{Point, at};
use crate::marks::sheet::shortened;
use crate::scene::{Anchor, Fill, Scene};
use crate::style::{Tone, size};
use crate::text::Weight as Heavy;
use engine::cite::Status;
use engine::fit::hold_down::cases::Direction;
use engine::fit::hold_down::{HoldDown, HoldRow, HoldStatus};
use engine::model::hold::Held;
use engine::units::show;

/// What the picture is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct HoldPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// What pulls and what holds.
    pub hold: &'a HoldDown,
    /// What is held: the blocks in the box, or the box on the rig.
    pub held: Held,
    /// The paper.
    pub setting: &'a Setting,
}

/// Draws it.
#[must_use]
pub fn hold(picture: &HoldPicture<'_>) -> Scene {
    let mut canvas = Canvas::new(picture.setting);
    let (width, centre) = (canvas.inner(), EDGE + canvas.inner() / 2.0);
    let what = match picture.held {
        Held::Blocks => "the blocks in their box",
        Held::Box => "the box on the rig",
    };
    canvas.strong(
        at(EDGE, EDGE + 3.0),
        &format!("What pulls at {what}, from the side"),
        Anchor::Start,
        Tone::Ink,
    );
    let (top, low, half) = (EDGE + 36.0, EDGE + 66.0, 24.0);
    canvas.line(&[at(EDGE + 8.0, low), at(EDGE + width - 8.0, low)], INK);
    canvas.rect(
        at(centre - half, top),
        (2.0 * half, low - top),
        Some(INK),
        Fill::Flat(Tone::Light),
    );
    canvas.word(
        at(centre, f64::midpoint(top, low) + 7.0),
        what.split(' ').take(2).collect::<Vec<_>>().join(" ").as_str(),
        Anchor::Middle,
        Tone::Ink,
    );
    for side in [-1.0, 1.0] {
        let x = centre + side * (half - 4.0);
        canvas.rect(at(x - 1.0, low - 3.0), (2.0, 8.0), None, Fill::Flat(Tone::Ink));
    }
    let worst = worst(picture);
    let most = worst.iter().map(|r| r.demand.as_newtons()).fold(0.0, f64::max).max(1.0);
    for row in &worst {
        arrow(picture, &mut canvas, row, (at(centre, top), half, low), most);
    }
    let mut y = low + 17.0;
    y = table(picture, &mut canvas, y);
    for note in picture.hold.unknown.iter().take(4) {
        y = canvas.words(at(EDGE, y), width, &format!("Find out: {}.", note.what), Heavy::Regular)
            + 0.8;
    }
    for would in picture.hold.would.iter().filter(|w| w.held == picture.held) {
        y = canvas.words(
            at(EDGE, y),
            width,
            &format!("What would hold: {}.", would.words),
            Heavy::Bold,
        ) + 0.8;
    }
    canvas.finish(
        &picture.subject,
        &format!("hold-down of {what}"),
        "Arrows in each direction with the force that pulls and the force that is held.",
        y,
    )
}

/// The row of each direction that lacks most: first what fails, then the largest demand the practice
/// asks for.
fn worst<'a>(picture: &HoldPicture<'a>) -> Vec<&'a HoldRow> {
    let of = |direction: Direction| {
        let rows =
            picture.hold.rows.iter().filter(|r| r.held == picture.held && r.direction == direction);
        rows.max_by(|a, b| {
            let key = |r: &HoldRow| (u8::from(r.binding), u8::from(r.status == HoldStatus::Fails));
            key(a).cmp(&key(b)).then(a.demand.as_newtons().total_cmp(&b.demand.as_newtons()))
        })
    };
    Direction::ALL.into_iter().filter_map(of).collect()
}

fn arrow(
    picture: &HoldPicture<'_>,
    canvas: &mut Canvas,
    row: &HoldRow,
    (top, half, low): (Point, f64, f64),
    most: f64,
) {
    let units = picture.subject.design.rig.units;
    let long = 8.0 + 14.0 * row.demand.as_newtons() / most;
    let middle = f64::midpoint(top.y, low);
    let tone = if row.status == HoldStatus::Fails { Tone::Red } else { Tone::Ink };
    let width = 1.4;
    let force = show::force(row.demand, units).replace(' ', "\u{a0}");
    let (place, anchor) = match row.direction {
        Direction::Up => {
            canvas.arrow(at(top.x, top.y), at(top.x, top.y - long), width, tone);
            (at(top.x + 6.0, top.y - 12.0), Anchor::Start)
        }
        Direction::Forward => {
            canvas.arrow(at(top.x - half, middle), at(top.x - half - long, middle), width, tone);
            (at(top.x - half - 3.0, middle - 10.5), Anchor::End)
        }
        Direction::Rearward => {
            canvas.arrow(at(top.x + half, middle), at(top.x + half + long, middle), width, tone);
            (at(top.x + half + 3.0, middle - 10.5), Anchor::Start)
        }
        Direction::Side => {
            // Towards the eye: a ring with a dot.
            let centre = at(top.x, middle - 6.0);
            canvas.circle(
                centre,
                4.0,
                Some(crate::scene::Stroke::solid(tone, 0.6)),
                Fill::Flat(Tone::Light),
            );
            canvas.circle(centre, 1.1, None, Fill::Flat(tone));
            (at(top.x, low + 4.0), Anchor::Middle)
        }
    };
    canvas.strong(place, row.direction.word(), anchor, tone);
    canvas.strong(place.moved(0.0, 4.8), &force, anchor, tone);
}

/// Lines that stand under the picture: what fails first where there are more.
const SHOWN: usize = 12;

/// Every case once for the directions in which it asks and meets the same.
fn folded<'a>(picture: &HoldPicture<'a>) -> Vec<(&'a HoldRow, String)> {
    let mut all: Vec<(&HoldRow, String)> = Vec::new();
    for row in picture.hold.rows.iter().filter(|r| r.held == picture.held) {
        let units = picture.subject.design.rig.units;
        let says =
            |r: &HoldRow| (show::force(r.demand, units), r.capacity.map(|c| show::force(c, units)));
        let same = |other: &HoldRow| {
            other.case == row.case && other.status == row.status && says(other) == says(row)
        };
        let word = match row.direction {
            Direction::Up => "up",
            Direction::Forward => "fore",
            Direction::Rearward => "aft",
            Direction::Side => "side",
        };
        match all.iter_mut().find(|(first, _)| same(first)) {
            Some((_, ways)) => *ways = format!("{ways}, {word}"),
            None => all.push((row, word.to_owned())),
        }
    }
    for (_, ways) in &mut all {
        if ways == "fore, aft, side" {
            "along and across".clone_into(ways);
        }
    }
    all
}

/// Under this width of paper a case takes two lines [mm].
const NARROW: f64 = 140.0;

/// The heads of the columns.
fn heads(canvas: &mut Canvas, y: f64) {
    let width = canvas.inner();
    let narrow = [
        (0.0, "case", Anchor::Start),
        (0.36, "pulls", Anchor::End),
        (0.60, "held", Anchor::End),
        (0.63, "so it", Anchor::Start),
    ];
    let wide = [
        (0.0, "case", Anchor::Start),
        (0.36, "way", Anchor::Start),
        (0.66, "pulls", Anchor::End),
        (0.80, "held", Anchor::End),
        (0.83, "so it", Anchor::Start),
    ];
    for (part, name, anchor) in if width < NARROW { &narrow[..] } else { &wide[..] } {
        canvas.word(at(EDGE + width * part, y), name, *anchor, Tone::Pencil);
    }
}

/// The cases with their figures, in columns.
fn table(picture: &HoldPicture<'_>, canvas: &mut Canvas, top: f64) -> f64 {
    let units = picture.subject.design.rig.units;
    let width = canvas.inner();
    let x = |part: f64| EDGE + width * part;
    let mut y = top;
    heads(canvas, y);
    y += 6.0;
    let mut rows = folded(picture);
    if SHOWN < rows.len() {
        rows.sort_by_key(|(row, _)| u8::from(row.status != HoldStatus::Fails));
    }
    for (row, ways) in rows.iter().take(SHOWN) {
        let force = |f| show::force(f, units).replace(' ', "\u{a0}");
        let fits = |text: &str, part: f64| shortened(text, width * part - 2.0, size::SMALL);
        if width < NARROW {
            // Case and way have a line of their own, the figures the next.
            let says = shortened(&format!("{}: {ways}", row.case), width, size::SMALL);
            canvas.word(at(x(0.0), y), &says, Anchor::Start, Tone::Ink);
            y += 5.0;
        } else {
            canvas.word(at(x(0.0), y), &fits(&row.case, 0.36), Anchor::Start, Tone::Ink);
            canvas.word(at(x(0.36), y), &fits(ways, 0.20), Anchor::Start, Tone::Ink);
        }
        let pulls = if width < NARROW { 0.36 } else { 0.66 };
        canvas.word(at(x(pulls), y), &force(row.demand), Anchor::End, Tone::Ink);
        let none = if row.status == HoldStatus::Contained { "by walls" } else { "?" };
        let star = if row.from_memory() { "*" } else { "" };
        let held = row.capacity.map_or_else(|| none.to_owned(), |c| format!("{}{star}", force(c)));
        let held_at = if width < NARROW { 0.60 } else { 0.80 };
        canvas.word(at(x(held_at), y), &held, Anchor::End, Tone::Ink);
        let tone = if row.status == HoldStatus::Fails { Tone::Red } else { Tone::Ink };
        let so = held_at + 0.03;
        let says = fits(row.status.word(), 1.0 - so);
        canvas.strong(at(x(so), y), &says, Anchor::Start, tone);
        y += 5.6;
    }
    if SHOWN < rows.len() {
        canvas.word(
            at(x(0.0), y),
            &format!("and {} more lines, which do no worse: see the terminal", rows.len() - SHOWN),
            Anchor::Start,
            Tone::Pencil,
        );
        y += 5.6;
    }
    if rows.iter().any(|(row, _)| row.from_memory()) {
        let says = format!("* a strength {}: the maker's figures win", Status::Recalled.says());
        y = canvas.words(at(x(0.0), y - 2.0), width, &says, Heavy::Regular) + 1.0;
    }
    y + 1.0
}

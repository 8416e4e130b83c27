//! The two tips of a meter on their posts, and the jaw of a clamp round a lead: which goes where.

use super::room::{Room, around, bar};
use crate::geometry::{Point, at};
use crate::marks::lead::place_along;
use crate::scene::{Anchor, Circle, Fill, Group, Item, Label, Path, Stroke};
use crate::style::{Tone, line, size};
use engine::prove::{At, Clamped, Point as On};

/// Where the tips and the jaw go.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tips {
    /// The red tip.
    pub red: Option<On>,
    /// The black tip.
    pub black: Option<On>,
    /// The lead in the jaw of the clamp.
    pub jaw: Option<String>,
}

impl Tips {
    /// As a reading of the proving asks for them; `None` where neither tips nor a jaw on one lead do.
    #[must_use]
    pub fn of(at: &At) -> Option<Self> {
        match at {
            At::Between { red, black, .. } => {
                Some(Self { red: Some(red.clone()), black: Some(black.clone()), jaw: None })
            }
            At::Clamp(Clamped::Lead { lead, .. }) => {
                Some(Self { jaw: Some(lead.clone()), ..Self::default() })
            }
            At::Clamp(Clamped::Block(_) | Clamped::Drawn) | At::Standby => None,
        }
    }

    /// In words, for a reader who cannot see the picture.
    #[must_use]
    pub fn says(&self) -> String {
        let tip = |colour: &str, on: &Option<On>| match on {
            Some(On::Terminal(post)) => format!("{colour} tip on {post}. "),
            Some(On::Lug { lead, .. }) => {
                format!("{colour} tip on the barrel of a lug of lead {lead}. ")
            }
            None => String::new(),
        };
        let jaw = self.jaw.as_ref();
        let jaw = jaw.map_or_else(String::new, |lead| format!("Clamp round lead {lead}. "));
        format!("{}{}{jaw}", tip("Red", &self.red), tip("Black", &self.black))
    }
}

/// From the post to the word at the handle's end [mm].
const REACH: f64 = 10.5;

/// Directions a tip may come from, as seen on the sheet, the upper ones first [degrees].
const FROM: [f64; 16] = [
    -60.0, -120.0, -30.0, -150.0, -90.0, 0.0, 180.0, 30.0, 150.0, 60.0, 120.0, 90.0, -75.0, -105.0,
    -45.0, -135.0,
];

/// The end of a lug's barrel on a lead that begins here.
#[must_use]
pub fn on_barrel(points: &[Point]) -> Option<Point> {
    let whole: f64 = points.windows(2).map(|p| p[0].distance(p[1])).sum();
    place_along(points, (BARREL / whole.max(1e-9)).min(0.4))
}

/// From the middle of a post to the end of the barrel, as it is drawn [mm].
const BARREL: f64 = 5.0;

/// Draws the red and the black tip on their posts and the jaw on its lead.
pub fn draw(
    posts: [Option<Point>; 2],
    jaw: Option<Vec<Point>>,
    sheet: (f64, f64),
    room: &mut Room,
) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    let colours = [("red", Tone::Red), ("black", Tone::Ink)];
    for (post, colour) in posts.into_iter().zip(colours) {
        if let Some(post) = post {
            items.push(tip(post, colour, sheet, room).into());
        }
    }
    if let Some(place) =
        jaw.as_deref().and_then(|points| Some((place_along(points, 0.32)?, points)))
    {
        items.push(clamp(place.0, sheet, room).into());
    }
    items
}

/// A way a tip may lie: from the post outwards, its word at its end.
struct Way {
    neck: Point,
    end: Point,
    word: Label,
}

fn way(post: Point, degrees: f64, (word, tone): (&str, Tone)) -> Way {
    let out = |reach: f64| post.moved(reach, 0.0).turned(post, degrees);
    let end = out(REACH);
    let right = end.x > post.x + 1.0;
    let anchor = if right {
        Anchor::Start
    } else if end.x < post.x - 1.0 {
        Anchor::End
    } else {
        Anchor::Middle
    };
    let dy = if anchor == Anchor::Middle { (end.y - post.y).signum() * 2.6 } else { 0.0 };
    let dx = match anchor {
        Anchor::Start => 1.2,
        Anchor::End => -1.2,
        Anchor::Middle => 0.0,
    };
    let label = Label::new(end.moved(dx, dy), word, size::SMALL).bold().tone(tone);
    let word = label.anchored(anchor).levelled().rimmed(Tone::Paper);
    Way { neck: out(4.5), end, word }
}

fn tip(post: Point, colour: (&str, Tone), sheet: (f64, f64), room: &mut Room) -> Group {
    let tone = colour.1;
    // Counted by what each would touch: its word counts more than its shaft, the edge most.
    let cost = |w: &Way| {
        let [left, top, right, low] = w.word.corners().bounds();
        let cut = left < 0.5 || top < 0.5 || sheet.0 - 0.5 < right || sheet.1 - 0.5 < low;
        let shaft = bar(post.towards(w.end, 0.35), w.end, 1.6);
        usize::from(cut) * 100 + room.touched(&w.word.corners()) * 4 + room.touched(&shaft)
    };
    let ways = FROM.iter().map(|d| way(post, *d, colour));
    let chosen = ways.min_by_key(cost).unwrap_or_else(|| way(post, FROM[0], colour));
    room.take(chosen.word.corners());
    room.take(bar(post, chosen.end, 1.6));
    let line = |from: Point, to: Point, tone: Tone, width: f64| -> Item {
        Path::line(&[from, to], Stroke::solid(tone, width)).into()
    };
    let mut items = vec![
        // The pale edge parts it from the leads it crosses.
        line(post, chosen.end, Tone::Light, 2.6),
        line(post, chosen.neck, tone, line::HEAVY),
        line(chosen.neck, chosen.end, tone, 1.7),
    ];
    let centre = post;
    items.push(Circle { centre, radius: 0.9, stroke: None, fill: Fill::Flat(tone) }.into());
    items.push(chosen.word.into());
    Group { title: Some(format!("{} tip", colour.0)), ..Group::of("tip", items) }
}

/// The jaw: two halves of a ring round the lead and its word.
fn clamp(centre: Point, sheet: (f64, f64), room: &mut Room) -> Group {
    let ring = |radius: f64, tone: Tone, width: f64| -> Item {
        let stroke = Some(Stroke::solid(tone, width));
        Circle { centre, radius, stroke, fill: Fill::Open }.into()
    };
    room.take(around(centre, 7.0, 7.0));
    let word = |dx: f64, dy: f64| {
        let anchor = if dx > 1.0 {
            Anchor::Start
        } else if dx < -1.0 {
            Anchor::End
        } else {
            Anchor::Middle
        };
        let label = Label::new(centre.moved(dx, dy), "clamp", size::SMALL).bold();
        label.anchored(anchor).levelled().rimmed(Tone::Paper)
    };
    let places = [(4.6, 0.0), (-4.6, 0.0), (0.0, -6.0), (0.0, 6.0), (4.4, -5.0), (-4.4, -5.0)];
    let inside = |l: &Label| {
        let [left, top, right, low] = l.corners().bounds();
        0.5 <= left && 0.5 <= top && right <= sheet.0 - 0.5 && low <= sheet.1 - 0.5
    };
    let tried = places.iter().map(|(x, y)| word(*x, *y)).filter(inside).collect();
    let mut items = vec![ring(3.2, Tone::Light, 2.2), ring(3.2, Tone::Ink, 1.1)];
    // The gap between the jaws.
    let gap = [at(centre.x - 0.5, centre.y - 3.9), at(centre.x + 0.5, centre.y - 2.5)];
    items.push(Path::line(&gap, Stroke::solid(Tone::Light, 0.7)).into());
    items.extend(room.settle_label(tried).map(Item::from));
    Group { title: Some("clamp".to_owned()), ..Group::of("clamp", items) }
}

//! Blocks and their posts.

use crate::geometry::{Corners, Point, at};
use crate::marks::lead::Polarity;
use crate::scene::{Anchor, Circle, Fill, Group, Item, Label, Path, Rect, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{CAPITAL, TAIL, Weight, post_name, text_width_mm};

/// On which side of a post its sign stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Above.
    Above,
    /// Below.
    Below,
}

/// One post on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Post {
    /// The block it belongs to.
    pub block: String,
    /// Its side; a post is never a link.
    pub polarity: Polarity,
    /// Its middle.
    pub centre: Point,
    /// Its radius on paper [mm].
    pub radius: f64,
    /// Where its sign stands.
    pub sign: Beside,
}

/// Draws a post: a ring with a dot, and its sign.
#[must_use]
pub fn post(post: &Post) -> Group {
    let tone = post.polarity.tone();
    let sign = post.polarity.sign();
    let name = post_name(&post.block, sign);
    let id = format!("post-{}-{}", post.block, post.polarity.word());
    let mut group = Group::named(&id, "post", &format!("Post {name}"));
    group.data.push(("post".to_owned(), name.clone()));
    group.items.push(
        Circle {
            centre: post.centre,
            radius: post.radius,
            stroke: Some(Stroke::solid(tone, line::HEAVY)),
            fill: Fill::Flat(Tone::Light),
        }
        .into(),
    );
    let dot = Circle {
        centre: post.centre,
        radius: post.radius * 0.35,
        stroke: None,
        fill: Fill::Flat(tone),
    };
    group.items.push(dot.into());
    group.items.push(sign_label(post, sign).into());
    group
}

/// The box around the sign of a post: its bars reach a little over a quarter of the em each way.
#[must_use]
pub fn sign_corners(post: &Post) -> Corners {
    let half = size::NAME * 0.27;
    let bounds = sign_label(post, post.polarity.sign()).corners().bounds();
    let x = (bounds[0] + bounds[2]) / 2.0;
    let y = sign_label(post, "").place.y - size::NAME * 0.248;
    Corners(
        [(-half, -half), (half, -half), (half, half), (-half, half)]
            .map(|(dx, dy)| at(x + dx, y + dy)),
    )
}

fn sign_label(post: &Post, sign: &str) -> Label {
    let away = post.radius + 0.9;
    let level = size::NAME * 0.35;
    let (place, anchor) = match post.sign {
        Beside::Left => (post.centre.moved(-away, 0.0), Anchor::End),
        Beside::Right => (post.centre.moved(away, 0.0), Anchor::Start),
        Beside::Above => (post.centre.moved(0.0, -away - level), Anchor::Middle),
        Beside::Below => (post.centre.moved(0.0, away + level), Anchor::Middle),
    };
    // The bars of both signs lie at 0.248 of the em, a little below the middle of capitals.
    let mut label =
        Label::new(place.moved(0.0, size::NAME * 0.248), sign, size::NAME).bold().anchored(anchor);
    label.tone = post.polarity.tone();
    label.rimmed(Tone::Light)
}

/// One block seen from above.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Its name.
    pub name: String,
    /// A second line under the name: its share, its volts.
    pub figure: Option<String>,
    /// Left upper corner.
    pub corner: Point,
    /// Width on paper [mm].
    pub width: f64,
    /// Height on paper [mm].
    pub height: f64,
    /// How far the wash rises, 0 to 1; `None` for no wash.
    pub wash: Option<f64>,
    /// Where the middle of its words stands; `None` for the middle of the case.
    pub words: Option<Point>,
    /// How its words stand together.
    pub lines: Lines,
}

/// How the name and the figure of a block stand together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lines {
    /// The figure under the name.
    Two,
    /// The figure behind the name, where leads leave only a strip free.
    One,
}

impl Block {
    /// Width and height of its words [mm].
    #[must_use]
    pub fn words_size(&self) -> (f64, f64) {
        let name = text_width_mm(&self.name, size::NAME, Weight::Bold);
        let capital = size::NAME * CAPITAL;
        self.figure.as_ref().map_or((name, capital), |figure| {
            let figure = text_width_mm(figure, size::SMALL, Weight::Regular);
            match self.lines {
                Lines::Two => (name.max(figure), capital + FIGURE_DOWN + size::SMALL * TAIL),
                Lines::One => (name + FIGURE_ON + figure, capital),
            }
        })
    }

    /// The box around its words.
    #[must_use]
    pub fn words_corners(&self) -> Corners {
        let (width, height) = self.words_size();
        let (w, h) = (width / 2.0, height / 2.0);
        let middle = self.words_middle();
        Corners([(-w, -h), (w, -h), (w, h), (-w, h)].map(|(x, y)| middle.moved(x, y)))
    }

    fn words_middle(&self) -> Point {
        self.words.unwrap_or(self.corner.moved(self.width / 2.0, self.height / 2.0))
    }
}

/// From the name to the figure behind it [mm].
const FIGURE_ON: f64 = 1.4;

/// From the base line of the name to that of the figure under it [mm].
const FIGURE_DOWN: f64 = size::SMALL * 1.2;

/// Draws a block with its wash and name; posts and caps are drawn over it.
#[must_use]
pub fn block(block: &Block) -> Group {
    let id = format!("block-{}", block.name);
    let mut group = Group::named(&id, "block", &format!("Block {}", block.name));
    group.data.push(("block".to_owned(), block.name.clone()));
    let body = |stroke: Option<Stroke>, fill: Fill| -> Item {
        Rect {
            corner: block.corner,
            width: block.width,
            height: block.height,
            round: ROUND,
            stroke,
            fill,
        }
        .into()
    };
    group.items.push(body(None, Fill::Flat(Tone::Light)));
    if let Some(part) = block.wash {
        wash(&mut group.items, block, part);
    }
    group.items.push(body(Some(Stroke::solid(Tone::Ink, line::NORMAL)), Fill::Open));
    let (width, height) = block.words_size();
    let base = block.words_middle().moved(0.0, size::NAME * CAPITAL - height / 2.0);
    let left = base.moved(-width / 2.0, 0.0);
    let name = Label::new(base, &block.name, size::NAME).bold().anchored(Anchor::Middle);
    let figure = block.figure.as_ref().map(|figure| Label::new(base, figure, size::SMALL));
    match (block.lines, figure) {
        (_, None) => group.items.push(name.into()),
        (Lines::Two, Some(figure)) => {
            let place = base.moved(0.0, FIGURE_DOWN);
            group.items.push(name.into());
            group.items.push(Label { place, ..figure.anchored(Anchor::Middle) }.into());
        }
        (Lines::One, Some(figure)) => {
            let name = Label { place: left, ..name.anchored(Anchor::Start) };
            let place = left.moved(width, 0.0);
            group.items.push(name.into());
            group.items.push(Label { place, ..figure.anchored(Anchor::End) }.into());
        }
    }
    group
}

/// Radius of a case's corners [mm].
const ROUND: f64 = 1.2;

/// The wash from the bottom up, under a dashed level.
fn wash(items: &mut Vec<Item>, block: &Block, part: f64) {
    let part = part.clamp(0.0, 1.0);
    let level = block.corner.y + block.height * (1.0 - part);
    let (left, right) = (block.corner.x, block.corner.x + block.width);
    let low = block.corner.y + block.height;
    let fill = Fill::Flat(Tone::Wash);
    // Where the wash reaches the rounded corners at the top it is rounded with them.
    if level - block.corner.y < ROUND {
        let (corner, height) = (at(left, level), low - level);
        items.push(
            Rect { corner, width: block.width, height, round: ROUND, stroke: None, fill }.into(),
        );
    } else {
        let low_rounded = at(left, low - 2.0 * ROUND);
        if level < low_rounded.y + ROUND {
            let points =
                [at(left, level), at(right, level), at(right, low - ROUND), at(left, low - ROUND)];
            items.push(Path::shape(&points, None, fill).into());
            let (width, height) = (block.width, 2.0 * ROUND);
            items.push(
                Rect { corner: low_rounded, width, height, round: ROUND, stroke: None, fill }
                    .into(),
            );
        }
    }
    if 0.0 < part && part < 1.0 {
        let stroke = Stroke::dashed(Tone::Pencil, line::THIN, 1.2);
        // The level is left out behind the words, as a draughtsman does.
        let (width, height) = block.words_size();
        let middle = block.words_middle();
        let struck = (level - middle.y).abs() < height / 2.0 + 0.6;
        let half = width / 2.0 + 0.8;
        let parts = if struck {
            vec![(left, middle.x - half), (middle.x + half, right)]
        } else {
            vec![(left, right)]
        };
        for (from, to) in parts.into_iter().filter(|(from, to)| from + 0.5 < *to) {
            items.push(Path::line(&[at(from, level), at(to, level)], stroke).into());
        }
    }
}

/// A filler cap: two rings, because a slot across would read as a minus.
#[must_use]
pub fn cap(centre: Point, radius: f64) -> Group {
    let ring = |radius: f64, fill: Fill| -> Item {
        Circle { centre, radius, stroke: Some(Stroke::solid(Tone::Pencil, line::THIN)), fill }
            .into()
    };
    Group::of("cap", vec![ring(radius, Fill::Flat(Tone::Light)), ring(radius * 0.5, Fill::Open)])
}

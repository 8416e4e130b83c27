//! What a path runs into: pieces of it against keep-outs, bodies and the edge of the yard.

use super::{Bar, Keep, Path, Piece, Spot, TOUCH_MM, Wheel, Yard, shares_over};
use crate::layout::lain::Stretch;
use crate::number;
use std::cell::LazyCell;
use std::f64::consts::FRAC_PI_2;

impl Piece {
    /// What it takes up.
    pub(super) fn stretch(&self) -> Stretch {
        match self {
            Self::Straight(from, to) => {
                Stretch { from: *from, to: *to, aside: 0.0, low: from.y.min(to.y) }
            }
            Self::Turn { on, from, sweep } => {
                // A turn down to the right is lowest at an end, and there lies a straight piece.
                let over = on.side < 0.0 && 0.0 <= from.x && *sweep <= FRAC_PI_2;
                let low = if over { f64::INFINITY } else { on.centre.y - on.radius };
                Stretch { from: on.centre, to: on.centre, aside: on.radius, low }
            }
        }
    }
}

impl Bar {
    pub(super) fn corners(&self) -> [Spot; 4] {
        let (l, h) = (self.low, self.high);
        [l, Spot::at(h.x, l.y), h, Spot::at(l.x, h.y)]
    }

    fn holds(&self, p: Spot) -> bool {
        self.low.x < p.x && p.x < self.high.x && self.low.y < p.y && p.y < self.high.y
    }

    /// From the body to a straight piece; nothing where they meet.
    pub(in crate::layout) fn off_straight(&self, a: Spot, b: Spot) -> f64 {
        let c = self.corners();
        let sides = [(c[0], c[1]), (c[1], c[2]), (c[2], c[3]), (c[3], c[0])];
        if self.holds(a) || self.holds(b) || sides.iter().any(|s| crosses((a, b), *s)) {
            return 0.0;
        }
        let to_corners = c.iter().map(|p| off_straight(*p, a, b));
        let to_sides =
            sides.iter().flat_map(|s| [off_straight(a, s.0, s.1), off_straight(b, s.0, s.1)]);
        to_corners.chain(to_sides).fold(f64::INFINITY, f64::min)
    }
}

impl Bar {
    /// Whether it lies to one side of the line of a piece, or within its wheel or beyond; quick, and never
    /// wrongly yes.
    fn is_aside(&self, piece: &Piece) -> bool {
        let corners = self.corners();
        match piece {
            Piece::Straight(a, b) => {
                let way = b.minus(*a);
                let (off, sides) = (self.off * way.long(), corners.map(|c| way.cross(c.minus(*a))));
                sides.iter().all(|s| off < *s) || sides.iter().all(|s| *s < -off)
            }
            Piece::Turn { on, .. } => {
                // Strokes lie within the turn by less than a thousandth of its radius.
                // A body that is thinner than its skin has its corners the other way round.
                let off = |at: f64, a: f64, b: f64| (a.min(b) - at).max(at - a.max(b)).max(0.0);
                let (low, high) = (self.low, self.high);
                let off = (off(on.centre.x, low.x, high.x), off(on.centre.y, low.y, high.y));
                let far = |c: Spot| c.apart(on.centre) + self.off < on.radius * (1.0 - 1e-3);
                on.radius + self.off < number::hypot(off.0, off.1) || corners.into_iter().all(far)
            }
        }
    }

    /// How far a straight piece would have to be moved to leave the body on the side that is nearest.
    fn depth(&self, a: Spot, b: Spot) -> f64 {
        let Some((from, to)) = shares_over(a, b, [self.low, self.high]) else {
            return 0.0;
        };
        let way = b.minus(a);
        let (p, q) = (a.plus(from, way), a.plus(to, way));
        let down = p.y.max(q.y) - self.low.y;
        let up = self.high.y - p.y.min(q.y);
        let sides = [
            p.x.max(q.x) - self.low.x,
            self.high.x - p.x.min(q.x),
            if self.only == Some(-1.0) { f64::INFINITY } else { down },
            if self.only == Some(1.0) { f64::INFINITY } else { up },
        ];
        sides.into_iter().fold(f64::INFINITY, f64::min)
    }
}

fn crosses(one: (Spot, Spot), other: (Spot, Spot)) -> bool {
    let side = |l: (Spot, Spot), p: Spot| l.1.minus(l.0).cross(p.minus(l.0));
    side(one, other.0) * side(one, other.1) < 0.0 && side(other, one.0) * side(other, one.1) < 0.0
}

/// From a place to a straight piece.
fn off_straight(p: Spot, a: Spot, b: Spot) -> f64 {
    let way = b.minus(a);
    let long = way.dot(way);
    let share = if long <= 0.0 { 0.0 } else { (p.minus(a).dot(way) / long).clamp(0.0, 1.0) };
    p.apart(a.plus(share, way))
}

/// What a path runs into.
#[derive(Clone, Copy, Debug)]
pub(super) enum Hit {
    Keep(Keep),
    /// The place of the body in the yard.
    Bar(usize),
}

/// The piece and the body where the path lacks most room.
pub(super) fn worst(yard: &Yard, path: &Path, crossed: &[usize]) -> Option<(usize, Hit)> {
    let mut most = TOUCH_MM;
    let mut found = None;
    for (n, piece) in path.pieces.iter().enumerate() {
        let frame = around(piece);
        // Most pieces are far from every body and need no strokes.
        let strokes = LazyCell::new(|| chords(piece));
        for keep in &yard.keeps {
            if clear_of(frame, [keep.centre; 2], keep.radius) {
                continue;
            }
            let by = keep.radius - off_piece(keep, piece);
            if most < by {
                (most, found) = (by, Some((n, Hit::Keep(*keep))));
            }
        }
        for (at, bar) in yard.bars.iter().enumerate().filter(|(at, _)| !crossed.contains(at)) {
            if clear_of(frame, [bar.low, bar.high], bar.off) || bar.is_aside(piece) {
                continue;
            }
            let near = strokes.iter().filter(|s| {
                let frame = around(&Piece::Straight(s.0, s.1));
                !clear_of(frame, [bar.low, bar.high], bar.off)
            });
            let off = near.map(|s| bar.off_straight(s.0, s.1)).fold(f64::INFINITY, f64::min);
            let by = bar.off - off;
            // The strokes of a turn lie a few hundredths of a millimetre inside it.
            let slip = if matches!(piece, Piece::Turn { .. }) { 0.05 } else { 0.0 };
            if most.max(slip) < by {
                (most, found) = (by, Some((n, Hit::Bar(at))));
            }
        }
    }
    found
}

/// How far a path is too near to everything in all, without bodies that may be crossed.
pub(super) fn lacking(yard: &Yard, path: &Path) -> f64 {
    let mut all = 0.0;
    for piece in &path.pieces {
        let strokes = chords(piece);
        let frame = frame(piece, &strokes);
        for keep in &yard.keeps {
            if !clear_of(frame, [keep.centre; 2], keep.radius) {
                let by = keep.radius - off_piece(keep, piece);
                all += if TOUCH_MM < by { by } else { 0.0 };
            }
        }
        let slip = if matches!(piece, Piece::Turn { .. }) { 0.05 } else { TOUCH_MM };
        for bar in yard.bars.iter().filter(|bar| !bar.crossable) {
            if !clear_of(frame, [bar.low, bar.high], bar.off) {
                let off = strokes.iter().map(|s| bar.off_straight(s.0, s.1));
                let by = bar.off - off.fold(f64::INFINITY, f64::min);
                let depth = strokes.iter().map(|s| bar.depth(s.0, s.1)).fold(0.0, f64::max);
                all += if slip < by { by + depth } else { 0.0 };
            }
        }
        let [low, high] = frame;
        let out =
            [yard.low.x - low.x, yard.low.y - low.y, high.x - yard.high.x, high.y - yard.high.y];
        all += out.into_iter().filter(|by| slip < *by).sum::<f64>();
    }
    all
}

/// Corners between which a piece lies, quick to tell.
const fn around(piece: &Piece) -> [Spot; 2] {
    match piece {
        Piece::Straight(a, b) => {
            [Spot::at(a.x.min(b.x), a.y.min(b.y)), Spot::at(a.x.max(b.x), a.y.max(b.y))]
        }
        Piece::Turn { on, .. } => {
            let (Spot { x, y }, r) = (on.centre, on.radius);
            [Spot::at(x - r, y - r), Spot::at(x + r, y + r)]
        }
    }
}

/// Between which corners a piece lies.
fn frame(piece: &Piece, strokes: &[(Spot, Spot)]) -> [Spot; 2] {
    // A turn lies outside its strokes by less than a thousandth of its radius.
    let out = match piece {
        Piece::Straight(..) => 0.0,
        Piece::Turn { on, .. } => on.radius * 1e-3,
    };
    let none = [Spot::at(f64::MAX, f64::MAX), Spot::at(f64::MIN, f64::MIN)];
    strokes.iter().flat_map(|s| [s.0, s.1]).fold(none, |[low, high], Spot { x, y }| {
        [
            Spot::at(low.x.min(x - out), low.y.min(y - out)),
            Spot::at(high.x.max(x + out), high.y.max(y + out)),
        ]
    })
}

/// Whether what lies between two corners is at least so far from what lies between two others; quick,
/// and never wrongly yes.
fn clear_of([low, high]: [Spot; 2], [from, to]: [Spot; 2], off: f64) -> bool {
    high.x + off <= from.x || to.x + off <= low.x || high.y + off <= from.y || to.y + off <= low.y
}

/// From the middle of a keep-out to a piece.
fn off_piece(keep: &Keep, piece: &Piece) -> f64 {
    match piece {
        Piece::Straight(a, b) => off_straight(keep.centre, *a, *b),
        Piece::Turn { on, from, sweep } => {
            let off = keep.centre.minus(on.centre);
            let ring = (off.long() - on.radius).abs();
            if keep.radius <= ring {
                return ring;
            }
            // How far round the wheel the middle lies, from where the path meets it.
            let start = Spot::at(from.y * on.side, -from.x * on.side);
            let round = number::atan2(start.cross(off), start.dot(off)) * on.side;
            let round = if round < 0.0 { round + std::f64::consts::TAU } else { round };
            if round <= *sweep {
                return ring;
            }
            let ends = [0.0, *sweep].map(|turn| keep.centre.apart(on_wheel(on, *from, turn)));
            ends[0].min(ends[1])
        }
    }
}

/// A place on a wheel, so far round from where the path meets it.
pub(super) fn on_wheel(on: &Wheel, from: Spot, turn: f64) -> Spot {
    let start = Spot::at(from.y * on.side, -from.x * on.side);
    let (sin, cos) = (number::sin(turn * on.side), number::cos(turn));
    let at = Spot::at(start.x * cos - start.y * sin, start.x * sin + start.y * cos);
    on.centre.plus(on.radius, at)
}

/// A piece as straight strokes; a turn in strokes of a thirtieth of a right angle or less.
fn chords(piece: &Piece) -> Vec<(Spot, Spot)> {
    let (on, from, sweep) = match piece {
        Piece::Straight(a, b) => return vec![(*a, *b)],
        Piece::Turn { on, from, sweep } => (on, *from, *sweep),
    };
    let strokes: u8 = (1..=96).find(|n| sweep <= f64::from(*n) * 0.05).unwrap_or(96);
    let part = |n: u8| on_wheel(on, from, sweep * f64::from(n) / f64::from(strokes));
    let mut here = part(0);
    let mut all = Vec::with_capacity(usize::from(strokes));
    for n in 1..=strokes {
        let next = part(n);
        all.push((here, next));
        here = next;
    }
    all
}

/// Whether the whole path stays where it may run.
pub(super) fn within(yard: &Yard, path: &Path) -> bool {
    path.pieces.iter().flat_map(chords).all(|(a, b)| {
        [a, b].iter().all(|p| {
            yard.low.x <= p.x + TOUCH_MM
                && yard.low.y <= p.y + TOUCH_MM
                && p.x <= yard.high.x + TOUCH_MM
                && p.y <= yard.high.y + TOUCH_MM
        })
    })
}

//! A way on the plan by the length along it: straight legs and the bends between them.

use super::path;
use super::profile::Bent;
use super::taut::{self, Spot};
use crate::number;

/// A bend is looked at in strokes that turn by at most this [rad].
const STROKE: f64 = 0.1;

/// The middle of such a stroke lies no further than that inside its bend.
const SAG_MM: f64 = 0.1;

/// A straight leg or a bend.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Piece {
    Straight {
        from: Spot,
        way: Spot,
    },
    /// Turning left where `turn` is positive.
    Bend {
        from: Spot,
        way: Spot,
        radius: f64,
        turn: f64,
    },
}

/// A straight stroke of a way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stroke {
    pub(super) from: Spot,
    pub(super) to: Spot,
    /// Along the way, at its start and at its end.
    pub(super) along: [f64; 2],
    /// The leg it belongs to; a bend belongs to the leg before it.
    pub(super) leg: usize,
}

/// A way with the length at which each of its pieces begins.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Track {
    pieces: Vec<(f64, f64, usize, Piece)>,
    long: f64,
}

impl Track {
    /// A way through corners, each between the ends rounded by its radius.
    pub(super) fn through(corners: &[Spot], radii: &[f64]) -> Self {
        let mut track = Self { pieces: Vec::new(), long: 0.0 };
        let mut here = corners.first().copied().unwrap_or(Spot::at(0.0, 0.0));
        for n in 1..corners.len() {
            let (before, corner) = (corners[n - 1], corners[n]);
            let leg = before.apart(corner);
            let way = unit(before, corner);
            let (turn, radius) = match (corners.get(n + 1), radii.get(n - 1)) {
                (Some(next), Some(radius)) => (turn_at(before, corner, *next), *radius),
                _ => (0.0, 0.0),
            };
            let takes = radius * path::half_tangent(turn);
            let to = Spot::at(corner.x - takes * way.x, corner.y - takes * way.y);
            track.push(here.apart(to).min(leg), n - 1, Piece::Straight { from: here, way });
            here = to;
            if 0.0 < radius * turn.abs() {
                let bend = Piece::Bend { from: here, way, radius, turn };
                track.push(radius * turn.abs(), n - 1, bend);
                here = bend.at(radius * turn.abs());
            }
        }
        track
    }

    fn push(&mut self, long: f64, leg: usize, piece: Piece) {
        self.pieces.push((self.long, long, leg, piece));
        self.long += long;
    }

    /// Its length.
    pub(super) const fn long(&self) -> f64 {
        self.long
    }

    /// Where a leg begins, after the bend before it.
    pub(super) fn begins(&self, leg: usize) -> f64 {
        let own = self.pieces.iter().find(|p| p.2 == leg);
        own.map_or(self.long, |(start, ..)| *start)
    }

    /// The leg that lies so far along it.
    pub(super) fn leg(&self, along: f64) -> usize {
        let last = self.pieces.iter().rfind(|p| p.0 <= along);
        last.map_or(0, |(_, _, leg, _)| *leg)
    }

    /// Its bends.
    pub(super) fn bends(&self) -> Vec<Bent> {
        let bend = |(start, long, _, piece): &(f64, f64, usize, Piece)| match piece {
            Piece::Bend { radius, .. } => {
                Some(Bent { from: *start, to: start + long, radius: *radius })
            }
            Piece::Straight { .. } => None,
        };
        self.pieces.iter().filter_map(bend).collect()
    }

    /// The place so far along it.
    pub(super) fn at(&self, along: f64) -> Spot {
        let last = self.pieces.iter().rposition(|p| p.0 <= along).unwrap_or(0);
        self.pieces.get(last).map_or(Spot::at(0.0, 0.0), |(start, long, _, piece)| {
            piece.at((along - start).clamp(0.0, *long))
        })
    }

    /// The whole way as straight strokes.
    pub(super) fn strokes(&self) -> Vec<Stroke> {
        let mut all = Vec::with_capacity(self.pieces.len());
        for (start, long, leg, piece) in &self.pieces {
            let parts: u8 = match piece {
                Piece::Straight { .. } => 1,
                Piece::Bend { turn, radius, .. } => {
                    let stroke = STROKE.min((8.0 * SAG_MM / radius.max(1.0)).sqrt());
                    (1..=200).find(|n| turn.abs() <= f64::from(*n) * stroke).unwrap_or(200)
                }
            };
            for n in 0..parts {
                let part = |n: u8| long * f64::from(n) / f64::from(parts);
                let (a, b) = (part(n), part(n + 1));
                all.push(Stroke {
                    from: piece.at(a),
                    to: piece.at(b),
                    along: [start + a, start + b],
                    leg: *leg,
                });
            }
        }
        all
    }
}

impl Piece {
    fn at(&self, along: f64) -> Spot {
        match self {
            Self::Straight { from, way } => {
                Spot::at(from.x + along * way.x, from.y + along * way.y)
            }
            Self::Bend { from, way, radius, turn } => {
                let part = along / radius;
                let (on, aside) = (radius * number::sin(part), radius * (1.0 - number::cos(part)));
                let aside = if *turn < 0.0 { -aside } else { aside };
                Spot::at(from.x + on * way.x - aside * way.y, from.y + on * way.y + aside * way.x)
            }
        }
    }
}

fn unit(a: Spot, b: Spot) -> Spot {
    let long = a.apart(b).max(path::SAME_MM);
    Spot::at((b.x - a.x) / long, (b.y - a.y) / long)
}

fn turn_at(a: Spot, corner: Spot, b: Spot) -> f64 {
    super::profile::turn((corner.x - a.x, corner.y - a.y), (b.x - corner.x, b.y - corner.y))
}

impl Stroke {
    /// Where along the way it runs over a rectangle; `None` where it does not.
    pub(super) fn over(&self, low: Spot, high: Spot) -> Option<(f64, f64)> {
        let (from, to) = taut::shares_over(self.from, self.to, [low, high])?;
        let along = |share: f64| self.along[0] + share * (self.along[1] - self.along[0]);
        Some((along(from), along(to)))
    }

    /// Whether it may come as near as that to anything between two corners; quick, and never wrongly no.
    pub(super) fn may_reach(&self, [low, high]: [Spot; 2], near: f64) -> bool {
        let beside =
            |a: f64, b: f64, low: f64, high: f64| a.max(b) + near < low || high + near < a.min(b);
        !beside(self.from.x, self.to.x, low.x, high.x)
            && !beside(self.from.y, self.to.y, low.y, high.y)
    }

    /// Where along the way a ball about a place lies on it, and its radius there; `None` where it does
    /// not reach so far.
    pub(super) fn near(&self, place: Spot, ball: f64) -> Option<(f64, f64)> {
        let way = unit(self.from, self.to);
        let off = Spot::at(place.x - self.from.x, place.y - self.from.y);
        let foot = (off.x * way.x + off.y * way.y).clamp(0.0, self.along[1] - self.along[0]);
        let nearest = Spot::at(self.from.x + foot * way.x, self.from.y + foot * way.y);
        let aside = nearest.apart(place);
        let square = ball * ball - aside * aside;
        (0.0 < square).then(|| (self.along[0] + foot, square.sqrt()))
    }
}

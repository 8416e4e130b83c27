//! The shortest path of a bent cable on the plan, pulled taut round what it must keep clear of.
//!
//! A cable cannot turn on a post; it turns on a circle of its own bend radius that holds the post's
//! keep-out inside. Such a circle is called a wheel here. Where the string between two ends touches a
//! keep-out, it goes round it on the left or on the right: both are tried, the shorter first, until a
//! path is clear. Lengths are in mm.

mod hits;

use super::lain::Stretch;
use super::path::half_tangent;
use crate::number;
use hits::{Hit, lacking, on_wheel, within, worst};
use std::collections::BTreeSet;

/// Closer than this is a touch, not a clash.
pub(super) const TOUCH_MM: f64 = 0.01;

/// Clear paths priced before the search gives up: what none of the shortest has room for up or down,
/// the next has not either.
const PRICED: usize = 16;

/// No leg is shorter than this.
const LEG_MM: f64 = 1.0;

/// Wheels are moved until they move by less than this.
const SETTLED_MM: f64 = 0.001;

/// A place on the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub(super) x: f64,
    pub(super) y: f64,
}

impl Spot {
    pub(super) const fn at(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    fn plus(self, by: f64, along: Self) -> Self {
        Self { x: self.x + by * along.x, y: self.y + by * along.y }
    }

    fn minus(self, other: Self) -> Self {
        Self { x: self.x - other.x, y: self.y - other.y }
    }

    fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    fn long(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The way to the left of this way.
    const fn left(self) -> Self {
        Self { x: -self.y, y: self.x }
    }

    pub(super) fn apart(self, other: Self) -> f64 {
        other.minus(self).long()
    }
}

/// Between which shares of a straight piece it runs over a rectangle; `None` where it does not.
pub(super) fn shares_over(a: Spot, b: Spot, [low, high]: [Spot; 2]) -> Option<(f64, f64)> {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, end, low, high) in [(a.x, b.x, low.x, high.x), (a.y, b.y, low.y, high.y)] {
        let step = end - start;
        if step.abs() < 1e-9 {
            if start <= low || high <= start {
                return None;
            }
        } else {
            let (enter, leave) = ((low - start) / step, (high - start) / step);
            from = from.max(enter.min(leave));
            to = to.min(enter.max(leave));
        }
    }
    (from < to).then_some((from, to))
}

/// A round keep-out for the centre line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Keep {
    pub(super) centre: Spot,
    pub(super) radius: f64,
}

/// An upright body that the centre line keeps off by the same distance on all sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bar {
    pub(super) low: Spot,
    pub(super) high: Spot,
    pub(super) off: f64,
    /// A path may go over it or under it; what that costs is the price of the path.
    pub(super) crossable: bool,
    /// The only side on which a path can pass it, as of a wheel; `None` leaves both.
    pub(super) only: Option<f64>,
}

/// One end of the path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct End {
    pub(super) at: Spot,
    /// Straight part under the lug.
    pub(super) reach: f64,
    /// The way it must leave, as a unit vector; `None` leaves any way.
    pub(super) exit: Option<Spot>,
}

/// What a path has to mind.
#[derive(Clone, Debug)]
pub(super) struct Yard {
    pub(super) keeps: Vec<Keep>,
    pub(super) bars: Vec<Bar>,
    /// The path stays within these corners.
    pub(super) low: Spot,
    pub(super) high: Spot,
    /// Radius of the centre line of its tightest bend.
    pub(super) radius: f64,
    /// Paths looked at before the search gives up.
    pub(super) tries: usize,
}

/// A circle the cable turns on: anticlockwise where `side` is 1, clockwise where it is -1.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Wheel {
    keep: Keep,
    side: f64,
    centre: Spot,
    radius: f64,
}

/// A turn of the path: the corner where the straights on either side meet, and its radius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Corner {
    pub(super) at: Spot,
    pub(super) radius: f64,
}

/// A straight piece, or the turn on a wheel.
#[derive(Clone, Copy, Debug)]
enum Piece {
    Straight(Spot, Spot),
    Turn { on: Wheel, from: Spot, sweep: f64 },
}

struct Path {
    pieces: Vec<Piece>,
    long: f64,
}

/// What tells two guesses apart: keep-outs in order with their sides, and bodies crossed.
type Known = (Vec<(u64, u64, bool)>, Vec<usize>);

/// A guess at the path: its wheels, the bodies it goes over or under, its length.
struct Guess {
    long: f64,
    wheels: Vec<Wheel>,
    crossed: Vec<usize>,
    /// The corners of a clear path; `long` is its price then.
    done: Option<Vec<Corner>>,
}

/// The shortest clear path: its corners from end to end and its price; `None` when none was found.
///
/// The price of a path is never less than its length on the plan, so the first clear path that is
/// the cheapest of all guesses is the best of them. `look` hears of all that is looked at on the way.
pub(super) fn shortest(
    yard: &Yard,
    ends: [End; 2],
    price: &dyn Fn(&[Corner], f64) -> f64,
    look: &dyn Fn(Stretch),
) -> Option<(Vec<Corner>, f64)> {
    let first = first_guesses(yard, ends).into_iter();
    let mut open: Vec<Guess> = first
        .map(|(long, wheels)| Guess { long, wheels, crossed: Vec::new(), done: None })
        .collect();
    let mut seen: BTreeSet<Known> = BTreeSet::new();
    let mut priced = 0;
    for _ in 0..yard.tries {
        let least =
            (0..open.len()).reduce(|a, b| if open[b].long < open[a].long { b } else { a })?;
        let Guess { long, wheels, crossed, done } = open.swap_remove(least);
        if let Some(corners) = done {
            return Some((corners, long));
        }
        let Some((path, wheels)) = settle(ends, wheels) else {
            continue;
        };
        path.pieces.iter().for_each(|piece| look(piece.stretch()));
        let Some((n, hit)) = worst(yard, &path, &crossed) else {
            if within(yard, &path) {
                let corners = corners(ends, &path);
                let long = price(&corners, path.long);
                priced += 1;
                if long.is_finite() {
                    open.push(Guess { long, wheels, crossed, done: Some(corners) });
                } else if PRICED <= priced {
                    return None;
                }
            }
            continue;
        };
        let mut add = |wheels: Vec<Wheel>, crossed: Vec<usize>| {
            let key = (name(&wheels), crossed);
            let crossed = key.1.clone();
            if !seen.insert(key) {
                return;
            }
            if let Some((path, wheels)) = settle(ends, wheels) {
                open.push(Guess { long: path.long, wheels, crossed, done: None });
            }
        };
        for child in round(yard, ends, &path, &wheels, (n, hit)) {
            add(child, crossed.clone());
        }
        if let Hit::Bar(at) = hit
            && yard.bars[at].crossable
        {
            let mut more = crossed.clone();
            more.push(at);
            more.sort_unstable();
            add(wheels, more);
        }
    }
    None
}

/// What a path through corners lacks in all, and its length on the plan; bodies that may be crossed lack
/// nothing.
pub(super) fn measured(yard: &Yard, ends: [End; 2], corners: &[Corner]) -> (f64, f64) {
    let last = corners.len().saturating_sub(1);
    let mut pieces = Vec::with_capacity(2 * corners.len());
    let (mut long, mut lacks, mut left) = (0.0, 0.0, 0.0);
    let mut here = corners.first().map_or(Spot::at(0.0, 0.0), |c| c.at);
    for n in 1..=last {
        let (before, corner) = (corners[n - 1].at, corners[n]);
        let leg = before.apart(corner.at);
        let way = Spot::at(0.0, 0.0).plus(1.0 / leg.max(TOUCH_MM), corner.at.minus(before));
        let out = corners.get(n + 1).map_or(way, |next| next.at.minus(corner.at));
        let turn = number::atan2(way.cross(out), way.dot(out));
        let takes = corner.radius * half_tangent(turn);
        let straight = leg - left - takes;
        // Between two corners on one place no way has a direction.
        lacks += if leg < LEG_MM { LEG_MM } else { 0.0 };
        lacks += (straight_wanted(ends, last, n, way) - straight - TOUCH_MM).max(0.0);
        let to = here.plus(straight, way);
        pieces.push(Piece::Straight(here, to));
        long += straight.abs();
        here = to;
        if 1e-9 < turn.abs() && n < last {
            let side = turn.signum();
            let centre = to.plus(side * corner.radius, way.left());
            let keep = Keep { centre, radius: corner.radius };
            let on = Wheel { keep, side, centre, radius: corner.radius };
            pieces.push(Piece::Turn { on, from: way, sweep: turn.abs() });
            long += turn.abs() * corner.radius;
            here = on_wheel(&on, way, turn.abs());
        }
        left = takes;
    }
    let path = Path { pieces, long };
    (lacks + lacking(yard, &path), long)
}

/// The straight part that a leg needs beside the bends at its ends. Lugs of a lead that does not bend need
/// no more than its length.
fn straight_wanted(ends: [End; 2], last: usize, leg: usize, way: Spot) -> f64 {
    let mouth = |end: &End, way: Spot| {
        let goes = end.exit.is_none_or(|exit| 1.0 - 1e-9 <= exit.dot(way));
        if goes { end.reach } else { 1e6 }
    };
    let mut wanted = 0.0;
    if 1 < last && leg == 1 {
        wanted += mouth(&ends[0], way);
    }
    if 1 < last && leg == last {
        wanted += mouth(&ends[1], Spot::at(-way.x, -way.y));
    }
    wanted
}

/// Without a stated way out one guess is enough; each stated way is left by a turn to either side.
fn first_guesses(yard: &Yard, ends: [End; 2]) -> Vec<(f64, Vec<Wheel>)> {
    let mut guesses = vec![Vec::new()];
    for (n, end) in ends.iter().enumerate() {
        let Some(exit) = end.exit else {
            continue;
        };
        let mut more = Vec::new();
        for guess in &guesses {
            for side in [1.0, -1.0] {
                // Towards the end the cable comes in against the way it leaves.
                let along = if n == 0 { side } else { -side };
                let mouth = end.at.plus(end.reach, exit);
                let centre = mouth.plus(along * yard.radius, exit.left());
                let keep = Keep { centre, radius: yard.radius };
                let wheel = Wheel { keep, side, centre, radius: yard.radius };
                let mut longer: Vec<Wheel> = guess.clone();
                longer.push(wheel);
                more.push(longer);
            }
        }
        guesses = more;
    }
    guesses
        .into_iter()
        .filter_map(|wheels| settle(ends, wheels).map(|(path, wheels)| (path.long, wheels)))
        .collect()
}

/// What tells two guesses apart: which keep-outs, in which order, on which side.
fn name(wheels: &[Wheel]) -> Vec<(u64, u64, bool)> {
    wheels
        .iter()
        .map(|w| (w.keep.centre.x.to_bits(), w.keep.centre.y.to_bits(), 0.0 < w.side))
        .collect()
}

/// Moves every wheel to where the string pulls it, drops those the string does not touch, and lays
/// the path; `None` when the cable cannot follow it.
///
/// A string that comes in along u and leaves along v pulls a wheel along v - u, which points into the
/// turn; the keep-out inside the wheel stops it at the far side of that way.
fn settle(ends: [End; 2], mut wheels: Vec<Wheel>) -> Option<(Path, Vec<Wheel>)> {
    for _ in 0..24 {
        clear_ends(ends, &mut wheels)?;
        spread(&mut wheels);
        let ways = tangents(ends, &wheels)?;
        if let Some(loose) =
            (0..wheels.len()).find(|n| is_loose(&wheels[*n], ways[*n], ways[n + 1]))
        {
            // A stated way out stays; without it the cable would leave another way.
            if wheels[loose].radius <= wheels[loose].keep.radius + TOUCH_MM
                && (ends[0].exit.is_some() || ends[1].exit.is_some())
            {
                return None;
            }
            wheels.remove(loose);
            continue;
        }
        let mut moved = 0.0_f64;
        let last = wheels.len();
        for n in 0..last {
            let play = wheels[n].radius - wheels[n].keep.radius;
            if play <= 0.0 {
                continue;
            }
            let pull = ways[n + 1].minus(ways[n]);
            let pull = if pull.long() < 1e-9 {
                let left = ways[n].left();
                Spot::at(left.x * wheels[n].side, left.y * wheels[n].side)
            } else {
                pull
            };
            let wish = wheels[n].keep.centre.plus(play / pull.long(), pull);
            let wish = off_end(wish, &wheels[n], play, (n == 0).then_some(&ends[0]))?;
            let wish = off_end(wish, &wheels[n], play, (n + 1 == last).then_some(&ends[1]))?;
            moved = moved.max(wish.apart(wheels[n].centre));
            wheels[n].centre = wish;
        }
        if moved < SETTLED_MM {
            break;
        }
    }
    clear_ends(ends, &mut wheels)?;
    spread(&mut wheels);
    let path = laid(ends, &wheels)?;
    Some((path, wheels))
}

/// Moves the outer wheels off the ends; `None` where one cannot be moved far enough.
fn clear_ends(ends: [End; 2], wheels: &mut [Wheel]) -> Option<()> {
    let Some(last) = wheels.len().checked_sub(1) else {
        return Some(());
    };
    for (n, end) in [(0, &ends[0]), (last, &ends[1])] {
        let wheel = wheels[n];
        let play = wheel.radius - wheel.keep.radius;
        if 0.0 < play {
            wheels[n].centre = off_end(wheel.centre, &wheel, play, Some(end))?;
        }
    }
    Some(())
}

/// Keeps a wheel far enough from an end for the straight part under the lug.
fn off_end(wish: Spot, wheel: &Wheel, play: f64, end: Option<&End>) -> Option<Spot> {
    let Some(end) = end else {
        return Some(wish);
    };
    let far = number::hypot(wheel.radius, end.reach);
    if far <= wish.apart(end.at) {
        return Some(wish);
    }
    // Where the circle of that distance about the end meets the circle the wheel may move on.
    let way = wheel.keep.centre.minus(end.at);
    let apart = way.long();
    if apart < TOUCH_MM || apart + play < far {
        return None;
    }
    let along = (far * far - play * play + apart * apart) / (2.0 * apart);
    let aside = (far * far - along * along).max(0.0).sqrt();
    let unit = Spot::at(way.x / apart, way.y / apart);
    let foot = end.at.plus(along, unit);
    let both = [foot.plus(aside, unit.left()), foot.plus(-aside, unit.left())];
    Some(if wish.apart(both[0]) <= wish.apart(both[1]) { both[0] } else { both[1] })
}

/// Pushes two wheels apart that turn opposite ways and lie too close for a straight between them.
fn spread(wheels: &mut [Wheel]) {
    for n in 1..wheels.len() {
        let (a, b) = (wheels[n - 1], wheels[n]);
        let need = a.radius + b.radius - a.centre.apart(b.centre);
        if 0.0 <= a.side * b.side || need <= 0.0 {
            continue;
        }
        let way = b.centre.minus(a.centre);
        let unit = Spot::at(way.x / way.long().max(TOUCH_MM), way.y / way.long().max(TOUCH_MM));
        wheels[n - 1].centre = kept(&a, a.centre.plus(-need / 2.0 - TOUCH_MM, unit));
        let still = a.radius + b.radius - wheels[n - 1].centre.apart(b.centre) + TOUCH_MM;
        wheels[n].centre = kept(&b, b.centre.plus(still.max(0.0), unit));
    }
}

/// The nearest centre to a wish at which the wheel still holds its keep-out.
fn kept(wheel: &Wheel, wish: Spot) -> Spot {
    let play = (wheel.radius - wheel.keep.radius).max(0.0);
    let off = wish.minus(wheel.keep.centre);
    let long = off.long();
    if long <= play { wish } else { wheel.keep.centre.plus(play / long.max(TOUCH_MM), off) }
}

/// The way of each straight piece, from the first end over the wheels to the last.
///
/// # Formula
/// t = sqrt(|D|^2 - k^2), k = s2 r2 - s1 r1; u = D (t - i k) / |D|^2, as complex numbers
/// # Symbols
/// - `wheels`: D, from one centre to the next [mm]; r, radius [mm]; s, side, 1 or -1
/// - t, length of the straight piece [mm]
/// - returns u, unit vector along each piece; `None` where two wheels lie in one another
/// # Valid
/// Circles outside one another where the sides differ; an end is a circle of no radius.
/// # Source
/// physics, the common tangent of two circles, computed
/// # Checked by
/// the hand-worked half turn in the tests of this file.
fn tangents(ends: [End; 2], wheels: &[Wheel]) -> Option<Vec<Spot>> {
    let point = |at| (at, 0.0);
    let circle = |w: &Wheel| (w.centre, w.side * w.radius);
    let mut before = point(ends[0].at);
    let mut ways = Vec::with_capacity(wheels.len() + 1);
    for next in wheels.iter().map(circle).chain([point(ends[1].at)]) {
        let d = next.0.minus(before.0);
        let k = next.1 - before.1;
        let square = d.dot(d);
        let t = square - k * k;
        if t < 0.0 || square <= 0.0 {
            return None;
        }
        let t = t.sqrt();
        ways.push(Spot::at((d.x * t + d.y * k) / square, (d.y * t - d.x * k) / square));
        before = next;
    }
    Some(ways)
}

/// How far the path turns on a wheel, from nothing to a whole turn.
fn sweep(wheel: &Wheel, way_in: Spot, way_out: Spot) -> f64 {
    let turn = number::atan2(way_in.cross(way_out), way_in.dot(way_out)) * wheel.side;
    if turn < -1e-9 { turn + std::f64::consts::TAU } else { turn.max(0.0) }
}

/// A string that would have to go nearly round a wheel does not touch it.
fn is_loose(wheel: &Wheel, way_in: Spot, way_out: Spot) -> bool {
    let turn = way_in.cross(way_out) * wheel.side;
    // Turning against its side by less than a right angle.
    turn < -1e-9 && 0.0 < way_in.dot(way_out)
}

/// The pieces of the path; `None` where a lug has no straight part.
fn laid(ends: [End; 2], wheels: &[Wheel]) -> Option<Path> {
    let ways = tangents(ends, wheels)?;
    let mut pieces = Vec::with_capacity(2 * wheels.len() + 1);
    let mut long = 0.0;
    let mut here = ends[0].at;
    // The point where a way touches a wheel lies to its right where the wheel turns left.
    let touch = |w: &Wheel, way: Spot| w.centre.plus(-w.side * w.radius, way.left());
    for (n, wheel) in wheels.iter().enumerate() {
        let to = touch(wheel, ways[n]);
        long += here.apart(to);
        pieces.push(Piece::Straight(here, to));
        let turn = sweep(wheel, ways[n], ways[n + 1]);
        long += turn * wheel.radius;
        pieces.push(Piece::Turn { on: *wheel, from: ways[n], sweep: turn });
        here = touch(wheel, ways[n + 1]);
    }
    long += here.apart(ends[1].at);
    pieces.push(Piece::Straight(here, ends[1].at));
    let straight = |piece: &Piece| match piece {
        Piece::Straight(a, b) => a.apart(*b),
        Piece::Turn { .. } => 0.0,
    };
    let short = |piece: Option<&Piece>, reach: f64| {
        !wheels.is_empty() && piece.map_or(0.0, straight) + TOUCH_MM < reach
    };
    let bent_too_far =
        pieces.iter().any(|p| matches!(p, Piece::Turn { sweep, .. } if 4.8 < *sweep));
    let lacks =
        short(pieces.first(), ends[0].reach) || short(pieces.last(), ends[1].reach) || bent_too_far;
    (!lacks).then_some(Path { pieces, long })
}

/// Both ways round what a piece runs into, as longer lists of wheels.
fn round(
    yard: &Yard,
    ends: [End; 2],
    path: &Path,
    wheels: &[Wheel],
    (piece, hit): (usize, Hit),
) -> Vec<Vec<Wheel>> {
    let (a, b) = match path.pieces[piece] {
        Piece::Straight(a, b) => (a, b),
        Piece::Turn { on, from, sweep } => (on_wheel(&on, from, 0.0), on_wheel(&on, from, sweep)),
    };
    let way = if a.apart(b) < TOUCH_MM { ends[1].at.minus(ends[0].at) } else { b.minus(a) };
    // Pieces are straight, turn, straight and so on: a straight stands between two wheels.
    let places = if piece % 2 == 0 { vec![piece / 2] } else { vec![piece / 2, piece / 2 + 1] };
    let mut children = Vec::new();
    for side in [1.0_f64, -1.0] {
        let keep = match hit {
            Hit::Keep(keep) => keep,
            Hit::Bar(at) => {
                let bar = yard.bars[at];
                if bar.only.is_some_and(|only| only * side < 0.0) {
                    continue;
                }
                // Turning left, the body lies to the left: its rightmost corner holds the string.
                let right = |p: &Spot| -side * way.left().dot(*p);
                let corner = bar.corners().into_iter();
                let best = corner.reduce(|p, q| if right(&p) < right(&q) { q } else { p });
                Keep { centre: best.unwrap_or(bar.low), radius: bar.off }
            }
        };
        for place in &places {
            let is_same = |w: &Wheel| w.keep == keep;
            let beside = [place.checked_sub(1), Some(*place)];
            if beside.into_iter().flatten().any(|n| wheels.get(n).is_some_and(is_same)) {
                continue;
            }
            let radius = yard.radius.max(keep.radius);
            let long = way.long().max(TOUCH_MM);
            let inside = side * (radius - keep.radius) / long;
            let centre = keep.centre.plus(inside, way.left());
            let mut child = wheels.to_vec();
            child.insert((*place).min(wheels.len()), Wheel { keep, side, centre, radius });
            children.push(child);
        }
    }
    children
}

/// Corners of the path from end to end; a long turn gets several, so that every corner is blunt.
fn corners(ends: [End; 2], path: &Path) -> Vec<Corner> {
    const BLUNT: f64 = std::f64::consts::FRAC_PI_2;
    let mut all = vec![Corner { at: ends[0].at, radius: 0.0 }];
    for piece in &path.pieces {
        let Piece::Turn { on, from, sweep } = piece else {
            continue;
        };
        if *sweep < 1e-6 {
            continue;
        }
        let parts: u8 = (1..=4).find(|n| *sweep <= f64::from(*n) * BLUNT + 1e-9).unwrap_or(4);
        let each = sweep / f64::from(parts);
        let tangent = on.radius * half_tangent(each);
        for n in 0..parts {
            let turn = each * f64::from(n);
            let at = on_wheel(on, *from, turn);
            let (sin, cos) = (number::sin(turn * on.side), number::cos(turn));
            let way = Spot::at(from.x * cos - from.y * sin, from.x * sin + from.y * cos);
            all.push(Corner { at: at.plus(tangent, way), radius: on.radius });
        }
    }
    all.push(Corner { at: ends[1].at, radius: 0.0 });
    all
}

#[cfg(test)]
mod tests;

//! A way sought over a grid in space, for a lead that cannot be pulled taut or only far round.
//!
//! The box is cut into cells; the cheapest chain of open cells from stud to stud shows through which gaps
//! a cable may go. What can be seen past is left out, and what is left on the plan is a guess for
//! `shortened` to judge and to better. Lengths are in mm.

mod room;

use super::profile::{self, Step};
use super::shortened::Wire;
use super::taut::{Corner, Spot};
pub(super) use room::{Ball, Room, Solid, Stud};
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::f64::consts::SQRT_2;

/// Side of a cell.
const CELL_MM: f64 = 8.0;

/// A line of sight is looked at in places so far apart.
const LOOK_MM: f64 = 4.0;

/// Beside its own studs a lead starts where it must: no further clearance is asked there.
const BESIDE_MM: f64 = 40.0;

/// The most that any search keeps off beyond what it must.
const MOST_MORE_MM: f64 = 40.0;

/// How searches keep off more than they must, so that bends find room.
pub(super) const CARES: [Care; 12] = [
    Care { more: 0.0, level: 0.0 },
    Care { more: 4.0, level: 40.0 },
    Care { more: 9.0, level: 10.0 },
    Care { more: 16.0, level: 50.0 },
    Care { more: 0.0, level: 20.0 },
    Care { more: 4.0, level: 0.0 },
    Care { more: 16.0, level: 0.0 },
    Care { more: 28.0, level: 10.0 },
    Care { more: 22.0, level: 30.0 },
    Care { more: 28.0, level: 60.0 },
    Care { more: MOST_MORE_MM, level: 10.0 },
    Care { more: MOST_MORE_MM, level: 40.0 },
];

/// A place in space, in mm.
pub(super) type Place = [f64; 3];

/// What a search asks beyond what it must: off everything, and level beyond the mouths of the lugs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Care {
    pub(super) more: f64,
    pub(super) level: f64,
}

impl Care {
    /// Whether another keeps off at least as much everywhere.
    pub(super) fn is_within(self, other: Self) -> bool {
        self.more <= other.more && self.level <= other.level
    }
}

/// A cell by its numbers along the three sides.
type At = [i32; 3];

/// The cells of one search.
struct Grid<'a> {
    room: &'a Room,
    care: Care,
    low: Place,
    cells: At,
}

/// What is known of a cell: the length to it, the cell before it, and whether it is open.
#[derive(Clone, Copy)]
struct Known {
    gone: f32,
    from: u32,
    open: Option<bool>,
}

/// The cheapest way of no more than a length that is found with so much care, with bends of a radius, and
/// its length with sharp corners.
pub(super) fn way(room: &Room, care: Care, most: f64, radius: f64) -> Option<(Wire, f64)> {
    let grid = Grid::of(room, care, most);
    let places = grid.smoothed(&grid.cheapest(most)?);
    let long = places.windows(2).map(|p| apart(p[0], p[1])).sum();
    let spot = |p: &Place| Spot::at(p[0], p[1]);
    let mut alongs = vec![0.0];
    for pair in places.windows(2) {
        alongs.push(alongs[alongs.len() - 1] + spot(&pair[0]).apart(spot(&pair[1])));
    }
    let whole = alongs[alongs.len() - 1].max(1.0);
    let last = places.len() - 1;
    let ends = room.ends.map(|e| e.at[2]);
    let step = |along: f64, height| Step { along: along / whole, height, radius };
    let mut bends = vec![step((room.ends[0].reach + radius / 2.0).min(whole * 0.45), ends[0])];
    for n in 1..last {
        bends.push(step(alongs[n], places[n][2]));
    }
    bends.push(step((whole - room.ends[1].reach - radius / 2.0).max(whole * 0.55), ends[1]));
    let before = |a: &Step, b: &Step| a.along < b.along;
    let (first, end) = (bends[0], bends[bends.len() - 1]);
    bends.retain(|b| *b == first || *b == end || before(&first, b) && before(b, &end));
    let mut plan: Vec<Spot> = places.iter().map(spot).collect();
    let last = plan.pop()?;
    plan.dedup_by(|b, a| a.apart(*b) < 1.0);
    plan.push(last);
    // What only rises has no corner on the plan.
    thinned(&mut plan, |s| (s.x, s.y));
    thinned(&mut bends, |s| (s.along * whole, s.height));
    let inner = |n: usize| if 0 < n && n + 1 < plan.len() { radius } else { 0.0 };
    let corner = |(n, at): (usize, &Spot)| Corner { at: *at, radius: inner(n) };
    let corners = plan.iter().enumerate().map(corner).collect();
    Some((Wire { corners, bends }, long))
}

/// Leaves out corners at which nothing turns.
fn thinned<T>(all: &mut Vec<T>, place: impl Fn(&T) -> (f64, f64)) {
    let mut n = 1;
    while n + 1 < all.len() {
        let (a, b, c) = (place(&all[n - 1]), place(&all[n]), place(&all[n + 1]));
        if profile::turn((b.0 - a.0, b.1 - a.1), (c.0 - b.0, c.1 - b.1)).abs() < 1e-3 {
            all.remove(n);
        } else {
            n += 1;
        }
    }
}

pub(super) fn apart(a: Place, b: Place) -> f64 {
    let by = [0, 1, 2].map(|n| a[n] - b[n]);
    (by[0] * by[0] + by[1] * by[1] + by[2] * by[2]).sqrt()
}

impl<'a> Grid<'a> {
    /// A layer of cells lies at the height of the first end. Nothing further out than a way of that length
    /// can reach is looked at.
    fn of(room: &'a Room, care: Care, most: f64) -> Self {
        let [start, end] = room.ends.map(|e| e.at);
        let straight = apart(start, end);
        let out = (most * most - straight * straight).max(0.0).sqrt() / 2.0 + CELL_MM;
        let least = [0, 1, 2].map(|n| room.low[n].max(start[n].min(end[n]) - out));
        let high = [0, 1, 2].map(|n| room.high[n].min(start[n].max(end[n]) + out));
        let below = ((start[2] - least[2]) / CELL_MM).floor();
        let low = [least[0], least[1], start[2] - below * CELL_MM];
        let cells = [0, 1, 2].map(|n| whole((high[n] - low[n]) / CELL_MM) + 1);
        Self { room, care, low, cells }
    }

    fn at(&self, cell: At) -> Place {
        [0, 1, 2].map(|n| self.low[n] + f64::from(cell[n]) * CELL_MM)
    }

    fn cell(&self, p: Place) -> At {
        [0, 1, 2].map(|n| whole((p[n] - self.low[n]) / CELL_MM + 0.5).min(self.cells[n] - 1))
    }

    fn index(&self, cell: At) -> usize {
        let [x, y, z] = cell;
        ((z * self.cells[1] + y) * self.cells[0] + x) as usize
    }

    /// The chain of open cells from end to end; `None` where none is within that length.
    fn cheapest(&self, most: f64) -> Option<Vec<Place>> {
        let ends = self.room.ends.map(|e| e.at);
        let (start, goal) = (self.cell(ends[0]), self.cell(ends[1]));
        let all = self.index(self.cells.map(|n| n - 1)) + 1;
        let mut known = vec![Known { gone: f32::INFINITY, from: u32::MAX, open: None }; all];
        let mut open = BinaryHeap::new();
        known[self.index(start)].gone = 0.0;
        open.push((Reverse(0_i64), 0_i64, start));
        while let Some((_, gone, cell)) = open.pop() {
            let gone = mm(gone);
            if cell == goal {
                return Some(self.chain(&known, start, goal));
            }
            if f64::from(known[self.index(cell)].gone) + 0.01 < gone {
                continue;
            }
            for (by, long) in NEIGHBOURS {
                let next = [0, 1, 2].map(|n| cell[n] + by[n]);
                if (0..3).any(|n| next[n] < 0 || self.cells[n] <= next[n]) {
                    continue;
                }
                let to = self.index(next);
                let gone = gone + long * CELL_MM;
                if f64::from(known[to].gone) <= gone + 0.01 {
                    continue;
                }
                let place = self.at(next);
                let is_open = match known[to].open {
                    Some(is_open) => is_open,
                    None => {
                        let is_open = next == goal
                            || self.room.is_open(place, self.care)
                                && apart(place, ends[0]) + apart(place, ends[1]) <= most;
                        known[to].open = Some(is_open);
                        is_open
                    }
                };
                if is_open {
                    #[expect(clippy::cast_possible_truncation, reason = "a hundredth is enough")]
                    let short = gone as f32;
                    known[to].gone = short;
                    known[to].from = u32::try_from(self.index(cell)).ok()?;
                    open.push((Reverse(micro(gone + still(next, goal))), micro(gone), next));
                }
            }
        }
        None
    }

    fn chain(&self, known: &[Known], start: At, goal: At) -> Vec<Place> {
        let ends = self.room.ends.map(|e| e.at);
        let mut way = vec![ends[1]];
        let mut here = known[self.index(goal)].from as usize;
        let start = self.index(start);
        while here != start && here < known.len() {
            let (across, deep) = (self.cells[0] as usize, self.cells[1] as usize);
            let cell = [here % across, here / across % deep, here / across / deep];
            way.push(self.at(cell.map(|n| i32::try_from(n).unwrap_or(0))));
            here = known[here].from as usize;
        }
        way.push(ends[0]);
        way.reverse();
        way
    }

    fn sees(&self, a: Place, b: Place) -> bool {
        let steps = (apart(a, b) / LOOK_MM).ceil().max(1.0);
        let mut n = 1.0;
        while n < steps {
            let p = [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * n / steps);
            if !self.room.is_open(p, self.care) {
                return false;
            }
            n += 1.0;
        }
        true
    }

    /// From corner to the furthest that is seen from it.
    fn smoothed(&self, way: &[Place]) -> Vec<Place> {
        let mut kept = vec![way[0]];
        let mut here = 0;
        while here + 1 < way.len() {
            let next = (here + 2..way.len()).rev().find(|n| self.sees(way[here], way[*n]));
            here = next.unwrap_or(here + 1);
            kept.push(way[here]);
        }
        kept
    }
}

/// From a corner of a cell to the furthest, in sides.
const SQRT_3: f64 = 1.732_050_807_568_877_2;

/// Steps to the cells round one, with their lengths in cells.
const NEIGHBOURS: [([i32; 3], f64); 26] = neighbours();

const fn neighbours() -> [([i32; 3], f64); 26] {
    const LONG: [f64; 4] = [0.0, 1.0, SQRT_2, SQRT_3];
    let mut all = [([0; 3], 0.0); 26];
    let (mut cell, mut n) = (0, 0);
    while cell < 27 {
        let by = [cell % 3 - 1, cell / 3 % 3 - 1, cell / 9 - 1];
        let sides = by[0] * by[0] + by[1] * by[1] + by[2] * by[2];
        if 0 < sides {
            all[n] = (by, LONG[sides as usize]);
            n += 1;
        }
        cell += 1;
    }
    all
}

/// The least length over open cells between two.
fn still(a: At, b: At) -> f64 {
    let mut by = [0, 1, 2].map(|n| f64::from((a[n] - b[n]).abs()));
    by.sort_by(f64::total_cmp);
    let [least, middle, most] = by;
    ((most - middle) + (middle - least) * SQRT_2 + least * SQRT_3) * CELL_MM
}

#[expect(clippy::cast_possible_truncation, reason = "a lead is less than a kilometre long")]
fn micro(mm: f64) -> i64 {
    (mm * 1000.0) as i64
}

#[expect(clippy::cast_precision_loss, reason = "a lead is less than a kilometre long")]
fn mm(micro: i64) -> f64 {
    micro as f64 / 1000.0
}

#[expect(clippy::cast_possible_truncation, reason = "bounded just before")]
fn whole(value: f64) -> i32 {
    value.floor().clamp(0.0, 1e4) as i32
}

#[cfg(test)]
mod tests;

//! The shortest way that a search over a grid in space finds.

use super::ground::Ground;
use super::{Place, apart, count, flat, plan, whole};
use engine::number;
use std::collections::BinaryHeap;

/// Straight parts at either end of a lead: to the mouths of its lugs, and what it keeps straight where it
/// bends at all.
#[derive(Clone, Copy)]
pub(crate) struct Reach {
    pub(crate) mouths: [f64; 2],
    pub(crate) bent: [f64; 2],
}

/// A grid in space for one lead.
struct Grid<'a> {
    ground: &'a Ground,
    low: Place,
    cells: [usize; 3],
    lacks: Vec<f32>,
    /// Straight part of either lug.
    reach: [f64; 2],
}

const CELL: f64 = 7.0;

/// How a search keeps more off than it must: off everything, and level beyond the mouths of the lugs.
#[derive(Clone, Copy)]
struct Care {
    more: f64,
    level: f64,
}

impl<'a> Grid<'a> {
    fn of(ground: &'a Ground, reach: [f64; 2]) -> Self {
        let ends = ground.ends;
        let span = |n: usize, f: fn(f64, f64) -> f64| f(ends[0][n], ends[1][n]);
        let walls = ground.walls.unwrap_or([
            span(0, f64::min) - 300.0,
            span(1, f64::min) - 300.0,
            span(0, f64::max) + 300.0,
            span(1, f64::max) + 300.0,
        ]);
        let top = ground.boxes.iter().map(|b| b.1[2]).filter(|z| *z < 1e3).fold(0.0, f64::max);
        let most = span(2, f64::max).max(top + ground.half + CELL) + CELL;
        let high = most.min(ground.levels[1]);
        // A layer of the grid lies at the height of the first end.
        let below =
            ((ends[0][2] - (span(2, f64::min) - 80.0).max(ground.levels[0])) / CELL).floor();
        let low = [walls[0], walls[1], ends[0][2] - below.max(0.0) * CELL];
        let cells = [
            whole(((walls[2] - walls[0]) / CELL).floor()) + 1,
            whole(((walls[3] - walls[1]) / CELL).floor()) + 1,
            whole(((high - low[2]).max(0.0) / CELL).floor()) + 1,
        ];
        let mut grid = Self { ground, low, cells, lacks: Vec::new(), reach };
        let all = cells[0] * cells[1] * cells[2];
        #[expect(clippy::cast_possible_truncation, reason = "a tenth of a millimetre is enough")]
        let short = |v: f64| v as f32;
        grid.lacks = (0..all).map(|c| short(ground.lacks_alone(grid.at(c)))).collect();
        for (at, keep) in &ground.leads {
            grid.stamp(*at, *keep);
        }
        grid
    }

    /// Marks what a place of another lead takes.
    fn stamp(&mut self, at: Place, keep: f64) {
        let far = keep + 30.0;
        let range = |n: usize| {
            let low = ((at[n] - far - self.low[n]) / CELL).ceil().max(0.0);
            let high = ((at[n] + far - self.low[n]) / CELL).floor().max(-1.0) + 1.0;
            whole(low)..whole(high).min(self.cells[n])
        };
        let (xs, ys, zs) = (range(0), range(1), range(2));
        for z in zs {
            for y in ys.clone() {
                for x in xs.clone() {
                    let cell = (z * self.cells[1] + y) * self.cells[0] + x;
                    #[expect(clippy::cast_possible_truncation, reason = "as in `of`")]
                    let by = (keep - apart(at, self.at(cell))) as f32;
                    self.lacks[cell] = self.lacks[cell].max(by);
                }
            }
        }
    }

    fn at(&self, cell: usize) -> Place {
        let (x, yz) = (cell % self.cells[0], cell / self.cells[0]);
        let (y, z) = (yz % self.cells[1], yz / self.cells[1]);
        [
            self.low[0] + count(x) * CELL,
            self.low[1] + count(y) * CELL,
            self.low[2] + count(z) * CELL,
        ]
    }

    fn cell(&self, p: Place) -> usize {
        let n =
            |k: usize| whole(((p[k] - self.low[k]) / CELL).round().max(0.0)).min(self.cells[k] - 1);
        (n(2) * self.cells[1] + n(1)) * self.cells[0] + n(0)
    }

    /// Whether a place with that lack is open: level beside the studs, and off everything by more.
    fn open(&self, p: Place, lacks: f64, care: Care) -> bool {
        let mut more = care.more;
        for (end, reach) in self.ground.ends.iter().zip(self.reach) {
            let off = flat(plan(*end), plan(p));
            if off < reach + care.level && CELL * 0.51 < (end[2] - p[2]).abs() {
                return false;
            }
            // Beside its own studs a lead starts where it must.
            if off < 40.0 {
                more = 0.0;
            }
        }
        lacks + more < 0.05
    }

    /// The shortest way from cell to cell over its twenty-six neighbours, smoothed.
    fn way(&self, care: Care) -> Option<Vec<Place>> {
        let ends = self.ground.ends;
        let (start, goal) = (self.cell(ends[0]), self.cell(ends[1]));
        let all = self.lacks.len();
        let mut best = vec![f32::INFINITY; all];
        let mut from = vec![u32::MAX; all];
        let mut open = BinaryHeap::new();
        best[start] = 0.0;
        // A heap of whole micrometres, least first; the way still to go steers it.
        let key = |mm: f64| std::cmp::Reverse(whole(mm * 1000.0));
        open.push((key(apart(self.at(start), ends[1])), start));
        while let Some((std::cmp::Reverse(known), cell)) = open.pop() {
            if cell == goal {
                break;
            }
            let here = self.at(cell);
            let gone = f64::from(best[cell]);
            if whole((gone + apart(here, ends[1])) * 1000.0) + 100 < known {
                continue;
            }
            for next in self.neighbours(cell) {
                let there = self.at(next);
                let long = gone + apart(here, there);
                if long + 1e-3 < f64::from(best[next])
                    && (next == goal || self.open(there, f64::from(self.lacks[next]), care))
                {
                    #[expect(clippy::cast_possible_truncation, reason = "as in `of`")]
                    let short = long as f32;
                    best[next] = short;
                    from[next] = u32::try_from(cell).expect("a small grid");
                    open.push((key(long + apart(there, ends[1])), next));
                }
            }
        }
        if !best[goal].is_finite() {
            return None;
        }
        let mut way = vec![ends[1]];
        let mut cell = goal;
        while cell != start {
            cell = usize::try_from(from[cell]).expect("a cell");
            way.push(self.at(cell));
        }
        way.pop();
        way.push(ends[0]);
        way.reverse();
        Some(self.smoothed(&way, care))
    }

    fn neighbours(&self, cell: usize) -> impl Iterator<Item = usize> + use<> {
        let cells = self.cells;
        let (x, yz) = (cell % cells[0], cell / cells[0]);
        let (y, z) = (yz % cells[1], yz / cells[1]);
        let near = |n: usize, most: usize| n.saturating_sub(1)..=(n + 1).min(most - 1);
        let (xs, ys) = (near(x, cells[0]), near(y, cells[1]));
        near(z, cells[2])
            .flat_map(move |c| {
                let xs = xs.clone();
                ys.clone().flat_map(move |b| xs.clone().map(move |a| (a, b, c)))
            })
            .map(move |(a, b, c)| (c * cells[1] + b) * cells[0] + a)
            .filter(move |n| *n != cell)
    }

    fn sees(&self, a: Place, b: Place, care: Care) -> bool {
        let steps = (apart(a, b) / 3.0).ceil().max(1.0);
        let mut n = 1.0;
        while n < steps {
            let p = [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * n / steps);
            if !self.open(p, self.ground.lacks(p), care) {
                return false;
            }
            n += 1.0;
        }
        true
    }

    /// Any-angle smoothing: the furthest corner that is seen is taken next; then level ends.
    fn smoothed(&self, way: &[Place], care: Care) -> Vec<Place> {
        let mut kept = vec![way[0]];
        let mut here = 0;
        while here + 1 < way.len() {
            let next = (here + 2..way.len()).rev().find(|n| self.sees(way[here], way[*n], care));
            here = next.unwrap_or(here + 1);
            kept.push(way[here]);
        }
        for end in 0..2 {
            let long = kept.len();
            let (stud, next) =
                if end == 0 { (kept[0], kept[1]) } else { (kept[long - 1], kept[long - 2]) };
            let off = flat(plan(stud), plan(next));
            if (stud[2] - next[2]).abs() < 0.01 || off < 1.0 {
                continue;
            }
            let share = ((self.reach[end] + care.level) / off).min(1.0);
            let level = [
                stud[0] + (next[0] - stud[0]) * share,
                stud[1] + (next[1] - stud[1]) * share,
                stud[2],
            ];
            let at = if end == 0 { 1 } else { long - 1 };
            if share < 1.0 {
                kept.insert(at, level);
            } else {
                kept[if end == 0 { 1 } else { long - 2 }][2] = stud[2];
            }
        }
        kept
    }
}

/// Length of a path with its corners rounded; `None` where a corner or a lug has no room or the
/// rounded path comes too near something.
fn rounded(path: &[Place], radius: f64, reach: Reach, ground: &Ground) -> Option<f64> {
    let way = |n: usize| {
        let long = apart(path[n], path[n + 1]).max(1e-9);
        [0, 1, 2].map(|k| (path[n + 1][k] - path[n][k]) / long)
    };
    let dot = |a: Place, b: Place| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let last = path.len() - 2;
    let turns: Vec<f64> = (0..last)
        .map(|n| {
            let cos = dot(way(n), way(n + 1)).clamp(-1.0, 1.0);
            number::atan2((1.0 - cos * cos).sqrt(), cos)
        })
        .collect();
    let takes: Vec<f64> = turns
        .iter()
        .map(|t| radius * number::sin(t / 2.0) / number::cos(t / 2.0).max(1e-6))
        .collect();
    let ends = if last == 0 { reach.mouths } else { reach.bent };
    let mut long = 0.0;
    for n in 0..=last {
        let before = if n == 0 { ends[0] } else { takes[n - 1] };
        let after = if n == last { ends[1] } else { takes[n] };
        let leg = apart(path[n], path[n + 1]);
        // A straight lead is a little longer than its way and bows.
        let bow = if last == 0 { 4.0 * ground.half } else { 0.0 };
        if leg + bow + 1e-6 < before + after {
            return None;
        }
        let end = |n: usize| (path[n][2] - path[n + 1][2]).abs() < 0.02;
        if 0 < last && (n == 0 || n == last) && !end(n) {
            return None;
        }
        long += leg;
        let (from, to) =
            (if n == 0 { 0.0 } else { takes[n - 1] }, if n == last { 0.0 } else { takes[n] });
        let mut s = from;
        while s <= leg - to {
            if 0.02 < ground.lacks([0, 1, 2].map(|k| path[n][k] + way(n)[k] * s)) {
                return None;
            }
            s += 1.0;
        }
        if n < last {
            long -= 2.0 * takes[n] - radius * turns[n];
            let (u, v) = (way(n), way(n + 1));
            let sin = number::sin(turns[n]).max(1e-9);
            let aside = [0, 1, 2].map(|k| (v[k] - u[k] * number::cos(turns[n])) / sin);
            let mut a = 0.0;
            while a < turns[n] {
                let p = [0, 1, 2].map(|k| {
                    path[n + 1][k] - u[k] * takes[n]
                        + radius * (number::sin(a) * u[k] + (1.0 - number::cos(a)) * aside[k])
                });
                if 0.02 < ground.lacks(p) {
                    return None;
                }
                a += 0.02;
            }
        }
    }
    Some(long)
}

/// The best the grid finds: its smoothed paths with several further clearances, corners rounded.
pub(crate) fn grid_best(ground: &Ground, radius: f64, reach: Reach) -> Option<f64> {
    let grid = Grid::of(ground, reach.bent);
    let cares = [
        (0.0, 0.0),
        (0.0, 20.0),
        (4.0, 0.0),
        (4.0, 40.0),
        (9.0, 10.0),
        (16.0, 0.0),
        (16.0, 50.0),
        (28.0, 10.0),
    ];
    cares
        .into_iter()
        .filter_map(|(more, level)| {
            rounded(&grid.way(Care { more, level })?, radius, reach, ground)
        })
        .reduce(f64::min)
}

//! What the middle of a lead keeps clear of in space, asked place by place.

use super::{BESIDE_MM, Care, Place};
use crate::layout::taut::{Keep, Spot};

/// What is kept clear of is known by squares of the plan of this side.
const SQUARE_MM: f64 = 32.0;

/// Space outside the ends that a search looks at where no wall bounds it.
const ROUND_MM: f64 = 300.0;

/// A body by its low and its high corner.
#[derive(Clone, Copy, Debug)]
pub(in crate::layout) struct Solid {
    pub(in crate::layout) low: Place,
    pub(in crate::layout) high: Place,
}

/// A place in the middle of a lead already laid, and what is kept off it.
#[derive(Clone, Copy, Debug)]
pub(in crate::layout) struct Ball {
    pub(in crate::layout) at: Place,
    pub(in crate::layout) radius: f64,
}

/// One end: where its middle lies over the stud, and how far the lug keeps it straight and level.
#[derive(Clone, Copy, Debug)]
pub(in crate::layout) struct Stud {
    pub(in crate::layout) at: Place,
    pub(in crate::layout) reach: f64,
}

/// Everything that one lead keeps clear of.
#[derive(Clone, Debug)]
pub(in crate::layout) struct Room {
    pub(super) keeps: Vec<Keep>,
    pub(super) solids: Vec<Solid>,
    pub(super) half: f64,
    /// Least radius of a bend.
    radius: f64,
    /// Corners of what is looked at.
    pub(super) low: Place,
    pub(super) high: Place,
    pub(super) ends: [Stud; 2],
    balls: Vec<Ball>,
    squares: Vec<Square>,
    /// Squares from left to right.
    across: usize,
}

/// Which of all reach into a square of the plan.
#[derive(Clone, Debug, Default)]
struct Square {
    keeps: Vec<usize>,
    solids: Vec<usize>,
    balls: Vec<usize>,
}

impl Room {
    /// The room of a lead between walls and between floor and lid; where there are none it is looked at
    /// a little round its ends and over what stands there.
    pub(in crate::layout) fn of(
        (keeps, solids, balls): (Vec<Keep>, Vec<Solid>, Vec<Ball>),
        (half, radius): (f64, f64),
        ends: [Stud; 2],
        [low, high]: [Place; 2],
    ) -> Self {
        let least = |n: usize| ends[0].at[n].min(ends[1].at[n]);
        let most = |n: usize| ends[0].at[n].max(ends[1].at[n]);
        let tops = solids.iter().map(|s| s.high[2]).chain(balls.iter().map(|b| b.at[2] + b.radius));
        // Nothing is gained by rising further than over the highest of all.
        let over = tops.filter(|z| *z < 1e4).fold(most(2), f64::max) + half + 8.0;
        let low = [
            low[0].max(least(0) - ROUND_MM),
            low[1].max(least(1) - ROUND_MM),
            low[2].max(least(2) - 80.0),
        ];
        let high =
            [high[0].min(most(0) + ROUND_MM), high[1].min(most(1) + ROUND_MM), high[2].min(over)];
        let mut room = Self {
            keeps,
            solids,
            half,
            radius,
            low,
            high,
            ends,
            balls,
            squares: Vec::new(),
            across: 0,
        };
        room.sort();
        room
    }

    /// Keeps off a place from floor to lid.
    pub(in crate::layout) fn shut(&mut self, centre: Spot, radius: f64) {
        self.keeps.push(Keep { centre, radius });
        self.sort();
    }

    fn sort(&mut self) {
        let squares = |n: usize| whole((self.high[n] - self.low[n]) / SQUARE_MM) + 1;
        let (across, deep) = (squares(0), squares(1));
        let mut all = vec![Square::default(); across * deep];
        let [low, high] = [self.low, self.high];
        let mut put =
            |from: [f64; 2], to: [f64; 2], list: fn(&mut Square) -> &mut Vec<usize>, n: usize| {
                let far = super::MOST_MORE_MM;
                if (0..2).any(|k| to[k] + far < low[k] || high[k] + far < from[k]) {
                    return;
                }
                let first = |k: usize| whole((from[k] - far - low[k]) / SQUARE_MM);
                let last = |k: usize, most| whole((to[k] + far - low[k]) / SQUARE_MM).min(most - 1);
                for y in first(1)..=last(1, deep) {
                    for x in first(0)..=last(0, across) {
                        list(&mut all[y * across + x]).push(n);
                    }
                }
            };
        for (n, keep) in self.keeps.iter().enumerate() {
            let Spot { x, y } = keep.centre;
            let r = keep.radius;
            put([x - r, y - r], [x + r, y + r], |s| &mut s.keeps, n);
        }
        for (n, solid) in self.solids.iter().enumerate() {
            let (from, to) = (solid.low, solid.high);
            let half = self.half;
            put(
                [from[0] - half, from[1] - half],
                [to[0] + half, to[1] + half],
                |s| &mut s.solids,
                n,
            );
        }
        for (n, ball) in self.balls.iter().enumerate() {
            let ([x, y, _], r) = (ball.at, ball.radius);
            put([x - r, y - r], [x + r, y + r], |s| &mut s.balls, n);
        }
        self.squares = all;
        self.across = across;
    }

    /// Whether the middle of the lead may be there: level beside its studs, and off everything by more
    /// where that is asked.
    pub(super) fn is_open(&self, p: Place, care: Care) -> bool {
        let mut more = care.more;
        for end in &self.ends {
            let (x, y) = (end.at[0] - p[0], end.at[1] - p[1]);
            let off = (x * x + y * y).sqrt();
            // A cable that leaves its lug level lies in no more than one bend of least radius.
            let bent = (off - end.reach - care.level).clamp(0.0, self.radius);
            let rises = self.radius - (self.radius * self.radius - bent * bent).sqrt();
            let free = self.radius <= bent;
            if !free && rises + super::CELL_MM * 0.51 < (end.at[2] - p[2]).abs() {
                return false;
            }
            if off < BESIDE_MM {
                more = 0.0;
            }
        }
        const SLIP_MM: f64 = 0.05;
        let within = |n: usize| self.low[n] - SLIP_MM <= p[n] && p[n] <= self.high[n] + SLIP_MM;
        if !(0..3).all(within) {
            return false;
        }
        let more = more - SLIP_MM;
        let place = |n: usize| whole((p[n] - self.low[n]) / SQUARE_MM);
        let Some(square) = self.squares.get(place(1) * self.across + place(0)) else {
            return false;
        };
        let within = |by: [f64; 3], keep: f64| {
            by[0] * by[0] + by[1] * by[1] + by[2] * by[2] < keep.max(0.0) * keep.max(0.0)
        };
        let in_keep = |n: &usize| {
            let keep = &self.keeps[*n];
            within([keep.centre.x - p[0], keep.centre.y - p[1], 0.0], keep.radius + more)
        };
        let in_solid = |n: &usize| {
            let solid = &self.solids[*n];
            let by = |k: usize| (solid.low[k] - p[k]).max(p[k] - solid.high[k]).max(0.0);
            within([by(0), by(1), by(2)], self.half + more)
        };
        let in_ball = |n: &usize| {
            let ball = &self.balls[*n];
            within([0, 1, 2].map(|k| ball.at[k] - p[k]), ball.radius + more)
        };
        !(square.keeps.iter().any(in_keep)
            || square.solids.iter().any(in_solid)
            || square.balls.iter().any(in_ball))
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded just before")]
fn whole(value: f64) -> usize {
    value.floor().clamp(0.0, 1e6) as usize
}

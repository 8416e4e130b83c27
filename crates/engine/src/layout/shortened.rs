//! A way made clear and then shorter, corner by corner, until nothing gains: its corners on the plan and,
//! where they are known, those of its heights.

use super::profile::Step;
use super::taut::{Corner, Spot};
use std::cell::Cell;

/// Steps of a corner, in mm.
const STEPS_MM: [f64; 6] = [24.0, 8.0, 3.0, 1.0, 0.3, 0.1];

/// Less than this is no gain.
const GAIN_MM: f64 = 0.02;

/// Rounds at each step.
const ROUNDS: usize = 12;

/// A way that lacks so much is as bad as one that is so many times longer by it.
const LACK: f64 = 20.0;

/// What still lacks more than that after the coarse steps is given up.
const HOPELESS_MM: f64 = 6.0;

/// What lacks no more than that lacks nothing.
pub(super) const SLIP_MM: f64 = 0.05;

/// Radii that a corner may have, in least radii.
const RADII: [f64; 7] = [1.0, 1.061, 1.155, 1.4143, 2.0, 3.0, 5.0];

/// Eight ways a corner may move.
const WAYS: [(f64, f64); 8] = [
    (1.0, 0.0),
    (0.0, 1.0),
    (-1.0, 0.0),
    (0.0, -1.0),
    (0.7, 0.7),
    (-0.7, 0.7),
    (-0.7, -0.7),
    (0.7, -0.7),
];

/// Corners of a way on the plan from end to end, and the bends of its heights; the length along the plan of
/// a bend is a share of the whole.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Wire {
    pub(super) corners: Vec<Corner>,
    pub(super) bends: Vec<Step>,
}

/// What ways are measured by.
pub(super) struct Judge<'a> {
    /// What a way lacks on the plan, and its length there.
    pub(super) plan: &'a dyn Fn(&[Corner]) -> (f64, f64),
    /// Its length with the shortest heights, where they are clear and it is less than the length given.
    pub(super) pulled: &'a dyn Fn(&[Corner], f64) -> Option<f64>,
    /// What it lacks in space with its own heights, and its length; `None` where they cannot be.
    pub(super) space: &'a dyn Fn(&Wire) -> Option<(f64, f64)>,
    /// Least radius of a bend.
    pub(super) radius: f64,
    /// How many more ways are tried.
    pub(super) left: Cell<u32>,
}

/// What a way is worth where that is less than another's.
type Worth<'a> = dyn Fn(&Wire, f64) -> Option<f64> + 'a;

impl Judge<'_> {
    /// The way and its length when no corner gains by a move, its heights left out where the shortest are
    /// clear; `None` where the guess cannot be made clear.
    pub(super) fn shortened(&self, guess: &Wire) -> Option<(Wire, f64)> {
        let flat = |corners: Vec<Corner>| Wire { corners, bends: Vec::new() };
        let clear =
            self.cleared(flat(guess.corners.clone()), &|wire| Some((self.plan)(&wire.corners)));
        let pulled = clear.and_then(|clear| {
            RADII.iter().find_map(|times| {
                let wider = |c: &Corner| Corner { radius: c.radius * times, ..*c };
                let corners: Vec<Corner> = clear.corners.iter().map(wider).collect();
                (self.pulled)(&corners, f64::INFINITY).map(|long| (flat(corners), long))
            })
        });
        if let Some(first) = pulled {
            let worth = |wire: &Wire, most: f64| (self.pulled)(&wire.corners, most);
            return Some(self.moved(first, &STEPS_MM, &worth));
        }
        let clear = self.cleared(guess.clone(), self.space)?;
        let (_, long) = (self.space)(&clear)?;
        let worth = |wire: &Wire, most: f64| {
            let (lacks, long) = (self.space)(wire)?;
            (lacks <= SLIP_MM && long < most).then_some(long)
        };
        Some(self.moved((clear, long), &STEPS_MM, &worth))
    }

    /// The first clear way that is met where the worst is mended first.
    fn cleared(&self, guess: Wire, measure: &dyn Fn(&Wire) -> Option<(f64, f64)>) -> Option<Wire> {
        let worth = |wire: &Wire, most: f64| {
            let (lacks, long) = measure(wire)?;
            let worth = if lacks <= SLIP_MM { 0.0 } else { LACK * lacks + long };
            (worth < most).then_some(worth)
        };
        let first = worth(&guess, f64::INFINITY)?;
        let coarse = self.moved((guess, first), &STEPS_MM[..3], &worth);
        if measure(&coarse.0).is_none_or(|(lacks, _)| HOPELESS_MM < lacks) {
            return None;
        }
        let (wire, worth) = self.moved(coarse, &STEPS_MM[3..], &worth);
        (worth <= 0.0).then_some(wire)
    }

    /// Moves, leaves out and widens corners as long as the worth falls.
    fn moved(
        &self,
        (mut best, mut long): (Wire, f64),
        steps: &[f64],
        worth: &Worth<'_>,
    ) -> (Wire, f64) {
        let mut better = |best: &mut Wire, next: Wire, long: &mut f64| {
            // Nothing is worth less than nothing.
            if self.left.get() == 0 || *long <= 0.0 {
                return false;
            }
            self.left.set(self.left.get() - 1);
            let less = worth(&next, *long - GAIN_MM);
            if let Some(less) = less {
                (*best, *long) = (next, less);
            }
            less.is_some()
        };
        for &step in steps {
            for _ in 0..ROUNDS {
                let before = long;
                let mut n = 1;
                while n + 1 < best.corners.len() {
                    let mut fewer = best.clone();
                    fewer.corners.remove(n);
                    if better(&mut best, fewer, &mut long) {
                        continue;
                    }
                    let at = best.corners[n].at;
                    for (x, y) in WAYS {
                        let mut moved = best.clone();
                        moved.corners[n].at = Spot::at(at.x + x * step, at.y + y * step);
                        if better(&mut best, moved, &mut long) {
                            break;
                        }
                    }
                    for times in RADII {
                        let mut moved = best.clone();
                        moved.corners[n].radius = self.radius * times;
                        better(&mut best, moved, &mut long);
                    }
                    n += 1;
                }
                self.bends_moved((&mut best, &mut long), step, &mut better);
                if before - long < GAIN_MM {
                    break;
                }
            }
        }
        (best, long)
    }

    /// The same for the bends of the heights; the outermost stay as high as the mouths of the lugs.
    fn bends_moved(
        &self,
        (best, long): (&mut Wire, &mut f64),
        step: f64,
        better: &mut dyn FnMut(&mut Wire, Wire, &mut f64) -> bool,
    ) {
        let whole = best.corners.windows(2).map(|c| c[0].at.apart(c[1].at)).sum::<f64>().max(1.0);
        let mut n = 0;
        while n < best.bends.len() {
            let is_inner = 0 < n && n + 1 < best.bends.len();
            if is_inner {
                let mut fewer = best.clone();
                fewer.bends.remove(n);
                if better(best, fewer, long) {
                    continue;
                }
            }
            let own = best.bends[n];
            for (x, y) in WAYS.into_iter().filter(|(_, y)| is_inner || *y == 0.0) {
                let mut moved = best.clone();
                moved.bends[n].along = own.along + x * step / whole;
                moved.bends[n].height = own.height + y * step;
                if better(best, moved, long) {
                    break;
                }
            }
            for times in RADII {
                let mut moved = best.clone();
                moved.bends[n].radius = self.radius * times;
                better(best, moved, long);
            }
            n += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Judge, Wire};
    use crate::layout::taut::{self, Corner, End, Keep, Spot, Yard};
    use crate::number;
    use std::cell::Cell;

    /// Round one keep-out of radius r half way between ends 2 d apart the shortest is
    /// 2 sqrt(d^2 - r^2) + 2 r asin(r / d): two tangents and the arc between them.
    #[test]
    fn a_crooked_guess_becomes_the_two_tangents_and_their_arc() {
        let (d, r) = (150.0_f64, 40.0_f64);
        let end = |x: f64| End { at: Spot::at(x, 0.0), reach: 10.0, exit: None };
        let ends = [end(-d), end(d)];
        let yard = Yard {
            keeps: vec![Keep { centre: Spot::at(0.0, 0.0), radius: r }],
            bars: Vec::new(),
            low: Spot::at(-1e3, -1e3),
            high: Spot::at(1e3, 1e3),
            radius: r,
            tries: 0,
        };
        let plan = |corners: &[Corner]| taut::measured(&yard, ends, corners);
        let pulled = |corners: &[Corner], most: f64| {
            let (lacks, long) = plan(corners);
            (lacks <= 0.0 && long < most).then_some(long)
        };
        let space = |_: &Wire| None;
        let left = Cell::new(5000);
        let judge = Judge { plan: &plan, pulled: &pulled, space: &space, radius: r, left };
        let crooked = [(-d, 0.0), (-60.0, 30.0), (-10.0, 50.0), (50.0, 10.0), (d, 0.0)];
        let corners = crooked.map(|(x, y)| Corner { at: Spot::at(x, y), radius: r }).to_vec();
        let guess = Wire { corners, bends: Vec::new() };
        assert!(0.0 < plan(&guess.corners).0, "the guess itself has no room");
        let (_, long) = judge.shortened(&guess).expect("there is a way");
        let want = 2.0 * (d * d - r * r).sqrt() + 2.0 * r * number::asin(r / d);
        assert!(want - 0.05 < long && long < want * 1.002, "{long}, shortest {want}");
        judge.left.set(0);
        assert!(judge.shortened(&guess).is_none(), "nothing is mended without a try");
    }
}

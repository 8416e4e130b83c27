//! How high a lead runs along its way: from lug to lug in the upright sheet that stands on its way on
//! the plan, pulled taut over and under what it crosses.
//!
//! In that sheet one coordinate is the way along the plan, the other the height of the cable's middle;
//! what is crossed is a rectangle of it. The same search that pulls a lead taut on the plan pulls it
//! taut there. Lengths are in mm.

use super::path::half_tangent;
use super::taut::{self, Bar, Corner, End, Keep, Spot, Yard};
use super::track::Track;
use crate::model::lead::LugForm;
use crate::number;
use std::cell::Cell;

/// A rectangle of the sheet is kept off by so much less than the cable needs, which is made up by its
/// size: a keep-out must have a distance to be measured.
const SKIN_MM: f64 = 0.5;

/// Further than any box is high.
const FAR_MM: f64 = 1e5;

/// Two bends overlap when they share more of the way than this.
const SHARED_MM: f64 = 0.5;

/// A straight lead may rise by so much of its way without a bend: its lugs give by two degrees (common
/// practice, no source).
const TILT: f64 = 0.035;

/// Paths looked at in the sheet.
const TRIES: usize = 48;

/// Radii in the sheet that are tried, in least radii: beside each stands one of `shortest` with which
/// it may meet at one place.
const WIDER: [f64; 5] = [1.0, 1.155, 1.4143, 2.0, 3.0];

/// What a search for heights came to.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Found {
    /// There they are.
    Heights(Heights),
    /// There is room, but its bends meet those of the plan.
    BendsMeet,
    /// The cable cannot rise or fall as it should.
    NoRoom,
}

impl Found {
    /// The heights, where there are any.
    pub(super) fn heights(self) -> Option<Heights> {
        match self {
            Self::Heights(heights) => Some(heights),
            Self::BendsMeet | Self::NoRoom => None,
        }
    }
}

/// What a lead crosses: from where to where along its way, and between which heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Crossed {
    pub(super) from: f64,
    pub(super) to: f64,
    /// `None` stands on the floor.
    pub(super) bottom: Option<f64>,
    /// `None` reaches higher than any lid.
    pub(super) top: Option<f64>,
}

/// A lead that is crossed, as a circle of the sheet that the middle of the cable keeps out of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Round {
    pub(super) along: f64,
    pub(super) height: f64,
    pub(super) radius: f64,
}

/// Everything that a lead crosses.
#[derive(Clone, Debug, PartialEq, Default)]
pub(super) struct Under {
    pub(super) bodies: Vec<Crossed>,
    pub(super) rounds: Vec<Round>,
}

/// One end of the cable in the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Mouth {
    /// Height of the middle of the cable over the stud's face.
    pub(super) height: f64,
    /// From the stud to where the barrel begins.
    pub(super) palm: f64,
    /// The barrel and what a boot keeps straight beyond it.
    pub(super) straight: f64,
    pub(super) form: LugForm,
}

impl Mouth {
    /// How far the lug reaches on the plan before the cable may bend.
    pub(super) fn reach(&self) -> f64 {
        self.palm + self.straight * number::cos(rise(self.form))
    }
}

/// What the heights of a lead have to mind.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    pub(super) mouths: [Mouth; 2],
    /// Half the diameter over the jacket.
    pub(super) half: f64,
    /// Radius of the centre line of its tightest bend.
    pub(super) radius: f64,
    /// The middle of the cable stays between these.
    pub(super) low: f64,
    pub(super) high: f64,
    /// The lowest that a search over it has looked at.
    pub(super) looked: Cell<f64>,
}

/// A corner of the heights with the radius that rounds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Step {
    /// Along the way on the plan.
    pub(super) along: f64,
    /// Of the middle of the cable.
    pub(super) height: f64,
    pub(super) radius: f64,
}

/// The heights of a lead from stud to stud.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Heights {
    pub(super) steps: Vec<Step>,
    pub(super) length: f64,
}

impl Sheet {
    /// The shortest heights over a way, with bends that the cable can follow together with those of
    /// the way.
    pub(super) fn shortest(&self, track: &Track, crossed: &Under) -> Found {
        let long = track.long();
        if self.is_level(track, crossed) {
            return Found::Heights(self.level(long));
        }
        // A bend on the plan and one in the sheet at one place bend the cable by the root of the sum
        // of both squares: either they do not meet, or both are wide enough together.
        for times in WIDER {
            match self.pulled(long, crossed, self.radius * times) {
                Some(heights) if self.bends_together(track, &heights) => {
                    return Found::Heights(heights);
                }
                Some(_) => {}
                None if times <= 1.0 => return Found::NoRoom,
                None => break,
            }
        }
        Found::BendsMeet
    }

    /// Whether a lead runs from mouth to mouth as it comes: level, or so little inclined on a straight way
    /// that its lugs give.
    fn is_level(&self, track: &Track, crossed: &Under) -> bool {
        let [from, to] = [0, 1].map(|n| self.mouths[n].height);
        let (low, high) = (from.min(to), from.max(to));
        let tilt = if track.bends().is_empty() { TILT * track.long() } else { 0.0 };
        let hits = |c: &Crossed| {
            c.top.is_none_or(|top| low < top + self.half - taut::TOUCH_MM)
                && c.bottom.is_none_or(|bottom| bottom - self.half + taut::TOUCH_MM < high)
        };
        let off = |r: &Round| (r.height - high).max(low - r.height).max(0.0);
        let straight = self.mouths.iter().all(|m| m.form == LugForm::Straight);
        straight
            && high - low < tilt.max(taut::TOUCH_MM)
            && !crossed.bodies.iter().any(hits)
            && !crossed.rounds.iter().any(|r| off(r) < r.radius - taut::TOUCH_MM)
    }

    fn level(&self, long: f64) -> Heights {
        let step = |n: usize, along| Step { along, height: self.mouths[n].height, radius: 0.0 };
        let rise = self.mouths[1].height - self.mouths[0].height;
        let steps = vec![step(0, 0.0), step(1, long)];
        Heights { steps, length: number::hypot(long, rise) }
    }

    fn pulled(&self, long: f64, crossed: &Under, radius: f64) -> Option<Heights> {
        let (mut yard, ends) = self.yard(long, crossed)?;
        yard.radius = radius;
        let forward = |corners: &[Corner], length: f64| {
            let is_forward = corners.windows(2).all(|c| c[0].at.x <= c[1].at.x + taut::TOUCH_MM);
            if is_forward { length } else { f64::INFINITY }
        };
        let (corners, length) = taut::shortest(&yard, ends, &forward, &|stretch| {
            self.looked.set(self.looked.get().min(stretch.low));
        })?;
        Some(self.through(long, &corners, length))
    }

    /// What heights with those bends lack in all together with a way, and what they are.
    pub(super) fn measured(
        &self,
        track: &Track,
        crossed: &Under,
        bends: &[Step],
    ) -> Option<(f64, Heights)> {
        let long = track.long();
        let (yard, ends) = self.yard(long, crossed)?;
        let end = |n: usize| Corner { at: ends[n].at, radius: 0.0 };
        let bend = |s: &Step| Corner { at: Spot::at(s.along, s.height), radius: s.radius };
        let mut corners = vec![end(0)];
        corners.extend(bends.iter().map(bend));
        corners.push(end(1));
        let (mut lacks, length) = taut::measured(&yard, ends, &corners);
        if bends.is_empty() {
            lacks += (self.mouths[0].height - self.mouths[1].height).abs();
        }
        lacks += corners.windows(2).map(|c| (c[0].at.x - c[1].at.x).max(0.0)).sum::<f64>();
        let heights = self.through(long, &corners, length);
        lacks += self.meeting(track, &heights);
        Some((lacks, heights))
    }

    /// Heights through corners of the sheet, with the studs at either end.
    fn through(&self, long: f64, corners: &[Corner], length: f64) -> Heights {
        let stud = |along, n: usize| Step { along, height: self.mouths[n].height, radius: 0.0 };
        let step = |c: &Corner| Step { along: c.at.x, height: c.at.y, radius: c.radius };
        let inner = corners.iter().map(step);
        let steps = std::iter::once(stud(0.0, 0)).chain(inner).chain([stud(long, 1)]).collect();
        Heights { steps, length: length + self.mouths[0].palm + self.mouths[1].palm }
    }

    /// The sheet over a way of that length and the ends of the cable in it; `None` where a palm has no
    /// room.
    fn yard(&self, long: f64, crossed: &Under) -> Option<(Yard, [End; 2])> {
        if long <= self.mouths[0].palm + self.mouths[1].palm {
            return None;
        }
        let end = |n: usize| {
            let mouth = &self.mouths[n];
            let (along, way) = if n == 0 { (mouth.palm, 1.0) } else { (long - mouth.palm, -1.0) };
            let rise = rise(mouth.form);
            End {
                at: Spot::at(along, mouth.height),
                reach: mouth.straight,
                exit: Some(Spot::at(way * number::cos(rise), number::sin(rise))),
            }
        };
        let grow = self.half - SKIN_MM;
        let bar = |c: &Crossed| Bar {
            low: Spot::at(c.from + SKIN_MM, c.bottom.map_or(-FAR_MM, |z| z - grow)),
            high: Spot::at(c.to - SKIN_MM, c.top.map_or(FAR_MM, |z| z + grow)),
            off: SKIN_MM,
            crossable: false,
            only: match (c.bottom, c.top) {
                (None, _) => Some(-1.0),
                (_, None) => Some(1.0),
                _ => None,
            },
        };
        let ends = [end(0), end(1)];
        let studs = [(0.0, 0), (long, 1)].map(|(x, n)| Spot::at(x, self.mouths[n].height));
        let keep = |r: &Round| {
            let centre = Spot::at(r.along, r.height);
            // No cable can stay further off than its stud is.
            let nearest = studs.iter().map(|s| s.apart(centre)).fold(f64::INFINITY, f64::min);
            Keep { centre, radius: r.radius.min(nearest) }
        };
        let keeps: Vec<Keep> = crossed.rounds.iter().map(keep).collect();
        let on_palm = |keep: &Keep| {
            studs.iter().zip(&ends).any(|(stud, end)| {
                let along = keep.centre.x.clamp(stud.x.min(end.at.x), stud.x.max(end.at.x));
                let off = Spot::at(along, stud.y).apart(keep.centre);
                off + taut::TOUCH_MM < keep.radius
            })
        };
        let under_palm = |c: &Crossed| {
            let beside = [(0.0, ends[0].at.x, 0), (ends[1].at.x, long, 1)];
            beside.into_iter().any(|(from, to, n)| {
                let height = self.mouths[n].height;
                c.from < to - taut::TOUCH_MM
                    && from + taut::TOUCH_MM < c.to
                    && c.top.is_none_or(|top| height < top + self.half - taut::TOUCH_MM)
                    && c.bottom.is_none_or(|bottom| bottom - self.half + taut::TOUCH_MM < height)
            })
        };
        if keeps.iter().any(on_palm) || crossed.bodies.iter().any(under_palm) {
            return None;
        }
        let yard = Yard {
            keeps,
            bars: crossed.bodies.iter().map(bar).collect(),
            low: Spot::at(-FAR_MM, self.low),
            high: Spot::at(FAR_MM, self.high),
            radius: self.radius,
            tries: TRIES,
        };
        Some((yard, ends))
    }

    /// Whether the cable can follow the bends of the way and of the heights at once.
    fn bends_together(&self, track: &Track, heights: &Heights) -> bool {
        self.meeting(track, heights) <= 0.0
    }

    /// Over what length bends of the way and of the heights meet that are too tight together.
    fn meeting(&self, track: &Track, heights: &Heights) -> f64 {
        let most = (1.0 + 1e-6) / (self.radius * self.radius);
        let square = |r: f64| 1.0 / (r * r).max(1e-9);
        let mut all = 0.0;
        for own in heights.bends() {
            for other in track.bends() {
                let shared = own.to.min(other.to) - own.from.max(other.from);
                if SHARED_MM <= shared && most < square(own.radius) + square(other.radius) {
                    all += shared;
                }
            }
        }
        all
    }
}

/// A bend: from where to where along the way, and its radius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bent {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) radius: f64,
}

impl Heights {
    /// Whether the cable bends up or down anywhere.
    pub(super) fn is_bent(&self) -> bool {
        2 < self.steps.len()
    }

    /// The highest that the middle of the cable runs.
    pub(super) fn highest(&self) -> f64 {
        let apex = |c: &[Step]| {
            let (a, b, c) = (&c[0], &c[1], &c[2]);
            let into = (b.along - a.along, b.height - a.height);
            let out = (c.along - b.along, c.height - b.height);
            if into.1 <= 0.0 || 0.0 <= out.1 {
                return b.height;
            }
            // The middle of the arc lies right of the way in, which rises; the top one radius over it.
            let long = number::hypot(into.0, into.1).max(1e-9);
            let takes = b.radius * half_tangent(turn(into, out));
            b.height - takes * into.1 / long - b.radius * into.0 / long + b.radius
        };
        let ends = [self.steps.first(), self.steps.last()].into_iter().flatten().map(|s| s.height);
        self.steps.windows(3).map(apex).chain(ends).fold(f64::MIN, f64::max)
    }

    /// The bends of the cable in the sheet, without those that the lugs are made with.
    fn bends(&self) -> Vec<Bent> {
        let rounded = |c: &[Step]| {
            let (a, b, c) = (&c[0], &c[1], &c[2]);
            let into = (b.along - a.along, b.height - a.height);
            let out = (c.along - b.along, c.height - b.height);
            let takes = b.radius * half_tangent(turn(into, out));
            let along = |way: (f64, f64)| way.0 / number::hypot(way.0, way.1).max(1e-9);
            Bent {
                from: b.along - takes * along(into),
                to: b.along + takes * along(out),
                radius: b.radius,
            }
        };
        let all = self.steps.windows(3).filter(|c| 0.0 < c[1].radius);
        all.map(rounded).collect()
    }
}

fn rise(form: LugForm) -> f64 {
    form.rise().as_degrees().to_radians()
}

/// How far a way turns at a corner.
pub(super) fn turn(into: (f64, f64), out: (f64, f64)) -> f64 {
    number::atan2(into.0 * out.1 - into.1 * out.0, into.0 * out.0 + into.1 * out.1)
}

#[cfg(test)]
mod tests;

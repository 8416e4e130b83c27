//! A way for a lead that cannot be pulled taut, or only far round: guesses from a grid in space, each made
//! clear and short.

use super::laid::LAID_STEP_MM;
use super::profile::{Heights, Sheet, Step};
use super::route::{Body, Field, Job, Way};
use super::shortened::{Judge, SLIP_MM, Wire};
use super::shortest::{ALL, ends, way};
use super::sought::{self, Ball, Care, Place, Room, Solid, Stud};
use super::taut::{self, Corner, Keep, Spot};
use super::track::Track;
use crate::model::lead::LugForm;
use crate::number;
use crate::units::Length;
use std::cell::Cell;

/// A lead no longer than so many times the shortest that a grid shows is not sought anew.
const NEARLY: f64 = 1.018;

/// A way is sought up to so many times the straight line where no other length bounds it.
const FAR: f64 = 3.0;

/// Ways that one lead may be tried with, corner by corner.
const TRIED: u32 = 6000;

/// The same where a lead has no way at all without it.
const TRIED_LAST: u32 = 100_000;

/// Gaps that are shut one after the other where a lead has no way.
const GAPS: usize = 8;

/// How wide a gap is shut.
const SHUT_MM: f64 = 40.0;

impl Field<'_> {
    /// A way within a length and shorter than one that is known; `None` where none is found.
    pub(super) fn sought(
        &self,
        job: &Job,
        forms: [LugForm; 2],
        (most, known): (f64, Option<f64>),
    ) -> Option<Way> {
        let sheet = self.sheet(job, forms);
        let at = |n: usize| {
            let end = if n == 0 { job.from.at } else { job.to.at };
            [end.x.as_mm(), end.y.as_mm(), sheet.mouths[n].height]
        };
        let studs = [at(0), at(1)];
        let straight = sought::apart(studs[0], studs[1]);
        let is_plain = forms == [LugForm::Straight; 2] && job.exits == [None; 2];
        if !is_plain || sheet.radius <= 0.0 || known.is_some_and(|k| k <= NEARLY * straight) {
            return None;
        }
        let yard = self.yard(job, &sheet, self.keeps(job, true));
        let ends = ends(job, &sheet);
        let plan = |corners: &[Corner]| taut::measured(&yard, ends, corners);
        let pulled = |corners: &[Corner], most: f64| {
            let (lacks, long) = plan(corners);
            if SLIP_MM < lacks || most <= long {
                return None;
            }
            let heights = self.heights(job, &sheet, corners, ALL).heights()?;
            let long = heights.length.max(long);
            (long < most).then_some(long)
        };
        let space = |wire: &Wire| {
            let (lacks, _) = plan(&wire.corners);
            let (more, heights) = self.own_heights(job, &sheet, wire)?;
            Some((lacks + more, heights.length))
        };
        let judge = Judge {
            plan: &plan,
            pulled: &pulled,
            space: &space,
            radius: sheet.radius,
            left: Cell::new(0),
        };
        let room = self.room(job, &sheet, studs, yard.keeps.clone());
        let most = most.min(FAR * straight).min(known.unwrap_or(f64::INFINITY));
        let tried = if most < FAR * straight { TRIED } else { TRIED_LAST };
        let (wire, _) = shortest_of(&room, &judge, (most, tried))?;
        let heights = if wire.bends.is_empty() {
            self.heights(job, &sheet, &wire.corners, ALL).heights()
        } else {
            self.own_heights(job, &sheet, &wire).map(|(_, heights)| heights)
        };
        Some(Way { forms, off_caps: true, heights, ..way(&wire.corners) })
    }

    /// What a way lacks with its own heights, and those.
    fn own_heights(&self, job: &Job, sheet: &Sheet, wire: &Wire) -> Option<(f64, Heights)> {
        let (track, under) = self.crossed(job, &wire.corners, ALL);
        let bend = |s: &Step| Step { along: s.along * track.long(), ..*s };
        let bends: Vec<Step> = wire.bends.iter().map(bend).collect();
        sheet.measured(&track, &under, &bends)
    }

    /// What a lead keeps clear of in space.
    fn room(&self, job: &Job, sheet: &Sheet, studs: [Place; 2], keeps: Vec<Keep>) -> Room {
        let height = |z: Option<Length>, none: f64| z.map_or(none, Length::as_mm);
        let solid = |body: &Body| Solid {
            low: [body.corner.x.as_mm(), body.corner.y.as_mm(), height(body.bottom, -1e5)],
            high: [body.far.x.as_mm(), body.far.y.as_mm(), height(body.top, 1e5)],
        };
        let solids = self.in_the_way(job).iter().map(solid).collect();
        let mut balls = Vec::new();
        for laid in &self.laid {
            let ball = number::hypot(sheet.half + laid.half_mm, LAID_STEP_MM / 2.0);
            // Beside a stud that both end on they lie one on the other.
            let last = laid.points.len().saturating_sub(2);
            let ends = [(0, 0), (1, last)];
            let shared = ends
                .map(|(n, leg)| Some(leg).filter(|_| job.terminals.contains(&laid.terminals[n])));
            let strange = laid.places.iter().filter(|p| !shared.contains(&Some(p.leg)));
            balls.extend(strange.map(|p| Ball {
                at: [p.at.x, p.at.y, p.height],
                radius: ball.min(job.off_ends(p.at, p.height)),
            }));
        }
        let [low, high] = self.bounds(job, sheet.half);
        let stud = |n: usize| Stud { at: studs[n], reach: sheet.mouths[n].reach() };
        Room::of(
            (keeps, solids, balls),
            (sheet.half, sheet.radius),
            [stud(0), stud(1)],
            [[low.x, low.y, sheet.low], [high.x, high.y, sheet.high]],
        )
    }
}

/// The shortest that comes of guesses made with more and more care.
fn shortest_of(room: &Room, judge: &Judge<'_>, (most, tried): (f64, u32)) -> Option<(Wire, f64)> {
    // Where not a single chain of cells is open there is no way, or no shorter one.
    let (first, bound) = sought::way(room, sought::CARES[0], most, judge.radius)?;
    if most <= NEARLY * bound {
        return None;
    }
    judge.left.set(tried);
    let mut best: Option<(Wire, f64)> = None;
    let mut known: Vec<Wire> = Vec::new();
    let mut shut: Vec<Care> = Vec::new();
    let mut next = Some(first);
    for care in sought::CARES[1..].iter().map(Some).chain([None]) {
        let limit = best.as_ref().map_or(most, |(_, long)| *long);
        if let Some(guess) = next.take().filter(|guess| !known.contains(guess)) {
            let found = judge.shortened(&guess);
            known.push(guess);
            best = found.filter(|(_, long)| *long < limit).or(best);
        }
        let limit = best.as_ref().map_or(most, |(_, long)| *long);
        if limit <= NEARLY * bound || judge.left.get() == 0 {
            break;
        }
        // What has no way with less care has none with more.
        let Some(care) = care.filter(|care| !shut.iter().any(|s| s.is_within(**care))) else {
            continue;
        };
        next = sought::way(room, *care, limit, judge.radius).map(|(guess, _)| guess);
        if next.is_none() {
            shut.push(*care);
        }
    }
    if best.is_none() && tried == TRIED_LAST {
        best = round_about(room, judge, most);
    }
    best
}

/// A way through other gaps than the cheapest, where no cable can go: each that fails is shut half way.
fn round_about(room: &Room, judge: &Judge<'_>, most: f64) -> Option<(Wire, f64)> {
    let mut room = room.clone();
    for _ in 0..GAPS {
        let (guess, _) = sought::way(&room, sought::CARES[0], most, judge.radius)?;
        for care in &sought::CARES[2..4] {
            let Some((careful, _)) = sought::way(&room, *care, most, judge.radius) else {
                continue;
            };
            if let Some(found) = judge.shortened(&careful).filter(|(_, long)| *long < most) {
                return Some(found);
            }
        }
        let spots: Vec<Spot> = guess.corners.iter().map(|c| c.at).collect();
        let track = Track::through(&spots, &[]);
        room.shut(track.at(track.long() / 2.0), SHUT_MM);
    }
    None
}

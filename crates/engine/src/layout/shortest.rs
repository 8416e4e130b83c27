//! The shortest legal path of a decided lead: what it must keep clear of, handed to `taut` on the plan
//! and to `profile` in the upright sheet over it.
//!
//! Posts and caps are kept clear from the floor to the lid: a spanner and a hand come from above.
//! Everything else may be gone round, over or under, each body for itself, whichever is shortest.

use super::path;
use super::profile::{Crossed, Found, Heights, Round, Sheet, Under};
use super::route::{Body, Field, Job, Way};
use super::taut::{self, Bar, Corner, End, Keep, Spot, Yard};
use super::track::{Stroke, Track};
use crate::model::bank::BlockId;
use crate::model::lead::{LugForm, Terminal};
use crate::model::part::PlanPoint;
use crate::number;
use crate::units::{Angle, Length};
use std::cell::Cell;

/// Two stretches of one body nearer than this are one.
const GAP_MM: f64 = 1.0;

/// Paths looked at on the plan with plain lugs, and with bent ones; a box of twelve blocks needs a few
/// dozen.
const TRIES: [usize; 2] = [200, 60];

/// A lead goes round those already laid by at most so many times its length without them.
const DETOUR: f64 = 1.25;

/// Places of a crossing lie in a circle no larger than so many times that of its middle.
const CROSSING: f64 = 1.35;

/// Radii on the plan that are tried, in least radii: beside each stands one of `profile` with which it
/// may meet at one place.
const WIDER: [f64; 4] = [1.0, 1.061, 1.155, 1.4143];

/// What a search is to mind besides posts and bodies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Minding {
    pub(super) caps: bool,
    pub(super) leads: bool,
}

/// Everything.
pub(super) const ALL: Minding = Minding { caps: true, leads: true };

impl Field<'_> {
    /// The shortest path that is clear of everything, with straight lugs or with those the owner has;
    /// else with bent ones; else over caps; `None` where the cable finds no way at all.
    pub(super) fn pulled_taut(&self, job: &Job) -> Option<Way> {
        let forms = forms(job);
        let plain = forms.first().copied()?;
        let clear = self.search(job, plain, ALL);
        if clear.as_ref().is_some_and(|way| way.points.len() == 2) {
            return clear;
        }
        // What only the leads already laid leave no room for stays as it is and is told; nobody goes far
        // round for it. Without them it is no shorter than straight.
        let long = |way: &Way| way.heights.as_ref().map_or(0.0, |h| h.length);
        let straight = DETOUR * apart(job) * (1.0 - 1e-9);
        let near = clear.as_ref().is_some_and(|clear| long(clear) <= straight);
        let bare =
            if near { None } else { self.search(job, plain, Minding { leads: false, ..ALL }) };
        let most = bare.as_ref().map_or(f64::INFINITY, |bare| DETOUR * long(bare));
        let clear = clear.filter(|clear| long(clear) <= most);
        let known = clear.as_ref().map(long);
        let sought = if self.seeks { self.sought(job, plain, (most, known)) } else { None };
        if let Some(clear) = sought.or(clear) {
            return Some(clear);
        }
        if let Some(bare) = bare {
            return Some(Way { heights: None, ..bare });
        }
        let bent = forms.iter().skip(1).find_map(|forms| self.search(job, *forms, ALL));
        bent.or_else(|| self.search(job, plain, Minding { caps: false, ..ALL }))
            .or_else(|| self.search(job, plain, Minding { caps: false, leads: false }))
    }

    /// The shortest path with lugs of those forms.
    fn search(&self, job: &Job, forms: [LugForm; 2], minding: Minding) -> Option<Way> {
        let sheet = self.sheet(job, forms);
        let ends = ends(job, &sheet);
        let keeps = self.keeps(job, minding.caps);
        let mut yard = self.yard(job, &sheet, keeps);
        let radius = yard.radius;
        let plain =
            forms.iter().zip(job.forms).all(|(a, b)| b.is_some() || *a == LugForm::Straight);
        yard.tries = TRIES[usize::from(!plain)];
        let meets = Cell::new(false);
        let mut best: Option<(Vec<Corner>, f64)> = None;
        for times in WIDER {
            yard.radius = radius * times;
            let price =
                |corners: &[Corner], long: f64| match self.heights(job, &sheet, corners, minding) {
                    Found::Heights(heights) => heights.length.max(long),
                    Found::BendsMeet => {
                        meets.set(true);
                        f64::INFINITY
                    }
                    Found::NoRoom => f64::INFINITY,
                };
            let found = taut::shortest(&yard, ends, &price, &|stretch| self.looked.at(stretch));
            let shorter = |(_, long): &(Vec<Corner>, f64)| {
                best.as_ref().is_none_or(|(_, least)| *long < *least)
            };
            best = found.filter(shorter).or(best);
            // Only where bends met does a wider way gain.
            if !meets.get() {
                break;
            }
        }
        self.looked.down_to(sheet.looked.get());
        let (corners, _) = best?;
        let heights = self.heights(job, &sheet, &corners, minding).heights();
        Some(Way { forms, taut: true, off_caps: minding.caps, heights, ..way(&corners) })
    }

    /// What the heights of a lead have to mind; without a size it has sharp corners.
    pub(super) fn sheet(&self, job: &Job, forms: [LugForm; 2]) -> Sheet {
        let half = job.diameter.as_mm() / 2.0;
        let mouth = |n: usize| super::profile::Mouth { form: forms[n], ..job.mouths[n] };
        let [low, high] = self.levels(job, half);
        let radius = job.radius.map_or(0.0, Length::as_mm);
        let looked = Cell::new(f64::INFINITY);
        Sheet { mouths: [mouth(0), mouth(1)], half, radius, low, high, looked }
    }

    /// Between the floor and the lid, where an end of the lead is in the box and under that lid.
    fn levels(&self, job: &Job, half: f64) -> [f64; 2] {
        let ends = [job.mouths[0].height, job.mouths[1].height];
        let high = self.ceiling.map_or(f64::MAX, |lid| lid.as_mm() - half);
        let is_under = ends.iter().all(|z| *z <= high + taut::TOUCH_MM);
        if self.in_box(job) && is_under {
            [half.min(ends[0]).min(ends[1]), high]
        } else {
            [f64::MIN, f64::MAX]
        }
    }

    pub(super) fn heights(
        &self,
        job: &Job,
        sheet: &Sheet,
        corners: &[Corner],
        minding: Minding,
    ) -> Found {
        let (track, under) = self.crossed(job, corners, minding);
        sheet.shortest(&track, &under)
    }

    /// A way by the length along it, and what it crosses.
    pub(super) fn crossed(
        &self,
        job: &Job,
        corners: &[Corner],
        minding: Minding,
    ) -> (Track, Under) {
        let spots: Vec<Spot> = corners.iter().map(|c| c.at).collect();
        let radii: Vec<f64> = corners.iter().skip(1).map(|c| c.radius).collect();
        let track = Track::through(&spots, &radii[..radii.len().saturating_sub(1)]);
        let mut under = Under { bodies: self.bodies_under(job, &track), rounds: Vec::new() };
        if minding.leads {
            self.leads_under(job, &track, &mut under);
        }
        (track, under)
    }

    /// The heights along a way that is given.
    pub(super) fn heights_of(&self, job: &Job, way: &Way) -> Option<Heights> {
        let sheet = self.sheet(job, way.forms);
        let corner = |n: usize| Corner {
            at: spot(way.points[n]),
            radius: n.checked_sub(1).and_then(|n| way.radii.get(n)).copied().unwrap_or(0.0),
        };
        let corners: Vec<Corner> = (0..way.points.len()).map(corner).collect();
        self.heights(job, &sheet, &corners, Minding { caps: true, leads: true }).heights()
    }

    /// Cases and bodies under or over a way.
    fn bodies_under(&self, job: &Job, track: &Track) -> Vec<Crossed> {
        let half = job.diameter.as_mm() / 2.0;
        let strokes = track.strokes();
        let mut all = Vec::new();
        for body in self.in_the_way(job) {
            let low = Spot::at(body.corner.x.as_mm() - half, body.corner.y.as_mm() - half);
            let high = Spot::at(body.far.x.as_mm() + half, body.far.y.as_mm() + half);
            let crossed = |(from, to)| Crossed {
                from,
                to,
                bottom: body.bottom.map(Length::as_mm),
                top: body.top.map(Length::as_mm),
            };
            let mut own: Vec<Crossed> =
                strokes.iter().filter_map(|s| s.over(low, high)).map(crossed).collect();
            joined(&mut own);
            all.extend(own);
        }
        all
    }

    /// Adds the leads already laid that a way crosses or runs along; tells which they are.
    fn leads_under(&self, job: &Job, track: &Track, under: &mut Under) -> Vec<usize> {
        let half = job.diameter.as_mm() / 2.0;
        let strokes = track.strokes();
        let last = strokes.last().map_or(0, |s| s.leg);
        let mut met = Vec::new();
        for (n, laid) in self.laid.iter().enumerate() {
            // Balls of this size about places so far apart hold the whole lead between them.
            let ball = number::hypot(half + laid.half_mm, super::laid::LAID_STEP_MM / 2.0);
            let near: Vec<&Stroke> =
                strokes.iter().filter(|s| s.may_reach(laid.corners, ball)).collect();
            if near.is_empty() {
                continue;
            }
            let mut own: Vec<Round> = Vec::new();
            for place in &laid.places {
                // No lead can stay further off than its own stud is.
                let within = ball.min(job.off_ends(place.at, place.height));
                for stroke in near.iter().filter(|s| s.may_reach([place.at; 2], within)) {
                    let together = laid.together(&job.terminals, (stroke.leg, last), place.leg);
                    let near = if together { None } else { stroke.near(place.at, within) };
                    own.extend(near.map(|(along, radius)| Round {
                        along,
                        height: place.height,
                        radius,
                    }));
                }
            }
            if !own.is_empty() {
                met.push(n);
                own.sort_by(|a, b| a.along.total_cmp(&b.along));
                gathered(&own, half, under);
            }
        }
        met
    }

    /// The lead already laid that leaves no room to rise over it.
    pub(super) fn crowding(&self, job: &Job, way: &Way) -> Option<String> {
        let spots: Vec<Spot> = way.points.iter().map(|p| spot(*p)).collect();
        let track = Track::through(&spots, &way.radii);
        let met = self.leads_under(job, &track, &mut Under::default());
        met.first().map(|n| self.laid[*n].id.clone())
    }

    /// Cases and bodies that do not hold an end of the lead; a case never stands higher than the post
    /// on it.
    pub(super) fn in_the_way(&self, job: &Job) -> Vec<Body> {
        let half = job.diameter.as_mm() / 2.0;
        let ends = [(job.from.at, job.mouths[0].height), (job.to.at, job.mouths[1].height)];
        let case = |b: &super::plan::PlacedBlock| Body {
            corner: b.corner,
            far: b.far_corner(),
            bottom: None,
            top: Some(b.case_height.min(b.height)),
        };
        let holds = |body: &Body| {
            ends.iter().any(|(at, z)| {
                let over = |a: Length, low: Length, high: Length| {
                    (low - a).max(a - high).max(Length::ZERO).as_mm()
                };
                let off = number::hypot(
                    over(at.x, body.corner.x, body.far.x),
                    over(at.y, body.corner.y, body.far.y),
                );
                let under = body.bottom.is_none_or(|low| low.as_mm() - half < z - taut::TOUCH_MM);
                let above = body.top.is_none_or(|top| z + taut::TOUCH_MM < top.as_mm() + half);
                off < half && under && above
            })
        };
        let all = self.blocks.iter().map(case).chain(self.bodies.iter().copied());
        all.filter(|body| !holds(body)).collect()
    }

    /// What a lead keeps clear of from floor to lid: posts of others, and caps where they are minded.
    pub(super) fn keeps(&self, job: &Job, caps: bool) -> Vec<Keep> {
        let mut keeps = self.foreign_posts(job);
        if caps {
            keeps.extend(self.caps(job).into_iter().map(|(_, keep)| keep));
        }
        keeps
    }

    /// Posts of others. No path can stay further from a post than its own end is.
    fn foreign_posts(&self, job: &Job) -> Vec<Keep> {
        let keep_mm = self.off_post.as_mm() + job.diameter.as_mm() / 2.0;
        let mut keeps = Vec::with_capacity(2 * self.blocks.len());
        for block in self.blocks {
            for (terminal, post) in
                [(Terminal::plus(block.id), block.plus), (Terminal::minus(block.id), block.minus)]
            {
                if !job.terminals.contains(&terminal) {
                    keeps.push(keep(job, post.at, keep_mm));
                }
            }
        }
        keeps
    }

    fn caps(&self, job: &Job) -> Vec<(BlockId, Keep)> {
        let keep_mm = self.off_cap.as_mm() + job.diameter.as_mm() / 2.0;
        let of = |block: &super::plan::PlacedBlock| {
            let id = block.id;
            block.caps.iter().map(|cap| (id, keep(job, *cap, keep_mm))).collect::<Vec<_>>()
        };
        self.blocks.iter().flat_map(of).collect()
    }

    /// The cap a path lies on most, and by how much it should lie elsewhere.
    pub(super) fn nearest_cap(&self, job: &Job, way: &Way) -> Option<(BlockId, Length)> {
        let mut worst: Option<(BlockId, f64)> = None;
        for (id, keep) in self.caps(job) {
            let at = PlanPoint { x: Length::mm(keep.centre.x), y: Length::mm(keep.centre.y) };
            let legs = way.points.windows(2).map(|leg| path::off_leg_mm(at, leg[0], leg[1]));
            let by = keep.radius - legs.fold(f64::INFINITY, f64::min);
            if worst.is_none_or(|(_, most)| most < by) {
                worst = Some((id, by));
            }
        }
        // Corners of a path pulled taut lie a little outside the arc that the cable takes.
        worst.filter(|(_, by)| taut::TOUCH_MM < *by).map(|(id, by)| (id, Length::mm(by)))
    }

    /// What stands at the heights between the two ends has to be gone round, over or under; the rest
    /// lies below or above a lead that runs as it comes.
    pub(super) fn yard(&self, job: &Job, sheet: &Sheet, keeps: Vec<Keep>) -> Yard {
        let off = sheet.half;
        let ends = sheet.mouths.map(|m| m.height);
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let blocks = |body: &Body| {
            let over = body.top.is_none_or(|top| low + taut::TOUCH_MM < top.as_mm() + off);
            let under = body.bottom.is_none_or(|b| b.as_mm() - off < high - taut::TOUCH_MM);
            over && under
        };
        let bar = |body: &Body| Bar {
            low: spot(body.corner),
            high: spot(body.far),
            off,
            crossable: body.top.is_some() || body.bottom.is_some(),
            only: None,
        };
        let bars = self.in_the_way(job).iter().filter(|b| blocks(b)).map(bar).collect();
        let [low, high] = self.bounds(job, off);
        Yard { keeps, bars, low, high, radius: sheet.radius, tries: TRIES[0] }
    }

    /// A lead with an end in the box stays inside the walls, except as far as its other end asks.
    pub(super) fn bounds(&self, job: &Job, off: f64) -> [Spot; 2] {
        let (a, b) = (spot(job.from.at), spot(job.to.at));
        if !self.in_box(job) {
            return [Spot::at(f64::MIN, f64::MIN), Spot::at(f64::MAX, f64::MAX)];
        }
        let inner = self.inner.map(Length::as_mm);
        [
            Spot::at(a.x.min(b.x).min(off), a.y.min(b.y).min(off)),
            Spot::at(a.x.max(b.x).max(inner[0] - off), a.y.max(b.y).max(inner[1] - off)),
        ]
    }

    /// One of its ends is inside the walls.
    pub(super) fn in_box(&self, job: &Job) -> bool {
        let inside = |p: PlanPoint| {
            let within = |v: Length, most: Length| Length::ZERO <= v && v <= most;
            within(p.x, self.inner[0]) && within(p.y, self.inner[1])
        };
        inside(job.from.at) || inside(job.to.at)
    }
}

/// Adds the places of one lead that a way comes near, in the order of the way: as a circle where they
/// are a crossing, as a body where both run along one another.
fn gathered(own: &[Round], half: f64, under: &mut Under) {
    let mut rest = own;
    while let Some(first) = rest.first() {
        let mut end = first.along + first.radius;
        let mut many = 1;
        while let Some(next) = rest.get(many).filter(|r| r.along - r.radius <= end + GAP_MM) {
            end = end.max(next.along + next.radius);
            many += 1;
        }
        let (cluster, after) = rest.split_at(many);
        let widest = cluster.iter().fold(first, |a, b| if a.radius < b.radius { b } else { a });
        let round = |r: &Round| {
            let off = number::hypot(r.along - widest.along, r.height - widest.height);
            off + r.radius
        };
        let radius = cluster.iter().map(round).fold(0.0, f64::max);
        if radius <= CROSSING * widest.radius {
            under.rounds.push(Round { radius, ..*widest });
        } else {
            let fold = |f: fn(f64, f64) -> f64, of: fn(&Round) -> f64, from: f64| {
                cluster.iter().map(of).fold(from, f)
            };
            let top = fold(f64::max, |r| r.height + r.radius, f64::MIN);
            under.bodies.push(Crossed {
                from: fold(f64::min, |r| r.along - r.radius, f64::MAX),
                to: end,
                bottom: None,
                top: Some(top - half),
            });
        }
        rest = after;
    }
}

/// Joins stretches of one body that follow on one another, the highest of them over all.
fn joined(all: &mut Vec<Crossed>) {
    let mut kept: Vec<Crossed> = Vec::with_capacity(all.len());
    for next in all.drain(..) {
        match kept.last_mut() {
            Some(last) if next.from <= last.to + GAP_MM => {
                last.to = last.to.max(next.to);
                last.top = last.top.zip(next.top).map(|(a, b)| a.max(b));
            }
            _ => kept.push(next),
        }
    }
    *all = kept;
}

/// Pairs of lugs that are tried, the plainest first; what the owner says stays.
fn forms(job: &Job) -> Vec<[LugForm; 2]> {
    let of =
        |n: usize| job.forms[n].map_or_else(|| LugForm::WORDS.map(|w| w.1).to_vec(), |f| vec![f]);
    let (from, to) = (of(0), of(1));
    let mut all: Vec<[LugForm; 2]> =
        from.iter().flat_map(|a| to.iter().map(move |b| [*a, *b])).collect();
    let bent = |f: &[LugForm; 2]| f.iter().map(|f| f.rise().as_degrees()).sum::<f64>();
    all.sort_by(|a, b| bent(a).total_cmp(&bent(b)));
    all
}

/// From end to end in a straight line.
fn apart(job: &Job) -> f64 {
    let rise = job.mouths[1].height - job.mouths[0].height;
    number::hypot(path::apart_mm(job.from.at, job.to.at), rise)
}

pub(super) const fn spot(p: PlanPoint) -> Spot {
    Spot::at(p.x.as_mm(), p.y.as_mm())
}

fn keep(job: &Job, at: PlanPoint, keep_mm: f64) -> Keep {
    let ends = path::apart_mm(at, job.from.at).min(path::apart_mm(at, job.to.at));
    Keep { centre: spot(at), radius: keep_mm.min(ends) }
}

pub(super) fn ends(job: &Job, sheet: &Sheet) -> [End; 2] {
    let end = |n: usize, at: PlanPoint| End {
        at: spot(at),
        reach: sheet.mouths[n].reach(),
        exit: job.exits[n].map(unit),
    };
    [end(0, job.from.at), end(1, job.to.at)]
}

fn unit(way: Angle) -> Spot {
    let turn = way.as_degrees().to_radians();
    Spot::at(number::cos(turn), number::sin(turn))
}

pub(super) fn way(corners: &[Corner]) -> Way {
    let point = |c: &Corner| PlanPoint { x: Length::mm(c.at.x), y: Length::mm(c.at.y) };
    let between = corners.get(1..corners.len().saturating_sub(1)).unwrap_or_default();
    Way {
        points: corners.iter().map(point).collect(),
        radii: between.iter().map(|c| c.radius).collect(),
        taut: true,
        off_caps: false,
        forms: [LugForm::Straight; 2],
        heights: None,
    }
}

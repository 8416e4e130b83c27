//! The path of each lead: rectilinear over the cases from stud to stud, clear of other bare posts,
//! beside other leads rather than on them, with bends its cable can follow.

use super::climbing::climbing;
use super::laid::Laid;
use super::lain::{LainLead, Looked, Since};
use super::path::{self, Measured, Needs, SAME_MM};
use super::plan::{EndPoint, PlacedBlock};
use super::profile::{Heights, Mouth, Step};
use super::shortest::spot;
use super::taut::Spot;
use super::track::Track;
use crate::model::bank::BlockId;
use crate::model::lead::{LugForm, Terminal};
use crate::model::part::PlanPoint;
use crate::number;
use crate::units::{Angle, Length, OneWay};

/// A lead goes straight across only when every square path is longer than this many times the
/// straight line; the longest square path without a detour is 1.414 times.
const DETOUR: f64 = 1.5;

/// A corner of the heights of a lead, seen from the side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rise {
    /// How far along the way on the plan.
    pub along: Length,
    /// Of the underside of the cable.
    pub height: Length,
    /// Radius of the centre line there; nothing at a stud, and where the lug itself is bent.
    pub radius: Length,
}

/// What a lead comes too close to, and how much is missing.
type TooNear<T> = Option<(T, Length)>;

/// The path of one lead.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Corners on the plan, from stud to stud.
    pub points: Vec<PlanPoint>,
    /// Radius of the centre line at each corner between the two studs, as drawn.
    pub radii: Vec<Length>,
    /// Its heights along the way from stud to stud.
    pub heights: Vec<Rise>,
    /// The lugs it needs: as the owner says, else straight where it finds a way with them.
    pub lugs: [LugForm; 2],
    /// Height of the face under the first lug.
    pub from_height: Length,
    /// The highest that its underside runs.
    pub run_height: Length,
    /// Height of the face under the last lug.
    pub to_height: Length,
    /// Along the centre line, stud to stud, with rise and rounded bends.
    pub length: OneWay,
    /// Both ends are where they will be. A path to a place nobody has decided is a pencil line: its
    /// bends and what it passes are not judged.
    pub decided: bool,
    /// Radius of the centre line of its tightest allowed bend; `None` on a pencil line and while
    /// its size is unknown.
    pub bend_radius: Option<Length>,
    /// Radius of its tightest corner as drawn; `None` on a straight lead.
    pub tightest: Option<Length>,
    /// A bend, a climb or the lugs lack this much room.
    pub bend_too_tight: Option<Length>,
    /// It finds no room to rise over what it crosses and is drawn as it would have to lie.
    pub crowded: bool,
    /// The lead that leaves it none.
    pub crowded_by: Option<String>,
    /// It was laid at a glance, and a search might find it a shorter way or any at all.
    pub sketched: bool,
    /// Some of it runs at an angle to the walls.
    pub across: bool,
    /// How far it turns in plan between its two ends; left is positive.
    pub turn: Angle,
    /// Diameter over the jacket used for clearances.
    pub diameter: Length,
    /// The post it comes too close to, and how much is missing.
    pub too_near: Option<(Terminal, Length)>,
    /// The block over whose cap it lies, and by how much it should lie elsewhere.
    pub over_cap: Option<(BlockId, Length)>,
}

impl Route {
    /// How many times it bends in plan.
    #[must_use]
    pub const fn bends(&self) -> usize {
        self.points.len().saturating_sub(2)
    }

    /// The way it leaves either stud on the plan, anticlockwise from the right.
    #[must_use]
    pub fn exits(&self) -> [Angle; 2] {
        let way = |a: Option<&PlanPoint>, b: Option<&PlanPoint>| match (a, b) {
            (Some(a), Some(b)) => {
                let turn = number::atan2((b.y - a.y).as_mm(), (b.x - a.x).as_mm());
                Angle::degrees(turn.to_degrees())
            }
            _ => Angle::ZERO,
        };
        let last = self.points.len();
        let end = |n: usize| last.checked_sub(n).and_then(|n| self.points.get(n));
        [way(self.points.first(), self.points.get(1)), way(end(1), end(2))]
    }

    /// Whether it runs over a rectangle of the plan.
    #[must_use]
    pub fn over(&self, corner: PlanPoint, far: PlanPoint) -> bool {
        self.points.windows(2).any(|leg| path::leg_over(leg[0], leg[1], corner, far))
    }
}

/// Faults that any path betters.
const NO_WORSE: [f64; 4] = [f64::INFINITY; 4];

/// A lead to be routed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Job {
    /// The lead's name.
    pub(super) id: String,
    pub(super) terminals: [Terminal; 2],
    pub(super) from: EndPoint,
    pub(super) to: EndPoint,
    pub(super) via: Vec<PlanPoint>,
    pub(super) diameter: Length,
    pub(super) radius: Option<Length>,
    /// Where the cable begins at either end; the form of the lug is a straight one's.
    pub(super) mouths: [Mouth; 2],
    /// From stud to the mouth of the barrel without what a boot adds.
    pub(super) reach: [Length; 2],
    /// How the lugs are bent, where the owner says so.
    pub(super) forms: [Option<LugForm>; 2],
    pub(super) decided: bool,
    /// The way it must leave either stud, where the owner says so.
    pub(super) exits: [Option<Angle>; 2],
}

impl Job {
    /// From a place in space to the nearer end of the lead.
    pub(super) fn off_ends(&self, at: Spot, height: f64) -> f64 {
        let ends = [(self.from.at, self.mouths[0].height), (self.to.at, self.mouths[1].height)];
        let off = |(end, z): (PlanPoint, f64)| number::hypot(spot(end).apart(at), z - height);
        ends.map(off).into_iter().fold(f64::INFINITY, f64::min)
    }
}

/// What a new lead has to mind.
pub(super) struct Field<'a> {
    pub(super) blocks: &'a [PlacedBlock],
    /// What else stands in the way of a lead, heights counted from the floor under the blocks.
    pub(super) bodies: &'a [Body],
    /// Inside length and width of the box.
    pub(super) inner: [Length; 2],
    /// What a lead keeps from the centre of a bare post, to its jacket.
    pub(super) off_post: Length,
    /// What a lead keeps from the centre of a filler cap, to its jacket.
    pub(super) off_cap: Length,
    /// Underside of the lid less what is kept clear under it; `None` while nobody said how high it is.
    pub(super) ceiling: Option<Length>,
    /// Leads already routed, with the terminals they end on.
    pub(super) laid: Vec<Laid>,
    /// A lead that cannot be pulled taut, or only far round, is sought over a grid.
    pub(super) seeks: bool,
    /// What has changed since they lay before, where that is known.
    pub(super) since: Option<Since<'a>>,
    pub(super) looked: Looked,
    /// How they are laid, for the next time.
    pub(super) lain: Vec<LainLead>,
}

/// Something that is not a block and that a lead must go round or over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Body {
    pub(super) corner: PlanPoint,
    pub(super) far: PlanPoint,
    /// `None` cannot be gone under.
    pub(super) bottom: Option<Length>,
    /// `None` cannot be gone over.
    pub(super) top: Option<Length>,
}

/// Corners with the radius wanted at each between the ends, and whether they were pulled taut round
/// everything that must be kept clear.
#[derive(Clone, Debug)]
pub(super) struct Way {
    pub(super) points: Vec<PlanPoint>,
    pub(super) radii: Vec<f64>,
    pub(super) taut: bool,
    /// Filler caps were among what was kept clear.
    pub(super) off_caps: bool,
    pub(super) forms: [LugForm; 2],
    /// Its heights; `None` where the cable finds no room to rise and fall as it should.
    pub(super) heights: Option<Heights>,
}

impl Way {
    /// The way by the length along it, with corners rounded by those radii.
    pub(super) fn track(&self, radii: &[f64]) -> Track {
        let spots: Vec<Spot> = self.points.iter().map(|p| spot(*p)).collect();
        Track::through(&spots, radii)
    }

    fn square(job: &Job, points: Vec<PlanPoint>) -> Self {
        let radius = job.radius.map_or(0.0, Length::as_mm);
        let radii = vec![radius; points.len().saturating_sub(2)];
        let forms = job.forms.map(|f| f.unwrap_or(LugForm::Straight));
        Self { points, radii, taut: false, off_caps: false, forms, heights: None }
    }
}

impl Field<'_> {
    /// Finds the path of the next lead and remembers it.
    pub(super) fn route(&mut self, job: &Job) -> Route {
        let needs = needs(job, [0.0, 0.0]);
        let (way, sketched) = self.pulled(job);
        let mut way = way.unwrap_or_else(|| {
            let stated = !job.via.is_empty();
            let through = || through(job.from.at, &job.via, job.to.at);
            Way::square(job, if stated { through() } else { self.best(job, &needs) })
        });
        let run_height = self.base(job, &way.points).max(self.over_leads(job, &way.points));
        let rises = [job.from.height, job.to.height].map(|h| (run_height - h).as_mm());
        let mut measured = path::measure(&way.points, &way.radii, &needs_with(needs, rises));
        if way.heights.is_none() {
            let level = path::measure(&way.points, &way.radii, &needs);
            if job.decided && short_mm(job, &way, &level) <= 0.0 {
                way.heights = self.heights_of(job, &way);
            }
            if way.heights.is_some() {
                measured = level;
            }
        } else {
            measured = path::measure(&way.points, &way.radii, &needs);
            if 2 < way.points.len() {
                // A way pulled taut has room for its bends and for lugs as they are bent.
                measured.fits_mm.clone_from(&way.radii);
                measured.short_mm = 0.0;
            }
        }
        let near = if way.taut { None } else { self.nearest_post(job, &way.points) };
        let over_cap = if way.off_caps { None } else { self.nearest_cap(job, &way) };
        let crowded_by = if way.heights.is_none() { self.crowding(job, &way) } else { None };
        let route = finished(job, way, measured, run_height, (near, over_cap));
        let crowded_by = crowded_by.filter(|_| route.crowded);
        let route = Route { crowded_by, sketched, ..route };
        self.lay(Laid::of(job, &route));
        route
    }

    /// The height of its run before leads that it crosses lift it.
    pub(super) fn base(&self, job: &Job, points: &[PlanPoint]) -> Length {
        self.over_cases(points, job.from.height.max(job.to.height), job.diameter / 2.0)
    }

    /// The cheapest candidate that is clear; where none is, the one that is least in the way.
    fn best(&self, job: &Job, needs: &Needs) -> Vec<PlanPoint> {
        // Nothing is shorter than the straight line: most links need no search.
        let straight = vec![job.from.at, job.to.at];
        let mut least = NO_WORSE;
        if path::is_square(job.from.at, job.to.at)
            && self.faults(job, needs, &straight, &least).is_some_and(|f| is_clear(&f))
        {
            return straight;
        }
        let mut chosen = straight;
        for candidate in self.candidates(job, needs) {
            if let Some(faults) = self.faults(job, needs, &candidate, &least) {
                chosen = candidate;
                if is_clear(&faults) {
                    break;
                }
                least = faults;
            }
        }
        chosen
    }

    /// What is wrong with a path, the worst kind first: too near a post, out of the box and in
    /// again, no room for its bends, on top of another lead. `None` as soon as it is seen not to be
    /// better than the least faults so far.
    fn faults(
        &self,
        job: &Job,
        needs: &Needs,
        points: &[PlanPoint],
        least: &[f64; 4],
    ) -> Option<[f64; 4]> {
        let mut faults = [0.0; 4];
        let mut is_better = false;
        for kind in 0..faults.len() {
            faults[kind] = match kind {
                0 => self.nearest_post(job, points).map_or(0.0, |(_, by)| by.as_mm()),
                1 => f64::from(u8::from(self.leaves_box(job, points))),
                2 => {
                    let radii = vec![needs.radius_mm; points.len().saturating_sub(2)];
                    let way = Way::square(job, points.to_vec());
                    short_mm(job, &way, &path::measure(points, &radii, needs)).max(0.0)
                }
                _ => f64::from(u8::from(self.lies_on_another(job, points))),
            };
            if !is_better && least[kind] + SAME_MM < faults[kind] {
                return None;
            }
            is_better |= faults[kind] + SAME_MM < least[kind];
        }
        is_better.then_some(faults)
    }

    /// Every path of up to three square legs along a lane worth trying, and the straight line; the
    /// cheapest first.
    fn candidates(&self, job: &Job, needs: &Needs) -> Vec<Vec<PlanPoint>> {
        let (a, b) = (job.from.at, job.to.at);
        let mut raw = vec![
            vec![a, PlanPoint { x: b.x, y: a.y }, b],
            vec![a, PlanPoint { x: a.x, y: b.y }, b],
        ];
        for x in self.lanes(job, needs, |p| p.x) {
            raw.push(vec![a, PlanPoint { x, y: a.y }, PlanPoint { x, y: b.y }, b]);
        }
        for y in self.lanes(job, needs, |p| p.y) {
            raw.push(vec![a, PlanPoint { x: a.x, y }, PlanPoint { x: b.x, y }, b]);
        }
        let mut priced: Vec<(f64, usize, Vec<PlanPoint>)> = raw
            .iter()
            .filter_map(|points| path::tidied(points))
            .map(|points| (sum_mm(&points), points.len(), points))
            .collect();
        if !path::is_square(a, b) {
            priced.push((path::apart_mm(a, b) * DETOUR, 2, vec![a, b]));
        }
        // Whole hundredths of a millimetre, so that rounding never decides between two paths.
        priced.sort_by(|p, q| {
            let price = |length: f64| (length * 100.0).round();
            price(p.0).total_cmp(&price(q.0)).then(p.1.cmp(&q.1))
        });
        priced.into_iter().map(|(_, _, points)| points).collect()
    }

    /// Coordinates along which a middle leg could run: halfway, far enough from either end for its
    /// bends, beside each post and beside each lead.
    fn lanes(&self, job: &Job, needs: &Needs, along: impl Fn(PlanPoint) -> Length) -> Vec<Length> {
        let (a, b) = (along(job.from.at), along(job.to.at));
        let mut lanes = vec![(a + b) / 2.0];
        let mut beside = |at: Length, by_mm: f64| {
            lanes.push(at + Length::mm(by_mm));
            lanes.push(at - Length::mm(by_mm));
        };
        beside(a, needs.reach_from_mm + needs.radius_mm);
        beside(b, needs.reach_to_mm + needs.radius_mm);
        beside(a, 2.0 * needs.radius_mm);
        beside(b, 2.0 * needs.radius_mm);
        let diameter_mm = job.diameter.as_mm();
        for block in self.blocks {
            for post in [block.plus, block.minus] {
                beside(along(post.at), self.off_post.as_mm() + diameter_mm / 2.0);
            }
        }
        for laid in &self.laid {
            let by_mm = spacing_mm(job, laid);
            for leg in laid.points.windows(2) {
                // Only a leg that runs the same way as the lane can be beside it.
                if (along(leg[0]) - along(leg[1])).as_mm().abs() < SAME_MM {
                    beside(along(leg[0]), by_mm);
                }
            }
        }
        lanes.sort_by(|p, q| p.as_mm().total_cmp(&q.as_mm()));
        lanes.dedup_by(|p, q| (*p - *q).as_mm().abs() < SAME_MM);
        lanes
    }

    /// The post a path comes too close to, and how much is missing; the worst of them.
    fn nearest_post(&self, job: &Job, points: &[PlanPoint]) -> Option<(Terminal, Length)> {
        let keep_mm = self.off_post.as_mm() + job.diameter.as_mm() / 2.0;
        let mut worst: Option<(Terminal, Length)> = None;
        for block in self.blocks {
            for (terminal, post) in
                [(Terminal::plus(block.id), block.plus), (Terminal::minus(block.id), block.minus)]
            {
                if job.terminals.contains(&terminal) {
                    continue;
                }
                // No path can stay further from a post than its own end is.
                let ends =
                    path::apart_mm(post.at, job.from.at).min(path::apart_mm(post.at, job.to.at));
                let away = points
                    .windows(2)
                    .map(|leg| path::off_leg_mm(post.at, leg[0], leg[1]))
                    .fold(f64::INFINITY, f64::min);
                let by = Length::mm((keep_mm.min(ends) - away).max(0.0));
                let is_worse = worst.as_ref().is_none_or(|(_, most)| *most < by);
                if SAME_MM < by.as_mm() && is_worse {
                    worst = Some((terminal, by));
                }
            }
        }
        worst
    }

    /// Whether a lead with an end in the box goes further out of the box than its ends make it.
    fn leaves_box(&self, job: &Job, points: &[PlanPoint]) -> bool {
        let ends = [job.from.at, job.to.at];
        let slip = Length::mm(SAME_MM);
        let outside = |value: fn(PlanPoint) -> Length, inner: Length| {
            let low = value(ends[0]).min(value(ends[1])).min(Length::ZERO) - slip;
            let high = value(ends[0]).max(value(ends[1])).max(inner) + slip;
            points.iter().any(|p| value(*p) < low || high < value(*p))
        };
        let in_box = ends.iter().any(|p| {
            Length::ZERO <= p.x
                && p.x <= self.inner[0]
                && Length::ZERO <= p.y
                && p.y <= self.inner[1]
        });
        in_box && (outside(|p| p.x, self.inner[0]) || outside(|p| p.y, self.inner[1]))
    }

    /// Whether a path runs along another lead closer than one cable's width of air.
    fn lies_on_another(&self, job: &Job, points: &[PlanPoint]) -> bool {
        let diameter_mm = job.diameter.as_mm();
        self.laid.iter().any(|laid| {
            let apart = spacing_mm(job, laid) - SAME_MM;
            pairs(job, points, laid).any(|(mine, other)| {
                let overlap = shared_run_mm(mine, other);
                overlap.is_some_and(|run| diameter_mm < run)
                    && path::legs_apart_mm(mine, other) < apart
            })
        })
    }

    /// Over every lead that a path crosses or touches.
    fn over_leads(&self, job: &Job, points: &[PlanPoint]) -> Length {
        let touched = self.laid.iter().filter(|laid| {
            let apart = job.diameter.as_mm() / 2.0 + laid.half_mm - SAME_MM;
            pairs(job, points, laid).any(|(mine, other)| path::legs_apart_mm(mine, other) < apart)
        });
        touched.map(|l| l.high + Length::mm(2.0 * l.half_mm)).fold(Length::ZERO, Length::max)
    }

    /// The height that clears every case and body under a path and under half a cable beside it.
    fn over_cases(&self, points: &[PlanPoint], at_least: Length, half: Length) -> Length {
        let under = |corner: PlanPoint, far: PlanPoint| {
            let corner = PlanPoint { x: corner.x - half, y: corner.y - half };
            let far = PlanPoint { x: far.x + half, y: far.y + half };
            points.windows(2).any(|leg| path::leg_over(leg[0], leg[1], corner, far))
        };
        let blocks = self.blocks.iter().filter(|block| under(block.corner, block.far_corner()));
        let bodies = self.bodies.iter().filter(|body| under(body.corner, body.far));
        let low = |body: &&Body| body.bottom.is_none_or(|bottom| bottom < at_least);
        let tops = bodies.filter(low).filter_map(|body| body.top);
        blocks.map(|block| block.height).chain(tops).fold(at_least, Length::max)
    }
}

fn needs(job: &Job, rises: [f64; 2]) -> Needs {
    Needs {
        radius_mm: job.radius.map_or(0.0, Length::as_mm),
        reach_from_mm: job.reach[0].as_mm(),
        reach_to_mm: job.reach[1].as_mm(),
        rise_from_mm: rises[0],
        rise_to_mm: rises[1],
    }
}

const fn needs_with(needs: Needs, rises: [f64; 2]) -> Needs {
    Needs { rise_from_mm: rises[0], rise_to_mm: rises[1], ..needs }
}

fn finished(
    job: &Job,
    way: Way,
    measured: Measured,
    run_height: Length,
    (too_near, over_cap): (TooNear<Terminal>, TooNear<BlockId>),
) -> Route {
    let short = Length::mm(short_mm(job, &way, &measured).max(0.0));
    let half = job.diameter / 2.0;
    let rise = |step: &Step| Rise {
        along: Length::mm(step.along),
        height: Length::mm(step.height) - half,
        radius: Length::mm(step.radius),
    };
    let high = way.heights.as_ref().map(|h| Length::mm(h.highest()) - half);
    let heights = match &way.heights {
        Some(heights) => heights.steps.iter().map(rise).collect(),
        None => climbing(job, &way, &measured, run_height),
    };
    let length = way.heights.as_ref().map_or(measured.length_mm, |h| h.length);
    Route {
        crowded_by: None,
        sketched: false,
        crowded: job.decided && job.radius.is_some() && way.heights.is_none(),
        across: way.points.windows(2).any(|leg| !path::is_square(leg[0], leg[1])),
        turn: turn(&way.points),
        heights,
        lugs: way.forms,
        from_height: job.from.height,
        run_height: high.unwrap_or(run_height),
        to_height: job.to.height,
        length: OneWay::new(Length::mm(length)),
        decided: job.decided,
        bend_radius: job.radius,
        tightest: measured.tightest_mm().map(Length::mm),
        radii: measured.fits_mm.into_iter().map(Length::mm).collect(),
        bend_too_tight: (job.radius.is_some() && SAME_MM < short.as_mm()).then_some(short),
        diameter: job.diameter,
        too_near: too_near.filter(|_| job.decided),
        over_cap: over_cap.filter(|_| job.decided),
        points: way.points,
    }
}

/// What is missing for the bends and lugs of a path. A straight level lead is made longer than its
/// path by about a diameter at each end and bows by that much; one that climbs has no room to bow.
fn short_mm(job: &Job, way: &Way, measured: &Measured) -> f64 {
    if way.taut && way.heights.as_ref().is_some_and(Heights::is_bent) {
        return 0.0;
    }
    let is_level = measured.climbs.iter().all(Option::is_none);
    let bow_mm = if way.points.len() == 2 && is_level { 2.0 * job.diameter.as_mm() } else { 0.0 };
    measured.short_mm - bow_mm
}

/// Passes the owner's points in order; each hop that is not square turns once, first along the way
/// the lead is already going.
fn through(from: PlanPoint, via: &[PlanPoint], to: PlanPoint) -> Vec<PlanPoint> {
    let mut points = vec![from];
    let mut going_x = true;
    for &next in via.iter().chain([&to]) {
        let here = points.last().copied().unwrap_or(from);
        if !path::is_square(here, next) {
            points.push(if going_x {
                PlanPoint { x: next.x, y: here.y }
            } else {
                PlanPoint { x: here.x, y: next.y }
            });
        }
        let before = points.last().copied().unwrap_or(here);
        going_x = SAME_MM < (next.x - before.x).as_mm().abs();
        points.push(next);
    }
    // An owner's path that turns back on itself is kept as it was written.
    path::tidied(&points).unwrap_or(points)
}

fn sum_mm(points: &[PlanPoint]) -> f64 {
    points.windows(2).map(|leg| path::apart_mm(leg[0], leg[1])).sum()
}

fn is_clear(faults: &[f64; 4]) -> bool {
    faults.iter().all(|fault| *fault < SAME_MM)
}

/// Between the centre lines of two leads side by side: one diameter of the thicker as air, and none
/// for a pencil line, which shows only what joins what.
fn spacing_mm(job: &Job, laid: &Laid) -> f64 {
    let diameter_mm = job.diameter.as_mm();
    let other_mm = 2.0 * laid.half_mm;
    let air_mm = if job.decided { diameter_mm.max(other_mm) } else { 0.0 };
    f64::midpoint(diameter_mm, other_mm) + air_mm
}

/// Every leg of a path with every leg of a laid lead, without the two that leave the same stud:
/// their lugs lie one on the other there.
fn pairs<'a>(
    job: &'a Job,
    points: &'a [PlanPoint],
    laid: &'a Laid,
) -> impl Iterator<Item = ([PlanPoint; 2], [PlanPoint; 2])> + 'a {
    let last = points.len().saturating_sub(2);
    points.windows(2).enumerate().flat_map(move |(n, mine)| {
        laid.points
            .windows(2)
            .enumerate()
            .filter(move |(m, _)| !laid.together(&job.terminals, (n, last), *m))
            .map(move |(_, other)| ([mine[0], mine[1]], [other[0], other[1]]))
    })
}

/// How far two legs run side by side; `None` when they do not run the same way.
fn shared_run_mm(one: [PlanPoint; 2], other: [PlanPoint; 2]) -> Option<f64> {
    let flat = |leg: [PlanPoint; 2]| (leg[0].y - leg[1].y).as_mm().abs() < SAME_MM;
    let upright = |leg: [PlanPoint; 2]| (leg[0].x - leg[1].x).as_mm().abs() < SAME_MM;
    let shared = |a: [Length; 2], b: [Length; 2]| {
        (a[0].max(a[1]).min(b[0].max(b[1])) - a[0].min(a[1]).max(b[0].min(b[1]))).as_mm()
    };
    if flat(one) && flat(other) {
        Some(shared([one[0].x, one[1].x], [other[0].x, other[1].x]))
    } else if upright(one) && upright(other) {
        Some(shared([one[0].y, one[1].y], [other[0].y, other[1].y]))
    } else {
        None
    }
}

/// How far a path turns in all.
fn turn(points: &[PlanPoint]) -> Angle {
    let turns = points.windows(3).map(|c| path::turn_at(c[0], c[1], c[2]));
    Angle::degrees(turns.sum::<f64>().to_degrees())
}

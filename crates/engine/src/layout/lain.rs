//! How the leads lay before something was moved: one whose surroundings stay is not searched for anew.
//!
//! A search looks at one path after the other and at what it runs into; nothing else decides what it
//! finds. As long as nothing has changed near any path that it looked at, it would find the same again,
//! bit for bit. A way sought over a grid (`seek`) is kept as long as nothing changes near the way itself.

use super::laid::{LAID_STEP_MM, Laid};
use super::path;
use super::plan::PlacedBlock;
use super::route::{Body, Field, Job, Way};
use super::shortest::spot;
use super::taut::{Bar, Spot, TOUCH_MM};
use crate::model::part::PlanPoint;
use crate::units::Length;
use std::cell::{Cell, RefCell};

/// A search that looked at more than this is told by a circle around all of it.
const STRETCHES: usize = 20_000;

/// What lies no further than `aside` from a straight line, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    pub(super) from: Spot,
    pub(super) to: Spot,
    pub(super) aside: f64,
    /// How low it reaches, where the second measure is a height.
    pub(super) low: f64,
}

impl Stretch {
    const fn straight(from: Spot, to: Spot, aside: f64) -> Self {
        Self { from, to, aside, low: f64::NEG_INFINITY }
    }

    fn frame(&self) -> [Spot; 2] {
        let (a, b, by) = (self.from, self.to, self.aside);
        [
            Spot::at(a.x.min(b.x) - by, a.y.min(b.y) - by),
            Spot::at(a.x.max(b.x) + by, a.y.max(b.y) + by),
        ]
    }

    /// What tells two apart.
    fn name(&self) -> [u64; 5] {
        let Self { from, to, aside, .. } = self;
        [from.x, from.y, to.x, to.y, *aside].map(f64::to_bits)
    }

    fn leg(&self) -> [PlanPoint; 2] {
        [self.from, self.to].map(|s| PlanPoint { x: Length::mm(s.x), y: Length::mm(s.y) })
    }

    /// Whether it comes nearer than that to a body.
    fn is_near(&self, body: [Spot; 2], than: f64) -> bool {
        let [low, high] = body;
        let bar = Bar { low, high, off: 0.0, crossable: false, only: None };
        within(self.frame(), body, than) && bar.off_straight(self.from, self.to) < self.aside + than
    }

    /// Whether it comes nearer than that to another.
    fn is_beside(&self, other: &Self, than: f64) -> bool {
        within(self.frame(), other.frame(), than)
            && path::legs_apart_mm(self.leg(), other.leg()) < self.aside + other.aside + than
    }
}

/// Whether two frames may hold things nearer to one another than that; never wrongly no.
fn within([low, high]: [Spot; 2], [from, to]: [Spot; 2], than: f64) -> bool {
    from.x - than < high.x && low.x < to.x + than && from.y - than < high.y && low.y < to.y + than
}

/// What the search for a lead has looked at: on the plan, and how low in the sheets over it.
#[derive(Debug, Default)]
pub(super) struct Looked {
    stretches: RefCell<Vec<Stretch>>,
    low: Cell<f64>,
}

impl Looked {
    pub(super) fn at(&self, stretch: Stretch) {
        self.stretches.borrow_mut().push(stretch);
    }

    pub(super) fn down_to(&self, low: f64) {
        self.low.set(self.low.get().min(low));
    }
}

/// What was found for one lead.
#[derive(Clone, Debug)]
struct Found {
    looked: Vec<Stretch>,
    /// No path that was looked at reaches lower, by the middle of the cable.
    low: f64,
    /// `None` where it cannot be pulled taut.
    way: Option<Way>,
    /// A search over a grid might find a better one.
    sketched: bool,
}

/// One lead, as it was laid.
#[derive(Clone, Debug)]
pub(super) struct LainLead {
    job: Job,
    /// `None` where nothing was searched for.
    found: Option<Found>,
    /// It was searched for, and not only looked up.
    anew: bool,
}

/// How the leads of a layout were laid, and among what.
#[derive(Clone, Debug)]
pub struct Lain {
    blocks: Vec<PlacedBlock>,
    bodies: Vec<Body>,
    /// Inside measures, what is kept off posts and caps, and the lid.
    bounds: [Option<Length>; 5],
    leads: Vec<LainLead>,
    laid: Vec<Laid>,
}

impl Lain {
    /// The leads that were searched for anew.
    pub fn anew(&self) -> impl Iterator<Item = &str> {
        self.leads.iter().filter(|lead| lead.anew).map(|lead| lead.job.id.as_str())
    }
}

/// What has changed since the leads lay as they lay.
pub(super) struct Since<'a> {
    before: &'a Lain,
    /// Blocks and bodies that lie otherwise, where they lay and where they lie, and up to which height
    /// they matter; posts and caps matter at every height.
    bodies: Vec<([Spot; 2], f64)>,
    /// The same of leads laid so far.
    leads: Vec<Stretch>,
}

impl<'a> Since<'a> {
    /// What has changed on the ground; `None` where it is another bank in another box.
    pub(super) fn of(before: &'a Lain, field: &Field<'_>, jobs: &[Option<Job>]) -> Option<Self> {
        let names = jobs.iter().flatten().map(|job| &job.id);
        let same = before.leads.iter().map(|lead| &lead.job.id).eq(names)
            && before.bounds == field.bounds_known()
            && before.blocks.iter().map(|b| b.id).eq(field.blocks.iter().map(|b| b.id))
            && before.bodies.len() == field.bodies.len();
        let blocks = before.blocks.iter().zip(field.blocks).filter(|(a, b)| !lies_as(a, b));
        let bodies = before.bodies.iter().zip(field.bodies).filter(|(a, b)| a != b);
        let blocks = blocks.flat_map(|(a, b)| [a, b]).map(|b| (around_block(b), f64::INFINITY));
        let bodies = bodies.flat_map(|(a, b)| [a, b]).map(|body| {
            let top = body.top.map_or(f64::INFINITY, Length::as_mm);
            ([spot(body.corner), spot(body.far)], top)
        });
        same.then(|| Self { before, bodies: blocks.chain(bodies).collect(), leads: Vec::new() })
    }

    /// What was found before for the next lead, which is the `n`th, where it would be found again.
    fn known(&self, n: usize, job: &Job, near: f64) -> Option<&Found> {
        let lead = self.before.leads.get(n).filter(|lead| lead.job == *job)?;
        let found = lead.found.as_ref()?;
        let reaches = found.low - job.diameter.as_mm() / 2.0 - 2.0 * TOUCH_MM;
        let bodies = || self.bodies.iter().filter(|(_, top)| reaches <= *top);
        let is_changed = found.looked.iter().any(|stretch| {
            bodies().any(|(body, _)| stretch.is_near(*body, near))
                || self.leads.iter().any(|lead| stretch.is_beside(lead, near))
        });
        (!is_changed).then_some(found)
    }

    /// Takes note of a lead that lies otherwise than before.
    fn note(&mut self, n: usize, laid: &Laid) {
        let before = self.before.laid.get(n);
        if before != Some(laid) {
            self.leads.extend(before.into_iter().chain([laid]).flat_map(stretches));
        }
    }
}

impl Field<'_> {
    const fn bounds_known(&self) -> [Option<Length>; 5] {
        let [long, wide] = self.inner;
        [Some(long), Some(wide), Some(self.off_post), Some(self.off_cap), self.ceiling]
    }

    /// The way of the next lead pulled taut: as it lay before, where it would be found again.
    /// Told with it is whether a search over a grid, which was not made, might find a better one.
    pub(super) fn pulled(&mut self, job: &Job) -> (Option<Way>, bool) {
        let is_searched = job.decided && job.via.is_empty();
        let near = self.off_post.max(self.off_cap) + job.diameter + Length::mm(LAID_STEP_MM);
        let since = self.since.as_ref();
        let known = since.and_then(|s| s.known(self.laid.len(), job, near.as_mm())).cloned();
        let anew = is_searched && known.is_none();
        let found = is_searched.then(|| known.unwrap_or_else(|| self.searched(job)));
        let way = found.as_ref().and_then(|found| found.way.clone());
        let sketched = found.as_ref().is_some_and(|found| found.sketched);
        self.lain.push(LainLead { job: job.clone(), found, anew });
        (way, sketched)
    }

    fn searched(&self, job: &Job) -> Found {
        self.looked.stretches.take();
        self.looked.low.set(job.mouths[0].height.min(job.mouths[1].height));
        let way = self.pulled_taut(job);
        let mut looked = self.looked.stretches.take();
        let ends = [job.from.at, job.to.at].map(spot);
        looked.extend(ends.map(|at| Stretch::straight(at, at, 0.0)));
        // What was sought over a grid lies where no search for a path pulled taut has looked.
        looked.extend(way.iter().flat_map(|way| legs(&way.points, widest(&way.radii))));
        // Guesses share most of their pieces.
        looked.sort_unstable_by_key(Stretch::name);
        looked.dedup_by_key(|stretch| stretch.name());
        if STRETCHES < looked.len() {
            let frame = looked.iter().map(Stretch::frame).reduce(|[a, b], [c, d]| {
                [Spot::at(a.x.min(c.x), a.y.min(c.y)), Spot::at(b.x.max(d.x), b.y.max(d.y))]
            });
            let around = |[low, high]: [Spot; 2]| {
                let middle = Spot::at(f64::midpoint(low.x, high.x), f64::midpoint(low.y, high.y));
                Stretch::straight(middle, middle, middle.apart(high))
            };
            looked = frame.map(around).into_iter().collect();
        }
        let heights = way.iter().filter_map(|way| way.heights.as_ref());
        let steps = heights.flat_map(|heights| &heights.steps).map(|step| step.height);
        let low = steps.fold(self.looked.low.get(), f64::min);
        let straight = way.as_ref().is_some_and(|way| way.points.len() == 2);
        Found { looked, low, sketched: !self.seeks && !straight, way }
    }

    /// Lays a lead, and takes note of it where it lies otherwise than before.
    pub(super) fn lay(&mut self, laid: Laid) {
        if let Some(since) = &mut self.since {
            since.note(self.laid.len(), &laid);
        }
        self.laid.push(laid);
    }

    /// What the next layout needs to know of this one.
    pub(super) fn lain(self) -> Lain {
        Lain {
            bounds: self.bounds_known(),
            blocks: self.blocks.to_vec(),
            bodies: self.bodies.to_vec(),
            leads: self.lain,
            laid: self.laid,
        }
    }
}

fn widest(radii: &[f64]) -> f64 {
    radii.iter().copied().fold(0.0, f64::max)
}

/// The legs of a way; a bend lies inside its corner by less than half of its radius.
fn legs(points: &[PlanPoint], radius: f64) -> impl Iterator<Item = Stretch> {
    let leg = move |leg: &[PlanPoint]| Stretch::straight(spot(leg[0]), spot(leg[1]), radius / 2.0);
    points.windows(2).map(leg)
}

/// Where a lead lies, with half of its thickness.
fn stretches(laid: &Laid) -> impl Iterator<Item = Stretch> {
    let half = laid.half_mm;
    legs(&laid.points, laid.widest_mm).map(move |s| Stretch { aside: s.aside + half, ..s })
}

/// Whether a block lies where another lay, with its posts and caps, whoever laid it there.
fn lies_as(a: &PlacedBlock, b: &PlacedBlock) -> bool {
    let sizes = |b: &PlacedBlock| [b.length, b.width, b.height, b.case_height];
    a.corner == b.corner
        && sizes(a) == sizes(b)
        && [a.plus, a.minus] == [b.plus, b.minus]
        && a.caps == b.caps
}

/// A case with its posts and caps.
fn around_block(block: &PlacedBlock) -> [Spot; 2] {
    let places = [block.plus.at, block.minus.at].into_iter().chain(block.caps.iter().copied());
    let case = [spot(block.corner), spot(block.far_corner())];
    places.map(spot).fold(case, |[low, high], p| {
        [Spot::at(low.x.min(p.x), low.y.min(p.y)), Spot::at(high.x.max(p.x), high.y.max(p.y))]
    })
}

//! What a lead must keep clear of.

use super::{Place, apart, flat, line, plan, xy};
use engine::circuit::wiring::Wiring;
use engine::layout::Layout;
use engine::layout::straps;
use engine::model::design::Design;
use engine::model::part::PlanPoint;
use engine::number;
use engine::tables::Tables;
use engine::units::Length;

/// What a lead must keep clear of.
pub(crate) struct Ground {
    /// Upright keep-outs for its middle: posts and caps.
    pub(crate) circles: Vec<([f64; 2], f64)>,
    /// Low and high corners of what it keeps off by half its diameter.
    pub(crate) boxes: Vec<(Place, Place)>,
    /// Places in the middle of leads laid before it, and what it keeps off them.
    pub(crate) leads: Vec<(Place, f64)>,
    pub(crate) half: f64,
    pub(crate) walls: Option<[f64; 4]>,
    pub(crate) levels: [f64; 2],
    pub(crate) ends: [Place; 2],
}

fn off_box(p: Place, (low, high): &(Place, Place)) -> f64 {
    let by = |n: usize| (low[n] - p[n]).max(p[n] - high[n]).max(0.0);
    number::hypot(number::hypot(by(0), by(1)), by(2))
}

impl Ground {
    pub(crate) fn of(
        design: &Design,
        layout: &Layout,
        wiring: &Wiring,
        n: usize,
        tables: &Tables,
    ) -> Self {
        let limit = |id| tables.limits.value(id).value;
        let route = layout.leads[n].route.as_ref().expect("a routed lead");
        let half = route.diameter.as_mm() / 2.0;
        let end = |p: PlanPoint, face: Length| [p.x.as_mm(), p.y.as_mm(), face.as_mm() + half];
        let ends = [
            end(route.points[0], route.from_height),
            end(*route.points.last().expect("two ends"), route.to_height),
        ];
        let mut circles = Vec::new();
        for block in &layout.plan.blocks {
            let posts = [block.plus.at, block.minus.at].map(|p| (xy(p), limit("lead-off-post")));
            let cap = limit("cap-radius") + limit("lead-off-cap");
            let caps = block.caps.iter().map(|c| (xy(*c), cap));
            for (at, keep) in posts.into_iter().chain(caps) {
                // Its own posts are no obstacle; a lead cannot stay further off than it starts.
                let nearest = flat(at, plan(ends[0])).min(flat(at, plan(ends[1])));
                if 0.01 < nearest {
                    circles.push((at, (keep + half).min(nearest)));
                }
            }
        }
        let mut boxes = solid(design, layout, tables);
        boxes.retain(|b| ends.iter().all(|p| half - 0.02 < off_box(*p, b)));
        let inner = [layout.plan.inner.length.as_mm(), layout.plan.inner.width.as_mm()];
        let inside = |p: &Place| (0..2).all(|n| 0.0 <= p[n] && p[n] <= inner[n]);
        let in_box = ends.iter().any(inside);
        let walls = in_box.then(|| {
            let low = |n: usize| ends[0][n].min(ends[1][n]).min(half);
            let high = |n: usize| ends[0][n].max(ends[1][n]).max(inner[n] - half);
            [low(0), low(1), high(0), high(1)]
        });
        let lid = design.enclosure.as_ref().and_then(|e| e.height);
        let lid = lid.map_or(f64::MAX, |h| h.as_mm() - limit("lid-clearance") - half);
        let under = ends.iter().all(|p| p[2] <= lid + 0.01);
        let levels = if in_box && under { [half, lid] } else { [f64::MIN, f64::MAX] };
        let leads = laid_before(layout, wiring, n, (half, ends));
        Self { circles, boxes, leads, half, walls, levels, ends }
    }

    /// By how much a place is too near something.
    pub(crate) fn lacks(&self, p: Place) -> f64 {
        let leads = self.leads.iter().filter(|(at, keep)| (at[0] - p[0]).abs() < *keep);
        let leads = leads.map(|(at, keep)| keep - apart(*at, p));
        self.lacks_alone(p).max(leads.fold(f64::MIN, f64::max))
    }

    /// The same without the leads laid before it.
    pub(crate) fn lacks_alone(&self, p: Place) -> f64 {
        let circles = self.circles.iter().map(|(at, keep)| keep - flat(*at, plan(p)));
        let boxes = self.boxes.iter().map(|b| self.half - off_box(p, b));
        let walls =
            self.walls.iter().flat_map(|w| [w[0] - p[0], w[1] - p[1], p[0] - w[2], p[1] - w[3]]);
        let levels = [self.levels[0] - p[2], p[2] - self.levels[1]];
        circles.chain(boxes).chain(walls).chain(levels).fold(f64::MIN, f64::max)
    }
}

/// Cases, obstacles and straps; a case never stands higher than the face of its posts.
fn solid(design: &Design, layout: &Layout, tables: &Tables) -> Vec<(Place, Place)> {
    let case = |b: &engine::layout::plan::PlacedBlock| {
        let (low, high) = (xy(b.corner), xy(b.far_corner()));
        let top = b.case_height.min(b.plus.height).as_mm();
        ([low[0], low[1], -1e4], [high[0], high[1], top])
    };
    let mut all: Vec<(Place, Place)> = layout.plan.blocks.iter().map(case).collect();
    for strap in straps::places(&layout.plan.blocks, layout.plan.inner.width, &straps::of(design)) {
        if design.holds.is_empty() {
            continue;
        }
        let half = tables.limits.value("strap-width-usual").value / 2.0;
        let (left, right) = (strap.near.0 - half, strap.near.0 + half);
        let under = layout
            .plan
            .blocks
            .iter()
            .filter(|b| b.corner.x.as_mm() < right && left < b.far_corner().x.as_mm());
        let top = under.map(|b| b.case_height.as_mm()).fold(0.0, f64::max);
        let top = top + tables.limits.value("strap-thickness").value;
        all.push(([left, strap.near.1, -1e4], [right, strap.far.1, top]));
    }
    for o in &design.obstacles {
        let [x, y] = xy(o.at);
        let (low, top) = (o.bottom.as_mm(), o.top().map_or(1e4, Length::as_mm));
        let low = if low <= 0.0 { -1e4 } else { low };
        all.push(([x, y, low], [x + o.size.x.as_mm(), y + o.size.y.as_mm(), top]));
    }
    all
}

/// Leads laid before one. Of those that share a stud with it, what lies before the second leg from that stud
/// is left out: both start there one on the other.
fn laid_before(
    layout: &Layout,
    wiring: &Wiring,
    n: usize,
    (half, ends): (f64, [Place; 2]),
) -> Vec<(Place, f64)> {
    let own = &wiring.leads[n];
    let mut all = Vec::new();
    for (other, path) in wiring.leads.iter().zip(&layout.leads).take(n) {
        let Some(route) = path.route.as_ref() else {
            continue;
        };
        let keep = half + route.diameter.as_mm() / 2.0;
        // A lead cannot stay further off than its own studs are.
        let off = |p: Place| ends.iter().map(|e| apart(*e, p)).fold(keep, f64::min);
        let shares = [&other.from, &other.to].map(|t| *t == own.from || *t == own.to);
        let places = line(route, 4.0);
        let corner = |n: usize| route.points.get(n).map(|p| xy(*p));
        let back = |n: usize| route.points.len().checked_sub(n + 1).and_then(corner);
        // From a stud to where the second leg from it begins.
        let starts =
            |a: Option<[f64; 2]>, b: Option<[f64; 2]>, places: &mut dyn Iterator<Item = &Place>| {
                let on = |p: &Place| a.zip(b).is_some_and(|(a, b)| off_leg(plan(*p), a, b) < 0.05);
                places.take_while(|p| !on(p)).count()
            };
        let first = if shares[0] { starts(corner(1), corner(2), &mut places.iter()) } else { 0 };
        let last = if shares[1] { starts(back(1), back(2), &mut places.iter().rev()) } else { 0 };
        let kept = places.len().saturating_sub(first + last);
        all.extend(places.into_iter().skip(first).take(kept).map(|p| (p, off(p))));
    }
    all
}

/// From a place of the plan to a straight leg.
fn off_leg(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let way = [b[0] - a[0], b[1] - a[1]];
    let long = (way[0] * way[0] + way[1] * way[1]).max(1e-9);
    let share = (((p[0] - a[0]) * way[0] + (p[1] - a[1]) * way[1]) / long).clamp(0.0, 1.0);
    flat(p, [a[0] + share * way[0], a[1] + share * way[1]])
}

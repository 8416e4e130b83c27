//! Geometry of leads in space for the tests of their routes: what they keep clear of, a checker of their
//! lines, and a search over a grid. It shares no code with the router.

pub(crate) mod checker;
pub(crate) mod grid;
pub(crate) mod ground;

use engine::layout::Layout;
use engine::layout::route::Route;
use engine::model::part::PlanPoint;
use engine::number;
use engine::units::Length;

/// A place in space [mm].
pub(crate) type Place = [f64; 3];

pub(crate) fn mm(value: f64) -> Length {
    Length::mm(value)
}

pub(crate) fn point(x: f64, y: f64) -> PlanPoint {
    PlanPoint { x: mm(x), y: mm(y) }
}

pub(crate) fn studs(layout: &Layout) -> Vec<PlanPoint> {
    let posts = layout.plan.blocks.iter().flat_map(|b| [b.plus.at, b.minus.at]);
    posts.chain(layout.plan.devices.iter().flat_map(|d| [d.first, d.second])).collect()
}

pub(crate) fn xy(p: PlanPoint) -> [f64; 2] {
    [p.x.as_mm(), p.y.as_mm()]
}

pub(crate) fn flat(a: [f64; 2], b: [f64; 2]) -> f64 {
    number::hypot(a[0] - b[0], a[1] - b[1])
}

pub(crate) fn plan(p: Place) -> [f64; 2] {
    [p[0], p[1]]
}

pub(crate) fn apart(a: Place, b: Place) -> f64 {
    number::hypot(flat(plan(a), plan(b)), a[2] - b[2])
}

/// The line of a route, and its two ends.
pub(crate) fn line(route: &Route, step: f64) -> Vec<Place> {
    let place =
        |p: &engine::layout::space::SpacePoint| [p.at.x.as_mm(), p.at.y.as_mm(), p.height.as_mm()];
    route.line(mm(step)).iter().map(place).collect()
}

/// A count of cells or micrometres; nothing here is negative or larger than a box.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a box holds fewer micrometres than the type, and none below zero"
)]
pub(crate) fn whole(value: f64) -> usize {
    value.round() as usize
}

pub(crate) fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).expect("a small number"))
}

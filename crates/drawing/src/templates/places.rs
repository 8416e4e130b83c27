//! Where fasteners and straps go when the design does not say, each by one stated rule.

use super::{Fasteners, Kit, Straps};
use engine::layout::plan::{PlacedBlock, Plan};
use engine::units::Length;

/// A place on the floor, from the left near corner of the inside [mm].
pub type Place = (f64, f64);

/// The rule for fasteners, as it is told.
pub const FASTENER_RULE: &str = "Fasteners whose places the design does not give stand in two rows, a \
     sixth of the width in from the near and the far wall, evenly along the box with half a space at \
     each end. Move them off frame edges, welds and seams; then mark the new places here.";

/// The rule for straps, as it is told.
pub const STRAP_RULE: &str = "Straps run from the near side to the far side, evenly along the blocks \
     they hold, moved as little as needed to pass no post and no cap. Their slits lie just outside \
     the cases.";

/// Fasteners drawn where the design does not say how many.
const FEWEST: u32 = 4;

/// The places of a set of fasteners, and whether the design decides them.
#[must_use]
pub fn fasteners(plan: &Plan, set: &Fasteners) -> (Vec<Place>, bool) {
    let (length, width) = (plan.inner.length.as_mm(), plan.inner.width.as_mm());
    let number = set.number.unwrap_or(FEWEST).clamp(1, 100);
    let spans = set.apart.map(|(along, across)| (along.as_mm(), across.as_mm()));
    // Further apart than the floor is long or wide is no place in it.
    let spans = spans.filter(|(along, across)| *along <= length && *across <= width);
    let near = number.div_ceil(2);
    let mut places = Vec::new();
    for n in 0..number {
        let (row, index) = if n < near { (0, n) } else { (1, n - near) };
        let of = if row == 0 { near } else { number - near };
        let x = spans.map_or_else(
            || length * (f64::from(index) + 0.5) / f64::from(of),
            |(along, _)| {
                let steps = f64::from(of.saturating_sub(1).max(1));
                let part = if of == 1 { 0.5 } else { f64::from(index) / steps };
                length / 2.0 + along * (part - 0.5)
            },
        );
        let in_from = spans.map_or(width / 6.0, |(_, across)| (width - across) / 2.0);
        places.push((x, if row == 0 { in_from } else { width - in_from }));
    }
    (places, spans.is_some() && set.number.is_some())
}

/// One strap on the floor: where its two slits lie.
#[derive(Clone, Debug, PartialEq)]
pub struct StrapPlace {
    /// Its name: that of its set, with a number where there are more.
    pub name: String,
    /// The near slit, its middle.
    pub near: Place,
    /// The far slit, its middle.
    pub far: Place,
    /// Width of the webbing; `None` when it is not known.
    pub width: Option<Length>,
}

/// Every strap of the rig; where the design names none, one over each column of blocks, its width open.
#[must_use]
pub fn straps(kit: &Kit<'_>) -> Vec<StrapPlace> {
    let plan = &kit.subject.layout.plan;
    if kit.straps.is_empty() {
        let usual = |column: Vec<&PlacedBlock>| {
            let over = column.iter().map(|b| b.id).collect();
            Straps { name: "strap".to_owned(), number: Some(1), width: None, over }
        };
        let sets: Vec<Straps> = columns(plan).into_iter().map(usual).collect();
        let all: Vec<StrapPlace> = sets.iter().flat_map(|s| set_places(plan, s)).collect();
        return numbered("strap", all);
    }
    kit.straps.iter().flat_map(|s| numbered(&s.name, set_places(plan, s))).collect()
}

fn numbered(name: &str, mut places: Vec<StrapPlace>) -> Vec<StrapPlace> {
    let many = 1 < places.len();
    for (n, place) in places.iter_mut().enumerate() {
        place.name = if many { format!("{name} {}", n + 1) } else { name.to_owned() };
    }
    places
}

/// Blocks that stand behind one another.
#[must_use]
pub fn columns(plan: &Plan) -> Vec<Vec<&PlacedBlock>> {
    let mut sorted: Vec<&PlacedBlock> = plan.blocks.iter().collect();
    sorted.sort_by(|a, b| a.corner.x.as_mm().total_cmp(&b.corner.x.as_mm()));
    let mut found: Vec<(f64, Vec<&PlacedBlock>)> = Vec::new();
    for block in sorted {
        let (from, to) = (block.corner.x.as_mm(), block.far_corner().x.as_mm());
        match found.last_mut() {
            // Half of the block's own length has to lie behind the column.
            Some((end, column)) if from < *end - (to - from) / 2.0 => {
                *end = end.max(to);
                column.push(block);
            }
            _ => found.push((to, vec![block])),
        }
    }
    found.into_iter().map(|(_, column)| column).collect()
}

fn set_places(plan: &Plan, set: &Straps) -> Vec<StrapPlace> {
    let held: Vec<&PlacedBlock> =
        plan.blocks.iter().filter(|b| set.over.is_empty() || set.over.contains(&b.id)).collect();
    let fold = |f: fn(f64, f64) -> f64, g: &dyn Fn(&PlacedBlock) -> f64| {
        held.iter().map(|b| g(b)).reduce(f)
    };
    let left = fold(f64::min, &|b| b.corner.x.as_mm());
    let right = fold(f64::max, &|b| b.far_corner().x.as_mm());
    let near = fold(f64::min, &|b| b.corner.y.as_mm());
    let far = fold(f64::max, &|b| b.far_corner().y.as_mm());
    let (Some(left), Some(right), Some(near), Some(far)) = (left, right, near, far) else {
        return Vec::new();
    };
    let number = set.number.unwrap_or(1).clamp(1, 24);
    let (floor_width, half) =
        (plan.inner.width.as_mm(), set.width.map_or(0.0, |w| w.as_mm() / 2.0));
    // Half-way between the cases and the wall, or on the wall where the cases touch it.
    let (low, high) = (near / 2.0, f64::midpoint(far, floor_width));
    (0..number)
        .map(|n| {
            let even = left + (right - left) * (f64::from(n) + 0.5) / f64::from(number);
            let x = clear_of_posts(&held, even, (left, right), half);
            StrapPlace {
                name: set.name.clone(),
                near: (x, low.max(0.0)),
                far: (x, high.min(floor_width)),
                width: set.width,
            }
        })
        .collect()
}

/// Radius of a post's nut or of a cap that a strap keeps off, for a place, not for a strength [mm].
const KEEP_OFF: f64 = 17.0;

/// The place nearest to an even one at which a strap passes no post and no cap.
fn clear_of_posts(held: &[&PlacedBlock], even: f64, (left, right): (f64, f64), half: f64) -> f64 {
    let free = |x: f64| {
        held.iter().all(|b| {
            let off = |p: f64| half + KEEP_OFF <= (p - x).abs();
            let caps = b.caps.iter().all(|c| off(c.x.as_mm()));
            caps && off(b.plus.at.x.as_mm()) && off(b.minus.at.x.as_mm())
        })
    };
    let steps = (0..=100_u8).flat_map(|n| [f64::from(n), -f64::from(n)]);
    let places = steps.map(|n| even + n * 2.0);
    let inside = |x: &f64| left + half <= *x && *x <= right - half;
    places.filter(inside).find(|x| free(*x)).unwrap_or(even)
}

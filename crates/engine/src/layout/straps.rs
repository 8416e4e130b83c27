//! Where the straps over the blocks lie when the design does not say, by one stated rule.

use super::plan::PlacedBlock;
use crate::model::bank::BlockId;
use crate::model::design::Design;
use crate::model::hold::HoldKind;
use crate::units::{Length, parse};

/// A place on the floor, from the left near corner of the inside [mm].
pub type Place = (f64, f64);

/// The rule for straps, as it is told.
pub const STRAP_RULE: &str = "Straps run from the near side to the far side, evenly along the blocks \
     they hold, moved as little as needed to pass no post and no cap. Their slits lie just outside \
     the cases.";

/// A set of equal straps over the blocks.
#[derive(Clone, Debug, PartialEq)]
pub struct Straps {
    /// Its name in the design.
    pub name: String,
    /// How many; `None` when the design does not say.
    pub number: Option<u32>,
    /// Width of the webbing.
    pub width: Option<Length>,
    /// The blocks it passes over; none named means all.
    pub over: Vec<BlockId>,
}

/// The straps that the design names.
#[must_use]
pub fn of(design: &Design) -> Vec<Straps> {
    let straps = design.holds.iter().filter(|h| h.kind == HoldKind::Strap);
    straps
        .map(|h| Straps {
            name: h.part.name.clone(),
            number: h.number,
            width: h.size.as_deref().and_then(|size| parse::length(size).ok()),
            over: h.over.clone(),
        })
        .collect()
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
pub fn places(blocks: &[PlacedBlock], depth: Length, sets: &[Straps]) -> Vec<StrapPlace> {
    if sets.is_empty() {
        let usual = |column: Vec<&PlacedBlock>| {
            let over = column.iter().map(|b| b.id).collect();
            Straps { name: "strap".to_owned(), number: Some(1), width: None, over }
        };
        let sets: Vec<Straps> = columns(blocks).into_iter().map(usual).collect();
        let all: Vec<StrapPlace> = sets.iter().flat_map(|s| set_places(blocks, depth, s)).collect();
        return numbered("strap", all);
    }
    sets.iter().flat_map(|s| numbered(&s.name, set_places(blocks, depth, s))).collect()
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
pub fn columns(blocks: &[PlacedBlock]) -> Vec<Vec<&PlacedBlock>> {
    let mut sorted: Vec<&PlacedBlock> = blocks.iter().collect();
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

fn set_places(blocks: &[PlacedBlock], depth: Length, set: &Straps) -> Vec<StrapPlace> {
    let held: Vec<&PlacedBlock> =
        blocks.iter().filter(|b| set.over.is_empty() || set.over.contains(&b.id)).collect();
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
    let (floor_width, half) = (depth.as_mm(), set.width.map_or(0.0, |w| w.as_mm() / 2.0));
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

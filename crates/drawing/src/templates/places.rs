//! Where fasteners go when the design does not say, by one stated rule.

use super::Fasteners;
use engine::layout::plan::Plan;

/// A place on the floor, from the left near corner of the inside [mm].
pub type Place = (f64, f64);

/// The rule for fasteners, as it is told.
pub const FASTENER_RULE: &str = "Fasteners whose places the design does not give stand in two rows, a \
     sixth of the width in from the near and the far wall, evenly along the box with half a space at \
     each end. Move them off frame edges, welds and seams; then mark the new places here.";

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

//! Where a block that is moved by hand comes to rest: at a wall, at a neighbour's gap, in line with a
//! neighbour, or just where it was put.

use super::plan::{PlacedBlock, Plan};
use crate::model::bank::BlockId;
use crate::model::part::PlanPoint;
use crate::units::Length;

/// The corner at which a block comes to rest when it is put down near `wanted`.
///
/// Along each axis it takes the nearest of these within `reach`: the margin to either wall, the gap to
/// a neighbour beside it, and an edge in line with a neighbour's. `None` when there is no such block.
#[must_use]
pub fn snapped(plan: &Plan, id: BlockId, wanted: PlanPoint, reach: Length) -> Option<PlanPoint> {
    let block = plan.block(id)?;
    let own = [block.length, block.width];
    let at = [wanted.x, wanted.y];
    let inner = [plan.inner.length, plan.inner.width];
    let others: Vec<&PlacedBlock> = plan.blocks.iter().filter(|b| b.id != id).collect();
    let one = |axis: usize| {
        let mut stops = vec![plan.margin, inner[axis] - plan.margin - own[axis]];
        for other in &others {
            let (near, far) = (corner(other), far_corner(other));
            let across = 1 - axis;
            // Beside it: the two share a strip across the way, or would with the gap between them.
            let apart = (at[across] - far[across]).max(near[across] - at[across] - own[across]);
            if apart < plan.gap {
                stops.push(far[axis] + plan.gap);
                stops.push(near[axis] - plan.gap - own[axis]);
            }
            stops.push(near[axis]);
            stops.push(far[axis] - own[axis]);
        }
        nearest(at[axis], &stops, reach)
    };
    Some(PlanPoint { x: one(0), y: one(1) })
}

const fn corner(block: &PlacedBlock) -> [Length; 2] {
    [block.corner.x, block.corner.y]
}

fn far_corner(block: &PlacedBlock) -> [Length; 2] {
    let far = block.far_corner();
    [far.x, far.y]
}

/// The stop nearest to a place, if one is within reach; the first of two that are as near.
fn nearest(at: Length, stops: &[Length], reach: Length) -> Length {
    let away = |stop: &Length| (*stop - at).as_mm().abs();
    let best = stops.iter().min_by(|a, b| away(a).total_cmp(&away(b)));
    best.copied().filter(|stop| away(stop) <= reach.as_mm()).unwrap_or(at)
}

#[cfg(test)]
mod tests {
    use super::snapped;
    use crate::layout::samples::{box_of, point};
    use crate::model::bank::BlockId;
    use crate::units::Length;

    /// Two blocks in the box; the second is put down somewhere.
    #[track_caller]
    fn check(put: (f64, f64), rests: (f64, f64)) {
        let plan = box_of(&[(10.0, 10.0), (500.0, 200.0)]);
        let id = BlockId { string: 0, place: 1 };
        let got = snapped(&plan, id, point(put.0, put.1), Length::mm(8.0)).expect("it is there");
        let got = (got.x.as_mm(), got.y.as_mm());
        let near = (got.0 - rests.0).abs() < 1e-9 && (got.1 - rests.1).abs() < 1e-9;
        assert!(near, "put at {put:?} it rests at {got:?}, not {rests:?}");
    }

    #[test]
    fn a_block_rests_at_walls_gaps_and_in_line_else_where_it_is_put() {
        // The right wall: 860 - 10 - 260 = 590; the far wall: 430 - 10 - 180 = 240.
        check((585.0, 246.0), (590.0, 240.0));
        // Beside its neighbour: 10 + 260 + 12 = 282, in line with it at 10.
        check((287.0, 14.0), (282.0, 10.0));
        // Behind its neighbour: 10 + 180 + 12 = 202.
        check((6.0, 197.0), (10.0, 202.0));
        // Far from everything.
        check((400.0, 100.0), (400.0, 100.0));
        // Out of reach by half a millimetre: 282 + 8.5.
        check((290.5, 60.0), (290.5, 60.0));
    }

    #[test]
    fn a_gap_holds_only_beside_a_neighbour() {
        // Past the neighbour by 30 mm, its gap at x = 282 means nothing.
        check((287.0, 220.0), (287.0, 220.0));
    }
}

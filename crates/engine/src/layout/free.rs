//! Where one block more goes in a box whose blocks lie as the owner laid them: the first free place,
//! or beside the box when there is none.

use super::plan::{PlacedBlock, Plan};
use crate::model::part::PlanPoint;
use crate::units::Length;

/// Closer than this is touching, so that rounding never loses a place.
const TOUCH_MM: f64 = 0.01;

/// A place for one block more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FreePlace {
    /// Its left near corner.
    pub corner: PlanPoint,
    /// It lies in the box; one that found no room lies beside it, at the right.
    pub in_box: bool,
}

/// The first place at which a case of this length and width lies free: with the margin to every wall
/// and the gap to every block. Places far from the owner come first, as the row pattern begins there,
/// and of these the left ones. Where the box is full the case lies right of everything.
#[must_use]
pub fn free_place(plan: &Plan, [length, width]: [Length; 2]) -> FreePlace {
    let far_edge = plan.inner.width - plan.margin - width;
    let ups = starts(plan, |b| (b.corner.y, b.width), (width, far_edge));
    let alongs = starts(
        plan,
        |b| (b.corner.x, b.length),
        (length, plan.inner.length - plan.margin - length),
    );
    for y in ups.into_iter().rev() {
        for x in &alongs {
            let corner = PlanPoint { x: *x, y };
            if plan.blocks.iter().all(|b| apart(b, corner, [length, width], plan.gap)) {
                return FreePlace { corner, in_box: true };
            }
        }
    }
    let right = plan.blocks.iter().map(|b| b.far_corner().x).fold(plan.inner.length, Length::max);
    let wall = plan.wall.unwrap_or(Length::ZERO);
    let corner = PlanPoint { x: right + wall + plan.gap, y: plan.margin };
    FreePlace { corner, in_box: false }
}

/// Where a case may begin along one axis, in order: at either wall, and with an edge at or in line with
/// a block's; none that reaches past the last.
fn starts(
    plan: &Plan,
    of: impl Fn(&PlacedBlock) -> (Length, Length),
    (own, last): (Length, Length),
) -> Vec<Length> {
    let mut all = vec![plan.margin, last];
    for block in &plan.blocks {
        let (near, size) = of(block);
        let far = near + size;
        all.extend([near, far - own, far + plan.gap, near - plan.gap - own]);
    }
    let within = |at: &Length| {
        plan.margin.as_mm() - TOUCH_MM <= at.as_mm() && at.as_mm() <= last.as_mm() + TOUCH_MM
    };
    all.retain(within);
    all.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
    all.dedup_by(|a, b| (*a - *b).as_mm().abs() < TOUCH_MM);
    all
}

/// Whether a case at a corner keeps the gap to a block.
fn apart(
    block: &PlacedBlock,
    corner: PlanPoint,
    [length, width]: [Length; 2],
    gap: Length,
) -> bool {
    let far = block.far_corner();
    let aside = (corner.x - far.x).max(block.corner.x - corner.x - length);
    let across = (corner.y - far.y).max(block.corner.y - corner.y - width);
    gap.as_mm() - TOUCH_MM <= aside.max(across).as_mm()
}

#[cfg(test)]
mod tests {
    use super::{FreePlace, free_place};
    use crate::layout::samples::box_of;
    use crate::units::Length;

    /// One block of 260 by 180 mm more in a box with blocks there.
    fn placed(blocks: &[(f64, f64)]) -> FreePlace {
        free_place(&box_of(blocks), [Length::mm(260.0), Length::mm(180.0)])
    }

    #[track_caller]
    fn check(blocks: &[(f64, f64)], want: (f64, f64), in_box: bool) {
        let got = placed(blocks);
        let at = (got.corner.x.as_mm(), got.corner.y.as_mm());
        let near = (at.0 - want.0).abs() < 1e-9 && (at.1 - want.1).abs() < 1e-9;
        assert!(near && got.in_box == in_box, "{blocks:?}: {got:?}, not {want:?}");
    }

    #[test]
    fn the_first_free_place_is_far_and_left() {
        // Nothing lies in it: the far left corner, 430 - 10 - 180 = 240.
        check(&[], (10.0, 240.0), true);
        // Beside what lies there: 10 + 260 + 12 = 282.
        check(&[(10.0, 240.0)], (282.0, 240.0), true);
        // A gap of 260 + 2 * 12 = 284 between two blocks is just enough, one of 283 is not.
        check(&[(10.0, 240.0), (554.0, 240.0)], (282.0, 240.0), true);
        // Else the next row nearer to the owner, a gap before the first: 240 - 12 - 180 = 48.
        check(&[(10.0, 240.0), (553.0, 240.0)], (10.0, 48.0), true);
        check(&[(10.0, 240.0), (282.0, 240.0), (590.0, 240.0)], (10.0, 48.0), true);
    }

    #[test]
    fn a_full_box_has_it_beside_and_the_next_beyond_it() {
        let full = [10.0, 282.0, 554.0].map(|x| [(x, 10.0), (x, 240.0)]).concat();
        // 860 inside, a wall of 12 and a gap of 12.
        check(&full, (884.0, 10.0), false);
        // 884 + 260, the wall and the gap again.
        check(&[full, vec![(884.0, 10.0)]].concat(), (1168.0, 10.0), false);
    }
}

//! What does not fit: blocks into one another or through a wall, a lid too low, a post off its case.

use super::case::CaseFacts;
use super::plan::{PlacedBlock, Plan};
use crate::model::block::PostAt;
use crate::units::Length;

/// Closer than this is touching, so that rounding never reports a clash.
const TOUCH_MM: f64 = 0.01;

/// What is wrong between the parts of a clash.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ClashKind {
    /// The blocks with gaps and margins are longer than the inside of the box.
    BoxTooShort,
    /// The blocks with gaps and margins are wider than the inside of the box.
    BoxTooNarrow,
    /// Too little height between the tallest stack and the lid.
    LidTooLow,
    /// A block reaches through a wall.
    ThroughWall,
    /// Two blocks lie in the same place.
    Overlap,
    /// Too little air between two flooded blocks.
    GapTooNarrow,
    /// A post measured by the owner lies outside its case.
    PostOffCase,
    /// A lead passes a bare post too closely.
    LeadNearPost,
    /// A lead lies over a filler cap, or so close that the cap cannot be turned.
    LeadOverCap,
    /// A lead has no room for its bends, its climb or its lugs.
    BendTooTight,
    /// The liner does not fit between a case and the wall.
    LinerTooThick,
    /// A divider does not fit between two blocks.
    DividerTooThick,
    /// Something else stands where the box is to stand.
    ObstacleInBox,
    /// The lid strikes something on its way up, or cannot be lifted off.
    LidStrikes,
    /// Too little free height above the caps for a hand and a hydrometer.
    NoServiceRoom,
    /// Too little free height to lift a block out.
    NoLiftRoom,
    /// Water stays in the box: its drain stands above the lowest point of the floor.
    DrainTooHigh,
    /// No drain at all under flooded blocks.
    NoDrain,
    /// The lid has no lock.
    NoLock,
    /// What hangs above the box lets the hinged lid open only part of the way.
    LidMeetsCeiling,
}

/// Something that does not fit, and by how much.
#[derive(Clone, Debug, PartialEq)]
pub struct Clash {
    /// What is wrong.
    pub kind: ClashKind,
    /// The part it speaks of: a block, a lead or the box.
    pub part: String,
    /// The other part, where there are two.
    pub other: Option<String>,
    /// What is missing.
    pub by: Length,
}

impl Clash {
    /// A clash of a part with another, or with itself where there is none.
    #[must_use]
    pub fn new(kind: ClashKind, part: &str, other: Option<String>, by: Length) -> Self {
        Self { kind, part: part.to_owned(), other, by }
    }

    /// The same, unless what is missing is only rounding.
    #[must_use]
    pub fn if_missing(self) -> Option<Self> {
        (Length::mm(TOUCH_MM) < self.by).then_some(self)
    }
}

/// Every clash of the blocks with one another and with the box.
pub(super) fn in_plan(plan: &Plan, cases: &[CaseFacts]) -> Vec<Clash> {
    let mut clashes = box_clashes(plan);
    for (n, block) in plan.blocks.iter().enumerate() {
        clashes.extend(through_wall(plan, block));
        clashes.extend(
            plan.blocks[n + 1..].iter().filter_map(|other| between(block, other, plan.gap)),
        );
    }
    for case in cases {
        for (post, sign) in [(case.plus_at, "plus"), (case.minus_at, "minus")] {
            let by = off_case(case, post);
            if Length::mm(TOUCH_MM) < by {
                let other = Some(format!("{sign} post"));
                clashes.push(Clash::new(ClashKind::PostOffCase, &case.model, other, by));
            }
        }
    }
    clashes
}

fn box_clashes(plan: &Plan) -> Vec<Clash> {
    let mut clashes = Vec::new();
    if plan.blocks.is_empty() {
        return clashes;
    }
    for (kind, by) in [
        (ClashKind::BoxTooShort, plan.needed.length - plan.inner.length),
        (ClashKind::BoxTooNarrow, plan.needed.width - plan.inner.width),
    ] {
        if Length::mm(TOUCH_MM) < by {
            clashes.push(Clash::new(kind, "box", None, by));
        }
    }
    clashes
}

fn through_wall(plan: &Plan, block: &PlacedBlock) -> Option<Clash> {
    let far = block.far_corner();
    let by =
        [-block.corner.x, -block.corner.y, far.x - plan.inner.length, far.y - plan.inner.width]
            .into_iter()
            .fold(Length::ZERO, Length::max);
    (Length::mm(TOUCH_MM) < by)
        .then(|| Clash::new(ClashKind::ThroughWall, &block.id.to_string(), None, by))
}

fn between(a: &PlacedBlock, b: &PlacedBlock, gap: Length) -> Option<Clash> {
    let (a_far, b_far) = (a.far_corner(), b.far_corner());
    // Positive where the two share a strip of that width, negative where air is between them.
    let along = a_far.x.min(b_far.x) - a.corner.x.max(b.corner.x);
    let across = a_far.y.min(b_far.y) - a.corner.y.max(b.corner.y);
    let touch = Length::mm(TOUCH_MM);
    let shared = along.min(across);
    let (kind, by) = if touch < shared {
        (ClashKind::Overlap, shared)
    } else if touch < along.max(across) && a.flooded && b.flooded {
        (ClashKind::GapTooNarrow, gap + shared)
    } else {
        return None;
    };
    (touch < by).then(|| Clash::new(kind, &a.id.to_string(), Some(b.id.to_string()), by))
}

fn off_case(case: &CaseFacts, post: PostAt) -> Length {
    if case.holds(post) {
        return Length::ZERO;
    }
    [-post.x, -post.y, post.x - case.length, post.y - case.width]
        .into_iter()
        .fold(Length::ZERO, Length::max)
}

#[cfg(test)]
mod tests {
    use super::{ClashKind, between, off_case};
    use crate::layout::case::tests::gc2;
    use crate::layout::plan::PlacedBlock;
    use crate::layout::samples;
    use crate::model::block::PostAt;
    use crate::units::Length;

    /// A flooded block of 264 by 183 mm with its left near corner there.
    fn block(place: u32, x: f64, y: f64) -> PlacedBlock {
        let (length, width) = (Length::mm(264.0), Length::mm(183.0));
        PlacedBlock { length, width, ..samples::block(place, x, y) }
    }

    /// The clash of a block at the corner with one at `x`, `y`, both with 12 mm of air asked for.
    #[track_caller]
    fn check(x: f64, y: f64, want: Option<(ClashKind, f64)>) {
        let got = between(&block(0, 0.0, 0.0), &block(1, x, y), Length::mm(12.0));
        let got = got.map(|clash| (clash.kind, (clash.by.as_mm() * 1000.0).round() / 1000.0));
        assert_eq!(got, want, "the second block at {x}, {y}");
    }

    #[test]
    fn neighbours_overlap_or_lack_air_by_what_they_lack() {
        check(276.0, 0.0, None);
        check(270.0, 50.0, Some((ClashKind::GapTooNarrow, 6.0)));
        check(264.0, 0.0, Some((ClashKind::GapTooNarrow, 12.0)));
        check(250.0, 100.0, Some((ClashKind::Overlap, 14.0)));
        // Corner to corner, with air past both sides.
        check(270.0, 190.0, None);
    }

    #[test]
    fn sealed_blocks_may_touch() {
        let mut sealed = block(1, 264.0, 0.0);
        sealed.flooded = false;
        let got = between(&block(0, 0.0, 0.0), &sealed, Length::mm(12.0));
        assert_eq!(got, None, "one of the two needs no air");
    }

    #[test]
    fn a_post_off_its_case_is_off_by_the_larger_overhang() {
        let case = gc2();
        for (x, y, want) in [(30.0, 20.0, 0.0), (270.0, 20.0, 6.0), (-4.0, 190.0, 7.0)] {
            let by = off_case(&case, PostAt { x: Length::mm(x), y: Length::mm(y) }).as_mm();
            assert!((by - want).abs() < 1e-9, "{x}, {y}: {by} mm");
        }
    }
}

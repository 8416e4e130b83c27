//! What every part has: a name, when it is bought, whether it is there already, what it costs.

use crate::units::Length;

/// When a part stands in the rig and how it came there.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Part {
    /// The name used everywhere: page, book, cut list, label.
    pub name: String,
    /// The stage at which it is fitted; `None` means it is there from the first stage.
    pub stage: Option<String>,
    /// The stage at which it is taken out again.
    pub until: Option<String>,
    /// Already owned.
    pub have: bool,
    /// Price in the owner's own money, as the owner wrote it.
    pub price: Option<f64>,
    /// What it is, in the owner's words.
    pub note: Option<String>,
}

/// A point on the plan, measured from the inner corner of the box at the owner's left hand, near side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanPoint {
    /// To the right.
    pub x: Length,
    /// Away from the owner.
    pub y: Length,
}

/// Where a mass sits in the rig, measured as its kind of rig is measured; its centre counts.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Spot {
    /// Behind the ball, on a trailer; below zero ahead of it.
    pub behind_ball: Option<Length>,
    /// Behind the front axle, in a van; below zero ahead of it.
    pub behind_front_axle: Option<Length>,
    /// Off the centreline, on a boat: above zero to starboard.
    pub off_centre: Option<Length>,
    /// Ahead of the middle of the waterline, on a boat; below zero astern of it.
    pub ahead_of_middle: Option<Length>,
}

/// Which way a case is turned, seen from above, anticlockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Turn {
    /// As the maker's drawing shows it: length along x.
    #[default]
    None,
    /// A quarter turn.
    Quarter,
    /// Half a turn.
    Half,
    /// Three quarters.
    ThreeQuarters,
}

impl Turn {
    /// Degrees anticlockwise.
    #[must_use]
    pub const fn degrees(self) -> i32 {
        match self {
            Self::None => 0,
            Self::Quarter => 90,
            Self::Half => 180,
            Self::ThreeQuarters => 270,
        }
    }

    /// From degrees, when they are a whole number of quarter turns.
    #[must_use]
    pub fn from_degrees(degrees: f64) -> Option<Self> {
        [Self::None, Self::Quarter, Self::Half, Self::ThreeQuarters].into_iter().find(|t| {
            let away = (degrees - f64::from(t.degrees())).rem_euclid(360.0);
            !(1e-6..=360.0 - 1e-6).contains(&away)
        })
    }
}

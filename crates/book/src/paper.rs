//! The two papers a book is printed on, and the room that a page leaves for its work.

use engine::model::rig::Practice;

/// A sheet of paper, upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 8 1/2 by 11 inches.
    Letter,
    /// 210 by 297 mm.
    A4,
}

/// Blank margin left and right of a page [mm].
pub const SIDE: f64 = 15.0;
/// Blank margin above a page [mm]; a binding clip needs no more.
pub const TOP: f64 = 11.0;
/// Blank margin below a page [mm].
pub const BOTTOM: f64 = 9.0;
/// Height of a page's head: big number, title, rig and stage [mm].
pub const HEAD: f64 = 21.0;
/// Height of a page's foot: the standing sentence, the rig, the page number [mm].
pub const FOOT: f64 = 13.0;
/// Room left unused at the end of a page, so that a rounding of the browser never pushes the foot
/// onto the next sheet [mm].
pub const SPARE: f64 = 2.0;

impl Paper {
    /// Both papers.
    pub const ALL: [Self; 2] = [Self::Letter, Self::A4];

    /// The word in file names and in the style sheet.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::A4 => "a4",
        }
    }

    /// The paper that lies in the printer where a practice applies.
    #[must_use]
    pub const fn usual(practice: Practice) -> Self {
        if practice.is_us() { Self::Letter } else { Self::A4 }
    }

    /// Width and height [mm].
    #[must_use]
    pub const fn size_mm(self) -> (f64, f64) {
        match self {
            Self::Letter => (215.9, 279.4),
            Self::A4 => (210.0, 297.0),
        }
    }

    /// Width of the work on a page [mm].
    #[must_use]
    pub fn width(self) -> f64 {
        self.size_mm().0 - 2.0 * SIDE
    }

    /// Height of the work on a page, between head and foot [mm].
    #[must_use]
    pub fn height(self) -> f64 {
        self.size_mm().1 - TOP - BOTTOM - HEAD - FOOT - SPARE
    }
}

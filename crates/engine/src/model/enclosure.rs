//! The box or compartment the bank stands in.

use super::part::Part;
use crate::units::{Area, Length, Mass};

/// The box as the owner gave it.
#[derive(Clone, Debug, PartialEq)]
pub struct Enclosure {
    /// Name, stage, price.
    pub part: Part,
    /// Inside length, along x.
    pub length: Option<Length>,
    /// Inside width, along y.
    pub width: Option<Length>,
    /// Inside height under the lid.
    pub height: Option<Length>,
    /// Thickness of the wall.
    pub wall: Option<Length>,
    /// Air gap between blocks.
    pub gap: Option<Length>,
    /// Gap between blocks and wall.
    pub margin: Option<Length>,
    /// Columns of the row pattern; `None` lets the tool choose.
    pub columns: Option<u32>,
    /// Where the owner stands: the near side of the plan.
    pub seen_from: Option<String>,
    /// What lies beyond the far side of the plan.
    pub far_side: Option<String>,
    /// Where the box is, in the owner's words.
    pub place: Option<String>,
    /// Adjoins the living space.
    pub inside: Option<bool>,
    /// Sealed from the living space.
    pub sealed: Option<bool>,
    /// Free area of the low opening to outside.
    pub vent_low: Option<Area>,
    /// Free area of the high opening to outside.
    pub vent_high: Option<Area>,
    /// A lid or cover keeps tools off the posts.
    pub lid: Option<bool>,
    /// Mass of box, leads and fittings.
    pub mass: Option<Mass>,
    /// How far behind the ball its centre lies, on a trailer.
    pub behind_ball: Option<Length>,
    /// How far off the centreline, on a boat.
    pub off_centre: Option<Length>,
}

impl Enclosure {
    /// A box of which nothing is known.
    #[must_use]
    pub fn unknown() -> Self {
        Self {
            part: Part { name: "box".to_owned(), ..Part::default() },
            length: None,
            width: None,
            height: None,
            wall: None,
            gap: None,
            margin: None,
            columns: None,
            seen_from: None,
            far_side: None,
            place: None,
            inside: None,
            sealed: None,
            vent_low: None,
            vent_high: None,
            lid: None,
            mass: None,
            behind_ball: None,
            off_centre: None,
        }
    }
}

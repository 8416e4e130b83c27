//! The box or compartment the bank stands in.

use super::hold::BoxMaterial;
use super::part::{Part, Spot};
use crate::units::{Area, Length, Mass};

/// The side at which the lid is hinged, as the owner sees it on the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hinge {
    /// Away from the owner.
    Far,
    /// At the owner's side.
    Near,
    /// At the left.
    Left,
    /// At the right.
    Right,
    /// Not hinged: the lid lifts off.
    LiftsOff,
}

impl Hinge {
    /// Every hinge with the word used in the design file.
    pub const WORDS: [(&'static str, Self); 5] = [
        ("far", Self::Far),
        ("near", Self::Near),
        ("left", Self::Left),
        ("right", Self::Right),
        ("lifts off", Self::LiftsOff),
    ];

    /// The word used in the design file.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, hinge)| *hinge == self).map_or("", |(word, _)| word)
    }

    /// From the word used in the design file.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(known, _)| *known == word).map(|(_, hinge)| *hinge)
    }
}

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
    /// Where the lid is hinged.
    pub lid_hinge: Option<Hinge>,
    /// Clear height the owner wants between the tallest stack and the lid.
    pub lid_clearance: Option<Length>,
    /// Free height above the rim with the lid open, to a ceiling, a bench or a shelf.
    pub headroom: Option<Length>,
    /// Thickness of the liner inside the walls and on the floor.
    pub liner: Option<Length>,
    /// Thickness of a divider between two blocks.
    pub divider: Option<Length>,
    /// Has a hole through which water runs out.
    pub drain: Option<bool>,
    /// How far the rim of that hole stands above the lowest point of the floor.
    pub drain_height: Option<Length>,
    /// The lid can be locked.
    pub lock: Option<bool>,
    /// Kept above freezing whenever it may be charged.
    pub heated: Option<bool>,
    /// Mass of box, leads and fittings.
    pub mass: Option<Mass>,
    /// Where it sits in the rig.
    pub spot: Spot,
    /// Blocks are lifted in over a rail, a sill or a side.
    pub over_rail: Option<bool>,
    /// What its floor is made of.
    pub material: Option<BoxMaterial>,
    /// How far a block can be pushed before it meets something.
    pub play: Option<Length>,
    /// Stops on the floor on all four sides keep it from sliding.
    pub stops: Option<bool>,
    /// The drill or hole saw its openings are cut with.
    pub vent_drill: Option<Length>,
    /// What else stands in the same space, in the words of [`super::hold::SHARES`].
    pub shares: Vec<String>,
    /// Distance to the nearest metal fuel part above.
    pub fuel_above: Option<Length>,
    /// That fuel part is shielded.
    pub fuel_shielded: Option<bool>,
    /// Stands straight above or below a tank, filter or fitting of fuel.
    pub fuel_over_under: Option<bool>,
}

impl Enclosure {
    /// The inside sizes that nobody said, by their place in the design file.
    #[must_use]
    pub fn unsaid(enclosure: Option<&Self>) -> Vec<&'static str> {
        let sizes = enclosure.map_or([None; 3], |e| [e.length, e.width, e.height]);
        let named = ["box.length", "box.width", "box.height"].into_iter().zip(sizes);
        named.filter(|(_, size)| size.is_none()).map(|(name, _)| name).collect()
    }

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
            lid_hinge: None,
            lid_clearance: None,
            headroom: None,
            liner: None,
            divider: None,
            drain: None,
            drain_height: None,
            lock: None,
            heated: None,
            mass: None,
            spot: Spot::default(),
            over_rail: None,
            material: None,
            play: None,
            stops: None,
            vent_drill: None,
            shares: Vec::new(),
            fuel_above: None,
            fuel_shielded: None,
            fuel_over_under: None,
        }
    }
}

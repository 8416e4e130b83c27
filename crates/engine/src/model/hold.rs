//! What holds the blocks in their box and the box on the rig.

use super::bank::BlockId;
use super::part::Part;
use crate::units::{Angle, Length, Mass};

/// What a fastener is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HoldKind {
    /// A bolt with nut, right through.
    Bolt,
    /// A screw that cuts its own thread in thin metal.
    Screw,
    /// A rivet.
    Rivet,
    /// A strap or bar over what it holds.
    Strap,
    /// A clamp round a rail.
    Clamp,
}

impl HoldKind {
    /// Every kind with the word used in the design file.
    pub const WORDS: [(&'static str, Self); 5] = [
        ("bolt", Self::Bolt),
        ("screw", Self::Screw),
        ("rivet", Self::Rivet),
        ("strap", Self::Strap),
        ("clamp", Self::Clamp),
    ];

    /// The word used in the design file.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|w| w.1 == self).map_or("fastener", |w| w.0)
    }
}

/// What a fastener goes into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ground {
    /// A closed tube: no hand reaches the far side of its wall.
    ClosedTube,
    /// An open channel or angle.
    OpenChannel,
    /// Flat metal plate or sheet.
    Plate,
    /// Plywood or boards.
    Wood,
}

impl Ground {
    /// Every ground with the word used in the design file.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("closed tube", Self::ClosedTube),
        ("open channel", Self::OpenChannel),
        ("plate", Self::Plate),
        ("wood", Self::Wood),
    ];

    /// The word used in the design file.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|w| w.1 == self).map_or("metal", |w| w.0)
    }
}

/// What a box is made of, where a head or plate bears on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BoxMaterial {
    /// Plywood.
    Plywood,
    /// Steel.
    Steel,
    /// Aluminium.
    Aluminium,
    /// Plastic.
    Plastic,
}

impl BoxMaterial {
    /// Every material with the word used in the design file.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("plywood", Self::Plywood),
        ("steel", Self::Steel),
        ("aluminium", Self::Aluminium),
        ("plastic", Self::Plastic),
    ];

    /// The word used in the design file.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|w| w.1 == self).map_or("box wall", |w| w.0)
    }
}

/// What is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Held {
    /// The blocks, in their box or tray.
    Blocks,
    /// The box with all in it, or the tray, on the rig.
    Box,
}

impl Held {
    /// The word used in the design file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Blocks => "blocks",
            Self::Box => "box",
        }
    }
}

/// A set of equal fasteners as the owner gave it.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// Name, stage, price of the set.
    pub part: Part,
    /// What it is.
    pub kind: HoldKind,
    /// What it holds.
    pub held: Held,
    /// How many.
    pub number: Option<u32>,
    /// Its size: `3/8 in`, `M8`, `#12`.
    pub size: Option<String>,
    /// Grade of a bolt: `grade 5`, `8.8`.
    pub grade: Option<String>,
    /// What it goes into.
    pub into: Option<Ground>,
    /// Thickness of the metal it goes into.
    pub wall: Option<Length>,
    /// Side of the square plate under its nut and under its head, or diameter of its washer.
    pub plate: Option<Length>,
    /// Thickness of all that is clamped between head and nut.
    pub grip: Option<Length>,
    /// What the label of a strap or clamp allows, each.
    pub rating: Option<Mass>,
    /// What each end fitting of a strap bears.
    pub anchor: Option<Mass>,
    /// The strap closes on itself and needs no end fitting.
    pub closed: Option<bool>,
    /// Angle between strap and floor.
    pub angle: Option<Angle>,
    /// The blocks a strap passes over; empty means all.
    pub over: Vec<BlockId>,
    /// Distances between the outermost fasteners: along the box and across it.
    pub apart: Option<(Length, Length)>,
    /// Least distance between two of them, middle to middle.
    pub spacing: Option<Length>,
    /// From the middle of the nearest to an edge of the metal.
    pub edge: Option<Length>,
}

impl Hold {
    /// A set of which nothing but name and kind is known.
    #[must_use]
    pub fn named(name: &str, kind: HoldKind) -> Self {
        Self {
            part: Part { name: name.to_owned(), ..Part::default() },
            kind,
            held: if kind == HoldKind::Strap { Held::Blocks } else { Held::Box },
            number: None,
            size: None,
            grade: None,
            into: None,
            wall: None,
            plate: None,
            grip: None,
            rating: None,
            anchor: None,
            closed: None,
            angle: None,
            over: Vec::new(),
            apart: None,
            spacing: None,
            edge: None,
        }
    }
}

/// What else shares the space of the blocks.
pub const SHARES: [&str; 6] =
    ["nothing", "gas bottle", "appliance", "fuel tank", "fuel filter", "fuel line"];

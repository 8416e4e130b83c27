//! Leads and what they bolt to.

use super::bank::BlockId;
use super::part::{Part, PlanPoint};
use crate::units::conductor::ConductorSize;
use crate::units::{Angle, Length, Resistance, Temperature};

/// Something a lug bolts to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Terminal {
    /// A post of a block.
    Post {
        /// Which block.
        block: BlockId,
        /// Its plus or its minus post.
        plus: bool,
    },
    /// A stud of a device.
    Stud {
        /// The device's name.
        device: String,
        /// Which of its studs.
        pole: Pole,
    },
}

/// Which stud of a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pole {
    /// The plus stud.
    Plus,
    /// The minus stud.
    Minus,
    /// The stud towards the bank of a two-ended device.
    In,
    /// The stud away from the bank.
    Out,
    /// A bar or a single common point: any stud.
    Bar,
}

impl Terminal {
    /// The plus post of a block.
    #[must_use]
    pub const fn plus(block: BlockId) -> Self {
        Self::Post { block, plus: true }
    }

    /// The minus post of a block.
    #[must_use]
    pub const fn minus(block: BlockId) -> Self {
        Self::Post { block, plus: false }
    }

    /// A stud of a device.
    #[must_use]
    pub fn stud(device: &str, pole: Pole) -> Self {
        Self::Stud { device: device.to_owned(), pole }
    }

    /// Reads `A1 +`, `main in`, `inverter -`, `minus bar`.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        let text = text.trim().replace('\u{a0}', " ");
        let (name, pole) = match text.rsplit_once(' ') {
            Some((name, "+")) => (name, Pole::Plus),
            Some((name, "-" | "−")) => (name, Pole::Minus),
            Some((name, "in")) => (name, Pole::In),
            Some((name, "out")) => (name, Pole::Out),
            _ => (text.as_str(), Pole::Bar),
        };
        let name = name.trim();
        if name.is_empty() {
            return None;
        }
        match (BlockId::from_text(name), pole) {
            (Some(block), Pole::Plus) => Some(Self::plus(block)),
            (Some(block), Pole::Minus) => Some(Self::minus(block)),
            (Some(_), _) => None,
            (None, pole) => Some(Self::stud(name, pole)),
        }
    }

    /// The block, where this is a post.
    #[must_use]
    pub const fn block(&self) -> Option<BlockId> {
        match self {
            Self::Post { block, .. } => Some(*block),
            Self::Stud { .. } => None,
        }
    }

    /// The device, where this is a stud.
    #[must_use]
    pub fn device(&self) -> Option<&str> {
        match self {
            Self::Post { .. } => None,
            Self::Stud { device, .. } => Some(device),
        }
    }
}

impl std::fmt::Display for Terminal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Post { block, plus } => {
                write!(f, "{block}\u{a0}{}", if *plus { "+" } else { "−" })
            }
            Self::Stud { device, pole } => match pole {
                Pole::Plus => write!(f, "{device}\u{a0}+"),
                Pole::Minus => write!(f, "{device}\u{a0}−"),
                Pole::In => write!(f, "{device}\u{a0}in"),
                Pole::Out => write!(f, "{device}\u{a0}out"),
                Pole::Bar => write!(f, "{device}"),
            },
        }
    }
}

/// How the barrel of a lug stands to its palm, seen from the side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LugForm {
    /// In line with the palm.
    Straight,
    /// Bent up by half a right angle.
    Half,
    /// Bent up by a right angle.
    Upright,
}

impl LugForm {
    /// Every form with the word used in the design file, the plainest first.
    pub const WORDS: [(&'static str, Self); 3] =
        [("straight", Self::Straight), ("45 degree", Self::Half), ("90 degree", Self::Upright)];

    /// The word used in the design file and in the trade.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|w| w.1 == self).map_or("straight", |w| w.0)
    }

    /// Reads the word used in the design file.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|w| w.0 == word).map(|w| w.1)
    }

    /// By how much the barrel rises over the palm.
    #[must_use]
    pub fn rise(self) -> Angle {
        match self {
            Self::Straight => Angle::ZERO,
            Self::Half => Angle::degrees(45.0),
            Self::Upright => Angle::degrees(90.0),
        }
    }
}

/// One end of a lead.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct LeadEnd {
    /// Hole of the lug that is on it, where the lead is in hand.
    pub lug_hole: Option<Length>,
    /// Resistance of the joint: crimp and bolted contact together.
    pub joint: Option<Resistance>,
    /// A boot covers the post.
    pub boot: Option<bool>,
    /// The way it leaves the post, seen from above: anticlockwise from the right of the plan.
    pub exit: Option<Angle>,
    /// How its lug is bent, where the owner says so.
    pub form: Option<LugForm>,
}

/// A lead as the owner gave it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lead {
    /// Name, stage, price.
    pub part: Part,
    /// Where it starts; `None` for a link of the bank that only something more is said of.
    pub from: Option<Terminal>,
    /// Where it ends.
    pub to: Option<Terminal>,
    /// The size, where the owner has decided it.
    pub size: Option<ConductorSize>,
    /// Stud-to-stud length of the lead; measured when it is in hand.
    pub length: Option<Length>,
    /// The end at `from`.
    pub from_end: LeadEnd,
    /// The end at `to`.
    pub to_end: LeadEnd,
    /// Angle between the two lugs.
    pub lug_angle: Option<Angle>,
    /// Temperature class of the insulation.
    pub insulation: Option<Temperature>,
    /// Sheathed or in conduit the whole way.
    pub sheathed: Option<bool>,
    /// Runs through an engine space.
    pub engine_space: Option<bool>,
    /// Current-carrying conductors in the same bundle, this one included.
    pub bundled: Option<u32>,
    /// Conductor temperature used for its resistance.
    pub temperature: Option<Temperature>,
    /// Points it passes, where the owner fixes the route.
    pub via: Vec<PlanPoint>,
    /// Colour of its jacket.
    pub colour: Option<String>,
    /// Feeds something that may never lose more than the smaller limit of voltage.
    pub critical: Option<bool>,
    /// Feeds an engine starter: exempt from the fuse at the battery.
    pub starter: Option<bool>,
}

impl Lead {
    /// A lead of which nothing but the name is known.
    #[must_use]
    pub fn named(name: &str) -> Self {
        Self {
            part: Part { name: name.to_owned(), ..Part::default() },
            from: None,
            to: None,
            size: None,
            length: None,
            from_end: LeadEnd::default(),
            to_end: LeadEnd::default(),
            lug_angle: None,
            insulation: None,
            sheathed: None,
            engine_space: None,
            bundled: None,
            temperature: None,
            via: Vec::new(),
            colour: None,
            critical: None,
            starter: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Pole, Terminal};
    use crate::model::bank::BlockId;

    #[test]
    fn terminals_read_as_written() {
        let a1 = BlockId { string: 0, place: 0 };
        for (text, want) in [
            ("A1 +", Some(Terminal::plus(a1))),
            ("A1 -", Some(Terminal::minus(a1))),
            ("A1 −", Some(Terminal::minus(a1))),
            ("main in", Some(Terminal::stud("main", Pole::In))),
            ("minus bar", Some(Terminal::stud("minus bar", Pole::Bar))),
            ("A1", None),
            ("", None),
        ] {
            assert_eq!(Terminal::from_text(text), want, "{text}");
        }
    }

    #[test]
    fn a_sign_stays_with_its_post() {
        let shown = Terminal::plus(BlockId { string: 1, place: 1 }).to_string();
        assert_eq!(shown, "B2\u{a0}+", "no line break between post and sign");
    }
}

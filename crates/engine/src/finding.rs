//! What the tool says about the owner's design.

use crate::cite::Cite;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Do not energise, tow, sail, charge or buy.
    Stop,
    /// Works, but ruins something or is not compliant.
    Fix,
    /// A surprise worth knowing.
    Note,
}

impl Severity {
    /// The word shown everywhere.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stop => "STOP",
            Self::Fix => "FIX",
            Self::Note => "NOTE",
        }
    }
}

/// A point in the work that may not be passed while a STOP stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gate {
    /// Buying parts.
    Buy,
    /// Closing the last link, the fuse or the isolator.
    Energise,
    /// Letting any source charge the bank.
    Charge,
    /// Towing or driving away.
    Tow,
    /// Casting off.
    Sail,
}

impl Gate {
    /// Every gate, in the order of the work. A STOP whose rule names none blocks all of them.
    pub const ALL: [Self; 5] = [Self::Buy, Self::Energise, Self::Charge, Self::Tow, Self::Sail];

    /// The word shown everywhere.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Buy => "buy",
            Self::Energise => "energise",
            Self::Charge => "charge",
            Self::Tow => "tow",
            Self::Sail => "sail",
        }
    }
}

/// The number of a rule, R01 to R63. A code never changes meaning and is never reused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Code(pub u8);

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "R{:02}", self.0)
    }
}

/// One thing the tool has to say about the design.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Which rule.
    pub code: Code,
    /// How bad.
    pub severity: Severity,
    /// The gates it holds shut; empty unless it is a STOP.
    pub blocks: Vec<Gate>,
    /// The stage at which it first appears.
    pub stage: Option<String>,
    /// What is, with the owner's own numbers and part names, in one or two sentences.
    pub says: String,
    /// What to do.
    pub remedy: String,
    /// Why, in one line.
    pub why: String,
    /// Path in the design file of the thing it speaks of, such as `lead.8.size`.
    pub path: String,
    /// The thing it speaks of as a reader knows it, such as `lead 8`.
    pub part: String,
    /// Where the rule and its numbers come from.
    pub sources: Vec<Cite>,
}

/// Something the owner did not say and the tool filled in.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// Path in the design file where the owner can say it.
    pub path: String,
    /// The value used, with its unit.
    pub value: String,
    /// How to measure or find it.
    pub how_to_measure: String,
    /// What it changes and by how much.
    pub matters: String,
    /// Where the value comes from.
    pub cite: Cite,
}

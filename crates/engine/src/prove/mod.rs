//! Proving: what every meter should show on the day, what the readings taken say about each part,
//! and which reading to take next.
//!
//! `sheet` lists every reading that may be taken; `rig` and `net` say what a meter shows with
//! any one part wrong; `spread` says how far a sound bank may stray; `faults` lists what may be
//! wrong; `weigh` gives each its odds; `next` finds the reading that would settle most, `ahead` what
//! each is worth; `words` says it. No other fault than those of [`FaultKind`] is known here, and one
//! at a time.

mod dense;
mod net;
mod rig;
mod spread;
pub mod sheet;
mod model;
mod faults;
mod weigh;
mod next;
mod ahead;
mod words;
mod proof;

use crate::model::bank::BlockId;
use crate::model::lead::Terminal;
use crate::plan::bench::State;
use crate::plan::build::PartRef;
use crate::units::reading::Quantity;

/// Which test a reading belongs to, in the order of the gates.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Test {
    /// Every block by itself, nothing on its posts.
    Apart,
    /// Every string open, joined to nothing else.
    Strings,
    /// Across the last gap of a loop, before it is closed.
    Gap,
    /// Everything fitted, nothing drawn.
    Rest,
    /// Everything off that a switch turns off.
    Standby,
    /// Under the test load.
    Load,
    /// While a source charges.
    Charging,
}

impl Test {
    /// The word shown everywhere.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Apart => "blocks apart",
            Self::Strings => "strings open",
            Self::Gap => "across the gap",
            Self::Rest => "at rest",
            Self::Standby => "standby",
            Self::Load => "under load",
            Self::Charging => "charging",
        }
    }
}

/// Where a tip goes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Point {
    /// On a post or stud itself.
    Terminal(Terminal),
    /// On the copper at the end of a lug's barrel.
    Lug {
        /// The lead.
        lead: String,
        /// At its start rather than its end.
        at_start: bool,
    },
}

/// What the jaw of the clamp goes round.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Clamped {
    /// A lead; positive from its start to its end, turned where `backwards`.
    Lead {
        /// The lead.
        lead: String,
        /// The arrow points from its end to its start.
        backwards: bool,
    },
    /// Everything on the plus post of a block; positive out of the block.
    Block(BlockId),
    /// Everything the device takes; positive out of the bank.
    Drawn,
}

/// What is put where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum At {
    /// Two tips; without a sign, the meter is read as it stands whichever way it shows.
    Between {
        /// Red.
        red: Point,
        /// Black.
        black: Point,
        /// Whether the sign counts.
        signed: bool,
    },
    /// A jaw.
    Clamp(Clamped),
    /// The loads that stay on with everything off, as the owner lists them.
    Standby,
}

/// What is drawn in a test.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// At whose studs; `None` where the main leads leave the bank.
    pub device: Option<String>,
    /// Amps out of the bank; negative when it is charged.
    pub amps: f64,
}

/// A reading that may be taken at this stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Expected {
    /// The name the book prints.
    pub id: String,
    /// What it is of.
    pub quantity: Quantity,
    /// The test.
    pub test: Test,
    /// What a sound bank shows; `None` when the owner did not say enough.
    pub expect: Option<f64>,
    /// Smallest value of a sound bank.
    pub low: Option<f64>,
    /// Largest value of a sound bank.
    pub high: Option<f64>,
    /// Range to set.
    pub range: String,
    /// Where tips or jaw go, in words.
    pub probes: String,
    /// The same for a program.
    pub at: At,
    /// What is bolted and closed meanwhile.
    pub state: State,
    /// What is drawn meanwhile.
    pub drawn: Option<Drawn>,
    /// It is how far the figure moves, tips or jaw left where they are, from nothing drawn to what
    /// is drawn: volts by how far they fall, amps by how far they rise.
    pub moves: bool,
    /// Parts to highlight.
    pub parts: Vec<PartRef>,
    /// The least test amps with which it can be judged, where those at hand are too few [A].
    pub needs_amps: Option<f64>,
    /// Said beside it.
    pub note: Option<String>,
}

/// What may be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaultKind {
    /// A joint has more resistance than it should: loose, dirty, corroded, badly crimped.
    LooseJoint,
    /// A lead is thinner than drawn.
    ThinLead,
    /// A lead is not there, is broken, or is bolted at one end only.
    MissingLead,
    /// A fuse or switch on the way is open.
    OpenDevice,
    /// A lead is bolted to another post than drawn.
    MovedLead,
    /// A block stands the wrong way round.
    Reversed,
    /// A whole string stands the wrong way round.
    StringBackwards,
    /// A block's inner resistance is up: old, sulphated, cold.
    Weak,
    /// A block is less charged than the others.
    Undercharged,
    /// A cell of a block gives nothing.
    DeadCell,
    /// A figure was read on another range than it was written down for.
    WrongRange,
    /// The tips were swapped, or the clamp sat the wrong way round.
    Swapped,
    /// The clamp was not zeroed.
    NotZeroed,
    /// One figure fits nothing else: mistyped, or read elsewhere.
    Mistyped,
}

impl FaultKind {
    /// The word shown everywhere.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::LooseJoint => "loose joint",
            Self::ThinLead => "thin lead",
            Self::MissingLead => "missing lead",
            Self::OpenDevice => "open device",
            Self::MovedLead => "moved lead",
            Self::Reversed => "reversed block",
            Self::StringBackwards => "string backwards",
            Self::Weak => "weak block",
            Self::Undercharged => "undercharged block",
            Self::DeadCell => "dead cell",
            Self::WrongRange => "wrong range",
            Self::Swapped => "swapped tips",
            Self::NotZeroed => "clamp not zeroed",
            Self::Mistyped => "odd reading",
        }
    }

    /// The rig is sound; a figure or the meter is not.
    #[must_use]
    pub const fn is_of_the_meter(self) -> bool {
        self.is_of_a_figure() || matches!(self, Self::NotZeroed)
    }

    /// One figure is in doubt.
    #[must_use]
    pub const fn is_of_a_figure(self) -> bool {
        matches!(self, Self::WrongRange | Self::Swapped | Self::Mistyped)
    }

    /// Nothing may be loaded, charged or closed while this is suspected.
    #[must_use]
    pub const fn is_gate(self) -> bool {
        matches!(self, Self::MovedLead | Self::Reversed | Self::StringBackwards | Self::DeadCell)
    }
}

/// The part a fault is in.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// One end of a lead, by the book's name: `5.from`.
    Joint {
        /// The lead.
        lead: String,
        /// At its start.
        at_start: bool,
        /// The post or stud.
        terminal: Terminal,
    },
    /// A lead.
    Lead(String),
    /// A block.
    Block(BlockId),
    /// A string, counted from 0.
    String(u32),
    /// A device.
    Device(String),
    /// One reading.
    Reading(String),
    /// The clamp meter.
    Clamp,
}

impl std::fmt::Display for Part {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Joint { lead, at_start, .. } => {
                write!(f, "{lead}.{}", if *at_start { "from" } else { "to" })
            }
            Self::Lead(name) | Self::Device(name) | Self::Reading(name) => f.write_str(name),
            Self::Block(id) => write!(f, "{id}"),
            Self::String(string) => write!(f, "string {}", BlockId::string_letters(*string)),
            Self::Clamp => f.write_str("the clamp"),
        }
    }
}

/// What a reading is found to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    /// Inside the band.
    Within,
    /// Outside it.
    Outside,
    /// The current was too small for this meter.
    TooSmall,
    /// No sound or faulty part of this rig shows that: the figure itself is in doubt.
    CannotBe,
    /// There is nothing to hold it against.
    Unjudged,
}

impl Found {
    /// The word shown everywhere.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Within => "within",
            Self::Outside => "outside",
            Self::TooSmall => "too small to judge",
            Self::CannotBe => "cannot be",
            Self::Unjudged => "not judged",
        }
    }
}

/// One reading held against what it should be.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Its name.
    pub id: String,
    /// What it is of.
    pub quantity: Quantity,
    /// The test.
    pub test: Test,
    /// What a sound bank shows.
    pub expected: Option<f64>,
    /// Smallest value of a sound bank.
    pub low: Option<f64>,
    /// Largest value of a sound bank.
    pub high: Option<f64>,
    /// What was read.
    pub measured: f64,
    /// What it is found to be.
    pub verdict: Found,
    /// The same in words.
    pub says: String,
    /// Line of the file it stands in.
    pub line: Option<usize>,
}

/// How large a fault is, with the range in which it lies nineteen times in twenty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The likeliest value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// `mohm`, `V`, `mm2`.
    pub unit: &'static str,
}

/// One thing that may explain the readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// Which part.
    pub part: Part,
    /// The other joint of the same lead, where nothing that was read tells the two apart.
    pub or_in: Option<Part>,
    /// What is wrong with it.
    pub kind: FaultKind,
    /// How sure, 0 to 1, among everything known here that can be wrong, and nothing being wrong.
    pub probability: f64,
    /// How large.
    pub estimate: Option<Estimate>,
    /// What it is, in a sentence, with what else shows the same.
    pub says: String,
    /// What to do, in a sentence; `do` in JSON.
    pub do_: String,
    /// Nothing may go on while this is suspected.
    pub gate: bool,
    /// Parts to highlight.
    pub parts: Vec<PartRef>,
}

impl Suspect {
    /// The part, or both of the two that nothing read tells apart: `5.from or 5.to`.
    #[must_use]
    pub fn named(&self) -> String {
        match &self.or_in {
            Some(other) => format!("{} or {other}", self.part),
            None => self.part.to_string(),
        }
    }
}

/// What a suspect would show at the next reading.
#[derive(Clone, Debug, PartialEq)]
pub struct ExpectIf {
    /// The suspect; `None` when nothing is wrong.
    pub suspect: Option<(Part, FaultKind)>,
    /// The same in words.
    pub says: String,
    /// What the meter would show.
    pub value: f64,
}

/// The reading that would settle most.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    /// Its name.
    pub id: String,
    /// What it is of.
    pub quantity: Quantity,
    /// The test.
    pub test: Test,
    /// Where tips or jaw go.
    pub probes: String,
    /// Range to set.
    pub range: String,
    /// What it would show, by suspect.
    pub expect_if: Vec<ExpectIf>,
    /// How much it is expected to tell [bit].
    pub gain_bits: f64,
    /// Why this one.
    pub why: String,
}

/// What all readings together come to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Every reading of the sheet was taken and nothing is wrong.
    Good,
    /// Nothing is wrong as far as it was read.
    GoodAsFar {
        /// Readings taken.
        read: usize,
        /// Readings of the sheet.
        of: usize,
    },
    /// Something must be put right and read again before it may be used.
    Remake,
    /// Nothing may be closed, loaded or charged.
    Stop,
}

impl Verdict {
    /// The word shown everywhere.
    #[must_use]
    pub fn says(&self) -> String {
        match self {
            Self::Good => "good".to_owned(),
            Self::GoodAsFar { read, of } => {
                format!("good as far as read ({read} of {of} readings)")
            }
            Self::Remake => "remake".to_owned(),
            Self::Stop => "stop".to_owned(),
        }
    }
}

/// A name that is none of the sheet's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// As written.
    pub what: String,
    /// The nearest name there is.
    pub nearest: Option<String>,
    /// Line of the file it stands in.
    pub line: Option<usize>,
}

/// What the readings of one day come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// Each reading held against what it should be, in the order of the sheet.
    pub readings: Vec<Judged>,
    /// What may explain them, the likeliest first; nothing that is under one in a thousand.
    pub suspects: Vec<Suspect>,
    /// How sure that nothing is wrong, 0 to 1.
    pub sound: f64,
    /// What to read next; nothing when no reading is left that tells anything and is safe.
    pub next: Option<Next>,
    /// What it all comes to.
    pub verdict: Verdict,
    /// Names that are none of the sheet's.
    pub unknown: Vec<Unknown>,
    /// What the odds rest on that nobody published.
    pub rests_on: Vec<String>,
}

//! The build as data: pages, steps, readings and gates. What is printed is decided by the book.

use crate::finding::Gate;
use crate::model::bank::BlockId;
use crate::model::lead::Terminal;
use crate::units::reading::Quantity;

use super::tools::{Tool, ToolNeed};

/// A point of the work that may not be passed without a reading or a look.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GateMark {
    /// Level, chocked, supported.
    Level,
    /// Every source off and proved dead.
    Dead,
    /// Volts and polarity of every block.
    Blocks,
    /// Volts of every open string.
    Strings,
    /// The gap of a lead that closes a loop.
    Loop,
    /// The last moment before the fuse goes in.
    Fuse,
    /// Current with everything off.
    Standby,
    /// Amps of each string under a test load.
    Load,
    /// Each joint by its own amps.
    Joints,
    /// Brakes, jack, lights.
    Breakaway,
    /// Load on the ball.
    Ball,
    /// House-voltage work, by a licensed person.
    Mains,
    /// Set points written before any source may charge.
    Charge,
    /// Nothing holds the boat.
    Sail,
}

impl GateMark {
    /// Its number in the book; the gates of the power-up and of departure have a word instead.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Level => "G0",
            Self::Dead => "G1",
            Self::Blocks => "G2",
            Self::Strings => "G3",
            Self::Loop => "G4",
            Self::Fuse => "fuse",
            Self::Standby => "G5",
            Self::Load => "G6",
            Self::Joints => "G7",
            Self::Breakaway => "G8",
            Self::Ball => "G9",
            Self::Mains => "G10",
            Self::Charge => "charge",
            Self::Sail => "sail",
        }
    }

    /// Which STOP findings hold this gate shut.
    #[must_use]
    pub const fn held_by(self) -> &'static [Gate] {
        match self {
            Self::Level | Self::Dead | Self::Mains => &[],
            Self::Blocks
            | Self::Strings
            | Self::Loop
            | Self::Fuse
            | Self::Standby
            | Self::Load
            | Self::Joints => &[Gate::Energise],
            Self::Charge => &[Gate::Charge],
            Self::Breakaway | Self::Ball => &[Gate::Tow],
            Self::Sail => &[Gate::Sail],
        }
    }
}

/// A thing that a line of the book speaks of and the picture beside it highlights.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PartRef {
    /// A lead by name.
    Lead(String),
    /// A post or stud.
    Terminal(Terminal),
    /// A block.
    Block(BlockId),
    /// A device by name.
    Device(String),
}

/// A reading with its expected value and band.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The name under which it is written down: `A1`, `string A`, `gap 5`, `clamp A`, `5.from`.
    pub id: String,
    /// What it is of.
    pub quantity: Quantity,
    /// The computed value; `None` when the owner did not say enough.
    pub expect: Option<f64>,
    /// Smallest value that passes.
    pub low: Option<f64>,
    /// Largest value that passes.
    pub high: Option<f64>,
    /// Range to set on the meter.
    pub range: String,
    /// Where the two leads or the jaw go.
    pub probes: String,
    /// The two points, red first, where it is a voltage between two points of the bank.
    pub between: Option<(Terminal, Terminal)>,
    /// Said beside it, such as that the load is too small to judge.
    pub note: Option<String>,
}

impl Reading {
    /// Whether a value is inside the band; a reading without a band cannot be passed by value.
    #[must_use]
    pub fn passes(&self, value: f64) -> Option<bool> {
        let (low, high) = (self.low?, self.high?);
        Some(low <= value && value <= high)
    }

    /// The expectation as printed: `6.20 to 6.40 V`, or a word when it is not known.
    #[must_use]
    pub fn shown(&self) -> String {
        use crate::units::show::fixed;
        let digits = self.quantity.digits();
        let unit = self.quantity.unit();
        match (self.low, self.high, self.expect) {
            (Some(low), Some(high), Some(expect)) if (low + high).abs() < 1e-9 => {
                let middle = fixed(expect, digits);
                format!("{middle} {unit} ± {}", fixed(high, digits))
            }
            (Some(low), Some(high), Some(expect)) if self.quantity == Quantity::Amps => {
                let expect = signed(expect, digits);
                format!("{expect} {unit} ({} to {})", signed(low, digits), signed(high, digits))
            }
            (Some(low), Some(high), _) => {
                format!("{} to {} {unit}", signed(low, digits), signed(high, digits))
            }
            (None, Some(high), Some(expect)) => {
                format!("{} {unit}, at most {}", fixed(expect, digits), fixed(high, digits))
            }
            (None, Some(high), None) => format!("at most {} {unit}", fixed(high, digits)),
            (_, _, Some(expect)) => format!("{} {unit}", signed(expect, digits)),
            _ => "find out and write".to_owned(),
        }
    }
}

/// A figure with a real minus sign.
fn signed(value: f64, digits: usize) -> String {
    crate::units::show::fixed(value, digits).replace('-', "−")
}

/// Where to go when a reading is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IfNot {
    /// The page's big number.
    pub page: u32,
    /// The page's title.
    pub title: String,
}

impl IfNot {
    /// The words on the line.
    #[must_use]
    pub fn says(&self) -> String {
        format!("If it is not this: stop and turn to {}, {}.", self.page, self.title)
    }
}

/// What a line changes in the circuit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// A lead is bolted at both ends.
    Fits(String),
    /// A pass-through device goes in or is closed.
    Closes(String),
    /// A pass-through device is opened or taken out.
    Opens(String),
}

/// A line to tick.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its number on the page.
    pub number: u32,
    /// The verb it starts with.
    pub verb: String,
    /// The rest of the sentence.
    pub text: String,
    /// Tool, torque or blank, washer order: what must be known at this line.
    pub detail: Vec<String>,
    /// What to read and write down.
    pub readings: Vec<Reading>,
    /// Tools it needs.
    pub tools: Vec<Tool>,
    /// Parts the picture highlights.
    pub parts: Vec<PartRef>,
    /// Hands it takes.
    pub people: u32,
    /// What it changes in the circuit.
    pub change: Option<Change>,
    /// Where to turn when a reading is off.
    pub if_not: Option<IfNot>,
    /// A box for a name and a date, such as the licensed electrician's.
    pub sign: Option<String>,
}

impl Step {
    /// A plain line.
    #[must_use]
    pub fn new(verb: &str, text: &str) -> Self {
        Self {
            number: 0,
            verb: verb.to_owned(),
            text: text.to_owned(),
            detail: Vec::new(),
            readings: Vec::new(),
            tools: Vec::new(),
            parts: Vec::new(),
            people: 1,
            change: None,
            if_not: None,
            sign: None,
        }
    }

    /// With a line of detail.
    #[must_use]
    pub fn detail(mut self, text: impl Into<String>) -> Self {
        self.detail.push(text.into());
        self
    }

    /// With tools.
    #[must_use]
    pub fn tools(mut self, tools: &[Tool]) -> Self {
        self.tools.extend_from_slice(tools);
        self
    }

    /// With a part to highlight.
    #[must_use]
    pub fn part(mut self, part: PartRef) -> Self {
        self.parts.push(part);
        self
    }

    /// With a reading.
    #[must_use]
    pub fn reading(mut self, reading: Reading) -> Self {
        self.readings.push(reading);
        self
    }

    /// With two people.
    #[must_use]
    pub const fn two_people(mut self) -> Self {
        self.people = 2;
        self
    }

    /// With what it changes.
    #[must_use]
    pub fn changes(mut self, change: Change) -> Self {
        self.change = Some(change);
        self
    }

    /// Lines it takes on paper: the sentence, and one more for every two readings after the first
    /// two and for a long sentence.
    #[must_use]
    pub fn lines(&self) -> usize {
        let readings = self.readings.len().saturating_sub(1) / 2;
        let words: usize = self.detail.iter().map(String::len).sum();
        1 + readings + (words + self.text.len()) / 260
    }
}

/// What another reading at a gate means.
#[derive(Clone, Debug, PartialEq)]
pub struct Meaning {
    /// Size of the reading [V].
    pub about_v: f64,
    /// What is wrong then.
    pub says: String,
}

/// The dark bar: DO NOT GO ON UNLESS.
#[derive(Clone, Debug, PartialEq)]
pub struct GateBar {
    /// Which gate.
    pub mark: GateMark,
    /// How many steps of the page stand above it.
    pub after: usize,
    /// What must be so.
    pub unless: String,
    /// What other readings mean, smallest first.
    pub meanings: Vec<Meaning>,
    /// The reading that opens it.
    pub reading: Option<Reading>,
    /// The kinds of STOP finding that hold it shut.
    pub held_by: Vec<Gate>,
    /// Where to turn.
    pub if_not: Option<IfNot>,
}

/// A caution, at the head of the page where the hands are.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Caution {
    /// What hurts.
    pub danger: String,
    /// What keeps it from hurting.
    pub so: String,
}

/// One job on one side of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// The big number.
    pub number: u32,
    /// Its title.
    pub title: String,
    /// Hands it takes.
    pub people: u32,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// A sentence or two before the steps.
    pub intro: String,
    /// The lines to tick.
    pub steps: Vec<Step>,
    /// The only dark thing on the page.
    pub gate: Option<GateBar>,
}

/// The whole build of one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Build {
    /// The stage.
    pub stage: String,
    /// The pages in the order of hands.
    pub pages: Vec<Page>,
    /// Tools, with the line that needs each first.
    pub tools: Vec<ToolNeed>,
}

impl Build {
    /// Every reading in the order in which it is taken, with the page it stands on: the proving
    /// sheet of blocks, strings, gaps, strings under load and joints.
    pub fn readings(&self) -> impl Iterator<Item = (&Page, &Reading)> {
        self.pages.iter().flat_map(|page| {
            let gate = page.gate.as_ref();
            let after = gate.map_or(page.steps.len(), |g| g.after.min(page.steps.len()));
            let (above, below) = page.steps.split_at(after);
            let at_gate = gate.and_then(|g| g.reading.as_ref());
            let readings = above.iter().flat_map(|s| &s.readings).chain(at_gate);
            let readings = readings.chain(below.iter().flat_map(|s| &s.readings));
            readings.map(move |reading| (page, reading))
        })
    }

    /// Gates in the order they are met, with the page each stands on.
    pub fn gates(&self) -> impl Iterator<Item = (&Page, &GateBar)> {
        self.pages.iter().filter_map(|p| p.gate.as_ref().map(|g| (p, g)))
    }
}

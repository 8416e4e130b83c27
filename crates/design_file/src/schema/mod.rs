//! The attribute table of the design file: every table and every key with its kind, its bounds and
//! its meaning. Reading, writing and the reference page all follow it; no key is known elsewhere.

pub mod bank_side;
pub mod rig_side;

use engine::model::device::DeviceKind;

/// What a value may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Free text.
    Text,
    /// One word of a list.
    Word(&'static [&'static str]),
    /// A list of words, each from a list.
    Words(&'static [&'static str]),
    /// A list of free texts.
    Texts,
    /// A number.
    Number,
    /// A whole number.
    Whole,
    /// True or false.
    Flag,
    /// Twelve numbers, January first.
    Months,
    /// A month by number or name.
    Month,
    /// From one number to another: hours of the day, or months.
    Stretch,
    /// A length.
    Length,
    /// An area.
    Area,
    /// A current.
    Current,
    /// A voltage.
    Voltage,
    /// A resistance.
    Resistance,
    /// A power.
    Power,
    /// An energy.
    Energy,
    /// A mass.
    Mass,
    /// A torque.
    Torque,
    /// A span of time.
    Duration,
    /// An angle.
    Angle,
    /// A share or percentage.
    Share,
    /// A temperature.
    Temperature,
    /// A sideways moment.
    Moment,
    /// What a battery label gives.
    Rating,
    /// A list of amp-hours at hour rates.
    Ratings,
    /// A conductor size.
    Size,
    /// A quarter turn.
    Turn,
    /// Two lengths: to the right, away from the owner.
    Point,
    /// A list of points.
    Route,
    /// A post or a stud.
    Terminal,
    /// Where the main leads leave.
    TakeOff,
    /// The name of another part.
    Name(Names),
    /// A list of names of loads.
    Loads,
}

/// What a name refers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Names {
    /// A stage.
    Stage,
    /// A block model.
    Block,
    /// A solar controller.
    Controller,
    /// Any device.
    Device,
}

/// One key of a table.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// The key; `*` stands for a name that the owner chooses.
    pub key: &'static str,
    /// What its value may be.
    pub kind: Kind,
    /// Smallest value that can be meant, in the base unit of the kind.
    pub low: f64,
    /// Largest value that can be meant.
    pub high: f64,
    /// Must be there.
    pub required: bool,
    /// One sentence on what it means.
    pub meaning: &'static str,
    /// The device kinds that have it; empty means all.
    pub only: &'static [DeviceKind],
}

impl Field {
    /// A key with the bounds that its kind usually has.
    #[must_use]
    pub const fn new(key: &'static str, kind: Kind, meaning: &'static str) -> Self {
        let (low, high) = usual_bounds(kind);
        Self { key, kind, low, high, required: false, meaning, only: &[] }
    }

    /// The same key with bounds of its own.
    #[must_use]
    pub const fn within(self, low: f64, high: f64) -> Self {
        Self { low, high, ..self }
    }

    /// The same key, required.
    #[must_use]
    pub const fn needed(self) -> Self {
        Self { required: true, ..self }
    }

    /// The same key, for some device kinds alone.
    #[must_use]
    pub const fn of(self, only: &'static [DeviceKind]) -> Self {
        Self { only, ..self }
    }
}

/// Bounds far outside which a value is a slip of the pen, not a rig.
const fn usual_bounds(kind: Kind) -> (f64, f64) {
    match kind {
        Kind::Length => (0.0, 100_000.0),
        Kind::Point | Kind::Route => (-20_000.0, 20_000.0),
        Kind::Area => (0.0, 10_000_000.0),
        Kind::Current | Kind::Power => (0.0, 100_000.0),
        Kind::Voltage | Kind::Resistance => (0.0, 1000.0),
        Kind::Energy => (0.0, 1_000_000.0),
        Kind::Mass => (0.0, 50_000.0),
        Kind::Torque => (0.0, 500.0),
        Kind::Duration => (0.0, 876_600.0),
        Kind::Angle => (-360.0, 360.0),
        Kind::Share => (0.0, 1.0),
        Kind::Temperature => (-60.0, 200.0),
        Kind::Whole => (0.0, 1000.0),
        Kind::Months => (0.0, 14.0),
        Kind::Month => (1.0, 12.0),
        Kind::Rating | Kind::Ratings => (0.1, 10_000.0),
        _ => (0.0, 1e9),
    }
}

/// One table of the file.
#[derive(Clone, Copy, Debug)]
pub struct Table {
    /// Its path; `*` stands for a name that the owner chooses.
    pub path: &'static str,
    /// What a thing of it is called, such as `lead`.
    pub label: &'static str,
    /// One sentence on what it holds.
    pub meaning: &'static str,
    /// Its keys, in the order in which they are explained.
    pub fields: &'static [Field],
    /// It also has stage, until, have, price and note.
    pub part: bool,
}

impl Table {
    /// Its own keys, and those of every part where it is one.
    pub fn all_fields(&self) -> impl Iterator<Item = &'static Field> + use<> {
        let shared: &'static [Field] = if self.part { &PART } else { &[] };
        let own = self.fields;
        // The box has a mass and a place of its own; a key of the table comes before a shared one.
        let shared = shared.iter().filter(move |s| own.iter().all(|f| f.key != s.key));
        own.iter().chain(shared)
    }

    /// A key by name.
    #[must_use]
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.all_fields().find(|f| f.key == key || f.key == "*")
    }
}

/// The keys that every part has.
pub static PART: [Field; 5] = [
    Field::new("stage", Kind::Name(Names::Stage), "Stage at which it is fitted."),
    Field::new("until", Kind::Name(Names::Stage), "Stage at which it is taken out again."),
    Field::new("have", Kind::Flag, "Already in hand."),
    Field::new("price", Kind::Number, "Price in your own money."),
    Field::new("note", Kind::Text, "What it is, in your own words."),
];

/// Where the centre of a part sits in the rig; each kind of rig has its own measure.
pub const SPOT: [Field; 4] = [
    Field::new(
        "behind_ball",
        Kind::Length,
        "How far behind the ball its centre lies, on a trailer.",
    )
    .within(-5000.0, 20_000.0),
    Field::new(
        "behind_front_axle",
        Kind::Length,
        "How far behind the front axle its centre lies, in a van.",
    )
    .within(-5000.0, 20_000.0),
    Field::new(
        "off_centre",
        Kind::Length,
        "How far off the centreline, on a boat; starboard above zero.",
    )
    .within(-10_000.0, 10_000.0),
    Field::new(
        "ahead_of_middle",
        Kind::Length,
        "How far ahead of the middle of the waterline, on a boat; astern below zero.",
    )
    .within(-50_000.0, 50_000.0),
];

/// The tables of the file in the order in which they are explained.
pub fn tables() -> impl Iterator<Item = &'static Table> {
    rig_side::FIRST.iter().chain(&bank_side::TABLES).chain(&rig_side::LAST)
}

/// What a key of a table leads to.
#[derive(Clone, Copy, Debug)]
pub enum Child {
    /// A single table.
    Table(&'static Table),
    /// A group of tables, each with a name.
    Group(&'static Table),
}

/// The table or group that a key of a table leads to.
#[must_use]
pub fn child(parent: &str, key: &str) -> Option<Child> {
    let path = joined(parent, key);
    let starred = joined(&path, "*");
    let find = |wanted: &str| tables().find(|t| t.path == wanted);
    if path.is_empty() || key == "*" {
        return None;
    }
    find(&path).map(Child::Table).or_else(|| find(&starred).map(Child::Group))
}

/// The words that can follow a table's path: single tables and groups.
#[must_use]
pub fn child_words(parent: &str) -> Vec<&'static str> {
    let mut words = Vec::new();
    for table in tables() {
        let below = if parent.is_empty() {
            table.path
        } else {
            match table.path.strip_prefix(parent).and_then(|p| p.strip_prefix('.')) {
                Some(below) => below,
                None => continue,
            }
        };
        let word = below.split('.').next().unwrap_or(below);
        if !word.is_empty() && word != "*" && !words.contains(&word) {
            words.push(word);
        }
    }
    words
}

/// Two pieces of a dotted path.
#[must_use]
pub fn joined(parent: &str, key: &str) -> String {
    if parent.is_empty() { key.to_owned() } else { format!("{parent}.{key}") }
}

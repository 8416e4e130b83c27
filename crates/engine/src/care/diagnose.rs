//! What the log shows, put into words.

use crate::cite::Cite;
use crate::evidence::log::CellId;

/// What the log shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DiagnosisKind {
    /// One cell falls away from its neighbours.
    FailingCell,
    /// A cell's plates stand bare, or it drinks far more than its neighbours.
    DryCell,
    /// All cells lose gravity at full, and the volts say so too: never quite charged, sulphating.
    Undercharged,
    /// Gravity at the top is low and the volts say full: the acid has settled.
    Stratified,
    /// Capacity is near or under the end.
    WornOut,
    /// A newer block works among older ones.
    ReplacedBlock,
    /// Months without an entry.
    Gaps,
    /// Entries in a wrong unit.
    WrongUnits,
    /// The same entries twice.
    DuplicateImport,
    /// A slip of the pen.
    Mistyped,
}

impl DiagnosisKind {
    /// The words shown to the owner.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FailingCell => "failing cell",
            Self::DryCell => "dry cell",
            Self::Undercharged => "undercharged",
            Self::Stratified => "stratified acid",
            Self::WornOut => "worn out",
            Self::ReplacedBlock => "newer block among older ones",
            Self::Gaps => "gaps in the log",
            Self::WrongUnits => "wrong units",
            Self::DuplicateImport => "entries twice",
            Self::Mistyped => "mistyped reading",
        }
    }
}

/// One thing the log shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// What.
    pub kind: DiagnosisKind,
    /// The part, in the owner's words: `A1.2`, `the bank`, `the log`.
    pub part: String,
    /// The cells it speaks of, where it speaks of some.
    pub cells: Vec<CellId>,
    /// What is, with numbers.
    pub says: String,
    /// What to do; starts with a verb.
    pub remedy: String,
    /// Why, in one line.
    pub why: &'static str,
    /// The entries behind it.
    pub entries: Vec<i64>,
    /// Where the figures come from.
    pub cites: Vec<Cite>,
}

//! Whether to equalise, and how.

use crate::cite::Cite;
use jiff::civil::Date;

/// Whether to equalise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Never: this kind of cell loses what it cannot get back.
    Never,
    /// The readings do not tell.
    Unknown,
    /// Not now.
    NotNow,
    /// Now.
    Now,
}

/// One printed criterion, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Criterion {
    /// What it asks and what is, in one sentence.
    pub says: String,
    /// It asks for an equalising charge; `None` where the log does not tell.
    pub met: Option<bool>,
    /// Where it stands.
    pub cite: Cite,
}

/// Whether to equalise, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct Equalise {
    /// The answer.
    pub verdict: Verdict,
    /// Why, in one sentence.
    pub says: String,
    /// Every criterion, each by its own source; they differ and are never averaged.
    pub criteria: Vec<Criterion>,
    /// How it is done, step by step, cautions at their step; empty where it is never done.
    pub how: Vec<String>,
    /// When it was last done.
    pub last: Option<Date>,
}

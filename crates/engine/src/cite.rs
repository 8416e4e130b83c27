//! Where a number comes from and how far it can be trusted.

/// How a published value reached this project.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// The public text itself was read.
    Read,
    /// A third party's printing of the table was read.
    Reprint,
    /// Worked out here from stated inputs.
    Computed,
    /// Common practice of the trade; no source claimed.
    Practice,
    /// From memory, not verified.
    Recalled,
}

impl Status {
    /// The word used in the data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Reprint => "reprint",
            Self::Computed => "computed",
            Self::Practice => "practice",
            Self::Recalled => "recalled",
        }
    }

    /// The word shown to a reader of the book or the page.
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::Read => "read in the public text",
            Self::Reprint => "read in a reprint",
            Self::Computed => "computed",
            Self::Practice => "common practice, no source",
            Self::Recalled => "from memory, not verified",
        }
    }

    /// Reads the word used in the data files.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Read, Self::Reprint, Self::Computed, Self::Practice, Self::Recalled]
            .into_iter()
            .find(|s| s.word() == word)
    }

    /// The weaker of two statuses: a figure is as good as its weakest input.
    #[must_use]
    pub fn weaker(self, other: Self) -> Self {
        self.max(other)
    }
}

/// A place in a source: which source, where in it, and how it was read.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cite {
    /// Key into `data/sources.toml`.
    pub key: String,
    /// Clause, table, page or row.
    pub place: String,
    /// How it was read.
    pub status: Status,
}

impl Cite {
    /// A citation.
    #[must_use]
    pub fn new(key: &str, place: &str, status: Status) -> Self {
        Self { key: key.to_owned(), place: place.to_owned(), status }
    }

    /// Plain physics: no table behind it.
    #[must_use]
    pub fn physics(what: &str) -> Self {
        Self::new("physics", what, Status::Computed)
    }

    /// A habit of the trade without a source.
    #[must_use]
    pub fn practice(what: &str) -> Self {
        Self::new("practice", what, Status::Practice)
    }
}

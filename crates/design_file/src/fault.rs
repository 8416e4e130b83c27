//! One thing in a design file that was not understood, and what to write instead.

use crate::spans::Lines;
use std::ops::Range;

/// How much of the reading a fault takes away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Something the owner wrote, or had to write, is missing from the design.
    Error,
    /// The design holds everything; one thing in the file says nothing or looks like a slip.
    Warning,
}

impl Severity {
    /// The word shown.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// Something wrong with a design file or with a change to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// How bad.
    pub severity: Severity,
    /// Dotted path of the thing, such as `lead.8.size`; empty where none is known.
    pub path: String,
    /// Bytes of the file it speaks of; empty where it speaks of something that is not there.
    pub span: Range<usize>,
    /// Line, counted from 1; 0 when it does not speak of the file.
    pub line: usize,
    /// Character in the line, counted from 1; 0 when it does not speak of the file.
    pub column: usize,
    /// What is, in one sentence with the owner's own text.
    pub says: String,
    /// What to do about it.
    pub write: String,
    /// The word that was probably meant.
    pub meant: Option<String>,
}

impl Fault {
    /// The fault as one line of text, for a list or a message box.
    #[must_use]
    pub fn one_line(&self) -> String {
        let place = if self.line == 0 { String::new() } else { format!("line {}: ", self.line) };
        if self.write.is_empty() {
            format!("{place}{}", self.says)
        } else {
            format!("{place}{} {}", self.says, self.write)
        }
    }
}

/// What is wrong with a thing, before it is known where the thing stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Trouble {
    pub(crate) severity: Severity,
    pub(crate) says: String,
    pub(crate) write: String,
    pub(crate) meant: Option<String>,
}

impl Trouble {
    /// An error with what is and what to do.
    pub(crate) fn error(says: String, write: String) -> Self {
        Self { severity: Severity::Error, says, write, meant: None }
    }

    /// A warning with what is and what to do.
    pub(crate) fn warning(says: String, write: String) -> Self {
        Self { severity: Severity::Warning, says, write, meant: None }
    }

    /// The same with the word that was probably meant.
    pub(crate) fn meaning(self, meant: Option<String>) -> Self {
        Self { meant, ..self }
    }

    /// The fault it makes at a place of the file.
    pub(crate) fn at(self, path: &str, span: Range<usize>, lines: &Lines) -> Fault {
        let (line, column) = lines.place(span.start);
        let Self { severity, says, write, meant } = self;
        Fault { severity, path: path.to_owned(), span, line, column, says, write, meant }
    }

    /// The fault it makes away from any file: a change that was asked for.
    pub(crate) fn anywhere(self, path: &str) -> Box<Fault> {
        let Self { severity, says, write, meant } = self;
        let path = path.to_owned();
        Box::new(Fault { severity, path, span: 0..0, line: 0, column: 0, says, write, meant })
    }
}

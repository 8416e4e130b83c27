//! What is wrong with a file of `data/`: which file, which line, which column.

use std::fmt;

/// A fault in a data file. The tables are part of the program, so this is a bug, not a user's slip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableError {
    /// Path of the file under `data/`.
    pub file: String,
    /// Line in the file, the header being line 1.
    pub line: Option<usize>,
    /// Name of the column.
    pub column: Option<String>,
    /// What is wrong there.
    pub says: String,
}

impl TableError {
    /// The file is not a table.
    pub(super) fn unreadable(file: &str, error: &csv::Error) -> Self {
        Self::file(file, &format!("cannot be read: {error}"))
    }

    /// A line is not what it must be.
    pub(super) fn line(file: &str, line: usize, says: &str) -> Self {
        Self { file: file.to_owned(), line: Some(line), column: None, says: says.to_owned() }
    }

    /// A cell is not what it must be.
    pub(super) fn cell(file: &str, line: usize, column: &str, says: &str) -> Self {
        Self { column: Some(column.to_owned()), ..Self::line(file, line, says) }
    }

    /// A column is missing.
    pub(super) fn no_column(file: &str, column: &str) -> Self {
        Self { column: Some(column.to_owned()), ..Self::file(file, "the column is missing") }
    }

    /// A practice has no settings, or no size it allows.
    pub(crate) fn no_practice(word: &str) -> Self {
        Self::file("rules/practices.csv", &format!("nothing usable for \"{word}\""))
    }

    /// The file as a whole is not what it must be.
    pub(super) fn file(file: &str, says: &str) -> Self {
        Self { file: file.to_owned(), line: None, column: None, says: says.to_owned() }
    }
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "data/{}", self.file)?;
        if let Some(line) = self.line {
            write!(f, " line {line}")?;
        }
        if let Some(column) = &self.column {
            write!(f, " column {column}")?;
        }
        write!(f, ": {}", self.says)
    }
}

impl std::error::Error for TableError {}

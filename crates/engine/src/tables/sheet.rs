//! One CSV file of `data/`, read with errors that name the file, the row and the column.

use super::error::TableError;
use super::sources::Sources;
use crate::cite::{Cite, Status};

/// A file, parsed into cells.
#[derive(Debug)]
pub struct Sheet {
    file: &'static str,
    header: csv::StringRecord,
    rows: Vec<csv::StringRecord>,
}

impl Sheet {
    /// Parses the text of a file. Every row must have as many cells as the header.
    pub fn read(file: &'static str, text: &str) -> Result<Self, TableError> {
        let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
        let header = reader.headers().map_err(|e| TableError::unreadable(file, 1, &e))?.clone();
        let mut rows = Vec::new();
        for (index, record) in reader.into_records().enumerate() {
            rows.push(record.map_err(|e| TableError::unreadable(file, index + 2, &e))?);
        }
        Ok(Self { file, header, rows })
    }

    /// The file's path under `data/`.
    #[must_use]
    pub const fn file(&self) -> &'static str {
        self.file
    }

    /// The names of the columns.
    pub fn columns(&self) -> impl Iterator<Item = &str> {
        self.header.iter()
    }

    /// Whether the file has a column of this name.
    #[must_use]
    pub fn has(&self, column: &str) -> bool {
        self.header.iter().any(|c| c == column)
    }

    /// The rows in file order.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().enumerate().map(|(index, record)| Row { sheet: self, index, record })
    }
}

/// One row of a file.
#[derive(Clone, Copy, Debug)]
pub struct Row<'a> {
    sheet: &'a Sheet,
    index: usize,
    record: &'a csv::StringRecord,
}

impl<'a> Row<'a> {
    /// The line in the file, the header being line 1.
    #[must_use]
    pub const fn line(&self) -> usize {
        self.index + 2
    }

    /// The text of a cell.
    pub fn text(&self, column: &str) -> Result<&'a str, TableError> {
        let at = self
            .sheet
            .header
            .iter()
            .position(|c| c == column)
            .ok_or_else(|| TableError::no_column(self.sheet.file, column))?;
        self.record
            .get(at)
            .ok_or_else(|| TableError::cell(self.sheet.file, self.line(), column, "is missing"))
    }

    /// The text of a cell that must not be empty.
    pub fn word(&self, column: &str) -> Result<&'a str, TableError> {
        let text = self.text(column)?;
        if text.is_empty() { Err(self.wrong(column, "is empty")) } else { Ok(text) }
    }

    /// The number in a cell, or nothing where the cell is empty.
    pub fn optional(&self, column: &str) -> Result<Option<f64>, TableError> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Ok(None);
        }
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() => Ok(Some(value)),
            _ => Err(self.wrong(column, &format!("is not a number: \"{text}\""))),
        }
    }

    /// The number in a cell that must not be empty.
    pub fn number(&self, column: &str) -> Result<f64, TableError> {
        self.optional(column)?.ok_or_else(|| self.wrong(column, "is empty"))
    }

    /// The lower and upper number of a range; an empty cell is an open end.
    pub fn range(&self, low: &str, high: &str) -> Result<(f64, f64), TableError> {
        let low_value = self.optional(low)?.unwrap_or(f64::NEG_INFINITY);
        let high_value = self.optional(high)?.unwrap_or(f64::INFINITY);
        if high_value < low_value {
            return Err(self.wrong(high, "is below the low end of the range"));
        }
        Ok((low_value, high_value))
    }

    /// An error that points at a cell of this row.
    #[must_use]
    pub fn wrong(&self, column: &str, says: &str) -> TableError {
        TableError::cell(self.sheet.file, self.line(), column, says)
    }

    /// The citation in the row's last columns; its key must be a known source.
    pub fn cite(&self, sources: &Sources) -> Result<Cite, TableError> {
        let key = self.word("source")?;
        if sources.get(key).is_none() {
            return Err(self.wrong("source", &format!("names no known source: \"{key}\"")));
        }
        let word = self.word("status")?;
        let status = Status::from_word(word)
            .ok_or_else(|| self.wrong("status", &format!("is no status word: \"{word}\"")))?;
        Ok(Cite::new(key, self.text("where")?, status))
    }
}

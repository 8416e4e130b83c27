//! One CSV file of `data/`, read with errors that name the file, the row and the column.

use super::error::TableError;
use super::sources::Sources;
use crate::cite::{Cite, Status};

/// Stands before each file's name while several are read as one text; no cell of a table may be this.
const MARK: &str = "@file";

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
        let sheets = Self::read_all(&[(file, text)])?;
        sheets.into_iter().next().ok_or_else(|| TableError::file(file, "is empty"))
    }

    /// Parses files, in their order.
    ///
    /// A CSV reader builds a state machine that costs more than reading a hundred small files with it,
    /// so the files go through one reader, with a row of their name before each.
    pub fn read_all(files: &[(&'static str, &str)]) -> Result<Vec<Self>, TableError> {
        let mut joined = String::new();
        for (file, text) in files {
            joined.extend([MARK, ",", *file, "\n", *text, "\n"]);
        }
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(joined.as_bytes());
        let mut sheets: Vec<Self> = Vec::with_capacity(files.len());
        for record in reader.records() {
            let last = sheets.last().map_or("", |sheet| sheet.file);
            let record = record.map_err(|e| TableError::unreadable(last, &e))?;
            match sheets.last_mut() {
                Some(sheet) if record.get(0) != Some(MARK) => sheet.take(record)?,
                _ => {
                    let file = files.get(sheets.len()).map_or("", |f| f.0);
                    let header = csv::StringRecord::new();
                    sheets.push(Self { file, header, rows: Vec::new() });
                }
            }
        }
        Ok(sheets)
    }

    /// The next record of the file: its header, then its rows.
    fn take(&mut self, record: csv::StringRecord) -> Result<(), TableError> {
        if self.header.is_empty() {
            self.header = record;
            return Ok(());
        }
        let (cells, columns) = (record.len(), self.header.len());
        if cells != columns {
            let says = format!("has {cells} cells where the header has {columns}");
            return Err(TableError::line(self.file, self.rows.len() + 2, &says));
        }
        self.rows.push(record);
        Ok(())
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

#[cfg(test)]
mod tests {
    use super::Sheet;

    #[test]
    fn several_files_come_apart_again() {
        let files =
            [("a.csv", "x_mm,note\n1,\"one, two\"\n"), ("b.csv", "y_c\n-3"), ("c.csv", "z\n")];
        let sheets = Sheet::read_all(&files).expect("three tables");
        let shape: Vec<(&str, usize)> =
            sheets.iter().map(|s| (s.file(), s.rows().count())).collect();
        assert_eq!(shape, [("a.csv", 1), ("b.csv", 1), ("c.csv", 0)], "files and rows");
        let row = sheets[0].rows().next().expect("a row");
        assert_eq!(row.text("note"), Ok("one, two"), "a quoted comma stays in its cell");
    }

    #[test]
    fn faults_name_file_line_and_column() {
        let short = Sheet::read("a.csv", "x_mm,y_mm\n1,2\n3\n").expect_err("a row is short");
        assert_eq!(
            short.to_string(),
            "data/a.csv line 3: has 1 cells where the header has 2",
            "row"
        );
        let sheet = Sheet::read("a.csv", "x_mm,low_c,high_c\nwide,9,4\n").expect("a table");
        let row = sheet.rows().next().expect("a row");
        for (error, says) in [
            (
                row.number("x_mm").expect_err("a word"),
                "data/a.csv line 2 column x_mm: is not a number: \"wide\"",
            ),
            (row.number("z").expect_err("no column"), "data/a.csv column z: the column is missing"),
            (
                row.range("low_c", "high_c").expect_err("turned"),
                "data/a.csv line 2 column high_c: is below the low end of the range",
            ),
        ] {
            assert_eq!(error.to_string(), says, "message");
        }
    }
}

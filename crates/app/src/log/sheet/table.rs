//! The file as rows of texts, whatever program wrote it.

use crate::failure::Failure;
use crate::log::mark;
use std::path::Path;

/// One row below the headers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TableRow {
    /// Its line in the file, from 1.
    pub(crate) line: u64,
    /// Its fields; as many as there are headers.
    pub(crate) fields: Vec<String>,
}

/// A spreadsheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Table {
    /// The names of the columns.
    pub(crate) headers: Vec<String>,
    /// The rows that hold anything.
    pub(crate) rows: Vec<TableRow>,
}

impl Table {
    /// Reads a file; its first row with two or more fields names the columns.
    pub(crate) fn read(path: &Path, text: &str) -> Result<Self, Failure> {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter(text))
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut table: Option<Self> = None;
        for record in reader.records() {
            let record = record.map_err(|e| not_rows(path, &e))?;
            let line = record.position().map_or(0, csv::Position::line);
            let fields: Vec<String> = record.iter().map(|f| f.trim().to_owned()).collect();
            let filled = fields.iter().filter(|f| !f.is_empty()).count();
            match &mut table {
                None if 2 <= filled => table = Some(Self { headers: fields, rows: Vec::new() }),
                Some(table) if 0 < filled => table.push(line, fields),
                _ => {}
            }
        }
        let mut table = table.ok_or_else(|| no_headers(path))?;
        while table.headers.last().is_some_and(String::is_empty)
            && table
                .rows
                .iter()
                .all(|r| r.fields.get(table.headers.len() - 1).is_none_or(String::is_empty))
        {
            table.headers.pop();
        }
        for row in &mut table.rows {
            row.fields.resize(table.headers.len(), String::new());
        }
        Ok(table)
    }

    fn push(&mut self, line: u64, fields: Vec<String>) {
        self.rows.push(TableRow { line, fields });
    }

    /// What tells files with the same headers: their names, whatever their case.
    pub(crate) fn fingerprint(&self) -> String {
        let names: Vec<String> = self.headers.iter().map(|h| h.to_lowercase()).collect();
        format!("{:032x}", mark::hash(names.join("\n").as_bytes()))
    }

    /// What stands in a column, empty fields left out.
    pub(crate) fn column(&self, at: usize) -> impl Iterator<Item = &str> {
        let fields = self.rows.iter().filter_map(move |r| r.fields.get(at));
        fields.map(String::as_str).filter(|f| !is_blank(f))
    }
}

/// Nothing, or a mark for nothing.
pub(crate) fn is_blank(field: &str) -> bool {
    matches!(field.trim(), "" | "-" | "--" | "–" | "n/a" | "N/A" | "x")
}

/// The text of a file in any of the forms that spreadsheets write: UTF-8, UTF-16 with its mark, or
/// the old single bytes of western Europe.
pub(crate) fn decoded(bytes: &[u8]) -> String {
    let pairs = |of: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..].chunks_exact(2).map(|p| of([p[0], p[1]])).collect();
        String::from_utf16_lossy(&units)
    };
    match bytes {
        [0xff, 0xfe, ..] => pairs(u16::from_le_bytes),
        [0xfe, 0xff, ..] => pairs(u16::from_be_bytes),
        [0xef, 0xbb, 0xbf, rest @ ..] => String::from_utf8_lossy(rest).into_owned(),
        _ => std::str::from_utf8(bytes)
            .map_or_else(|_| bytes.iter().map(|b| char::from(*b)).collect(), str::to_owned),
    }
}

/// What stands between fields: whichever the first rows hold most of. A comma counts last, since it
/// may be a decimal.
pub(crate) fn delimiter(text: &str) -> u8 {
    let head: Vec<&str> = text.lines().filter(|l| !l.trim().is_empty()).take(3).collect();
    let count = |sign: char| head.iter().map(|l| l.matches(sign).count()).sum::<usize>();
    let (semicolons, tabs, commas) = (count(';'), count('\t'), count(','));
    if 0 < semicolons && tabs <= semicolons {
        b';'
    } else if 0 < tabs || commas == 0 {
        b'\t'
    } else {
        b','
    }
}

fn not_rows(path: &Path, error: &csv::Error) -> Failure {
    let line = error.position().map_or(String::new(), |p| format!(", line {}", p.line()));
    Failure::log(
        format!("{}{line}: this is no row of a table.", path.display()),
        "Save the spreadsheet as CSV and try again.".to_owned(),
    )
}

fn no_headers(path: &Path) -> Failure {
    Failure::log(
        format!("{} has no row that names its columns.", path.display()),
        "Put a first row above the figures, such as date, A1.1, A1.2, temperature.".to_owned(),
    )
}

#[cfg(test)]
mod tests {
    use super::{Table, decoded, delimiter};
    use std::path::Path;

    #[test]
    fn files_of_many_programs_are_read() {
        assert_eq!(delimiter("Datum;Zelle 1\n3.5.2026;1,265\n"), b';', "decimal commas");
        assert_eq!(delimiter("date\tA1.1\n"), b'\t', "tabs");
        assert_eq!(delimiter("date,A1.1\n"), b',', "commas");
        let wide: Vec<u8> = "ä,b".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let marked: Vec<u8> = [0xff, 0xfe].into_iter().chain(wide).collect();
        assert_eq!(decoded(&marked), "ä,b", "UTF-16");
        assert_eq!(decoded(b"S\xe4ure,\xb0F"), "Säure,°F", "single bytes");
        assert_eq!(decoded("\u{feff}Säure".as_bytes()), "Säure", "a byte order mark");
    }

    #[test]
    fn a_title_above_and_empty_columns_beside_are_passed_over() {
        let text = "My bank 2026,,,\n\ndate,A1.1,,\n2026-05-03,1.265,,\n,,,\n";
        let table = Table::read(Path::new("x.csv"), text).expect("a table");
        assert_eq!(table.headers, ["date", "A1.1"], "headers");
        assert_eq!(table.rows.len(), 1, "rows");
        assert_eq!(table.rows[0].line, 4, "its line in the file");
    }
}

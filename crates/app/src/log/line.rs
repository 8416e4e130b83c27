//! An entry as the line that the file keeps, and back without loss.
//!
//! The number and what it corrects stand in columns of their own and not in the line.

use design_file::log_text;
use engine::evidence::log::Entry;

/// How a line ends that names no number.
const NO_NUMBER: &str = ", id 0";

/// The line of an entry.
pub(crate) fn of(entry: &Entry) -> String {
    let bare = Entry { id: 0, corrects: None, ..entry.clone() };
    let line = log_text::line(&bare);
    line.strip_suffix(NO_NUMBER).map_or(line.clone(), str::to_owned)
}

/// The entry of a line, without a number.
pub(crate) fn read(line: &str) -> Result<Entry, String> {
    log_text::entry(line, 0).map_err(|fault| fault.says)
}

/// The line as a row that spreadsheets read: no blank after a comma.
pub(crate) fn row(line: &str) -> String {
    let mut row = String::with_capacity(line.len());
    let (mut quoted, mut after_comma) = (false, false);
    for letter in line.chars() {
        if letter == '"' {
            quoted = !quoted;
        }
        if !(after_comma && letter == ' ') {
            row.push(letter);
        }
        after_comma = !quoted && letter == ',';
    }
    row
}

/// The line of a row's fields.
pub(crate) fn of_fields<'a>(fields: impl Iterator<Item = &'a str>) -> String {
    let quoted = |field: &str| {
        let needs = field.contains([',', '"']) || field.trim() != field;
        if needs { format!("\"{}\"", field.replace('"', "\"\"")) } else { field.to_owned() }
    };
    fields.map(quoted).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::{of, of_fields, read, row};

    const LINES: [&str; 4] = [
        "2026-05-03 09:00, A1.2, gravity, 1.265, fluid 20 C, rested 4 h",
        "2026-05-03 09:00, bank, note, \"one, two \"\"three\"\"\"",
        "2026-05-03 09:00, A1, water, , kind tap",
        "2026-05-03 09:00, bank, photo, a b.jpg, \"note back\\nfront, \"",
    ];

    #[test]
    fn a_line_comes_back_from_file_and_spreadsheet() {
        for line in LINES {
            let entry = read(line).unwrap_or_else(|says| panic!("{line}: {says}"));
            assert_eq!(of(&entry), line, "as kept");
            let row = row(line);
            let mut reader =
                csv::ReaderBuilder::new().has_headers(false).from_reader(row.as_bytes());
            let fields = reader.records().next().and_then(Result::ok).expect("a row");
            let back = of_fields(fields.iter());
            assert_eq!(read(&back).as_ref(), Ok(&entry), "{row} by way of a spreadsheet");
        }
    }
}

//! A file of readings in CSV, as a table program or a hand makes it.

use super::figure::{self, Figure};
use super::{Sheet, day, says};
use engine::units::reading::Quantity;
use std::ops::Range;
use toml_edit::Value as Toml;

/// The columns, in the order they have without a line of names.
const COLUMNS: [&str; 5] = ["reading", "value", "unit", "amps", "note"];

/// A cell with its place in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Cell {
    text: String,
    span: Range<usize>,
}

/// Where each column stands.
struct Columns {
    at: Vec<Option<usize>>,
    /// Cells are parted by something else than a comma, so a comma is a decimal comma.
    decimal_comma: bool,
}

pub(super) fn read(text: &str, sheet: &mut Sheet<'_>) {
    let mark = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let parting = parting(text);
    let mut columns: Option<Columns> = None;
    for number in 0..sheet.lines.count() {
        let mut range = sheet.lines.range(number);
        range.start = range.start.max(mark).min(range.end.max(mark));
        let line = text.get(range.clone()).unwrap_or("");
        if line.trim().is_empty() || line.trim_start().starts_with('#') {
            continue;
        }
        let (cells, closed) = cells(line, range.start, parting);
        let Some(first) = cells.first() else { continue };
        if !closed {
            let trouble = says::quote_open(&first.text);
            sheet.fault(trouble, "", range);
            continue;
        }
        if cells.iter().all(|c| c.text.is_empty()) {
            continue;
        }
        match &columns {
            Some(columns) => row(sheet, columns, &cells),
            None => {
                let (found, named) = head(sheet, &cells, parting != ',');
                if !named {
                    row(sheet, &found, &cells);
                }
                columns = Some(found);
            }
        }
    }
}

/// What parts the cells: a semicolon or a tab where the first line has one, else a comma.
fn parting(text: &str) -> char {
    let first = text.lines().find(|l| !l.trim().is_empty() && !l.trim_start().starts_with('#'));
    let first = first.unwrap_or("");
    [';', '\t'].into_iter().find(|c| first.contains(*c)).unwrap_or(',')
}

/// The columns by the words of the first line; `false` where that line is a reading already.
fn head(sheet: &mut Sheet<'_>, cells: &[Cell], decimal_comma: bool) -> (Columns, bool) {
    let word = |cell: &Cell| cell.text.trim().to_lowercase();
    let place = |name: &str| cells.iter().position(|c| word(c) == name);
    if place("reading").is_none() && place("value").is_none() {
        return (Columns { at: (0..COLUMNS.len()).map(Some).collect(), decimal_comma }, false);
    }
    for cell in cells.iter().filter(|c| !c.text.is_empty()) {
        if !COLUMNS.contains(&word(cell).as_str()) {
            sheet.fault(says::unknown_column(&cell.text, &COLUMNS), "", cell.span.clone());
        }
    }
    for name in ["reading", "value"] {
        if place(name).is_none() {
            let whole = cells.first().map_or(0..0, |c| c.span.clone());
            sheet.fault(says::missing_column(name), "", whole);
        }
    }
    (Columns { at: COLUMNS.iter().map(|name| place(name)).collect(), decimal_comma }, true)
}

/// The cells of a line, and whether its quotes are closed. Two quotes inside quotes are one.
fn cells(line: &str, start: usize, parting: char) -> (Vec<Cell>, bool) {
    let mut found = Vec::new();
    let mut text = String::new();
    let mut from = 0;
    let mut quoted = false;
    let mut letters = line.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        match letter {
            '"' if quoted && letters.peek().is_some_and(|(_, next)| *next == '"') => {
                text.push('"');
                letters.next();
            }
            '"' => quoted = !quoted,
            letter if letter == parting && !quoted => {
                found.push(cell(&text, start + from..start + at));
                text.clear();
                from = at + letter.len_utf8();
            }
            letter => text.push(letter),
        }
    }
    found.push(cell(&text, start + from..start + line.len()));
    (found, !quoted)
}

fn cell(text: &str, span: Range<usize>) -> Cell {
    Cell { text: text.trim().to_owned(), span }
}

fn row(sheet: &mut Sheet<'_>, columns: &Columns, cells: &[Cell]) {
    let nothing = Cell { text: String::new(), span: 0..0 };
    let [name, value, unit, amps, note] = [0, 1, 2, 3, 4].map(|c| {
        columns.at.get(c).copied().flatten().and_then(|at| cells.get(at)).unwrap_or(&nothing)
    });
    if name.text.is_empty() {
        return;
    }
    if day::is_key(&name.text.to_lowercase()) && !sheet.knows(&name.text) {
        return whole_day(sheet, columns, name, value, unit);
    }
    let Some((id, known)) = sheet.named(&name.text, &name.span) else { return };
    if overflows(sheet, columns, cells, (&id, value, unit)) {
        return;
    }
    if !note.text.is_empty() {
        sheet.readings.notes.push(format!("{id}: {}", note.text));
    }
    let figure = of_cell(sheet, columns, (&id, known), (value, unit));
    let subject = format!("{id}, amps");
    let ampere = Cell { text: "A".to_owned(), span: amps.span.clone() };
    let amps = of_cell(sheet, columns, (&subject, Some(Quantity::Amps)), (amps, &ampere));
    match figure {
        Some(figure) => {
            let amps = amps.map(|a| a.base);
            sheet.put(&id, known, Figure { amps, ..figure }, name.span.clone());
        }
        None if amps.is_some() && value.text.is_empty() => {
            sheet.fault(says::no_value(&id), &id, name.span.clone());
        }
        None => {}
    }
}

/// `date,2026-05-03`: a line of the day among the readings.
fn whole_day(sheet: &mut Sheet<'_>, columns: &Columns, name: &Cell, value: &Cell, unit: &Cell) {
    let key = name.text.to_lowercase();
    let mut text = value.text.clone();
    if columns.decimal_comma && text.starts_with(|c: char| c.is_ascii_digit() || c == '-') {
        text = text.replacen(',', ".", 1);
    }
    if !unit.text.is_empty() && !text.is_empty() {
        text = format!("{text} {}", unit.text);
    }
    day::put(sheet, &key, &Toml::from(text), &value.span.clone());
}

/// A decimal comma that parted a figure, or cells past the last column.
fn overflows(
    sheet: &mut Sheet<'_>,
    columns: &Columns,
    cells: &[Cell],
    (id, value, unit): (&str, &Cell, &Cell),
) -> bool {
    let whole = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    let digits = unit.text.split([' ', 'V', 'm', 'A']).next().unwrap_or("");
    let number = whole(value.text.trim_start_matches(['-', '+']));
    if !columns.decimal_comma && number && whole(digits) {
        let span = value.span.start..unit.span.end.max(value.span.end);
        sheet.fault(says::decimal_comma(id, &value.text, digits), id, span);
        return true;
    }
    let last = columns.at.iter().flatten().max().map_or(0, |last| last + 1);
    match cells.iter().skip(last).find(|c| !c.text.is_empty()) {
        // Cells past the columns of a head that has fewer are the owner's own and are left alone.
        Some(extra) if last == COLUMNS.len() => {
            sheet.fault(says::too_many_cells(id), id, extra.span.clone());
            true
        }
        _ => false,
    }
}

/// The figure of a cell with the unit beside it; nothing where it was left blank.
fn of_cell(
    sheet: &mut Sheet<'_>,
    columns: &Columns,
    (subject, known): (&str, Option<Quantity>),
    (value, unit): (&Cell, &Cell),
) -> Option<Figure> {
    if figure::is_blank(&value.text) {
        return None;
    }
    let comma = columns.decimal_comma || value.text.matches(',').count() == 1;
    let mut text = value.text.clone();
    // A comma that came through the parting of the cells stands in a quoted cell or beside another
    // parting sign: it is a decimal comma.
    if comma && !text.contains('.') {
        text = text.replacen(',', ".", 1);
    }
    if text.replace('\u{2212}', "-").parse::<f64>().is_ok() {
        let beside = unit.text.trim();
        let own = known.map_or("", Quantity::unit);
        let unit_word = if beside.is_empty() { own } else { beside };
        if !unit_word.is_empty() && !["V", "mV", "A", "mA", "kg", "lb"].contains(&unit_word) {
            sheet.fault(says::other_unit(subject, unit_word), subject, unit.span.clone());
            return None;
        }
        if !unit_word.is_empty() {
            text = format!("{text} {unit_word}");
        }
    }
    match figure::read(subject, known, &text) {
        Ok(figure) => Some(figure),
        Err(trouble) => {
            sheet.fault(trouble, subject, value.span.clone());
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::cells;

    #[test]
    fn a_parting_sign_inside_quotes_parts_nothing() {
        let (found, closed) = cells("A1,\"6,31\",V,,\"said \"\"low\"\"\"", 0, ',');
        let texts: Vec<&str> = found.iter().map(|c| c.text.as_str()).collect();
        assert_eq!(texts, ["A1", "6,31", "V", "", "said \"low\""], "five cells");
        assert!(closed, "every quote is closed");
        assert_eq!(found[2].span, 10..11, "the place of the unit");
        assert!(!cells("A1,\"6.31", 0, ',').1, "one quote is open");
    }
}

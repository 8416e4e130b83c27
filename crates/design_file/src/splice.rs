//! Puts text into a design file, or cuts it out, at the byte where it belongs.

use crate::target::{Step, find};
use crate::words::bare;
use std::ops::Range;
use toml_edit::{Item, Key, Table, TableLike, Value};

/// The text with a value at the end of the steps; `None` when there is no place for it.
pub(crate) fn put(text: &str, root: &Item, steps: &[Step], value: &str) -> Option<String> {
    if let Some(item) = find(root, steps) {
        let span = item.as_value()?.span()?;
        return Some(replaced(text, &span, value));
    }
    let (Step::Key(key), above) = steps.split_last()? else {
        return None;
    };
    // The deepest table that stands in the file, and what is missing below it.
    let depth = (0..=above.len()).rev().find(|n| table_at(root, &above[..*n]).is_some())?;
    let found = table_at(root, &above[..depth])?;
    let missing = &above[depth..];
    let entry = |names: &[&str]| format!("{} = {value}", names.join("."));
    match found {
        Found::Braces(value) => {
            let mut names: Vec<String> = missing.iter().filter_map(name).collect();
            names.push(bare(key));
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            into_braces(text, value, &entry(&names))
        }
        Found::Lines(table) if missing.is_empty() && has_lines(table, depth) => {
            let prefix = dotted_prefix(root, &above[..depth]);
            let key = format!("{prefix}{}", bare(key));
            Some(into_table(text, table, &entry(&[&key])))
        }
        Found::Lines(table) => {
            let header: Vec<String> = above.iter().filter_map(name).collect();
            let section = format!("[{}]\n{}", header.join("."), entry(&[&bare(key)]));
            // A table with no place of its own begins at the end of the file.
            let end = if depth == 0 { None } else { deep_end(table) };
            Some(new_section(text, end, &section))
        }
    }
}

/// A table as it stands in the text.
enum Found<'a> {
    /// Under a header, or by dotted keys.
    Lines(&'a Table),
    /// In braces.
    Braces(&'a Value),
}

fn table_at<'a>(root: &'a Item, steps: &[Step]) -> Option<Found<'a>> {
    if let Some((Step::Nth(n), above)) = steps.split_last() {
        let list = find(root, above)?.as_array_of_tables()?;
        return list.get(*n).map(Found::Lines);
    }
    match find(root, steps)? {
        Item::Table(table) => Some(Found::Lines(table)),
        Item::Value(value) if value.is_inline_table() => Some(Found::Braces(value)),
        _ => None,
    }
}

fn name(step: &Step) -> Option<String> {
    match step {
        Step::Key(key) => Some(bare(key)),
        Step::Nth(_) => None,
    }
}

/// Whether a key can be added to a table line by line: it has a header, or dotted keys of its own,
/// or it is the top of the file.
fn has_lines(table: &Table, depth: usize) -> bool {
    depth == 0 || table.is_dotted() || !table.is_implicit()
}

/// The dotted names between a table made by dotted keys and the header above it.
fn dotted_prefix(root: &Item, steps: &[Step]) -> String {
    let dotted = |n: usize| matches!(table_at(root, &steps[..n]), Some(Found::Lines(table)) if table.is_dotted());
    let first = (1..=steps.len()).rev().take_while(|n| dotted(*n)).last();
    let names: Vec<String> =
        first.map_or(Vec::new(), |n| steps[n - 1..].iter().filter_map(name).collect());
    names.iter().map(|n| format!("{n}.")).collect()
}

fn replaced(text: &str, span: &Range<usize>, with: &str) -> String {
    let before = text.get(..span.start).unwrap_or("");
    let after = text.get(span.end..).unwrap_or("");
    format!("{before}{with}{after}")
}

/// The line end that the file uses.
fn line_end(text: &str) -> &'static str {
    if text.contains("\r\n") { "\r\n" } else { "\n" }
}

/// The offset at which the line of an offset begins.
pub(crate) fn line_start(text: &str, at: usize) -> usize {
    text.get(..at).and_then(|t| t.rfind('\n')).map_or(0, |n| n + 1)
}

/// The offset after the line end that follows an offset, and whether that line had one.
fn after_line(text: &str, at: usize) -> (usize, bool) {
    let rest = text.get(at..).unwrap_or("");
    rest.find('\n').map_or((text.len(), text.is_empty()), |n| (at + n + 1, true))
}

/// Places where the keys of a table itself end, in file order of the keys.
fn own_ends(table: &dyn TableLike) -> Vec<(usize, usize)> {
    let mut ends = Vec::new();
    for (key, item) in table.iter() {
        let start = table.key(key).and_then(Key::span).map_or(0, |s| s.start);
        match item {
            Item::Value(value) => ends.extend(value.span().map(|s| (s.end, start))),
            Item::Table(inner) if inner.is_dotted() => ends.extend(own_ends(inner)),
            _ => {}
        }
    }
    ends
}

/// The end of everything below a table, other tables of its group included.
fn deep_end(table: &Table) -> Option<usize> {
    let header = if table.is_dotted() { None } else { table.span().map(|s| s.end) };
    let below = table.iter().filter_map(|(_, item)| match item {
        Item::Value(value) => value.span().map(|s| s.end),
        Item::Table(inner) => deep_end(inner),
        Item::ArrayOfTables(list) => list.iter().filter_map(deep_end).max(),
        Item::None => None,
    });
    below.chain(header).max()
}

/// Adds a line to a table, after its last key, as far in as that key.
fn into_table(text: &str, table: &Table, entry: &str) -> String {
    let newline = line_end(text);
    let last = own_ends(table).into_iter().max();
    let header = table.span().map(|s| s.end);
    let Some(end) = last.map(|l| l.0).or(header).filter(|end| *end > 0) else {
        // The top of a file without keys of its own: before everything else.
        let (mark, rest) = text.split_at(if text.starts_with('\u{feff}') { 3 } else { 0 });
        return format!("{mark}{entry}{newline}{rest}");
    };
    let indent = last.map_or("", |(_, key)| {
        let start = line_start(text, key);
        let before = text.get(start..key).unwrap_or("");
        &before[..before.len() - before.trim_start().len()]
    });
    let (at, ended) = after_line(text, end);
    let before = if ended { "" } else { newline };
    replaced(text, &(at..at), &format!("{before}{indent}{entry}{newline}"))
}

/// Adds a table after an offset, or at the end of the file, with a blank line before it.
fn new_section(text: &str, end: Option<usize>, section: &str) -> String {
    let newline = line_end(text);
    let section = section.replacen('\n', newline, 1);
    let (at, ended) = match end {
        Some(end) => after_line(text, end),
        None => (text.len(), text.is_empty() || text.ends_with('\n')),
    };
    let before = text.get(..at).unwrap_or("");
    let blank = before.is_empty() || before.ends_with("\n\n") || before.ends_with("\n\r\n");
    let gap = match (ended, blank) {
        (_, true) => String::new(),
        (true, false) => newline.to_owned(),
        (false, false) => format!("{newline}{newline}"),
    };
    let after = text.get(at..).unwrap_or("");
    let close = if after.is_empty() || after.starts_with(['\n', '\r']) { "" } else { newline };
    replaced(text, &(at..at), &format!("{gap}{section}{newline}{close}"))
}

/// Adds a key inside braces.
fn into_braces(text: &str, value: &Value, entry: &str) -> Option<String> {
    let table = value.as_inline_table()?;
    let span = value.span()?;
    match own_ends(table).into_iter().max() {
        Some((end, _)) => Some(replaced(text, &(end..end), &format!(", {entry}"))),
        None => Some(replaced(text, &span, &format!("{{ {entry} }}"))),
    }
}

/// The text without what stands at the end of the steps.
pub(crate) fn cut(text: &str, root: &Item, steps: &[Step]) -> Option<String> {
    let (last, above) = steps.split_last()?;
    let mut ranges = Vec::new();
    match (last, table_at(root, above)) {
        (Step::Key(key), Some(Found::Braces(value))) => {
            let mut table = value.as_inline_table()?.clone();
            table.remove(key)?;
            let left = Value::from(table).decorated("", "").to_string();
            return Some(replaced(text, &value.span()?, left.trim()));
        }
        (Step::Key(key), Some(Found::Lines(table))) => {
            let (key, item) = table.get_key_value(key)?;
            statements(item, key.span(), &mut ranges);
        }
        (Step::Nth(n), _) => {
            let table = find(root, above)?.as_array_of_tables()?.get(*n)?;
            table_statements(table, &mut ranges);
        }
        (Step::Key(_), None) => return None,
    }
    Some(without_lines(text, ranges))
}

/// Where a key or table and everything below it stands.
fn statements(item: &Item, key: Option<Range<usize>>, ranges: &mut Vec<Range<usize>>) {
    match item {
        Item::Value(value) => {
            if let (Some(key), Some(value)) = (key, value.span()) {
                ranges.push(key.start..value.end);
            }
        }
        Item::Table(table) => table_statements(table, ranges),
        Item::ArrayOfTables(list) => list.iter().for_each(|t| table_statements(t, ranges)),
        Item::None => {}
    }
}

fn table_statements(table: &Table, ranges: &mut Vec<Range<usize>>) {
    if !table.is_dotted() {
        ranges.extend(table.span());
    }
    for (key, item) in table.iter() {
        statements(item, table.key(key).and_then(Key::span), ranges);
    }
}

/// The text without the whole lines that some ranges touch, and without the second of two blank
/// lines that then meet.
fn without_lines(text: &str, mut ranges: Vec<Range<usize>>) -> String {
    ranges.sort_by_key(|r| r.start);
    let mut left = text.to_owned();
    for range in ranges.iter().rev() {
        let start = line_start(text, range.start);
        let (end, _) = after_line(text, range.end);
        let after = left.get(end.min(left.len())..).unwrap_or("").to_owned();
        let before = left.get(..start).unwrap_or("").to_owned();
        let meet = before.is_empty() || before.ends_with("\n\n") || before.ends_with("\n\r\n");
        let after = if meet {
            after.strip_prefix("\r\n").or_else(|| after.strip_prefix('\n')).unwrap_or(&after)
        } else {
            &after
        };
        left = format!("{before}{after}");
    }
    left
}

//! A file of readings in TOML.

use super::figure::{self, Figure};
use super::{Sheet, day, says};
use crate::schema::{Field, Kind, joined};
use crate::syntax;
use crate::value::{Reading, Value, shown};
use engine::model::as_built::PostRecord;
use engine::model::lead::Terminal;
use engine::units::Torque;
use engine::units::reading::Quantity;
use std::ops::Range;
use toml_edit::{Item, Key, TableLike, Value as Toml};

/// The keys of a post.
static POST: [Field; 3] = [
    Field::new("torque", Kind::Torque, "Torque written down."),
    Field::new("stack", Kind::Texts, "What lies on it, from the contact face outwards."),
    Field::new("boot", Kind::Flag, "A boot covers it."),
];

/// How deep a name may be written with points outside of quotes: `5.from` is two.
const DEEPEST: usize = 4;

pub(super) fn read(text: &str, sheet: &mut Sheet<'_>) {
    let parsed = syntax::parse(text, sheet.lines);
    let root = parsed.document.as_table();
    for (key, item) in root.iter() {
        let span = key_span(root, key);
        match (key, item.as_table_like()) {
            ("format", _) => format(sheet, item, span),
            ("day", Some(items)) => whole_day(sheet, items),
            ("post", Some(items)) => posts(sheet, items),
            ("read", Some(items)) => readings(sheet, items, "", 0),
            ("day" | "post" | "read", None) => sheet.fault(says::table_wanted(key), key, span),
            (_, Some(items)) if !is_reading(items) && !reaches(sheet, key, items) => {
                sheet.fault(says::unknown_table(key), key, span);
            }
            _ => reading(sheet, (key, item), span, 0),
        }
    }
    sheet.faults.extend(parsed.faults);
}

fn key_span(items: &dyn TableLike, key: &str) -> Range<usize> {
    items.key(key).and_then(Key::span).unwrap_or(0..0)
}

fn format(sheet: &mut Sheet<'_>, item: &Item, span: Range<usize>) {
    if item.as_integer() != Some(1) {
        let found = item.as_value().map_or_else(|| "a table".to_owned(), shown);
        sheet.fault(says::other_format(&found), "format", span);
    }
}

fn whole_day(sheet: &mut Sheet<'_>, items: &dyn TableLike) {
    for (key, item) in items.iter() {
        let span = key_span(items, key);
        match item.as_value() {
            Some(value) => day::put(sheet, key, value, &span),
            None => sheet.fault(says::unknown_key("day", key, &day::names()), key, span),
        }
    }
}

/// A figure with its amps, rather than a name written with a point.
fn is_reading(items: &dyn TableLike) -> bool {
    items.contains_key("value")
}

/// Whether a table at the top holds readings whose names have a point: `5.from = "6 mV"`.
fn reaches(sheet: &Sheet<'_>, key: &str, items: &dyn TableLike) -> bool {
    items.iter().any(|(below, _)| sheet.knows(&joined(key, below)))
}

fn readings(sheet: &mut Sheet<'_>, items: &dyn TableLike, above: &str, depth: usize) {
    for (key, item) in items.iter() {
        let span = key_span(items, key);
        reading(sheet, (&joined(above, key), item), span, depth);
    }
}

fn reading(sheet: &mut Sheet<'_>, (name, item): (&str, &Item), span: Range<usize>, depth: usize) {
    if item.is_none() {
        return;
    }
    if let Some(items) = item.as_table_like() {
        if is_reading(items) || sheet.knows(name) {
            return with_amps(sheet, name, items, span);
        }
        if depth < DEEPEST {
            return readings(sheet, items, name, depth + 1);
        }
    }
    let Some((id, known)) = sheet.named(name, &span) else { return };
    let Some(value) = item.as_value() else {
        return sheet.fault(says::not_a_figure(&id), &id, span);
    };
    if let Some(figure) = figure_of(sheet, &id, known, value) {
        sheet.put(&id, known, figure, span);
    }
}

/// A figure; nothing where it was left blank or is told to be none.
fn figure_of(
    sheet: &mut Sheet<'_>,
    subject: &str,
    known: Option<Quantity>,
    value: &Toml,
) -> Option<Figure> {
    let span = value.span().unwrap_or(0..0);
    let text = match value {
        Toml::String(text) => text.value().clone(),
        Toml::Integer(_) | Toml::Float(_) => shown(value),
        _ => {
            sheet.fault(says::not_a_figure(subject), subject, span);
            return None;
        }
    };
    if figure::is_blank(&text) {
        return None;
    }
    match figure::read(subject, known, &text) {
        Ok(figure) => Some(figure),
        Err(trouble) => {
            sheet.fault(trouble, subject, span);
            None
        }
    }
}

/// `{ value = "6 mV", amps = "49.5 A" }`.
fn with_amps(sheet: &mut Sheet<'_>, name: &str, items: &dyn TableLike, span: Range<usize>) {
    let Some((id, known)) = sheet.named(name, &span) else { return };
    let mut figure = None;
    let mut amps = None;
    for (key, item) in items.iter() {
        let at = key_span(items, key);
        match (key, item.as_value()) {
            ("value", Some(value)) => figure = figure_of(sheet, &id, known, value),
            ("amps", Some(value)) => {
                let subject = format!("{id}, amps");
                amps = figure_of(sheet, &subject, Some(Quantity::Amps), value);
            }
            ("note", Some(Toml::String(note))) => {
                sheet.readings.notes.push(format!("{id}: {}", note.value()));
            }
            _ => sheet.fault(says::unknown_key(&id, key, &["value", "amps", "note"]), &id, at),
        }
    }
    if !is_reading(items) {
        return sheet.fault(says::not_a_figure(&id), &id, span);
    }
    if let Some(figure) = figure {
        let amps = amps.map(|a| a.base);
        sheet.put(&id, known, Figure { amps, ..figure }, span);
    }
}

fn posts(sheet: &mut Sheet<'_>, items: &dyn TableLike) {
    for (name, item) in items.iter() {
        let span = key_span(items, name);
        let terminal = crate::terminals::read(name);
        match (terminal, item.as_table_like()) {
            (Ok(terminal), Some(keys)) => post(sheet, terminal, keys),
            (Ok(_), None) => sheet.fault(says::table_wanted(&format!("post.{name}")), name, span),
            (Err(trouble), Some(_)) => sheet.fault(trouble("[post]"), name, span),
            (Err(_), None) => sheet.fault(says::no_post(name), name, span),
        }
    }
}

fn post(sheet: &mut Sheet<'_>, terminal: Terminal, items: &dyn TableLike) {
    let mut record = PostRecord { terminal, torque: None, stack: Vec::new(), boot: None };
    let name = record.terminal.to_string();
    for (key, item) in items.iter() {
        let span = key_span(items, key);
        let path = format!("post.{name}.{key}");
        let field = POST.iter().find(|f| f.key == key);
        let (Some(field), Some(value)) = (field, item.as_value()) else {
            let known: Vec<&str> = POST.iter().map(|f| f.key).collect();
            sheet.fault(says::unknown_key(&format!("post {name}"), key, &known), &path, span);
            continue;
        };
        if value.as_str().is_some_and(|t| t.trim().is_empty()) {
            continue;
        }
        let subject = format!("post {name}, {key}");
        let mut reading = Reading::new(&subject, field);
        let understood = reading.value(value);
        for misread in reading.misread {
            sheet.fault(misread.trouble, &path, misread.span);
        }
        match understood {
            Some(Value::Quantity(v)) => record.torque = Some(Torque::newton_metres(v)),
            Some(Value::Texts(texts)) => {
                record.stack = texts.into_iter().map(|t| t.text).collect();
            }
            Some(Value::Flag(flag)) => record.boot = Some(flag),
            _ => {}
        }
    }
    sheet.readings.posts.push(record);
}

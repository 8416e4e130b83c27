//! What is said of the whole day: who, when, with which meter, under which load.

use super::{Sheet, says};
use crate::schema::{Field, Kind};
use crate::value::{Reading, Value, shown};
use engine::units::{Current, Duration, Temperature};
use std::ops::Range;
use toml_edit::Value as Toml;

const fn f(key: &'static str, kind: Kind, meaning: &'static str) -> Field {
    Field::new(key, kind, meaning)
}

/// The keys of a day.
static KEYS: [Field; 13] = [
    f("date", Kind::Text, "The day, as 2026-05-03."),
    f("by", Kind::Text, "Who read, as they write their name."),
    f("meter", Kind::Text, "Which meter and clamp."),
    f("temperature", Kind::Temperature, "Temperature of the blocks.").within(-60.0, 60.0),
    f("rested", Kind::Duration, "How long the bank rested before the readings at rest."),
    f("test", Kind::Current, "The test load.").within(0.1, 10_000.0),
    f("charge", Kind::Current, "The charge.").within(0.1, 10_000.0),
    f("volts_error", Kind::Voltage, "Error of the meter at 12 V.").within(0.0, 1.0),
    f("millivolts_error", Kind::Voltage, "Error of the meter on millivolts.").within(0.0, 0.1),
    f("clamp_error", Kind::Share, "Error of the clamp, as a share.").within(0.0, 0.5),
    f("clamp_zero", Kind::Current, "What the clamp shows with nothing in it.").within(0.0, 10.0),
    f("ticks", Kind::Texts, "Steps ticked, by name."),
    f("notes", Kind::Texts, "Anything else."),
];

/// The names of the keys.
pub(super) fn names() -> Vec<&'static str> {
    KEYS.iter().map(|f| f.key).collect()
}

/// Whether a name is one of a day's keys that take a single value.
pub(super) fn is_key(name: &str) -> bool {
    KEYS.iter().any(|f| f.key == name && f.kind != Kind::Texts)
}

/// Reads one key. `within` is where it stands when its value has no place of its own.
pub(super) fn put(sheet: &mut Sheet<'_>, key: &str, value: &Toml, within: &Range<usize>) {
    let path = format!("day.{key}");
    let place = value.span().unwrap_or_else(|| within.clone());
    let Some(field) = KEYS.iter().find(|f| f.key == key) else {
        return sheet.fault(says::unknown_key("day", key, &names()), &path, within.clone());
    };
    if value.as_str().is_some_and(|t| t.trim().trim_matches('_').is_empty()) {
        return;
    }
    if key == "date" {
        return put_date(sheet, &shown(value), place);
    }
    let subject = format!("day, {key}");
    let mut reading = Reading::new(&subject, field);
    let understood = reading.value(value);
    for misread in reading.misread {
        let span = if misread.span.is_empty() { place.clone() } else { misread.span };
        sheet.fault(misread.trouble, &path, span);
    }
    if let Some(value) = understood {
        keep(sheet, key, value);
    }
}

fn put_date(sheet: &mut Sheet<'_>, text: &str, span: Range<usize>) {
    match text.trim().parse::<jiff::civil::Date>() {
        Ok(date) => sheet.readings.date = Some(date),
        Err(_) => sheet.fault(says::no_date(text), "day.date", span),
    }
}

fn keep(sheet: &mut Sheet<'_>, key: &str, value: Value) {
    let day = &mut sheet.readings;
    match (key, value) {
        ("by", Value::Text(text)) => day.by = Some(text),
        ("meter", Value::Text(text)) => day.meter = Some(text),
        ("temperature", Value::Quantity(v)) => day.temperature = Some(Temperature::celsius(v)),
        ("rested", Value::Quantity(v)) => day.rested = Some(Duration::hours(v)),
        ("test", Value::Quantity(v)) => day.test = Some(Current::amps(v)),
        ("charge", Value::Quantity(v)) => day.charge = Some(Current::amps(v)),
        ("volts_error", Value::Quantity(v)) => day.errors.volts = Some(v),
        ("millivolts_error", Value::Quantity(v)) => day.errors.millivolts = Some(v * 1000.0),
        ("clamp_error", Value::Quantity(v)) => day.errors.clamp_share = Some(v),
        ("clamp_zero", Value::Quantity(v)) => day.errors.clamp_zero = Some(v),
        ("ticks", Value::Texts(texts)) => day.ticks.extend(texts.into_iter().map(|t| t.text)),
        ("notes", Value::Texts(texts)) => day.notes.extend(texts.into_iter().map(|t| t.text)),
        _ => {}
    }
}

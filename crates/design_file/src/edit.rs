//! Changes one key of a design file and leaves every other byte of it alone: comments, order,
//! spacing and line ends stay as the owner made them.

use crate::fault::Fault;
use crate::schema::{Field, Kind};
use crate::spans::Lines;
use crate::splice;
use crate::syntax;
use crate::target::{Resolver, find};
use crate::value::Reading;
use crate::words;
use toml_edit::{Document, Value};

/// The text with a key set to a value, for a what-if or to write back.
///
/// The path is dotted, `lead.8.size`; a name with a dot in it stands in quotes. `bank` reaches the
/// bank in force at `stage`, or at the present stage when none is given. Tables that are missing
/// are made. The value is written as TOML where the key wants a number, a list or a flag, and as a
/// text everywhere else.
///
/// # Errors
/// Says what is wrong with the path or the value, with the word that was probably meant.
pub fn set(text: &str, path: &str, value: &str, stage: Option<&str>) -> Result<String, Box<Fault>> {
    let document = document(text)?;
    let resolver = Resolver { text, root: document.as_item(), path, stage };
    let target = resolver.target()?;
    let Some(field) = target.field else {
        return Err(words::key_wanted(path, &target.subject).anywhere(path));
    };
    let value = toml(field, value);
    let mut reading = Reading::new(&target.subject, field);
    let understood = reading.value(&value);
    if let Some(misread) = reading.misread.into_iter().next() {
        return Err(misread.trouble.anywhere(path));
    }
    debug_assert!(understood.is_some(), "a value that is not understood leaves a trouble");
    let value = value.decorated("", "").to_string();
    let edited = splice::put(text, document.as_item(), &target.steps, &value);
    checked(edited, path)
}

/// The text without a key or a table. The comment on a removed line goes with it; comments on
/// lines of their own stay.
///
/// # Errors
/// Says so when the path is unknown or nothing stands there.
pub fn remove(text: &str, path: &str, stage: Option<&str>) -> Result<String, Box<Fault>> {
    let document = document(text)?;
    let resolver = Resolver { text, root: document.as_item(), path, stage };
    let target = resolver.target()?;
    if find(document.as_item(), &target.steps).is_none() {
        return Err(words::not_there(path).anywhere(path));
    }
    let edited = splice::cut(text, document.as_item(), &target.steps);
    checked(edited, path)
}

pub(crate) fn document(text: &str) -> Result<Document<String>, Box<Fault>> {
    let lines = Lines::of(text);
    let parsed = syntax::parse(text, &lines);
    match parsed.faults.into_iter().next() {
        Some(fault) => Err(Box::new(fault)),
        None => Ok(parsed.document),
    }
}

/// An edit must leave a document; one that would not is refused rather than written.
pub(crate) fn checked(edited: Option<String>, path: &str) -> Result<String, Box<Fault>> {
    let whole = edited.filter(|text| Document::parse(text.as_str()).is_ok());
    whole.ok_or_else(|| words::no_room(path).anywhere(path))
}

/// A text from the command line as the TOML value that the key wants.
fn toml(field: &Field, text: &str) -> Value {
    let plain = matches!(
        field.kind,
        Kind::Number
            | Kind::Whole
            | Kind::Flag
            | Kind::Months
            | Kind::Month
            | Kind::Stretch
            | Kind::Words(_)
            | Kind::Texts
            | Kind::Ratings
            | Kind::Loads
            | Kind::Point
            | Kind::Route
            | Kind::TakeOff
            | Kind::Share
    );
    let parsed = text.trim().parse::<Value>().ok();
    match parsed {
        Some(value) if plain || value.is_str() => value,
        _ => Value::from(text.trim()),
    }
}

//! The fields of a line as an entry.

use super::fields::{Fields, Trouble};
use super::write::{ENDS, LEVELS, WATERS};
use crate::nearest;
use engine::evidence::log::{CellId, Entry, Event, Subject};
use engine::model::bank::BlockId;
use engine::units::parse::{self, ParseError};
use engine::units::{Current, Duration, Temperature, Voltage};
use jiff::civil::{Date, DateTime, Time};

const EVENTS: [&str; 13] = [
    "gravity",
    "looked",
    "water",
    "rest",
    "load",
    "charge",
    "equalise",
    "capacity",
    "joint",
    "replaced",
    "photo",
    "note",
    "withdrawn",
];

pub(super) fn entry(mut fields: Fields, id: i64) -> Result<Entry, Trouble> {
    let [when, of, word] = fields.head.as_slice() else {
        return Err((
            "An entry needs at least when, of what, and what was read or done.".to_owned(),
            "Write it as in \"2026-05-03 09:00, A1.2, gravity, 1.265, fluid 68 F\".".to_owned(),
        ));
    };
    let (at, subject, word) = (moment(when)?, subject(of)?, word.to_lowercase());
    let mut note = fields.take("note").unwrap_or_default();
    let own = fields.take("id").map(|t| number_of("id", &t)).transpose()?;
    let corrects = fields.take("corrects").map(|t| number_of("corrects", &t)).transpose()?;
    let event = event(&word, &mut fields)?;
    if event == Event::Note
        && let Some(words) = fields.value.take()
    {
        note = words;
    }
    if let Some(left) = fields.left() {
        return Err((
            format!("\"{}\" is not understood after {word}.", left.trim_end()),
            "A decimal takes a point, not a comma; other words belong into a field that begins \
             with note."
                .to_owned(),
        ));
    }
    Ok(Entry { id: own.unwrap_or(id), at, subject, event, note, corrects })
}

fn moment(text: &str) -> Result<DateTime, Trouble> {
    let wrong = || {
        (
            format!("\"{text}\" is no date and time."),
            "Write the year first, as in \"2026-05-03 09:00\" or \"2026-05-03\".".to_owned(),
        )
    };
    let (date, time) = text.split_once([' ', 'T']).unwrap_or((text, ""));
    let date: Date = date.parse().map_err(|_| wrong())?;
    let time = time.trim();
    let time: Time =
        if time.is_empty() { Time::midnight() } else { time.parse().map_err(|_| wrong())? };
    Ok(date.to_datetime(time))
}

/// What a line speaks of.
fn subject(text: &str) -> Result<Subject, Trouble> {
    if text.eq_ignore_ascii_case("bank") {
        return Ok(Subject::Bank);
    }
    if let Some(name) = text.strip_prefix("joint ") {
        return Ok(Subject::Joint(name.to_owned()));
    }
    if let Some(letters) = text.strip_prefix("string ")
        && let Some(block) = BlockId::from_text(&format!("{}1", letters.trim()))
    {
        return Ok(Subject::String(block.string));
    }
    if let Some(block) = BlockId::from_text(text) {
        return Ok(Subject::Block(block));
    }
    if let Some(cell) = CellId::from_text(text) {
        return Ok(Subject::Cell(cell));
    }
    if text.ends_with(".from") || text.ends_with(".to") {
        return Ok(Subject::Joint(text.to_owned()));
    }
    Err((
        format!("\"{text}\" names no part of the bank."),
        "Write \"bank\", \"string A\", a block such as \"A1\", a cell such as \"A1.2\" or a joint \
         such as \"joint 5.from\"."
            .to_owned(),
    ))
}

fn event(word: &str, fields: &mut Fields) -> Result<Event, Trouble> {
    Ok(match word {
        "gravity" => Event::Gravity {
            gravity: gravity(needed(fields, "the gravity, as in 1.265")?)?,
            fluid: degrees(fields, "fluid")?,
            charged_since_water: time(fields, "charged")?,
            rested: time(fields, "rested")?,
        },
        "looked" => Event::Looked {
            level: *one_of(&LEVELS, &needed(fields, "where the fluid stood, as in low")?)?,
        },
        "water" => water(fields)?,
        "rest" => Event::Rest {
            volts: quantity(parse::voltage, &needed(fields, "the volts, as in 12.62 V")?)?,
            rested: time(fields, "rested")?,
            temperature: degrees(fields, "at")?,
        },
        "load" => Event::Load {
            current: quantity(parse::current, &needed(fields, "the amps, as in 20 A")?)?,
            lasted: time(fields, "lasted")?,
            volts: volts(fields, "volts")?,
        },
        "charge" => charge(fields)?,
        "equalise" | "equalize" => Event::Equalise {
            lasted: time(fields, "lasted")?,
            volts: volts(fields, "volts")?,
            hottest: degrees(fields, "hottest")?,
        },
        "capacity" => capacity(fields)?,
        "joint" => joint(fields)?,
        "replaced" => {
            let value = fields.value.take();
            Event::Replaced { model: fields.take("model").or(value) }
        }
        "photo" => Event::Photo { file: needed(fields, "the name of the file")? },
        "note" => Event::Note,
        "withdrawn" => Event::Withdrawn,
        other => return Err(unknown(other)),
    })
}

fn unknown(word: &str) -> Trouble {
    let near = nearest::word(word, EVENTS.iter().copied());
    let hint = match near {
        Some(meant) => format!("Probably \"{meant}\" was meant."),
        None => format!("Write one of {}.", EVENTS.join(", ")),
    };
    (format!("\"{word}\" is not a thing that the log holds."), hint)
}

fn water(fields: &mut Fields) -> Result<Event, Trouble> {
    let volume_cm3 = fields.value.take().map(|text| volume(&text)).transpose()?;
    let kind = fields.take("kind").map(|text| one_of(&WATERS, &text).copied()).transpose()?;
    let before = fields.take("before").map(|_| true);
    let before_charge = before.or_else(|| fields.take("after").map(|_| false));
    Ok(Event::Water { volume_cm3, kind, before_charge })
}

fn charge(fields: &mut Fields) -> Result<Event, Trouble> {
    let amp_hours = fields.value.take().map(|t| figure(&t, &[("Ah", 1.0)])).transpose()?;
    Ok(Event::Charge {
        from: fields.take("from"),
        lasted: time(fields, "lasted")?,
        amp_hours,
        volts: volts(fields, "volts")?,
        tail: amps(fields, "tail")?,
        end: fields.take("end").map(|text| one_of(&ENDS, &text).copied()).transpose()?,
    })
}

fn capacity(fields: &mut Fields) -> Result<Event, Trouble> {
    let current = quantity(parse::current, &needed(fields, "the steady amps, as in 11 A")?)?;
    let lasted = time(fields, "lasted")?;
    let lasted = lasted.ok_or_else(|| missing("how long it lasted, as in lasted 18 h"))?;
    let (end, temperature) = (volts(fields, "to")?, degrees(fields, "at")?);
    Ok(Event::Capacity { current, lasted, end, temperature })
}

fn joint(fields: &mut Fields) -> Result<Event, Trouble> {
    let millivolts = needed(fields, "the millivolts, as in 3.5 mV")?;
    let millivolts = figure(&millivolts, &[("mV", 1.0), ("V", 1000.0)])?;
    let current = amps(fields, "current")?;
    let current = current.ok_or_else(|| missing("the amps in it, as in current 60 A"))?;
    Ok(Event::Joint { millivolts, current })
}

fn missing(what: &str) -> Trouble {
    (format!("A figure is missing: {what}."), format!("Write {what}."))
}

/// The figure right after the event, which must be there.
fn needed(fields: &mut Fields, what: &str) -> Result<String, Trouble> {
    fields.value.take().ok_or_else(|| missing(what))
}

/// A number as it stands; points of gravity, such as 1265, are kept as written and judged elsewhere.
fn gravity(text: String) -> Result<f64, Trouble> {
    text.trim()
        .parse()
        .ok()
        .filter(|v: &f64| v.is_finite())
        .ok_or_else(|| (format!("\"{text}\" is no gravity."), "Write it as in 1.265.".to_owned()))
}

fn volume(text: &str) -> Result<f64, Trouble> {
    let units =
        [("cm3", 1.0), ("cm³", 1.0), ("ml", 1.0), ("l", 1000.0), ("fl oz", 29.573_529_562_5)];
    figure(text, &units)
}

/// A number with one of some units.
fn figure(text: &str, units: &[(&str, f64)]) -> Result<f64, Trouble> {
    let trimmed = text.trim();
    let found = units.iter().find_map(|(unit, factor)| {
        let number: f64 = trimmed.strip_suffix(unit)?.trim_end().parse().ok()?;
        number.is_finite().then_some(number * factor)
    });
    found.ok_or_else(|| {
        let names: Vec<&str> = units.iter().map(|u| u.0).collect();
        let says = format!("\"{text}\" is not a number with its unit.");
        (says, format!("Write a number and {}, with a point as decimal.", names.join(" or ")))
    })
}

fn number_of(key: &str, text: &str) -> Result<i64, Trouble> {
    text.trim().parse().map_err(|_| {
        (format!("\"{text}\" is no number of an entry."), format!("Write it as in \"{key} 12\"."))
    })
}

fn one_of<'a, T>(list: &'a [(T, &'static str)], text: &str) -> Result<&'a T, Trouble> {
    let wanted = text.trim().to_lowercase();
    list.iter().find(|(_, word)| *word == wanted).map(|(value, _)| value).ok_or_else(|| {
        let words: Vec<&str> = list.iter().map(|l| l.1).collect();
        (format!("\"{text}\" is not understood."), format!("Write {}.", words.join(" or ")))
    })
}

fn quantity<T>(read: fn(&str) -> Result<T, ParseError>, text: &str) -> Result<T, Trouble> {
    read(text).map_err(|e| {
        let says = format!("\"{}\" is not {}. {}", e.text.trim(), e.wanted, e.says);
        (says, format!("Write it as in {}.", e.write))
    })
}

fn time(fields: &mut Fields, key: &str) -> Result<Option<Duration>, Trouble> {
    fields.take(key).map(|text| quantity(parse::duration, &text)).transpose()
}

fn degrees(fields: &mut Fields, key: &str) -> Result<Option<Temperature>, Trouble> {
    fields.take(key).map(|text| quantity(parse::temperature, &text)).transpose()
}

fn volts(fields: &mut Fields, key: &str) -> Result<Option<Voltage>, Trouble> {
    fields.take(key).map(|text| quantity(parse::voltage, &text)).transpose()
}

fn amps(fields: &mut Fields, key: &str) -> Result<Option<Current>, Trouble> {
    fields.take(key).map(|text| quantity(parse::current, &text)).transpose()
}

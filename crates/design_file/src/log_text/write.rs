//! An entry as the fields of its line.

use super::fields::Field;
use engine::evidence::log::{ChargeEnd, Entry, Event, Level, Subject, WaterKind};
use engine::model::bank::BlockId;
use engine::units::{Current, Duration, Temperature, Voltage, parse};
use jiff::civil::DateTime;

/// The words of a level, as written in a line.
pub(super) const LEVELS: [(Level, &str); 4] = [
    (Level::PlatesBare, "plates bare"),
    (Level::Low, "low"),
    (Level::Right, "right"),
    (Level::Over, "over"),
];

/// The words of an end of charge.
pub(super) const ENDS: [(ChargeEnd, &str); 3] =
    [(ChargeEnd::Full, "full"), (ChargeEnd::Clock, "clock"), (ChargeEnd::Broken, "broken")];

/// The words of a kind of water.
pub(super) const WATERS: [(WaterKind, &str); 2] =
    [(WaterKind::Distilled, "distilled"), (WaterKind::Tap, "tap")];

/// The word of a value in a list of pairs.
fn word<T: PartialEq>(list: &[(T, &'static str)], value: &T) -> &'static str {
    list.iter().find(|(v, _)| v == value).map_or("", |(_, word)| word)
}

/// The line being written.
struct Line {
    fields: Vec<Field>,
}

impl Line {
    fn push(&mut self, text: String) {
        self.fields.push(Field { text, quoted: false });
    }

    fn keyed(&mut self, key: &str, text: Option<String>) {
        if let Some(text) = text {
            self.push(format!("{key} {text}"));
        }
    }
}

pub(super) fn fields(entry: &Entry) -> Vec<Field> {
    let mut line = Line { fields: Vec::new() };
    line.push(when(entry.at));
    line.push(subject(&entry.subject));
    line.push(event_word(&entry.event).to_owned());
    let value = value(entry);
    let quoted = value.as_ref().is_some_and(String::is_empty);
    line.fields.push(Field { text: value.unwrap_or_default(), quoted });
    more(&mut line, &entry.event);
    if !entry.note.is_empty() && entry.event != Event::Note {
        line.keyed("note", Some(entry.note.clone()));
    }
    line.keyed("id", Some(entry.id.to_string()));
    line.keyed("corrects", entry.corrects.map(|id| id.to_string()));
    line.fields
}

fn when(at: DateTime) -> String {
    if at.second() == 0 && at.subsec_nanosecond() == 0 {
        format!("{} {:02}:{:02}", at.date(), at.hour(), at.minute())
    } else {
        format!("{} {}", at.date(), at.time())
    }
}

/// What an entry speaks of, as a line names it.
pub(super) fn subject(subject: &Subject) -> String {
    match subject {
        Subject::Bank => "bank".to_owned(),
        Subject::String(string) => format!("string {}", BlockId::string_letters(*string)),
        Subject::Block(block) => block.to_string(),
        Subject::Cell(cell) => cell.to_string(),
        Subject::Joint(name) => format!("joint {name}"),
    }
}

/// The word of an event.
pub(super) const fn event_word(event: &Event) -> &'static str {
    match event {
        Event::Gravity { .. } => "gravity",
        Event::Looked { .. } => "looked",
        Event::Water { .. } => "water",
        Event::Rest { .. } => "rest",
        Event::Load { .. } => "load",
        Event::Charge { .. } => "charge",
        Event::Equalise { .. } => "equalise",
        Event::Capacity { .. } => "capacity",
        Event::Joint { .. } => "joint",
        Event::Replaced { .. } => "replaced",
        Event::Photo { .. } => "photo",
        Event::Note => "note",
        Event::Withdrawn => "withdrawn",
    }
}

/// The figure that stands right after the event.
fn value(entry: &Entry) -> Option<String> {
    match &entry.event {
        Event::Gravity { gravity, .. } => Some(gravity.to_string()),
        Event::Looked { level } => Some(word(&LEVELS, level).to_owned()),
        Event::Water { volume_cm3, .. } => volume_cm3.map(|v| format!("{v} cm3")),
        Event::Rest { volts, .. } => Some(volts_text(*volts)),
        Event::Load { current, .. } | Event::Capacity { current, .. } => Some(amps_text(*current)),
        Event::Charge { amp_hours, .. } => amp_hours.map(|v| format!("{v} Ah")),
        Event::Joint { millivolts, .. } => Some(format!("{millivolts} mV")),
        Event::Photo { file } => Some(file.clone()),
        Event::Note => (!entry.note.is_empty()).then(|| entry.note.clone()),
        Event::Equalise { .. } | Event::Replaced { .. } | Event::Withdrawn => None,
    }
}

fn more(line: &mut Line, event: &Event) {
    match event {
        Event::Gravity { fluid, charged_since_water, rested, .. } => {
            line.keyed("fluid", fluid.map(degrees));
            line.keyed("charged", charged_since_water.map(time));
            line.keyed("rested", rested.map(time));
        }
        Event::Water { kind, before_charge, .. } => {
            line.keyed("kind", kind.map(|k| word(&WATERS, &k).to_owned()));
            if let Some(before) = before_charge {
                line.keyed(if *before { "before" } else { "after" }, Some("charge".to_owned()));
            }
        }
        Event::Rest { rested, temperature, .. } => {
            line.keyed("rested", rested.map(time));
            line.keyed("at", temperature.map(degrees));
        }
        Event::Load { lasted, volts, .. } => {
            line.keyed("lasted", lasted.map(time));
            line.keyed("volts", volts.map(volts_text));
        }
        Event::Charge { from, lasted, volts, tail, end, .. } => {
            line.keyed("from", from.clone());
            line.keyed("lasted", lasted.map(time));
            line.keyed("volts", volts.map(volts_text));
            line.keyed("tail", tail.map(amps_text));
            line.keyed("end", end.map(|e| word(&ENDS, &e).to_owned()));
        }
        Event::Equalise { lasted, volts, hottest } => {
            line.keyed("lasted", lasted.map(time));
            line.keyed("volts", volts.map(volts_text));
            line.keyed("hottest", hottest.map(degrees));
        }
        Event::Capacity { lasted, end, temperature, .. } => {
            line.keyed("lasted", Some(time(*lasted)));
            line.keyed("to", end.map(volts_text));
            line.keyed("at", temperature.map(degrees));
        }
        Event::Joint { current, .. } => line.keyed("current", Some(amps_text(*current))),
        Event::Replaced { model } => line.keyed("model", model.clone()),
        Event::Looked { .. } | Event::Photo { .. } | Event::Note | Event::Withdrawn => {}
    }
}

fn volts_text(volts: Voltage) -> String {
    format!("{} V", volts.as_volts())
}

fn amps_text(current: Current) -> String {
    format!("{} A", current.as_amps())
}

fn degrees(temperature: Temperature) -> String {
    format!("{} C", temperature.as_celsius())
}

/// Hours; minutes where those are whole and lose nothing.
fn time(time: Duration) -> String {
    let hours = format!("{} h", time.as_hours());
    let minutes = format!("{} min", (time.as_hours() * 60.0).round());
    let short = minutes.len() < hours.len();
    if short && parse::duration(&minutes) == Ok(time) { minutes } else { hours }
}

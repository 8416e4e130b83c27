//! The rows of a spreadsheet as entries, and those that are none, by line.

use super::columns::{Column, Cup, Heat, Meaning, gravity, number, part_of_row};
use super::dates;
use super::table::{Table, TableRow, is_blank};
use crate::log::copy::BadRow;
use crate::log::parts::Parts;
use crate::log::words;
use engine::evidence::log::{Entry, Event, Subject};
use engine::units::{Temperature, Voltage};
use jiff::civil::{Date, DateTime, Time};

/// Cubic centimetres of a US fluid ounce.
const FLUID_OUNCE_CM3: f64 = 29.573_529_562_5;

/// What came of a table.
#[derive(Clone, Debug, Default)]
pub(crate) struct Taken {
    /// Entries of the good rows, in the order of the file.
    pub(crate) entries: Vec<Entry>,
    /// Rows that cannot be used.
    pub(crate) bad: Vec<BadRow>,
}

/// Makes entries of a table.
pub(crate) fn taken(table: &Table, columns: &[Column], parts: &Parts, today: Date) -> Taken {
    let mut taken = Taken::default();
    for row in &table.rows {
        let reader = Row { row, columns, parts, today };
        match reader.entries() {
            Ok(entries) => taken.entries.extend(entries),
            Err(says) => taken.bad.push(BadRow { line: row.line, says }),
        }
    }
    taken
}

struct Row<'a> {
    row: &'a TableRow,
    columns: &'a [Column],
    parts: &'a Parts,
    today: Date,
}

impl Row<'_> {
    fn entries(&self) -> Result<Vec<Entry>, String> {
        let filled = self.filled().any(|(c, _)| !matches!(c.meaning, Meaning::LeaveOut));
        if !filled {
            return Ok(Vec::new());
        }
        let at = self.moment()?;
        let own = self.own_part()?;
        let fluid = self.fluid()?;
        let mut entries = Vec::new();
        for (column, text) in self.filled() {
            let part = |part: &Option<Subject>| {
                part.clone().or_else(|| own.clone()).ok_or_else(|| no_part(column))
            };
            let (subject, event, note) = match &column.meaning {
                Meaning::Gravity(of) => {
                    let gravity = gravity(figure(column, text)?);
                    let rest = (None, None);
                    let event = Event::Gravity {
                        gravity,
                        fluid,
                        charged_since_water: rest.0,
                        rested: rest.1,
                    };
                    (part(of)?, event, "")
                }
                Meaning::Rest(of) => {
                    let volts = Voltage::volts(figure(column, text)?);
                    let event = Event::Rest { volts, rested: None, temperature: None };
                    (part(of)?, event, "")
                }
                Meaning::Water(of, cup) => (part(of)?, water(column, text, *cup)?, ""),
                Meaning::Note => (own.clone().unwrap_or(Subject::Bank), Event::Note, text),
                _ => continue,
            };
            let entry = Entry { id: 0, at, subject, event, note: note.to_owned(), corrects: None };
            let entry = words::possible(entry, self.parts)
                .map_err(|f| format!("Column \"{}\": {}", column.header, f.one_line()))?;
            entries.push(entry);
        }
        Ok(entries)
    }

    /// The fields with anything in them.
    fn filled(&self) -> impl Iterator<Item = (&Column, &str)> {
        let pairs = self.columns.iter().zip(&self.row.fields);
        pairs.map(|(c, t)| (c, t.as_str())).filter(|(_, t)| !is_blank(t))
    }

    fn moment(&self) -> Result<DateTime, String> {
        let day = self.filled().find_map(|(c, text)| match c.meaning {
            Meaning::When(order) => Some((c, text, order)),
            _ => None,
        });
        let Some((column, text, order)) = day else { return Err(no_day()) };
        let date = dates::date(text, order).ok_or_else(|| bad_day(column, text))?;
        if self.today < date {
            return Err(yet_to_come(text, date));
        }
        let clock = self.filled().find(|(c, _)| c.meaning == Meaning::Time);
        let time = match clock {
            Some((column, text)) => dates::time(text).ok_or_else(|| bad_time(column, text))?,
            None => dates::time(text).unwrap_or(Time::constant(12, 0, 0, 0)),
        };
        Ok(date.to_datetime(time))
    }

    fn own_part(&self) -> Result<Option<Subject>, String> {
        let Some((_, text)) = self.filled().find(|(c, _)| c.meaning == Meaning::Part) else {
            return Ok(None);
        };
        part_of_row(text, self.parts).map(Some).ok_or_else(|| bad_part(text, self.parts))
    }

    fn fluid(&self) -> Result<Option<Temperature>, String> {
        let found = self.filled().find_map(|(c, text)| match c.meaning {
            Meaning::Fluid(heat) => Some((c, text, heat)),
            _ => None,
        });
        let Some((column, text, heat)) = found else { return Ok(None) };
        let value = figure(column, text)?;
        let own = match text.chars().last() {
            Some('F' | 'f') => Heat::F,
            Some('C' | 'c') => Heat::C,
            _ => heat,
        };
        let read = match own {
            Heat::F => Temperature::fahrenheit(value),
            Heat::C => Temperature::celsius(value),
        };
        if (-40.0..=70.0).contains(&read.as_celsius()) {
            Ok(Some(read))
        } else {
            Err(bad_heat(column, text))
        }
    }
}

fn figure(column: &Column, text: &str) -> Result<f64, String> {
    number(text).ok_or_else(|| bad_figure(column, text))
}

fn water(column: &Column, text: &str, cup: Cup) -> Result<Event, String> {
    let value = figure(column, text)?;
    let lower = text.to_lowercase();
    let factor = if lower.contains("oz") {
        FLUID_OUNCE_CM3
    } else if lower.ends_with("ml") || lower.ends_with("cm3") {
        1.0
    } else if lower.ends_with('l') {
        1000.0
    } else {
        match cup {
            Cup::Ml => 1.0,
            Cup::FlOz => FLUID_OUNCE_CM3,
        }
    };
    Ok(Event::Water { volume_cm3: Some(value * factor), kind: None, before_charge: None })
}

fn no_day() -> String {
    "It has no day.".to_owned()
}

fn bad_day(column: &Column, text: &str) -> String {
    format!("Column \"{}\": \"{text}\" is no day.", column.header)
}

fn bad_time(column: &Column, text: &str) -> String {
    format!("Column \"{}\": \"{text}\" is no time of day.", column.header)
}

fn yet_to_come(text: &str, date: Date) -> String {
    format!("\"{text}\" is read as {date}, which is yet to come.")
}

fn no_part(column: &Column) -> String {
    format!("It does not say of what its \"{}\" is.", column.header)
}

fn bad_part(text: &str, parts: &Parts) -> String {
    format!("\"{text}\" is no part of this bank; its blocks are {}.", parts.names())
}

fn bad_heat(column: &Column, text: &str) -> String {
    format!("Column \"{}\": no fluid in a battery has {text}.", column.header)
}

fn bad_figure(column: &Column, text: &str) -> String {
    format!("Column \"{}\": \"{text}\" is no number.", column.header)
}

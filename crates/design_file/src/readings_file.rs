//! The readings of one day, as the owner typed them: a small TOML or a CSV, as much or as little as
//! there is. One line is enough.
//!
//! **TOML**: `[day]` says who read, when, with what and under which test; `[read]` has one line a
//! reading, `A1 = "6.31 V"` or `"5.from" = { value = "6 mV", amps = "49.5 A" }`; `[post."A1 +"]` has
//! what was done at a post. A reading may also stand by itself at the top.
//!
//! **CSV**: `reading,value,unit,amps,note`, in any order under a line of these names, or in this
//! order without one. Commas, semicolons or tabs part the cells; where it is not the comma, figures
//! may have a decimal comma. A line named like a key of `[day]` says that key.
//!
//! A figure left blank, such as `""` or `" V"`, was not read. Everything that cannot be understood is
//! told at once, with its line; what was understood is there all the same.

pub mod blank;
mod csv_form;
mod day;
mod figure;
mod says;
mod toml_form;

use crate::fault::{Fault, Severity, Trouble};
use crate::nearest;
use crate::spans::Lines;
use engine::evidence::readings::{Readings, TakenReading};
use engine::units::reading::Quantity;
use engine::units::{Current, Mass};
use figure::Figure;
use std::collections::BTreeMap;
use std::ops::Range;

/// A reading that may be taken: the name the book prints, and what it is of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    /// The name.
    pub id: String,
    /// What it is of.
    pub quantity: Quantity,
}

/// What was understood of a file of readings.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct ReadingsRead {
    /// The day and its readings.
    pub readings: Readings,
    /// Everything that was not understood, in file order.
    pub faults: Vec<Fault>,
}

impl ReadingsRead {
    /// Whether something that was written is missing from the readings.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.faults.iter().any(|f| f.severity == Severity::Error)
    }
}

/// Reads a file of readings. It never fails as a whole. Names are held against `known`; without any
/// known ones every name is taken as it stands.
#[must_use]
pub fn read_readings(text: &str, known: &[Known]) -> ReadingsRead {
    let lines = Lines::of(text);
    let mut sheet = Sheet::new(&lines, known);
    if is_toml(text) {
        toml_form::read(text, &mut sheet);
    } else {
        csv_form::read(text, &mut sheet);
    }
    // A day on which lines were only ticked, or only a note was written, is one that was kept.
    let day = &sheet.readings;
    let written = day.taken.len() + day.posts.len() + day.ticks.len() + day.notes.len();
    if written == 0 && sheet.faults.is_empty() {
        sheet.fault(says::nothing_read(), "", 0..0);
    }
    let Sheet { readings, mut faults, .. } = sheet;
    faults.sort_by(|a, b| {
        (a.span.start, a.span.end, &a.path).cmp(&(b.span.start, b.span.end, &b.path))
    });
    faults.dedup();
    ReadingsRead { readings, faults }
}

/// The first line that says anything tells the two forms apart: only TOML has headers and `=`.
fn is_toml(text: &str) -> bool {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let first = text.lines().map(str::trim).find(|l| !l.is_empty() && !l.starts_with('#'));
    first.is_none_or(|line| line.starts_with('[') || line.contains('='))
}

/// Collects what is understood and what is not.
struct Sheet<'a> {
    lines: &'a Lines,
    known: &'a [Known],
    readings: Readings,
    faults: Vec<Fault>,
    /// Names already read, with their lines.
    seen: BTreeMap<String, usize>,
}

impl<'a> Sheet<'a> {
    fn new(lines: &'a Lines, known: &'a [Known]) -> Self {
        let (readings, faults, seen) = (Readings::default(), Vec::new(), BTreeMap::new());
        Self { lines, known, readings, faults, seen }
    }

    /// Notes a trouble at a place.
    fn fault(&mut self, trouble: Trouble, path: &str, span: Range<usize>) {
        self.faults.push(trouble.at(path, span, self.lines));
    }

    /// What a name stands for: the known reading, or the name as written where none are known.
    fn named(&mut self, written: &str, span: &Range<usize>) -> Option<(String, Option<Quantity>)> {
        let name = written.trim();
        if self.known.is_empty() {
            return Some((name.to_owned(), None));
        }
        let plain = |text: &str| text.trim().to_lowercase().replace('_', " ");
        let exact = self.known.iter().find(|k| k.id == name);
        let mut alike = self.known.iter().filter(|k| plain(&k.id) == plain(name));
        let only = alike.next().filter(|_| alike.next().is_none());
        if let Some(found) = exact.or(only) {
            return Some((found.id.clone(), Some(found.quantity)));
        }
        let meant = nearest::word(name, self.known.iter().map(|k| k.id.as_str()));
        self.fault(says::unknown_reading(name, meant), name, span.clone());
        None
    }

    /// Whether a reading is known under exactly this name.
    fn knows(&self, name: &str) -> bool {
        self.known.iter().any(|k| k.id == name)
    }

    /// Puts a reading down, in the unit in which it is expected.
    fn put(&mut self, id: &str, known: Option<Quantity>, figure: Figure, span: Range<usize>) {
        let line = self.lines.place(span.start).0;
        if let Some(first) = self.seen.get(id) {
            let trouble = says::twice(id, *first);
            return self.fault(trouble, id, span);
        }
        self.seen.insert(id.to_owned(), line);
        let Figure { base, quantity, amps } = figure;
        let quantity = known.unwrap_or(quantity);
        let value = match quantity {
            Quantity::Millivolts => base * 1000.0,
            Quantity::Pounds => Mass::kg(base).as_pounds(),
            Quantity::Volts | Quantity::Amps | Quantity::Kilograms => base,
        };
        self.readings.taken.push(TakenReading {
            what: id.to_owned(),
            value,
            quantity,
            amps: amps.map(Current::amps),
            line: Some(line),
        });
    }
}

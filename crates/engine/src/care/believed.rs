//! Which entries are believed: wrong units, doubles and slips of the pen are named and left out.

use super::look::{cells_of, part_words};
use crate::evidence::Evidence;
use crate::evidence::log::{Entry, Event, Subject};
use crate::facts::block::BlockFacts;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::{Temperature, show};
use jiff::civil::DateTime;
use std::collections::BTreeMap;

/// Why an entry, or one reading, is not taken at its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DoubtKind {
    /// The figure makes sense in another unit only.
    WrongUnit,
    /// The same thing is written twice.
    Duplicate,
    /// A figure that this cell cannot have shown.
    Mistyped,
    /// A day that is yet to come.
    Future,
    /// A part that this bank does not have.
    NoSuchPart,
    /// Read too soon after water was put in.
    JustWatered,
    /// No temperature of the fluid was written.
    NoTemperature,
    /// Far off the cell's other readings; the next one will tell.
    Odd,
}

/// One entry that is left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// The entry's number.
    pub entry: i64,
    /// When it says it was.
    pub at: DateTime,
    /// What it speaks of.
    pub part: String,
    /// Why.
    pub kind: DoubtKind,
    /// What is, in one sentence.
    pub says: String,
    /// What to do; starts with a verb.
    pub remedy: String,
}

/// The entries that stand and are believed, and those that are not.
pub struct Believed<'a> {
    /// Oldest first.
    pub entries: Vec<&'a Entry>,
    /// What is left out.
    pub doubts: Vec<Doubt>,
}

impl DoubtKind {
    /// The words shown to the owner.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::WrongUnit => "wrong unit",
            Self::Duplicate => "written twice",
            Self::Mistyped => "mistyped",
            Self::Future => "a day to come",
            Self::NoSuchPart => "no such part",
            Self::JustWatered => "read too soon after water",
            Self::NoTemperature => "no temperature",
            Self::Odd => "far off, read again",
        }
    }
}

/// A doubt about an entry.
pub(super) fn doubt(entry: &Entry, kind: DoubtKind, says: String) -> Doubt {
    let remedy = match kind {
        DoubtKind::Duplicate => format!("Withdraw entry {}.", entry.id),
        DoubtKind::Odd => "Read this cell once more at the next sitting.".to_owned(),
        _ => format!("Write it again as it was meant, as a correction of entry {}.", entry.id),
    };
    Doubt { entry: entry.id, at: entry.at, part: part_words(&entry.subject), kind, says, remedy }
}

pub(super) fn believed<'a>(study: &Study, tables: &Tables, evidence: &'a Evidence) -> Believed<'a> {
    let judge = Judge { blocks: &study.facts.blocks, tables, evidence };
    let mut entries = Vec::new();
    let mut doubts = Vec::new();
    // Doubles fall on the same minute and the same part, so they lie side by side in this order.
    let mut seen: BTreeMap<(DateTime, &Subject), Vec<&Entry>> = BTreeMap::new();
    for entry in evidence.log.standing() {
        let there = seen.entry((entry.at, &entry.subject)).or_default();
        if let Some(first) = there.iter().find(|f| f.event == entry.event && f.note == entry.note) {
            let says = format!("Entry {} says the same as entry {}.", entry.id, first.id);
            doubts.push(doubt(entry, DoubtKind::Duplicate, says));
            continue;
        }
        there.push(entry);
        match judge.of(entry) {
            Some((kind, says)) => doubts.push(doubt(entry, kind, says)),
            None => entries.push(entry),
        }
    }
    Believed { entries, doubts }
}

struct Judge<'a> {
    blocks: &'a [BlockFacts],
    tables: &'a Tables,
    evidence: &'a Evidence,
}

/// Volts of one cell that no cell of any kind has, charging or empty.
const CELL_VOLTS_MOST: f64 = 4.5;

impl Judge<'_> {
    fn limit(&self, id: &str) -> f64 {
        self.tables.limits.value(id).value
    }

    fn of(&self, entry: &Entry) -> Option<(DoubtKind, String)> {
        if self.evidence.today.is_some_and(|today| today < entry.at.date()) {
            return Some((DoubtKind::Future, format!("{} is yet to come.", entry.at.date())));
        }
        let joint = matches!(entry.subject, Subject::Joint(_));
        if !joint && !self.blocks.is_empty() && cells_of(self.blocks, &entry.subject).is_none() {
            let says = format!("This bank has no {}.", part_words(&entry.subject));
            return Some((DoubtKind::NoSuchPart, says));
        }
        match &entry.event {
            Event::Gravity { gravity, fluid, .. } => {
                self.gravity(*gravity).or_else(|| fluid.and_then(|t| self.fluid(t)))
            }
            Event::Rest { volts, temperature, .. } => self
                .volts(&entry.subject, volts.as_volts())
                .or_else(|| temperature.and_then(|t| self.fluid(t))),
            Event::Capacity { end, temperature, .. } => end
                .and_then(|v| self.volts(&entry.subject, v.as_volts()))
                .or_else(|| temperature.and_then(|t| self.fluid(t))),
            Event::Charge { volts, .. } => {
                volts.and_then(|v| self.volts(&entry.subject, v.as_volts()))
            }
            _ => None,
        }
    }

    fn gravity(&self, gravity: f64) -> Option<(DoubtKind, String)> {
        let (least, most) = (self.limit("gravity-read-min"), self.limit("gravity-read-max"));
        let meant = gravity / 1000.0;
        if (least..=most).contains(&gravity) {
            return None;
        }
        Some(if (least..=most).contains(&meant) {
            let says = format!(
                "{} is written in points; {} was meant.",
                show::decimal(gravity, 3),
                show::fixed(meant, 3)
            );
            (DoubtKind::WrongUnit, says)
        } else {
            let says = format!("No hydrometer in a lead cell shows {}.", show::decimal(gravity, 3));
            (DoubtKind::Mistyped, says)
        })
    }

    /// A fluid hotter than a cell may ever be, in Celsius, was read in Fahrenheit.
    fn fluid(&self, temperature: Temperature) -> Option<(DoubtKind, String)> {
        let most = Temperature::fahrenheit(self.limit("charge-cell-temperature-max")).as_celsius();
        let celsius = temperature.as_celsius();
        if celsius <= most {
            return None;
        }
        let figure = show::decimal(celsius, 0);
        Some(if Temperature::fahrenheit(celsius).as_celsius() <= most {
            let says = format!("No cell is at {figure} °C; {figure} °F was meant.");
            (DoubtKind::WrongUnit, says)
        } else {
            (DoubtKind::Mistyped, format!("No cell is at {figure} °C."))
        })
    }

    fn volts(&self, subject: &Subject, volts: f64) -> Option<(DoubtKind, String)> {
        let most = f64::from(cells_of(self.blocks, subject)?) * CELL_VOLTS_MOST;
        if volts.abs() <= most {
            return None;
        }
        let figure = show::decimal(volts, 2);
        Some(if volts.abs() / 1000.0 <= most {
            let says =
                format!("{} cannot have {figure} V; millivolts were meant.", part_words(subject));
            (DoubtKind::WrongUnit, says)
        } else {
            (DoubtKind::Mistyped, format!("{} cannot have {figure} V.", part_words(subject)))
        })
    }
}

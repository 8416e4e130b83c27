//! What is to be done regularly.

use super::Book;
use super::error::TableError;
use crate::cite::Cite;

/// When in the year an interval holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Season {
    /// All the year.
    Any,
    /// The warm half.
    Summer,
    /// The cold half.
    Winter,
}

/// One thing to do again and again.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// Its name for ever.
    pub id: String,
    /// Whose: `all`, `lead`, `flooded`, `sealed` or `lfp`.
    pub chemistry: String,
    /// When in the year.
    pub season: Season,
    /// What to do.
    pub what: String,
    /// Days from one time to the next.
    pub days: f64,
    /// Why, in one line.
    pub why: String,
    /// Where the interval stands.
    pub cite: Cite,
}

/// The calendar of care.
#[derive(Debug)]
pub struct CareTables {
    tasks: Vec<Task>,
}

impl CareTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let tasks = book.rows("battery/care_calendar.csv", |row, cite| {
            let season = match row.word("season")? {
                "any" => Season::Any,
                "summer" => Season::Summer,
                "winter" => Season::Winter,
                _ => return Err(row.wrong("season", "is any, summer or winter")),
            };
            Ok(Task {
                id: row.word("id")?.to_owned(),
                chemistry: row.word("chemistry")?.to_owned(),
                season,
                what: row.word("what")?.to_owned(),
                days: row.number("interval_days")?,
                why: row.word("terms")?.to_owned(),
                cite,
            })
        })?;
        Ok(Self { tasks })
    }

    /// Every task.
    #[must_use]
    pub fn tasks(&self) -> &[Task] {
        &self.tasks
    }
}

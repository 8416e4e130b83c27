//! Single figures the rules compare with, each with its own source.

use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use std::collections::BTreeMap;

/// One figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The number.
    pub value: f64,
    /// Its unit, as written in the data.
    pub unit: String,
    /// Where it stands.
    pub cite: Cite,
    /// What else a reader should know; may be empty.
    pub note: String,
}

/// Every figure of `data/rules/limits.csv` by its id.
#[derive(Debug)]
pub struct Limits {
    by_id: BTreeMap<String, Limit>,
}

impl Limits {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        const FILE: &str = "rules/limits.csv";
        let rows = book.rows(FILE, |row, cite| {
            let limit = Limit {
                value: row.number("value")?,
                unit: row.word("unit")?.to_owned(),
                cite,
                note: row.text("note")?.to_owned(),
            };
            Ok((row.word("id")?.to_owned(), limit))
        })?;
        let count = rows.len();
        let by_id: BTreeMap<String, Limit> = rows.into_iter().collect();
        if by_id.len() < count {
            return Err(TableError::file(FILE, "an id stands twice"));
        }
        Ok(Self { by_id })
    }

    /// A figure that may not exist.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&Limit> {
        self.by_id.get(id)
    }

    /// A figure that a rule or a formula is built on. Asking for an id that the data does not hold
    /// is a bug in this program, caught by the first test that runs the rule.
    #[must_use]
    pub fn value(&self, id: &str) -> Sourced<f64> {
        let limit = self.row(id);
        Sourced::new(limit.value, limit.cite.clone())
    }

    /// The same without its source, for a formula that is asked thousands of times.
    #[must_use]
    pub fn figure(&self, id: &str) -> f64 {
        self.row(id).value
    }

    fn row(&self, id: &str) -> &Limit {
        let Some(limit) = self.by_id.get(id) else {
            panic!("data/rules/limits.csv has no row \"{id}\"");
        };
        limit
    }

    /// Every figure with its id, sorted by id.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Limit)> {
        self.by_id.iter().map(|(id, l)| (id.as_str(), l))
    }
}

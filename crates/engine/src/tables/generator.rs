//! The numbers that turn the climate of a place into weather.

use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use std::collections::BTreeMap;

const FIGURES: &str = "climate/generator.csv";

/// Hours of a day.
pub const HOURS: usize = 24;
/// Points of the curve of hourly noise.
pub const NOISE_POINTS: usize = 8;

/// The figures of `data/climate/`, apart from the map.
#[derive(Clone, Debug)]
pub struct GeneratorTables {
    by_id: BTreeMap<String, (f64, Cite)>,
    /// Clear-sky index of a day, and the spread of its hours in the logit.
    pub hour_noise: [(f64, f64); NOISE_POINTS],
    /// Share of the daily range about the daily mean, hour by hour.
    pub hour_shape: [f64; HOURS],
}

impl GeneratorTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let rows = book.rows(FIGURES, |row, cite| {
            row.word("unit")?;
            Ok((row.word("id")?.to_owned(), (row.number("value")?, cite)))
        })?;
        let count = rows.len();
        let by_id: BTreeMap<String, (f64, Cite)> = rows.into_iter().collect();
        if by_id.len() < count {
            return Err(TableError::file(FIGURES, "an id stands twice"));
        }
        const NOISE: &str = "climate/hour_noise.csv";
        let noise = book
            .rows(NOISE, |row, _| Ok((row.number("index_factor")?, row.number("noise_factor")?)))?;
        const SHAPE: &str = "climate/hour_shape.csv";
        let shape = book.rows(SHAPE, |row, _| row.number("air_factor"))?;
        let rows_wanted = |file| TableError::file(file, "has not the rows it must have");
        // The layers are read by people only; this holds their citations to the bibliography.
        book.rows("climate/layers.csv", |row, _| row.word("terms").map(str::to_owned))?;
        Ok(Self {
            by_id,
            hour_noise: noise.try_into().map_err(|_| rows_wanted(NOISE))?,
            hour_shape: shape.try_into().map_err(|_| rows_wanted(SHAPE))?,
        })
    }

    /// A figure with its citation. Asking for an id that the data does not hold is a bug in this
    /// program, caught by the first test that makes weather.
    #[must_use]
    pub fn value(&self, id: &str) -> Sourced<f64> {
        let Some((value, cite)) = self.by_id.get(id) else {
            panic!("data/{FIGURES} has no row \"{id}\"");
        };
        Sourced::new(*value, cite.clone())
    }

    /// The number of a figure.
    #[must_use]
    pub fn number(&self, id: &str) -> f64 {
        self.value(id).value
    }
}

//! Bands of ball load as different countries print them.

use super::Book;
use super::error::TableError;
use crate::cite::Cite;

/// A band, or its least figure, as a share of the gross mass.
#[derive(Clone, Debug, PartialEq)]
pub struct BallLoad {
    /// `us`, `uk` or `boat trailer`.
    pub region: String,
    /// `band`, `wide band` or `least`.
    pub kind: String,
    /// Lower end.
    pub low: f64,
    /// Upper end, where there is one.
    pub high: Option<f64>,
    /// Where it stands.
    pub cite: Cite,
}

/// The vehicle tables.
#[derive(Debug)]
pub struct VehicleTables {
    ball_loads: Vec<BallLoad>,
}

impl VehicleTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let ball_loads = book.rows("vehicle/ball_load_band.csv", |row, cite| {
            Ok(BallLoad {
                region: row.word("region")?.to_owned(),
                kind: row.word("kind")?.to_owned(),
                low: row.number("fraction_low_of_gross")?,
                high: row.optional("fraction_high_of_gross")?,
                cite,
            })
        })?;
        Ok(Self { ball_loads })
    }

    /// Every band, to be shown side by side. The one in force is the practice's.
    #[must_use]
    pub fn ball_loads(&self) -> &[BallLoad] {
        &self.ball_loads
    }
}

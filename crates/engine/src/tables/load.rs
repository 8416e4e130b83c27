//! Usual loads and what an inverter itself takes.

use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use crate::number::interpolate;
use crate::units::{Current, Power, Voltage};

/// A usual load; the owner's clamp meter decides.
#[derive(Clone, Debug, PartialEq)]
pub struct UsualLoad {
    /// What it is.
    pub name: String,
    /// Current range, where printed.
    pub current: Option<(Current, Current)>,
    /// Power range, where printed.
    pub power: Option<(Power, Power)>,
    /// Voltage the current belongs to.
    pub voltage: Option<Voltage>,
    /// Hours a day, where printed.
    pub hours_per_day: Option<(f64, f64)>,
    /// Where it stands.
    pub cite: Cite,
}

/// The losses of an inverter: Pdc = idle + slope Pac + square Pac2.
#[derive(Clone, Debug, PartialEq)]
pub struct InverterModel {
    /// Which inverter.
    pub name: String,
    /// Power at no load.
    pub idle: Power,
    /// Factor on the output.
    pub slope: f64,
    /// Factor on the output squared [1/W].
    pub square_per_w: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// The load tables.
#[derive(Debug)]
pub struct LoadTables {
    loads: Vec<UsualLoad>,
    idle: Vec<(f64, f64, Cite)>,
    models: Vec<InverterModel>,
}

fn pair<T>(low: Option<f64>, high: Option<f64>, unit: fn(f64) -> T) -> Option<(T, T)> {
    let high = high?;
    // A load printed with an upper figure only is taken as that figure.
    Some((unit(low.unwrap_or(high)), unit(high)))
}

impl LoadTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let loads = book.rows("load/loads.csv", |row, cite| {
            let current = pair(row.optional("low_a")?, row.optional("high_a")?, Current::amps);
            let power = pair(row.optional("low_w")?, row.optional("high_w")?, Power::watts);
            if current.is_none() && power.is_none() {
                return Err(row.wrong("high_a", "and high_w are both empty"));
            }
            let hours = ["hours_low_h_per_day", "hours_high_h_per_day"];
            let hours = pair(row.optional(hours[0])?, row.optional(hours[1])?, |h| h);
            Ok(UsualLoad {
                name: row.word("load")?.to_owned(),
                current,
                power,
                voltage: row.optional("voltage_v")?.map(Voltage::volts),
                hours_per_day: hours,
                cite,
            })
        })?;
        let idle = book.rows("load/inverter_idle.csv", |row, cite| {
            Ok((row.number("rating_w")?, row.number("idle_w")?, cite))
        })?;
        let models = book.rows("load/inverter_model.csv", |row, cite| {
            Ok(InverterModel {
                name: row.word("inverter")?.to_owned(),
                idle: Power::watts(row.number("idle_w")?),
                slope: row.number("slope_factor")?,
                square_per_w: row.number("square_per_w")?,
                cite,
            })
        })?;
        Ok(Self { loads, idle, models })
    }

    /// Usual loads.
    #[must_use]
    pub fn usual(&self) -> &[UsualLoad] {
        &self.loads
    }

    /// Idle power measured on small inverters; `None` above the largest that was measured.
    #[must_use]
    pub fn small_inverter_idle(&self, rating: Power) -> Option<Sourced<Power>> {
        let last = self.idle.last()?;
        if last.0 < rating.as_watts() {
            return None;
        }
        let rows: Vec<(f64, f64)> = self.idle.iter().map(|r| (r.0, r.1)).collect();
        let idle = Power::watts(interpolate(&rows, rating.as_watts())?);
        Some(Sourced::new(idle, last.2.clone()))
    }

    /// Shapes of inverter losses.
    #[must_use]
    pub fn inverter_models(&self) -> &[InverterModel] {
        &self.models
    }
}

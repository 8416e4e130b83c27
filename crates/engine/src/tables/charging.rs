//! Charging: set points per cell, their temperature compensation, and how much current is right.

use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use crate::units::{CellVoltage, Temperature};

/// A stage of a charge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Held until the current tails off.
    Absorption,
    /// Held for ever.
    Float,
    /// A lasting overcharge of flooded cells.
    Equalise,
}

impl Stage {
    const fn word(self) -> &'static str {
        match self {
            Self::Absorption => "absorption",
            Self::Float => "float",
            Self::Equalise => "equalise",
        }
    }
}

/// A set point as one source gives it.
#[derive(Clone, Debug, PartialEq)]
pub struct SetPoint {
    /// `flooded`, `agm`, `gel`, `lfp`, or `lead` for all lead.
    pub chemistry: String,
    /// The stage's word in the data.
    pub stage: String,
    /// Lower end.
    pub low: CellVoltage,
    /// Upper end.
    pub high: CellVoltage,
    /// Temperature it is stated for.
    pub reference: Temperature,
    /// Where it stands.
    pub cite: Cite,
}

/// How a lead set point moves with temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Compensation {
    /// `lead` or `lfp`.
    pub chemistry: String,
    /// Lower end [mV per kelvin and cell].
    pub low_mv_per_kelvin: f64,
    /// Upper end [mV per kelvin and cell].
    pub high_mv_per_kelvin: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// A charge current as a share of the 20 h capacity.
#[derive(Clone, Debug, PartialEq)]
pub struct CurrentRule {
    /// `flooded`, `agm`, `gel` or `lfp`.
    pub chemistry: String,
    /// What it is, for example `usual`.
    pub kind: String,
    /// Lower end, where there is one.
    pub low: Option<f64>,
    /// Upper end.
    pub high: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// The charging tables.
#[derive(Debug)]
pub struct ChargingTables {
    set_points: Vec<SetPoint>,
    choice: Vec<(String, String)>,
    compensation: Vec<Compensation>,
    currents: Vec<CurrentRule>,
    tails: Vec<(String, Sourced<f64>)>,
}

const SET_POINT_FILES: [&str; 5] = [
    "charging/setpoints_practice.csv",
    "charging/setpoints_pv_dealer_page.csv",
    "charging/setpoints_charge_controller_default.csv",
    "charging/setpoints_trade_faq.csv",
    "charging/setpoints_battery_education_text.csv",
];

impl ChargingTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let mut set_points = Vec::new();
        for file in SET_POINT_FILES {
            set_points.extend(book.rows(file, |row, cite| {
                Ok(SetPoint {
                    chemistry: row.word("chemistry")?.to_owned(),
                    stage: row.word("stage")?.to_owned(),
                    low: CellVoltage::volts(row.number("setpoint_low_v_per_cell")?),
                    high: CellVoltage::volts(row.number("setpoint_high_v_per_cell")?),
                    reference: Temperature::celsius(row.number("reference_c")?),
                    cite,
                })
            })?);
        }
        let choice = book.rows("charging/setpoint_choice.csv", |row, _| {
            Ok((row.word("chemistry")?.to_owned(), row.word("source_key")?.to_owned()))
        })?;
        let compensation = book.rows("charging/compensation.csv", |row, cite| {
            Ok(Compensation {
                chemistry: row.word("chemistry")?.to_owned(),
                low_mv_per_kelvin: row.number("compensation_low_mv_per_c_per_cell")?,
                high_mv_per_kelvin: row.number("compensation_high_mv_per_c_per_cell")?,
                cite,
            })
        })?;
        let currents = book.rows("charging/current.csv", |row, cite| {
            Ok(CurrentRule {
                chemistry: row.word("chemistry")?.to_owned(),
                kind: row.word("kind")?.to_owned(),
                low: row.optional("fraction_low_of_c20")?,
                high: row.number("fraction_high_of_c20")?,
                cite,
            })
        })?;
        let tails = book.rows("charging/tail_current.csv", |row, cite| {
            let share = row.number("tail_percent_of_c20")? / 100.0;
            Ok((row.word("rule")?.to_owned(), Sourced::new(share, cite)))
        })?;
        Ok(Self { set_points, choice, compensation, currents, tails })
    }

    /// The set point this project shows first: the chosen source, or the first that has the stage.
    /// `None` where no source has it, as for equalising anything but flooded cells.
    #[must_use]
    pub fn set_point(&self, chemistry: &str, stage: Stage) -> Option<&SetPoint> {
        let rows = self.set_points(chemistry, stage);
        let chosen = self.choice.iter().find(|(c, _)| c.eq_ignore_ascii_case(chemistry));
        let of_choice = rows.iter().find(|r| chosen.is_some_and(|(_, key)| &r.cite.key == key));
        of_choice.or_else(|| rows.first()).copied()
    }

    /// The set points of every source that has the stage. A row printed for AGM and gel together
    /// stands for gel too where gel has no row of its own.
    #[must_use]
    pub fn set_points(&self, chemistry: &str, stage: Stage) -> Vec<&SetPoint> {
        let of = |word: &str| -> Vec<&SetPoint> {
            let same =
                |r: &&SetPoint| r.chemistry.eq_ignore_ascii_case(word) && r.stage == stage.word();
            self.set_points.iter().filter(same).collect()
        };
        let own = of(chemistry);
        if own.is_empty() && chemistry.eq_ignore_ascii_case("gel") { of("agm") } else { own }
    }

    /// How set points move with temperature, every source.
    #[must_use]
    pub fn compensation(&self) -> &[Compensation] {
        &self.compensation
    }

    /// Charge currents of a chemistry, every source.
    #[must_use]
    pub fn currents(&self, chemistry: &str) -> Vec<&CurrentRule> {
        self.currents.iter().filter(|r| r.chemistry.eq_ignore_ascii_case(chemistry)).collect()
    }

    /// Tail currents that end absorption, as a share of the 20 h capacity, every source.
    #[must_use]
    pub fn tails(&self) -> &[(String, Sourced<f64>)] {
        &self.tails
    }
}

//! Published numbers, read from the tables in `data/`.
//!
//! The files are part of the program text and are parsed once, by [`Tables::load`]; the value is
//! passed by reference to whoever looks a number up. Every number comes back with its citation.

pub mod ampacity;
pub mod battery;
pub mod care;
pub mod charging;
pub mod climate;
pub mod conductor;
pub mod enclosure;
pub mod error;
pub mod examiner;
pub mod files;
pub mod generator;
pub mod limits;
pub mod load;
#[cfg(test)]
pub(crate) mod oracles;
pub mod overcurrent;
pub mod practice;
pub mod sheet;
pub mod sky;
pub mod sources;
pub mod termination;
pub mod vehicle;

use crate::cite::Cite;
use error::TableError;
use sheet::{Row, Sheet};
use sources::Sources;

/// A value with the place it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Where it stands and how it was read.
    pub cite: Cite,
}

impl<T> Sourced<T> {
    /// A value with its citation.
    pub const fn new(value: T, cite: Cite) -> Self {
        Self { value, cite }
    }

    /// The same citation on a value worked from this one.
    pub fn map<U>(self, convert: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced { value: convert(self.value), cite: self.cite }
    }
}

/// Every table of `data/`.
#[derive(Debug)]
pub struct Tables {
    /// The bibliography.
    pub sources: Sources,
    /// Sizes, areas, resistances, diameters.
    pub conductor: conductor::ConductorTables,
    /// Allowable currents and their factors.
    pub ampacity: ampacity::AmpacityTables,
    /// Fuses, breakers, what they break and how fast.
    pub overcurrent: overcurrent::OvercurrentTables,
    /// Studs, lugs, torque, joints, colours.
    pub termination: termination::TerminationTables,
    /// Cases, rest volts, temperature, gravity, rates.
    pub battery: battery::BatteryTables,
    /// What is to be done regularly.
    pub care: care::CareTables,
    /// Set points and charge currents.
    pub charging: charging::ChargingTables,
    /// Gassing, restraint, screws.
    pub enclosure: enclosure::EnclosureTables,
    /// Bands of ball load.
    pub vehicle: vehicle::VehicleTables,
    /// Usual loads and inverter losses.
    pub load: load::LoadTables,
    /// What turns a climate into weather.
    pub generator: generator::GeneratorTables,
    /// Coefficients from the sun to a panel's power.
    pub sky: sky::SkyTables,
    /// Single figures the rules compare with.
    pub limits: limits::Limits,
    /// The six practice settings.
    pub practices: practice::Practices,
    /// What examiners look for and who signs.
    pub examiner: examiner::ExaminerTables,
}

impl Tables {
    /// Parses every file. An error here is a fault in `data/`, found by the tests.
    pub fn load() -> Result<Self, TableError> {
        let sources = Sources::parse(files::SOURCES)?;
        let book = Book { sources: &sources, sheets: Sheet::read_all(files::FILES)? };
        Ok(Self {
            conductor: conductor::ConductorTables::read(&book)?,
            ampacity: ampacity::AmpacityTables::read(&book)?,
            overcurrent: overcurrent::OvercurrentTables::read(&book)?,
            termination: termination::TerminationTables::read(&book)?,
            battery: battery::BatteryTables::read(&book)?,
            care: care::CareTables::read(&book)?,
            charging: charging::ChargingTables::read(&book)?,
            enclosure: enclosure::EnclosureTables::read(&book)?,
            vehicle: vehicle::VehicleTables::read(&book)?,
            load: load::LoadTables::read(&book)?,
            generator: generator::GeneratorTables::read(&book)?,
            sky: sky::SkyTables::read(&book)?,
            limits: limits::Limits::read(&book)?,
            practices: practice::Practices::read(&book)?,
            examiner: examiner::ExaminerTables::read(&book)?,
            sources,
        })
    }
}

/// What the readers are given: the files and the sources their rows may name.
pub(crate) struct Book<'a> {
    sources: &'a Sources,
    sheets: Vec<Sheet>,
}

impl Book<'_> {
    /// Reads each row of a file into a value.
    fn rows<T>(
        &self,
        file: &str,
        read: impl Fn(&Row<'_>, Cite) -> Result<T, TableError>,
    ) -> Result<Vec<T>, TableError> {
        let found = self.sheets.iter().find(|sheet| sheet.file() == file);
        let missing = || TableError::file(file, "is not among the files of the program");
        let sheet = found.ok_or_else(missing)?;
        sheet.rows().map(|row| read(&row, row.cite(self.sources)?)).collect()
    }
}

//! How much current a conductor may carry all day: published tables and their factors.
//!
//! The figure for real conditions is put together in [`Tables::ampacity`], factor by factor, so that
//! the reader sees each step and the weakest status decides.

use super::conductor::{gauge, metric};
use super::error::TableError;
use super::sheet::Row;
use super::{Book, Sourced, Tables};
use crate::cite::Cite;
use crate::units::conductor::{ConductorSize, Gauge, MetricSize};
use crate::units::{Current, Temperature};

/// A published table of allowable currents.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AmpacityTable {
    /// 33 CFR 183.425 table 5: boats, single conductor.
    Cfr33,
    /// NEC 310.16: not more than three conductors in raceway, cable or earth.
    Nec31016,
    /// NEC 310.17: single conductors in free air; recalled.
    Nec31017,
    /// ISO 10133 table A.1: small craft, metric; recalled.
    Iso10133,
}

impl AmpacityTable {
    /// Reads the word used in `data/rules/practices.csv`.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "cfr-33-183-425" => Some(Self::Cfr33),
            "nec-310-16" => Some(Self::Nec31016),
            "nec-310-17" => Some(Self::Nec31017),
            "iso-10133" => Some(Self::Iso10133),
            _ => None,
        }
    }
}

/// Where the conductor lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// Inside an engine space, which the boat tables take as 50 or 60 C.
    pub engine_space: bool,
    /// Current-carrying conductors that touch along the way, this one counted.
    pub conductors: u32,
    /// Air around the conductor.
    pub ambient: Temperature,
}

impl Surroundings {
    /// One conductor by itself at the 30 C of every table.
    #[must_use]
    pub fn alone_at_30c() -> Self {
        Self { engine_space: false, conductors: 1, ambient: Temperature::celsius(30.0) }
    }
}

/// A factor that was applied, in words for the reader.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it stands for, for example "engine space".
    pub what: &'static str,
    /// The factor.
    pub factor: Sourced<f64>,
}

/// An allowable current with the way it was reached.
#[derive(Clone, Debug, PartialEq)]
pub struct Ampacity {
    /// The allowable current; its status is the weakest of the base and of every step.
    pub current: Sourced<Current>,
    /// The figure in the table.
    pub base: Sourced<Current>,
    /// The insulation temperature of the column that was used [C].
    pub column_c: f64,
    /// The factors applied to it; empty where none applies.
    pub steps: Vec<Step>,
}

#[derive(Debug)]
struct CurrentRow<K> {
    size: K,
    /// Insulation temperature and amperes, coolest first.
    columns: Vec<(f64, f64)>,
    cite: Cite,
}

#[derive(Debug)]
struct BandRow {
    low: f64,
    high: f64,
    factor: f64,
    cite: Cite,
}

#[derive(Debug)]
struct AmbientRow {
    ambient_c_high: f64,
    columns: Vec<(f64, f64)>,
    cite: Cite,
}

/// The ampacity tables.
#[derive(Debug)]
pub struct AmpacityTables {
    cfr: Vec<CurrentRow<Gauge>>,
    nec_16: Vec<CurrentRow<Gauge>>,
    nec_17: Vec<CurrentRow<Gauge>>,
    iso: Vec<CurrentRow<MetricSize>>,
    boat_engine: Vec<BandRow>,
    iso_engine: Vec<BandRow>,
    boat_bundle: Vec<BandRow>,
    iso_bundle: Vec<BandRow>,
    nec_bundle: Vec<BandRow>,
    nec_ambient: Vec<AmbientRow>,
}

const CFR_COLUMNS: [f64; 7] = [60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0];
const NEC_COLUMNS: [f64; 3] = [60.0, 75.0, 90.0];
const ISO_COLUMNS: [f64; 6] = [60.0, 70.0, 85.0, 105.0, 125.0, 200.0];

fn columns(
    row: &Row<'_>,
    temperatures: &[f64],
    name: impl Fn(f64) -> String,
) -> Result<Vec<(f64, f64)>, TableError> {
    let mut found = Vec::with_capacity(temperatures.len());
    for &temperature in temperatures {
        if let Some(value) = row.optional(&name(temperature))? {
            found.push((temperature, value));
        }
    }
    Ok(found)
}

/// The hottest column that the insulation still bears.
fn column(columns: &[(f64, f64)], insulation_c: f64) -> Option<(f64, f64)> {
    columns.iter().rev().find(|c| c.0 <= insulation_c).copied()
}

impl AmpacityTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let amps = |t: f64| format!("ampacity_{t:.0}c_a");
        let by_gauge = |file: &str, temperatures: &'static [f64]| {
            book.rows(file, |row, cite| {
                Ok(CurrentRow {
                    size: gauge(row)?,
                    columns: columns(row, temperatures, amps)?,
                    cite,
                })
            })
        };
        let iso = book.rows("ampacity/iso_10133_2012.csv", |row, cite| {
            Ok(CurrentRow { size: metric(row)?, columns: columns(row, &ISO_COLUMNS, amps)?, cite })
        })?;
        let bands = |file: &str, low: &'static str, high: &'static str| {
            book.rows(file, |row, cite| {
                let (low, high) = row.range(low, high)?;
                Ok(BandRow { low, high, factor: row.number("factor")?, cite })
            })
        };
        let bundle = |file: &str| bands(file, "conductors_low", "conductors_high");
        let mut boat_bundle = bundle("ampacity/ul_1426_bundle.csv")?;
        boat_bundle.extend(bundle("ampacity/cfr_33_183_425_t5_bundle.csv")?);
        let nec_ambient = book.rows("ampacity/nec_ambient_30c.csv", |row, cite| {
            let (_, ambient_c_high) = row.range("ambient_low_c", "ambient_high_c")?;
            let columns = columns(row, &NEC_COLUMNS, |t| format!("factor_{t:.0}c"))?;
            Ok(AmbientRow { ambient_c_high, columns, cite })
        })?;
        let engine = "ampacity/cfr_33_183_425_t5_engine_space.csv";
        let iso_engine = "ampacity/iso_10133_2012_engine_space.csv";
        Ok(Self {
            cfr: by_gauge("ampacity/cfr_33_183_425_t5.csv", &CFR_COLUMNS)?,
            nec_16: by_gauge("ampacity/nec_2014_310_16.csv", &NEC_COLUMNS)?,
            nec_17: by_gauge("ampacity/nec_310_17.csv", &NEC_COLUMNS)?,
            iso,
            boat_engine: bands(engine, "insulation_c", "insulation_c")?,
            iso_engine: bands(iso_engine, "insulation_low_c", "insulation_high_c")?,
            boat_bundle,
            iso_bundle: bundle("ampacity/iso_10133_2012_bundle.csv")?,
            nec_bundle: bundle("ampacity/nec_2014_bundle.csv")?,
            nec_ambient,
        })
    }

    /// The gauge tables; the metric one has rows of its own.
    fn gauge_rows(&self, table: AmpacityTable) -> &[CurrentRow<Gauge>] {
        match table {
            AmpacityTable::Cfr33 => &self.cfr,
            AmpacityTable::Nec31016 => &self.nec_16,
            AmpacityTable::Nec31017 => &self.nec_17,
            AmpacityTable::Iso10133 => &[],
        }
    }

    /// Factor for conductors that touch; `None` where the table has no row and no factor applies.
    fn bundle(&self, table: AmpacityTable, conductors: u32) -> Option<Sourced<f64>> {
        let rows = match table {
            AmpacityTable::Cfr33 => &self.boat_bundle,
            AmpacityTable::Iso10133 => &self.iso_bundle,
            AmpacityTable::Nec31016 | AmpacityTable::Nec31017 => &self.nec_bundle,
        };
        band(rows, f64::from(conductors))
    }

    /// Factor for an engine space; the NEC tables know none.
    fn engine(&self, table: AmpacityTable, column_c: f64) -> Option<Sourced<f64>> {
        match table {
            AmpacityTable::Cfr33 => band(&self.boat_engine, column_c),
            AmpacityTable::Iso10133 => band(&self.iso_engine, column_c),
            AmpacityTable::Nec31016 | AmpacityTable::Nec31017 => None,
        }
    }

    /// Factor for air above 30 C: the NEC's own rows for its columns, the law behind them elsewhere.
    /// Cooler air earns nothing: a battery compartment warms up. Air as hot as the insulation leaves
    /// no current.
    fn ambient(&self, table: AmpacityTable, column_c: f64, ambient_c: f64) -> Sourced<f64> {
        if matches!(table, AmpacityTable::Nec31016 | AmpacityTable::Nec31017) {
            let row = self.nec_ambient.iter().find(|r| ambient_c <= r.ambient_c_high);
            let found = row.and_then(|r| {
                let exact = r.columns.iter().find(|c| (c.0 - column_c).abs() < 0.5)?;
                Some(Sourced::new(exact.1, r.cite.clone()))
            });
            return found.unwrap_or_else(|| Sourced::new(0.0, no_current()));
        }
        let room = ((column_c - ambient_c) / (column_c - 30.0)).max(0.0);
        Sourced::new(room.sqrt(), Cite::physics("ambient factor sqrt((T - Ta)/(T - 30 C))"))
    }
}

fn no_current() -> Cite {
    Cite::physics("the air is as hot as the insulation bears")
}

fn band(rows: &[BandRow], key: f64) -> Option<Sourced<f64>> {
    let row = rows.iter().find(|r| r.low <= key && key <= r.high)?;
    Some(Sourced::new(row.factor, row.cite.clone()))
}

impl Tables {
    /// Allowable current of a conductor in its surroundings, by a published table.
    ///
    /// `None` where the table has no row for the size or no column for the insulation. A size of
    /// another family is looked up by the next smaller row with no more copper than it has.
    #[must_use]
    pub fn ampacity(
        &self,
        table: AmpacityTable,
        size: ConductorSize,
        insulation: Temperature,
        around: &Surroundings,
    ) -> Option<Ampacity> {
        let tables = &self.ampacity;
        let (column_c, base) = self.base_current(table, size, insulation.as_celsius())?;
        let mut steps = Vec::new();
        let engine = if around.engine_space { tables.engine(table, column_c) } else { None };
        let ambient_c = around.ambient.as_celsius();
        let ambient = (30.0 < ambient_c).then(|| tables.ambient(table, column_c, ambient_c));
        // Engine space and warm air are the same heat counted once: the harder one decides.
        match (engine, ambient) {
            (Some(e), Some(a)) if a.value < e.value => {
                steps.push(Step { what: "air temperature", factor: a });
            }
            (Some(e), _) => steps.push(Step { what: "engine space", factor: e }),
            (None, Some(a)) => steps.push(Step { what: "air temperature", factor: a }),
            (None, None) => {}
        }
        if let Some(b) = tables.bundle(table, around.conductors) {
            steps.push(Step { what: "conductors that touch", factor: b });
        }
        let one = |s: &Step| (s.factor.value - 1.0).abs() < 1e-12;
        steps.retain(|s| !one(s));
        let mut current = base.clone();
        for step in &steps {
            current.value = current.value * step.factor.value;
            current.cite.status = current.cite.status.weaker(step.factor.cite.status);
        }
        Some(Ampacity { current, base, column_c, steps })
    }

    /// The printed figure and its column.
    fn base_current(
        &self,
        table: AmpacityTable,
        size: ConductorSize,
        insulation_c: f64,
    ) -> Option<(f64, Sourced<Current>)> {
        let tables = &self.ampacity;
        let (columns, cite) = match (table, size) {
            (AmpacityTable::Iso10133, ConductorSize::Metric(metric)) => {
                let row = tables.iso.iter().find(|r| r.size == metric)?;
                (&row.columns, &row.cite)
            }
            (AmpacityTable::Iso10133, other) => {
                let area_mm2 = self.conductor.area(other)?.value.as_mm2();
                let row = tables.iso.iter().rev().find(|r| r.size.as_mm2() <= area_mm2)?;
                (&row.columns, &row.cite)
            }
            (_, ConductorSize::Awg(gauge) | ConductorSize::Boat(gauge)) => {
                let row = tables.gauge_rows(table).iter().find(|r| r.size == gauge)?;
                (&row.columns, &row.cite)
            }
            (_, ConductorSize::Metric(metric)) => {
                let holds = |gauge: Gauge| {
                    let area = self.conductor.area(ConductorSize::Awg(gauge));
                    area.is_some_and(|a| a.value.as_mm2() <= metric.as_mm2())
                };
                let row = tables.gauge_rows(table).iter().rev().find(|r| holds(r.size))?;
                (&row.columns, &row.cite)
            }
        };
        let (column_c, amps) = column(columns, insulation_c)?;
        Some((column_c, Sourced::new(Current::amps(amps), cite.clone())))
    }
}

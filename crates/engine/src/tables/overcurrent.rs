//! Fuses and breakers: stock ratings, what they break at which volts, how fast they open, and the
//! factor k of a conductor's adiabatic heating.
//!
//! Which fuse suits a lead is worked out in `calc::fuse_window`.

use super::conductor::gauge;
use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use crate::units::conductor::Gauge;
use crate::units::{Current, Duration, Interrupt, Resistance, Temperature, Voltage};

/// A fuse or breaker family.
#[derive(Clone, Debug, PartialEq)]
pub struct FuseFamily {
    /// The word used in the data, for example `class-t`.
    pub word: String,
    /// What the trade calls it, for example `class T`.
    pub trade: String,
    /// How it is called in full.
    pub name: String,
    /// Largest direct voltage it is made for.
    pub voltage_max: Sourced<Voltage>,
    /// How it is mounted.
    pub mounting: String,
}

#[derive(Debug)]
struct RatingRow {
    family: String,
    rating_a: f64,
    cite: Cite,
}

#[derive(Debug)]
struct InterruptRow {
    family: String,
    voltage_v: f64,
    interrupt_a: f64,
    cite: Cite,
}

#[derive(Debug)]
struct StudRow {
    family: String,
    low_a: f64,
    high_a: f64,
    stud: String,
    cite: Cite,
}

/// How long a fuse family takes at one multiple of its rating.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningTime {
    /// Current as a percentage of the rating.
    pub percent: f64,
    /// It must not open sooner, where a figure is known.
    pub soonest: Option<Duration>,
    /// It must have opened by then, where a figure is known.
    pub latest: Option<Duration>,
    /// Where it stands.
    pub cite: Cite,
}

#[derive(Debug)]
struct TimeRow {
    family: String,
    low_a: f64,
    high_a: f64,
    time: OpeningTime,
}

#[derive(Debug)]
struct CrankingRow {
    low_a: f64,
    high_a: f64,
    main_a: f64,
    branch_a: f64,
    cite: Cite,
}

/// Heating constant of an insulation: I2 t <= k2 S2.
#[derive(Clone, Debug, PartialEq)]
pub struct Adiabatic {
    /// The insulation.
    pub insulation: String,
    /// Conductor temperature before the fault.
    pub initial: Temperature,
    /// Conductor temperature the insulation survives for a moment.
    pub last: Temperature,
    /// k [A sqrt(s) / mm2].
    pub k: Sourced<f64>,
}

/// The fuse tables.
#[derive(Debug)]
pub struct OvercurrentTables {
    families: Vec<FuseFamily>,
    ratings: Vec<RatingRow>,
    interrupts: Vec<InterruptRow>,
    studs: Vec<StudRow>,
    times: Vec<TimeRow>,
    cold: Vec<(RatingRow, f64)>,
    cranking: Vec<CrankingRow>,
    trailer: Vec<(Gauge, Sourced<Current>)>,
    adiabatic: Vec<Adiabatic>,
}

fn open_ended(value: Option<f64>, other: f64) -> f64 {
    value.unwrap_or(other)
}

impl OvercurrentTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let families = book.rows("overcurrent/families.csv", |row, cite| {
            Ok(FuseFamily {
                word: row.word("family")?.to_owned(),
                trade: row.word("trade")?.to_owned(),
                name: row.word("name")?.to_owned(),
                voltage_max: Sourced::new(Voltage::volts(row.number("voltage_max_v")?), cite),
                mounting: row.word("mounting")?.to_owned(),
            })
        })?;
        let rating = |row: &super::sheet::Row<'_>, cite| {
            let family = row.word("family")?.to_owned();
            Ok(RatingRow { family, rating_a: row.number("rating_a")?, cite })
        };
        let interrupts = book.rows("overcurrent/interrupt.csv", |row, cite| {
            Ok(InterruptRow {
                family: row.word("family")?.to_owned(),
                voltage_v: row.number("voltage_v")?,
                interrupt_a: row.number("interrupt_a")?,
                cite,
            })
        })?;
        let studs = book.rows("overcurrent/studs.csv", |row, cite| {
            let (low_a, high_a) = row.range("rating_low_a", "rating_high_a")?;
            let family = row.word("family")?.to_owned();
            Ok(StudRow { family, low_a, high_a, stud: row.word("stud")?.to_owned(), cite })
        })?;
        let cold = book.rows("overcurrent/cold_resistance.csv", |row, cite| {
            Ok((rating(row, cite)?, row.number("resistance_mohm")?))
        })?;
        let trailer = book.rows("overcurrent/nec_552_10_fuse_by_wire.csv", |row, cite| {
            let largest = Current::amps(row.number("fuse_max_a")?);
            Ok((gauge(row)?, Sourced::new(largest, cite)))
        })?;
        Ok(Self {
            families,
            trailer,
            ratings: book.rows("overcurrent/ratings.csv", rating)?,
            interrupts,
            studs,
            times: read_times(book)?,
            cold,
            cranking: read_cranking(book)?,
            adiabatic: read_adiabatic(book)?,
        })
    }

    /// Every family, weakest first.
    #[must_use]
    pub fn families(&self) -> &[FuseFamily] {
        &self.families
    }

    /// A family by its word.
    #[must_use]
    pub fn family(&self, word: &str) -> Option<&FuseFamily> {
        self.families.iter().find(|f| f.word == word)
    }

    /// Stock ratings of a family, smallest first.
    #[must_use]
    pub fn ratings(&self, family: &str) -> Vec<Sourced<Current>> {
        let rows = self.ratings.iter().filter(|r| r.family == family);
        rows.map(|r| Sourced::new(Current::amps(r.rating_a), r.cite.clone())).collect()
    }

    /// What a family breaks at a direct voltage: the row of the next voltage not below it, because
    /// the interrupt rating falls as the voltage rises. `None` above its last row.
    ///
    /// Some families are sold in several voltage types (a 32 V and a 70 V strip fuse); the rows are
    /// then of different parts, and the part in hand decides.
    #[must_use]
    pub fn interrupt(&self, family: &str, voltage: Voltage) -> Option<Sourced<Interrupt>> {
        let fits = |r: &&InterruptRow| r.family == family && voltage.as_volts() <= r.voltage_v;
        let row = self
            .interrupts
            .iter()
            .filter(fits)
            .min_by(|a, b| a.voltage_v.total_cmp(&b.voltage_v))?;
        Some(Sourced::new(Interrupt::amps(row.interrupt_a), row.cite.clone()))
    }

    /// The stud a rating of this family usually has.
    #[must_use]
    pub fn stud(&self, family: &str, rating: Current) -> Option<Sourced<&str>> {
        let amps = rating.as_amps();
        let holds = |r: &&StudRow| r.family == family && r.low_a <= amps && amps <= r.high_a;
        let row = self.studs.iter().find(holds)?;
        Some(Sourced::new(row.stud.as_str(), row.cite.clone()))
    }

    /// Cold resistance the data lists for a rating of this family.
    #[must_use]
    pub fn cold_resistance(&self, family: &str, rating: Current) -> Option<Sourced<Resistance>> {
        let same =
            |r: &RatingRow| r.family == family && (r.rating_a - rating.as_amps()).abs() < 1e-9;
        let (row, milliohms) = self.cold.iter().find(|(r, _)| same(r))?;
        Some(Sourced::new(Resistance::milliohms(*milliohms), row.cite.clone()))
    }

    /// Opening times of a rating of this family, lowest multiple first; empty where none is known.
    #[must_use]
    pub fn opening_times(&self, family: &str, rating: Current) -> Vec<&OpeningTime> {
        let amps = rating.as_amps();
        let holds = |r: &&TimeRow| r.family == family && r.low_a <= amps && amps <= r.high_a;
        self.times.iter().filter(holds).map(|r| &r.time).collect()
    }

    /// Interrupt ratings that an older E-11 table asks of a main and a branch device, by the total
    /// cold cranking amps of the bank.
    #[must_use]
    pub fn interrupt_by_cranking(&self, total: Current) -> Option<(Sourced<Interrupt>, Interrupt)> {
        // The table counts whole amperes: 650 or less, 651 to 1100, over 1100.
        let amps = total.as_amps().ceil();
        let row = self.cranking.iter().find(|r| r.low_a <= amps && amps <= r.high_a)?;
        let main = Sourced::new(Interrupt::amps(row.main_a), row.cite.clone());
        Some((main, Interrupt::amps(row.branch_a)))
    }

    /// Largest fuse that the trailer text's own short table allows on a thin wire.
    #[must_use]
    pub fn trailer_fuse_max(&self, gauge: Gauge) -> Option<Sourced<Current>> {
        let (_, largest) = self.trailer.iter().find(|(g, _)| *g == gauge)?;
        Some(largest.clone())
    }

    /// Heating constants of every insulation, printed ones first.
    #[must_use]
    pub fn adiabatic(&self) -> &[Adiabatic] {
        &self.adiabatic
    }
}

fn read_times(book: &Book<'_>) -> Result<Vec<TimeRow>, TableError> {
    book.rows("overcurrent/time_current.csv", |row, cite| {
        let (low_a, high_a) = row.range("rating_low_a", "rating_high_a")?;
        let time = OpeningTime {
            percent: row.number("percent_of_rating")?,
            soonest: row.optional("open_min_s")?.map(Duration::seconds),
            latest: row.optional("open_max_s")?.map(Duration::seconds),
            cite,
        };
        Ok(TimeRow { family: row.word("family")?.to_owned(), low_a, high_a, time })
    })
}

fn read_cranking(book: &Book<'_>) -> Result<Vec<CrankingRow>, TableError> {
    book.rows("overcurrent/abyc_e11_aic.csv", |row, cite| {
        Ok(CrankingRow {
            low_a: open_ended(row.optional("cca_low_a")?, 0.0),
            high_a: open_ended(row.optional("cca_high_a")?, f64::INFINITY),
            main_a: row.number("main_interrupt_a")?,
            branch_a: row.number("branch_interrupt_a")?,
            cite,
        })
    })
}

fn read_adiabatic(book: &Book<'_>) -> Result<Vec<Adiabatic>, TableError> {
    let read = |file: &str| {
        book.rows(file, |row, cite| {
            Ok(Adiabatic {
                insulation: row.word("insulation")?.to_owned(),
                initial: Temperature::celsius(row.number("initial_c")?),
                last: Temperature::celsius(row.number("final_c")?),
                k: Sourced::new(row.number("k_a_sqrt_s_per_mm2")?, cite),
            })
        })
    };
    let mut rows = read("overcurrent/adiabatic_k_iec_60364_5_54.csv")?;
    rows.extend(read("overcurrent/adiabatic_k_computed.csv")?);
    Ok(rows)
}

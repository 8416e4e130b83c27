//! Batteries: case sizes, rest volts, temperature, resistance, gravity and capacity at other rates.
//!
//! Where several sources print a curve, one is chosen for the model by `data/battery/rest_choice.csv`
//! and the others stay readable beside it.

use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use crate::number::interpolate;
use crate::units::{BlockVoltage, CellVoltage, Current, Length, Mass, Resistance, Temperature};

/// The outside of a case as a size name promises it; the battery maker's sheet decides.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseSize {
    /// Size name, for example `GC2`.
    pub group: String,
    /// Along the case.
    pub length: Length,
    /// Across the case.
    pub width: Length,
    /// Least height.
    pub height_low: Length,
    /// Greatest height.
    pub height_high: Length,
    /// Nominal block volts.
    pub voltage: BlockVoltage,
    /// Where it stands; the weakest where two files make one row.
    pub cite: Cite,
}

/// Masses that a size name usually has.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseMass {
    /// Size name.
    pub group: String,
    /// Lighter end.
    pub low: Mass,
    /// Heavier end.
    pub high: Mass,
    /// Where it stands.
    pub cite: Cite,
}

/// What a size name usually holds at the 20 h rate.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseCapacity {
    /// Size name.
    pub group: String,
    /// Lower end [Ah].
    pub low_ah: f64,
    /// Upper end [Ah].
    pub high_ah: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// A curve of one source: pairs of a key and a value, keys rising.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What it describes, for example a scheme or a block.
    pub name: String,
    /// The pairs.
    pub rows: Vec<(f64, f64)>,
    /// Where it stands; the weakest status of its rows.
    pub cite: Cite,
}

impl Curve {
    /// The value at a key, straight between rows and held at both ends.
    #[must_use]
    pub fn at(&self, key: f64) -> Option<Sourced<f64>> {
        Some(Sourced::new(interpolate(&self.rows, key)?, self.cite.clone()))
    }

    /// The key of a value, for curves that rise all the way.
    #[must_use]
    pub fn key_of(&self, value: f64) -> Option<Sourced<f64>> {
        let turned: Vec<(f64, f64)> = self.rows.iter().map(|r| (r.1, r.0)).collect();
        Some(Sourced::new(interpolate(&turned, value)?, self.cite.clone()))
    }

    fn of(name: &str, rows: Vec<(f64, f64, Cite)>) -> Option<Self> {
        let weakest = rows.iter().map(|r| r.2.status).max()?;
        let first = rows.first()?;
        let cite = Cite { status: weakest, ..first.2.clone() };
        let mut rows: Vec<(f64, f64)> = rows.into_iter().map(|r| (r.0, r.1)).collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        Some(Self { name: name.to_owned(), rows, cite })
    }
}

/// Resistance of a kind of block.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockResistance {
    /// The block, in words.
    pub block: String,
    /// `flooded`, `agm` or `lfp`.
    pub chemistry: String,
    /// Nominal volts.
    pub voltage: BlockVoltage,
    /// Middle of the amp-hours the row speaks of, where it names any.
    pub typical_amp_hours: Option<f64>,
    /// Lower end; none where only an upper bound is printed.
    pub low: Option<Resistance>,
    /// Upper end.
    pub high: Resistance,
    /// Short-circuit current, lower and upper end, where printed.
    pub short_circuit: Option<(Current, Current)>,
    /// Where it stands.
    pub cite: Cite,
}

/// Where the posts of a size usually stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PostHabit {
    /// Near two corners across from one another.
    OppositeCorners,
    /// Both along one long side.
    OneLongSide,
    /// Both along one short side.
    OneShortSide,
}

impl PostHabit {
    /// Reads the word used in `data/battery/case_posts.csv`.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "opposite corners" => Some(Self::OppositeCorners),
            "one long side" => Some(Self::OneLongSide),
            "one short side" => Some(Self::OneShortSide),
            _ => None,
        }
    }
}

/// A band of gravity at a state of charge.
#[derive(Clone, Debug, PartialEq)]
pub struct GravityBand {
    /// State of charge [%].
    pub charge_percent: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// A rule to correct gravity for temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct GravityRule {
    /// Its name.
    pub name: String,
    /// Gravity to add for each degree above the reference [1/K].
    pub per_kelvin: Sourced<f64>,
    /// The reference.
    pub reference: Temperature,
}

/// Which table of rates lends its shape to a block.
#[derive(Debug)]
struct RateChoice {
    chemistry: String,
    /// Nominal block volts; none fits any.
    voltage: Option<BlockVoltage>,
    table: String,
    cite: Cite,
}

/// The battery tables.
#[derive(Debug)]
pub struct BatteryTables {
    cases: Vec<CaseSize>,
    masses: Vec<CaseMass>,
    capacities: Vec<CaseCapacity>,
    terminals: Vec<(String, Sourced<String>)>,
    posts: Vec<(String, Sourced<PostHabit>)>,
    /// Rest volts of a 12 V block against percent, one curve per source.
    rest: Vec<Curve>,
    rest_choice: Vec<(String, String)>,
    lfp: Curve,
    size_factor: Curve,
    size_factor_simple: Curve,
    resistance: Vec<BlockResistance>,
    gravity: Vec<(String, Vec<GravityBand>)>,
    gravity_rules: Vec<GravityRule>,
    freezing: Curve,
    self_discharge: Curve,
    rates: Vec<Curve>,
    rate_choice: Vec<RateChoice>,
    cranking: Curve,
}

impl BatteryTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let rest_choice = book.rows("battery/rest_choice.csv", |row, _| {
            Ok((row.word("chemistry")?.to_owned(), row.word("scheme")?.to_owned()))
        })?;
        let masses = book.rows("battery/case_weight.csv", |row, cite| {
            Ok(CaseMass {
                group: row.word("group")?.to_owned(),
                low: Mass::pounds(row.number("weight_low_lb")?),
                high: Mass::pounds(row.number("weight_high_lb")?),
                cite,
            })
        })?;
        let curve =
            |name: &str, file: &str, key: &str, value: &str| curve(book, name, file, [key, value]);
        let mut rest = Vec::new();
        for file in REST_FILES {
            rest.push(rest_curve(book, file)?);
        }
        let size = |name, file| curve(name, file, "temperature_c", "size_factor");
        let mut rates = Vec::new();
        for (name, file) in RATE_FILES {
            rates.push(curve(name, file, "hours_h", "capacity_ah")?);
        }
        let self_discharge = "battery/self_discharge.csv";
        Ok(Self {
            cases: read_cases(book)?,
            masses,
            capacities: read_capacities(book)?,
            terminals: read_terminals(book)?,
            posts: read_posts(book)?,
            rest,
            rest_choice,
            lfp: curve("LFP", "battery/lfp_ocv.csv", "charge_percent", "open_circuit_v_per_cell")?,
            size_factor: size("IEEE 485", "battery/ieee_485_temperature.csv")?,
            size_factor_simple: size("simplified", "battery/simplified_temperature.csv")?,
            resistance: read_resistance(book)?,
            gravity: read_gravity(book)?,
            gravity_rules: read_gravity_rules(book)?,
            freezing: curve("freezing", "battery/freezing.csv", "gravity", "freeze_f")?,
            self_discharge: curve(
                "self-discharge",
                self_discharge,
                "temperature_f",
                "gravity_per_day",
            )?,
            rates,
            rate_choice: read_rate_choice(book)?,
            cranking: curve(
                "cranking power",
                "battery/cranking_power.csv",
                "temperature_c",
                "power_percent",
            )?,
        })
    }

    /// Cranking power against temperature in Celsius, in percent of that at the reference.
    #[must_use]
    pub fn cranking_power(&self) -> (&[(f64, f64)], &Cite) {
        (&self.cranking.rows, &self.cranking.cite)
    }

    /// A case size by its name.
    #[must_use]
    pub fn case(&self, group: &str) -> Option<&CaseSize> {
        self.cases.iter().find(|c| c.group.eq_ignore_ascii_case(group))
    }

    /// Every case size.
    #[must_use]
    pub fn cases(&self) -> &[CaseSize] {
        &self.cases
    }

    /// Usual masses of a size name.
    #[must_use]
    pub fn case_mass(&self, group: &str) -> Option<&CaseMass> {
        self.masses.iter().find(|c| c.group.eq_ignore_ascii_case(group))
    }

    /// Usual capacity of a size name, to catch a rating that cannot be meant.
    #[must_use]
    pub fn case_capacity(&self, group: &str) -> Option<&CaseCapacity> {
        self.capacities.iter().find(|c| c.group.eq_ignore_ascii_case(group))
    }

    /// Where a size name usually has its posts; a habit of the trade, never a published place.
    #[must_use]
    pub fn case_posts(&self, group: &str) -> Option<&Sourced<PostHabit>> {
        let found = self.posts.iter().find(|(g, _)| g.eq_ignore_ascii_case(group));
        found.map(|(_, posts)| posts)
    }

    /// Terminals a size name usually has.
    #[must_use]
    pub fn case_terminals(&self, group: &str) -> Option<&Sourced<String>> {
        let found = self.terminals.iter().find(|(g, _)| g.eq_ignore_ascii_case(group));
        found.map(|(_, terminals)| terminals)
    }

    /// The curve of rest volts of a 12 V lead block that the model uses for `flooded`, `AGM` or `gel`.
    #[must_use]
    pub fn rest_curve(&self, chemistry: &str) -> Option<&Curve> {
        let (_, scheme) =
            self.rest_choice.iter().find(|(c, _)| c.eq_ignore_ascii_case(chemistry))?;
        self.rest.iter().find(|c| &c.name == scheme)
    }

    /// Every curve of rest volts of a 12 V block, to be shown beside the chosen one.
    #[must_use]
    pub fn rest_curves(&self) -> &[Curve] {
        &self.rest
    }

    /// Rest volts of one cell at a state of charge from 0 to 100 %.
    #[must_use]
    pub fn rest_voltage(
        &self,
        chemistry: &str,
        charge_percent: f64,
    ) -> Option<Sourced<CellVoltage>> {
        if chemistry.eq_ignore_ascii_case("lfp") {
            // Near full the computed curve is that of a cell just charged; a rested one stands no
            // higher than the trade chart's full value.
            let computed = self.lfp.at(charge_percent)?;
            let full = self.rest.iter().find(|c| c.name == LFP_CHART)?.at(100.0)?;
            let full = full.map(|volts| volts / LFP_CELLS_OF_12V);
            let rested = if full.value < computed.value { full } else { computed };
            return Some(rested.map(CellVoltage::volts));
        }
        let block = self.rest_curve(chemistry)?.at(charge_percent)?;
        Some(block.map(|volts| CellVoltage::volts(volts / LEAD_CELLS_OF_12V)))
    }

    /// State of charge in percent from the rest volts of a lead cell. `None` for LFP: 20 mV span a
    /// third of its charge, so rest volts tell nothing there.
    #[must_use]
    pub fn charge_at_rest(&self, chemistry: &str, rest: CellVoltage) -> Option<Sourced<f64>> {
        self.rest_curve(chemistry)?.key_of(rest.as_volts() * LEAD_CELLS_OF_12V)
    }

    /// Factor by which a lead bank must be larger at this electrolyte temperature (IEEE 485).
    #[must_use]
    pub fn size_factor(&self, temperature: Temperature) -> Option<Sourced<f64>> {
        self.size_factor.at(temperature.as_celsius())
    }

    /// The simplified factor of a stand-alone system, to be shown beside the other.
    #[must_use]
    pub fn size_factor_simple(&self, temperature: Temperature) -> Option<Sourced<f64>> {
        self.size_factor_simple.at(temperature.as_celsius())
    }

    /// Resistances of usual blocks.
    #[must_use]
    pub fn resistances(&self) -> &[BlockResistance] {
        &self.resistance
    }

    /// Bands of gravity by scheme; a bank's own full reading decides which fits.
    #[must_use]
    pub fn gravity(&self) -> &[(String, Vec<GravityBand>)] {
        &self.gravity
    }

    /// Rules to correct gravity for temperature; the first is the default in the United States.
    #[must_use]
    pub fn gravity_rules(&self) -> &[GravityRule] {
        &self.gravity_rules
    }

    /// Freezing point of the acid at a corrected gravity.
    #[must_use]
    pub fn freezing_point(&self, gravity: f64) -> Option<Sourced<Temperature>> {
        Some(self.freezing.at(gravity)?.map(Temperature::fahrenheit))
    }

    /// Gravity lost in a day by a full vehicle battery in its first ten days.
    #[must_use]
    pub fn self_discharge_per_day(&self, temperature: Temperature) -> Option<Sourced<f64>> {
        self.self_discharge.at(temperature.as_fahrenheit())
    }

    /// The table of rates whose shape a block borrows that has none of its own: of its chemistry
    /// (`flooded`, `AGM`, `gel`) and, where one is named, of its volts.
    #[must_use]
    pub fn rate_curve(&self, chemistry: &str, volts: BlockVoltage) -> Option<Sourced<&Curve>> {
        let fits = |c: &&RateChoice| {
            let same = |own: BlockVoltage| (own.as_volts() - volts.as_volts()).abs() < 0.5;
            c.chemistry.eq_ignore_ascii_case(chemistry) && c.voltage.is_none_or(same)
        };
        let choice = self.rate_choice.iter().find(fits)?;
        let curve = self.rates.iter().find(|c| c.name == choice.table)?;
        Some(Sourced::new(curve, choice.cite.clone()))
    }

    /// Gravity lost in a day against temperature in Fahrenheit, as `self_discharge_per_day` reads it.
    #[must_use]
    pub const fn self_discharge_curve(&self) -> &Curve {
        &self.self_discharge
    }

    /// Capacity against hours of discharge, one curve per block.
    #[must_use]
    pub fn rate_curves(&self) -> &[Curve] {
        &self.rates
    }
}

/// Lithium iron phosphate cells in a block of 12 V.
const LFP_CELLS_OF_12V: f64 = 4.0;

/// The chart of rested LFP blocks.
const LFP_CHART: &str = "LFP, trade chart";

/// Lead cells in the 12 V block of the rest tables.
const LEAD_CELLS_OF_12V: f64 = 6.0;

const REST_FILES: [&str; 7] = [
    "battery/rest_flooded_trade.csv",
    "battery/rest_flooded_controller.csv",
    "battery/rest_flooded_rv_magazine.csv",
    "battery/rest_agm_vehicle.csv",
    "battery/rest_agm_owner.csv",
    "battery/rest_agm_touring.csv",
    "battery/rest_lfp_chart.csv",
];

const RATE_FILES: [(&str, &str); 3] = [
    ("8 V GC8 170 Ah flooded", "battery/rate_gc8_170.csv"),
    ("generic 220 Ah flooded", "battery/rate_generic_220.csv"),
    ("6 V GC2 225 Ah flooded", "battery/rate_gc2_225.csv"),
];

const CASE_FILES: [&str; 5] = [
    "battery/case_gc.csv",
    "battery/case_group_chart.csv",
    "battery/case_bci_recalled.csv",
    "battery/case_l16.csv",
    "battery/case_en_truck.csv",
];

const GRAVITY_FILES: [(&str, &str); 4] = [
    ("deep cycle 1.265", "battery/gravity_deep_cycle_1265.csv"),
    ("vehicle 1.265", "battery/gravity_vehicle_1265.csv"),
    ("vehicle 1.280", "battery/gravity_us_vehicle_1280.csv"),
    ("motive 1.280", "battery/gravity_motive_1280.csv"),
];

fn curve(
    book: &Book<'_>,
    name: &str,
    file: &str,
    [key, value]: [&str; 2],
) -> Result<Curve, TableError> {
    let rows = book.rows(file, |row, cite| Ok((row.number(key)?, row.number(value)?, cite)))?;
    Curve::of(name, rows).ok_or_else(|| TableError::file(file, "has no rows"))
}

fn rest_curve(book: &Book<'_>, file: &str) -> Result<Curve, TableError> {
    let names = book.rows(file, |row, _| Ok(row.word("scheme")?.to_owned()))?;
    let name = names.first().ok_or_else(|| TableError::file(file, "has no rows"))?;
    if names.iter().any(|n| n != name) {
        return Err(TableError::file(file, "holds more than one scheme"));
    }
    curve(book, name, file, ["charge_percent", "rest_voltage_12v_v"])
}

fn read_cases(book: &Book<'_>) -> Result<Vec<CaseSize>, TableError> {
    let mut cases = Vec::new();
    for file in CASE_FILES {
        cases.extend(book.rows(file, |row, cite| {
            Ok(CaseSize {
                group: row.word("group")?.to_owned(),
                length: Length::mm(row.number("length_mm")?),
                width: Length::mm(row.number("width_mm")?),
                height_low: Length::mm(row.number("height_low_mm")?),
                height_high: Length::mm(row.number("height_high_mm")?),
                voltage: BlockVoltage::volts(row.number("voltage_v")?),
                cite,
            })
        })?);
    }
    let lengths = book.rows("battery/case_en_l.csv", |row, cite| {
        Ok((row.word("group")?.to_owned(), Length::mm(row.number("length_mm")?), cite))
    })?;
    cases.extend(book.rows("battery/case_en_l_section.csv", |row, section| {
        let group = row.word("group")?;
        let found = lengths.iter().find(|l| l.0 == group);
        let (_, length, cite) = found.ok_or_else(|| row.wrong("group", "has no length"))?;
        let status = cite.status.weaker(section.status);
        Ok(CaseSize {
            group: group.to_owned(),
            length: *length,
            width: Length::mm(row.number("width_mm")?),
            height_low: Length::mm(row.number("height_low_mm")?),
            height_high: Length::mm(row.number("height_high_mm")?),
            voltage: BlockVoltage::volts(row.number("voltage_v")?),
            cite: Cite { status, ..cite.clone() },
        })
    })?);
    Ok(cases)
}

fn read_posts(book: &Book<'_>) -> Result<Vec<(String, Sourced<PostHabit>)>, TableError> {
    book.rows("battery/case_posts.csv", |row, cite| {
        let habit = PostHabit::from_word(row.word("posts")?)
            .ok_or_else(|| row.wrong("posts", "is no place of posts"))?;
        Ok((row.word("group")?.to_owned(), Sourced::new(habit, cite)))
    })
}

fn read_terminals(book: &Book<'_>) -> Result<Vec<(String, Sourced<String>)>, TableError> {
    book.rows("battery/case_terminals.csv", |row, cite| {
        let terminals = Sourced::new(row.word("terminals")?.to_owned(), cite);
        Ok((row.word("group")?.to_owned(), terminals))
    })
}

fn read_capacities(book: &Book<'_>) -> Result<Vec<CaseCapacity>, TableError> {
    book.rows("battery/size_code_capacity.csv", |row, cite| {
        let (low_ah, high_ah) = row.range("capacity_20h_low_ah", "capacity_20h_high_ah")?;
        Ok(CaseCapacity { group: row.word("group")?.to_owned(), low_ah, high_ah, cite })
    })
}

fn read_rate_choice(book: &Book<'_>) -> Result<Vec<RateChoice>, TableError> {
    book.rows("battery/rate_choice.csv", |row, cite| {
        Ok(RateChoice {
            chemistry: row.word("chemistry")?.to_owned(),
            voltage: row.optional("voltage_v")?.map(BlockVoltage::volts),
            table: row.word("table")?.to_owned(),
            cite,
        })
    })
}

fn read_resistance(book: &Book<'_>) -> Result<Vec<BlockResistance>, TableError> {
    let mut rows = book.rows("battery/internal_resistance.csv", |row, cite| {
        let low_a = Current::amps(row.number("short_circuit_low_a")?);
        let high_a = Current::amps(row.number("short_circuit_high_a")?);
        Ok(BlockResistance {
            block: row.word("block")?.to_owned(),
            chemistry: row.word("chemistry")?.to_owned(),
            voltage: BlockVoltage::volts(row.number("voltage_v")?),
            typical_amp_hours: row.optional("capacity_ah")?,
            low: Some(Resistance::milliohms(row.number("resistance_low_mohm")?)),
            high: Resistance::milliohms(row.number("resistance_high_mohm")?),
            short_circuit: Some((low_a, high_a)),
            cite,
        })
    })?;
    rows.extend(book.rows("battery/internal_resistance_lfp_pack.csv", |row, cite| {
        Ok(BlockResistance {
            block: row.word("block")?.to_owned(),
            chemistry: row.word("chemistry")?.to_owned(),
            voltage: BlockVoltage::volts(row.number("voltage_v")?),
            typical_amp_hours: None,
            low: None,
            high: Resistance::milliohms(row.number("resistance_high_mohm")?),
            short_circuit: None,
            cite,
        })
    })?);
    Ok(rows)
}

fn read_gravity(book: &Book<'_>) -> Result<Vec<(String, Vec<GravityBand>)>, TableError> {
    let mut schemes = Vec::new();
    for (name, file) in GRAVITY_FILES {
        let bands = book.rows(file, |row, cite| {
            let charge_percent = row.number("charge_percent")?;
            let (low, high) = row.range("gravity_low", "gravity_high")?;
            Ok(GravityBand { charge_percent, low, high, cite })
        })?;
        schemes.push((name.to_owned(), bands));
    }
    Ok(schemes)
}

fn read_gravity_rules(book: &Book<'_>) -> Result<Vec<GravityRule>, TableError> {
    book.rows("battery/gravity_temperature.csv", |row, cite| {
        // Ten degrees Fahrenheit are 10/1.8 kelvin; the printed figure is the one per 10 F.
        let per_kelvin = row.number("gravity_per_10f")? * 1.8 / 10.0;
        Ok(GravityRule {
            name: row.word("rule")?.to_owned(),
            per_kelvin: Sourced::new(per_kelvin, cite),
            reference: Temperature::fahrenheit(row.number("reference_f")?),
        })
    })
}

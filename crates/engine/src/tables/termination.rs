//! What sits at the end of a lead: studs, holes, lugs, sleeves, torque, pull tests, joints, colours.
//!
//! A torque row is never a default. Makers differ up to twofold for the same thread, so the rows are
//! only ever shown as a spread beside an empty box for the maker's own figure.

use super::conductor::gauge;
use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use crate::units::conductor::Gauge;
use crate::units::{Length, Resistance, Torque, Voltage};

/// How a lug's hole suits a stud of another name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StudFit {
    /// The same size.
    Same,
    /// Another name, close enough.
    Fits,
    /// Another name, only with care.
    WithCare,
    /// Too big or too small.
    No,
}

/// Adhesive sleeve.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatShrink {
    /// Inside diameter before heating.
    pub expanded: Length,
    /// Inside diameter after free shrinking.
    pub recovered: Length,
    /// Smallest cable it is sold for, as printed.
    pub cable_smallest: String,
    /// Largest cable it is sold for, as printed.
    pub cable_largest: String,
    /// Where it stands.
    pub cite: Cite,
}

/// One maker's torque for a terminal.
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueRange {
    /// The terminal.
    pub terminal: String,
    /// Lower end.
    pub low: Torque,
    /// Upper end.
    pub high: Torque,
    /// Where it stands.
    pub cite: Cite,
}

/// A limit of millivolts over a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct JointVoltage {
    /// The joint.
    pub joint: String,
    /// The limit.
    pub limit: Sourced<Voltage>,
}

/// The resistance of a kind of joint.
#[derive(Clone, Debug, PartialEq)]
pub struct JointResistance {
    /// The kind, for example `crimp`, `stud` or `clamp`.
    pub joint: String,
    /// Lower end.
    pub low: Resistance,
    /// Upper end.
    pub high: Resistance,
    /// Where it stands.
    pub cite: Cite,
}

impl JointResistance {
    /// The middle of the band, used where the owner has not measured.
    #[must_use]
    pub fn middle(&self) -> Sourced<Resistance> {
        Sourced::new((self.low + self.high) / 2.0, self.cite.clone())
    }
}

/// Colours of a domain.
#[derive(Clone, Debug, PartialEq)]
pub struct Colours {
    /// Where they are used.
    pub domain: String,
    /// Positive.
    pub positive: String,
    /// Negative.
    pub negative: String,
    /// Earth or chassis bond; empty where none is named.
    pub bond: String,
    /// Where it stands.
    pub cite: Cite,
}

#[derive(Debug)]
struct NamedLength {
    name: String,
    length: Length,
    cite: Cite,
}

#[derive(Debug)]
struct GaugeValue {
    gauge: Gauge,
    value: f64,
    cite: Cite,
}

/// Whose pull test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PullTest {
    /// ABYC E-11, held one minute.
    Abyc,
    /// UL 486A style, terminal makers.
    Ul486a,
}

/// The termination tables.
#[derive(Debug)]
pub struct TerminationTables {
    holes: Vec<NamedLength>,
    studs: Vec<NamedLength>,
    spanners: Vec<(String, Sourced<String>)>,
    interchange: Vec<(String, String, StudFit)>,
    barrels_in: Vec<GaugeValue>,
    heat_shrink: Vec<HeatShrink>,
    torque: Vec<TorqueRange>,
    pull_abyc_lbf: Vec<GaugeValue>,
    pull_ul_lbf: Vec<GaugeValue>,
    joint_voltage: Vec<JointVoltage>,
    joint_resistance: Vec<JointResistance>,
    colours: Vec<Colours>,
}

fn find(rows: &[GaugeValue], gauge: Gauge) -> Option<Sourced<f64>> {
    let row = rows.iter().find(|r| r.gauge == gauge)?;
    Some(Sourced::new(row.value, row.cite.clone()))
}

impl TerminationTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let by_gauge = |file: &str, column: &'static str| {
            book.rows(file, |row, cite| {
                Ok(GaugeValue { gauge: gauge(row)?, value: row.number(column)?, cite })
            })
        };
        let named = |file: &str, column: &'static str, unit: fn(f64) -> Length| {
            book.rows(file, |row, cite| {
                let name = row.word("stud")?.to_owned();
                Ok(NamedLength { name, length: unit(row.number(column)?), cite })
            })
        };
        let mut holes = named("termination/clearance_holes_metric.csv", "hole_mm", Length::mm)?;
        holes.extend(named("termination/clearance_holes_inch.csv", "hole_in", Length::inches)?);
        let interchange = book.rows("termination/stud_interchange.csv", |row, _| {
            let fit = match row.word("care")? {
                "fits" => StudFit::Fits,
                "with care" => StudFit::WithCare,
                _ => return Err(row.wrong("care", "is neither \"fits\" nor \"with care\"")),
            };
            Ok((row.word("hole")?.to_owned(), row.word("stud")?.to_owned(), fit))
        })?;
        Ok(Self {
            holes,
            studs: named("termination/studs.csv", "diameter_mm", Length::mm)?,
            spanners: book.rows("termination/spanners.csv", |row, cite| {
                let spanner = Sourced::new(row.word("spanner")?.to_owned(), cite);
                Ok((row.word("stud")?.to_owned(), spanner))
            })?,
            interchange,
            barrels_in: by_gauge("termination/lug_barrel_depth.csv", "depth_in")?,
            heat_shrink: read_heat_shrink(book)?,
            torque: read_torque(book)?,
            pull_abyc_lbf: by_gauge("termination/pull_test_abyc.csv", "pull_lbf")?,
            pull_ul_lbf: by_gauge("termination/pull_test_ul_486a.csv", "pull_lbf")?,
            joint_voltage: read_joint_voltage(book)?,
            joint_resistance: read_joint_resistance(book)?,
            colours: read_colours(book)?,
        })
    }

    /// Clearance hole for a stud such as "M8" or "3/8 in".
    #[must_use]
    pub fn clearance_hole(&self, stud: &str) -> Option<Sourced<Length>> {
        let row = self.holes.iter().find(|r| r.name == stud)?;
        Some(Sourced::new(row.length, row.cite.clone()))
    }

    /// Diameter of a stud such as "M8" or "3/8 in".
    #[must_use]
    pub fn stud_diameter(&self, stud: &str) -> Option<Sourced<Length>> {
        let row = self.studs.iter().find(|r| r.name == stud)?;
        Some(Sourced::new(row.length, row.cite.clone()))
    }

    /// The spanner that usually fits the nut on a stud such as "M8" or "3/8 in".
    #[must_use]
    pub fn spanner(&self, stud: &str) -> Option<&Sourced<String>> {
        self.spanners.iter().find(|(name, _)| name == stud).map(|(_, spanner)| spanner)
    }

    /// The names of the studs the tables know.
    pub fn studs(&self) -> impl Iterator<Item = &str> {
        self.studs.iter().map(|r| r.name.as_str())
    }

    /// How a lug with a hole for one stud suits another stud.
    #[must_use]
    pub fn stud_fit(&self, hole: &str, stud: &str) -> StudFit {
        if hole == stud {
            return StudFit::Same;
        }
        let found = self.interchange.iter().find(|(h, s, _)| h == hole && s == stud);
        found.map_or(StudFit::No, |(_, _, fit)| *fit)
    }

    /// Depth of a heavy-wall lug's barrel.
    #[must_use]
    pub fn barrel_depth(&self, gauge: Gauge) -> Option<Sourced<Length>> {
        Some(find(&self.barrels_in, gauge)?.map(Length::inches))
    }

    /// Sleeves, smallest first.
    #[must_use]
    pub fn heat_shrink(&self) -> &[HeatShrink] {
        &self.heat_shrink
    }

    /// Every torque row, to be shown as a spread and never applied.
    #[must_use]
    pub fn torque_spread(&self) -> &[TorqueRange] {
        &self.torque
    }

    /// Force a crimp of this gauge must bear [lbf].
    #[must_use]
    pub fn pull_lbf(&self, test: PullTest, gauge: Gauge) -> Option<Sourced<f64>> {
        match test {
            PullTest::Abyc => find(&self.pull_abyc_lbf, gauge),
            PullTest::Ul486a => find(&self.pull_ul_lbf, gauge),
        }
    }

    /// Limits of millivolts over joints.
    #[must_use]
    pub fn joint_voltage(&self) -> &[JointVoltage] {
        &self.joint_voltage
    }

    /// The band of a kind of joint: `crimp`, `stud`, `clamp` and others.
    #[must_use]
    pub fn joint_resistance(&self, joint: &str) -> Option<&JointResistance> {
        self.joint_resistance.iter().find(|r| r.joint == joint)
    }

    /// Colours of every domain.
    #[must_use]
    pub fn colours(&self) -> &[Colours] {
        &self.colours
    }
}

fn read_heat_shrink(book: &Book<'_>) -> Result<Vec<HeatShrink>, TableError> {
    book.rows("termination/heat_shrink.csv", |row, cite| {
        Ok(HeatShrink {
            expanded: Length::inches(row.number("expanded_in")?),
            recovered: Length::inches(row.number("recovered_in")?),
            cable_smallest: row.word("cable_smallest_awg")?.to_owned(),
            cable_largest: row.word("cable_largest_awg")?.to_owned(),
            cite,
        })
    })
}

fn read_torque(book: &Book<'_>) -> Result<Vec<TorqueRange>, TableError> {
    book.rows("termination/torque.csv", |row, cite| {
        Ok(TorqueRange {
            terminal: row.word("terminal")?.to_owned(),
            low: Torque::pound_inches(row.number("torque_low_lb_in")?),
            high: Torque::pound_inches(row.number("torque_high_lb_in")?),
            cite,
        })
    })
}

fn read_joint_voltage(book: &Book<'_>) -> Result<Vec<JointVoltage>, TableError> {
    book.rows("termination/joint_voltage.csv", |row, cite| {
        let limit = Voltage::millivolts(row.number("limit_mv")?);
        Ok(JointVoltage { joint: row.word("joint")?.to_owned(), limit: Sourced::new(limit, cite) })
    })
}

fn read_joint_resistance(book: &Book<'_>) -> Result<Vec<JointResistance>, TableError> {
    book.rows("termination/joint_resistance.csv", |row, cite| {
        Ok(JointResistance {
            joint: row.word("joint")?.to_owned(),
            low: Resistance::microohms(row.number("resistance_low_uohm")?),
            high: Resistance::microohms(row.number("resistance_high_uohm")?),
            cite,
        })
    })
}

fn read_colours(book: &Book<'_>) -> Result<Vec<Colours>, TableError> {
    book.rows("termination/colours.csv", |row, cite| {
        Ok(Colours {
            domain: row.word("domain")?.to_owned(),
            positive: row.word("positive")?.to_owned(),
            negative: row.word("negative")?.to_owned(),
            bond: row.text("bond")?.to_owned(),
            cite,
        })
    })
}

//! The battery's surroundings: gas it gives off, jolts it must bear, screws that hold it.

use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use crate::units::Length;

/// What the gas formula needs to know of a charger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GasStage {
    /// Never above 2.40 V per cell.
    UpTo240,
    /// May equalise.
    Equalise,
}

/// Whether gas leaves a cell freely.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellType {
    /// Flooded.
    Vented,
    /// AGM or gel.
    ValveRegulated,
}

/// Jolts a restraint must bear, in multiples of the weight.
#[derive(Clone, Debug, PartialEq)]
pub struct Jolt {
    /// The rule.
    pub rule: String,
    /// Forward.
    pub forward_g: Option<f64>,
    /// Rearward.
    pub rearward_g: Option<f64>,
    /// Sideways.
    pub lateral_g: Option<f64>,
    /// Up and down.
    pub vertical_g: Option<f64>,
    /// Where it stands.
    pub cite: Cite,
}

#[derive(Debug)]
struct GasRow {
    cell_type: String,
    charger: String,
    ma_per_ah: f64,
    cite: Cite,
}

#[derive(Debug)]
struct ScrewRow {
    diameter_in: f64,
    wall_in: f64,
    allowable_lbf: f64,
    cite: Cite,
}

/// What a screw's own metal bears before any safety factor.
#[derive(Clone, Debug, PartialEq)]
pub struct ScrewStrength {
    /// The screw, for example `#12`.
    pub screw: String,
    /// Across [lbf].
    pub shear_lbf: f64,
    /// Along [lbf].
    pub tension_lbf: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// Drills and spanner of a screw.
#[derive(Clone, Debug, PartialEq)]
pub struct FastenerFit {
    /// The screw, for example `#12`.
    pub fastener: String,
    /// Its diameter.
    pub diameter: Length,
    /// Drill for the hole it cuts its thread in.
    pub pilot: Length,
    /// Drill for the part it passes through.
    pub clearance: Length,
    /// Socket for its head.
    pub spanner: String,
    /// Where it stands.
    pub cite: Cite,
}

/// A square plate under a head or nut.
#[derive(Clone, Debug, PartialEq)]
pub struct BackingPlate {
    /// Its side.
    pub side: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Where it stands.
    pub cite: Cite,
}

#[derive(Debug)]
struct Named {
    name: String,
    value: f64,
    cite: Cite,
}

fn by_name(rows: &[Named], name: &str) -> Option<Sourced<f64>> {
    let row = rows.iter().find(|r| r.name == name)?;
    Some(Sourced::new(row.value, row.cite.clone()))
}

/// The enclosure tables.
#[derive(Debug)]
pub struct EnclosureTables {
    traction: Vec<GasRow>,
    stationary: Vec<GasRow>,
    jolts: Vec<Jolt>,
    pull_out: Vec<ScrewRow>,
    screws: Vec<ScrewStrength>,
    bolts_lbf: Vec<Named>,
    sheets_in: Vec<Named>,
    fits: Vec<FastenerFit>,
    plates: Vec<BackingPlate>,
    saws: Vec<Sourced<Length>>,
}

fn fits(book: &Book<'_>) -> Result<Vec<FastenerFit>, TableError> {
    book.rows("enclosure/fastener_fit.csv", |row, cite| {
        Ok(FastenerFit {
            fastener: row.word("fastener")?.to_owned(),
            diameter: Length::inches(row.number("diameter_in")?),
            pilot: Length::mm(row.number("pilot_mm")?),
            clearance: Length::mm(row.number("clearance_mm")?),
            spanner: row.word("spanner")?.to_owned(),
            cite,
        })
    })
}

fn plates(book: &Book<'_>) -> Result<Vec<BackingPlate>, TableError> {
    book.rows("enclosure/backing_plates.csv", |row, cite| {
        Ok(BackingPlate {
            side: Length::mm(row.number("plate_mm")?),
            thickness: Length::mm(row.number("thickness_mm")?),
            cite,
        })
    })
}

fn gas(book: &Book<'_>, file: &str) -> Result<Vec<GasRow>, TableError> {
    book.rows(file, |row, cite| {
        Ok(GasRow {
            cell_type: row.word("cell_type")?.to_owned(),
            charger: row.word("charger")?.to_owned(),
            ma_per_ah: row.number("gassing_ma_per_ah")?,
            cite,
        })
    })
}

fn find(rows: &[GasRow], cell: CellType, charger: &str) -> Option<Sourced<f64>> {
    let cell = match cell {
        CellType::Vented => "vented",
        CellType::ValveRegulated => "valve-regulated",
    };
    let row = rows.iter().find(|r| r.cell_type == cell && r.charger == charger)?;
    // Milliamperes per ampere-hour are tenths of amperes per hundred ampere-hours.
    Some(Sourced::new(row.ma_per_ah / 10.0, row.cite.clone()))
}

impl EnclosureTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let jolts = book.rows("enclosure/accelerations.csv", |row, cite| {
            Ok(Jolt {
                rule: row.word("rule")?.to_owned(),
                forward_g: row.optional("forward_g")?,
                rearward_g: row.optional("rearward_g")?,
                lateral_g: row.optional("lateral_g")?,
                vertical_g: row.optional("vertical_g")?,
                cite,
            })
        })?;
        let pull_out = book.rows("enclosure/screw_pull_out.csv", |row, cite| {
            Ok(ScrewRow {
                diameter_in: row.number("diameter_in")?,
                wall_in: row.number("wall_in")?,
                allowable_lbf: row.number("allowable_lbf")?,
                cite,
            })
        })?;
        let screws = book.rows("enclosure/screw_strength.csv", |row, cite| {
            Ok(ScrewStrength {
                screw: row.word("screw")?.to_owned(),
                shear_lbf: row.number("shear_nominal_lbf")?,
                tension_lbf: row.number("tension_nominal_lbf")?,
                cite,
            })
        })?;
        let named = |file: &str, name: &'static str, value: &'static str| {
            book.rows(file, |row, cite| {
                Ok(Named { name: row.word(name)?.to_owned(), value: row.number(value)?, cite })
            })
        };
        Ok(Self {
            screws,
            bolts_lbf: named("enclosure/bolt_proof.csv", "bolt", "proof_lbf")?,
            sheets_in: named("enclosure/sheet_thickness.csv", "gauge", "thickness_in")?,
            fits: fits(book)?,
            plates: plates(book)?,
            saws: book.rows("enclosure/hole_saws.csv", |row, cite| {
                Ok(Sourced::new(Length::mm(row.number("hole_mm")?), cite))
            })?,
            traction: gas(book, "enclosure/gassing_traction.csv")?,
            stationary: gas(book, "enclosure/gassing_stationary.csv")?,
            jolts,
            pull_out,
        })
    }

    /// Gassing current of a traction battery [A per 100 Ah].
    #[must_use]
    pub fn gassing_a_per_100ah(&self, cell: CellType, stage: GasStage) -> Option<Sourced<f64>> {
        let charger = match stage {
            GasStage::UpTo240 => "to 2.40 V per cell",
            GasStage::Equalise => "may equalise",
        };
        find(&self.traction, cell, charger)
    }

    /// Gassing current of a stationary battery at its boost voltage, to be shown beside the other.
    #[must_use]
    pub fn gassing_boost_a_per_100ah(&self, cell: CellType) -> Option<Sourced<f64>> {
        find(&self.stationary, cell, "boost")
    }

    /// Jolts of every rule.
    #[must_use]
    pub fn jolts(&self) -> &[Jolt] {
        &self.jolts
    }

    /// Pull a screw may bear in steel of the next thinner listed wall [lbf].
    #[must_use]
    pub fn screw_pull_out_lbf(&self, diameter_in: f64, wall_in: f64) -> Option<Sourced<f64>> {
        let fits = |r: &&ScrewRow| {
            (r.diameter_in - diameter_in).abs() < 1e-3 && r.wall_in <= wall_in + 1e-9
        };
        let rows = self.pull_out.iter().filter(fits);
        let row = rows.max_by(|a, b| a.wall_in.total_cmp(&b.wall_in))?;
        Some(Sourced::new(row.allowable_lbf, row.cite.clone()))
    }

    /// What the metal of a screw such as `#12` bears before any safety factor.
    #[must_use]
    pub fn screw_strength(&self, screw: &str) -> Option<&ScrewStrength> {
        self.screws.iter().find(|r| r.screw == screw)
    }

    /// Proof load of a bolt such as `1/4-20 grade 5` [lbf].
    #[must_use]
    pub fn bolt_proof_lbf(&self, bolt: &str) -> Option<Sourced<f64>> {
        by_name(&self.bolts_lbf, bolt)
    }

    /// Thickness of sheet steel by its gauge number.
    #[must_use]
    pub fn sheet_thickness(&self, gauge: &str) -> Option<Sourced<Length>> {
        Some(by_name(&self.sheets_in, gauge)?.map(Length::inches))
    }

    /// The bolts of the table, such as `3/8-16 grade 5`, smallest first within a family.
    pub fn bolts(&self) -> impl Iterator<Item = (&str, Sourced<f64>)> {
        self.bolts_lbf.iter().map(|r| (r.name.as_str(), Sourced::new(r.value, r.cite.clone())))
    }

    /// Drills and socket of a screw such as `#12`.
    #[must_use]
    pub fn fastener_fit(&self, fastener: &str) -> Option<&FastenerFit> {
        self.fits.iter().find(|r| r.fastener == fastener)
    }

    /// Plates under a head or nut, smallest first.
    #[must_use]
    pub fn backing_plates(&self) -> &[BackingPlate] {
        &self.plates
    }

    /// Diameters of the usual hole saws, smallest first.
    #[must_use]
    pub fn hole_saws(&self) -> &[Sourced<Length>] {
        &self.saws
    }
}

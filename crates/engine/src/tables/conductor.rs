//! Conductors: which sizes exist, how much copper each holds, its resistance, weight and thickness.
//!
//! Resistance at a working temperature is worked out in `calc::resistance`.

use super::error::TableError;
use super::sheet::Row;
use super::{Book, Sourced};
use crate::cite::{Cite, Status};
use crate::number::interpolate;
use crate::units::conductor::{ConductorSize, Gauge, MetricSize};
use crate::units::{Area, Length, Temperature};

/// The copper that a size number stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// AWG copper: building wire and welding cable.
    Awg,
    /// Boat and battery cable to SAE areas.
    Boat,
    /// IEC 60228 class 5.
    Metric,
}

impl Family {
    /// Reads the word used in `data/rules/practices.csv`.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "awg" => Some(Self::Awg),
            "sae" => Some(Self::Boat),
            "metric" => Some(Self::Metric),
            _ => None,
        }
    }
}

/// Bare or tinned strands: tin adds two to three per cent of resistance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finish {
    /// Bare copper.
    Plain,
    /// Tinned copper.
    Tinned,
}

/// A figure of a gauge.
#[derive(Debug)]
struct GaugeRow {
    gauge: Gauge,
    value: f64,
    cite: Cite,
}

/// The row of a gauge.
fn at(rows: &[GaugeRow], gauge: Gauge) -> Option<Sourced<f64>> {
    let row = rows.iter().find(|r| r.gauge == gauge)?;
    Some(Sourced::new(row.value, row.cite.clone()))
}

#[derive(Debug)]
struct LawRow {
    gauge: Gauge,
    area_mm2: f64,
    resistance_20c_ohm_per_km: f64,
    copper_kg_per_km: f64,
    cite: Cite,
}

#[derive(Debug)]
struct MetricRow {
    size: MetricSize,
    plain_ohm_per_km: f64,
    tinned_ohm_per_km: f64,
    cite: Cite,
}

#[derive(Debug)]
struct BendRow {
    insulation_mm_max: f64,
    diameter_mm_max: f64,
    multiple: f64,
    cite: Cite,
}

/// The conductor tables.
#[derive(Debug)]
pub struct ConductorTables {
    law: Vec<LawRow>,
    boat_cmil: Vec<GaugeRow>,
    metric: Vec<MetricRow>,
    nec_75c_ohm_per_kft: Vec<GaugeRow>,
    tinned_20c_ohm_per_kft: Vec<GaugeRow>,
    building_wire_in: Vec<GaugeRow>,
    flexible_in: Vec<GaugeRow>,
    battery_cable_lb_per_kft: Vec<GaugeRow>,
    bend: Vec<BendRow>,
}

/// Square millimetres in a circular mil: the area of a circle one thousandth of an inch across.
#[must_use]
pub fn circular_mil() -> Area {
    Area::mm2(std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254)
}

pub(super) fn gauge(row: &Row<'_>) -> Result<Gauge, TableError> {
    let text = row.word("awg")?;
    Gauge::from_text(text).ok_or_else(|| row.wrong("awg", &format!("is no gauge: \"{text}\"")))
}

pub(super) fn metric(row: &Row<'_>) -> Result<MetricSize, TableError> {
    let value = row.number("area_mm2")?;
    MetricSize::mm2(value).ok_or_else(|| row.wrong("area_mm2", "is no conductor size"))
}

impl ConductorTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let by_gauge = |file: &str, column: &'static str| {
            book.rows(file, |row, cite| {
                Ok(GaugeRow { gauge: gauge(row)?, value: row.number(column)?, cite })
            })
        };
        let law = book.rows("conductor/awg_law.csv", |row, cite| {
            Ok(LawRow {
                gauge: gauge(row)?,
                area_mm2: row.number("area_mm2")?,
                resistance_20c_ohm_per_km: row.number("resistance_20c_ohm_per_km")?,
                copper_kg_per_km: row.number("copper_kg_per_km")?,
                cite,
            })
        })?;
        let metric = book.rows("conductor/iec_60228_class5.csv", |row, cite| {
            Ok(MetricRow {
                size: metric(row)?,
                plain_ohm_per_km: row.number("resistance_20c_plain_ohm_per_km")?,
                tinned_ohm_per_km: row.number("resistance_20c_tinned_ohm_per_km")?,
                cite,
            })
        })?;
        let bend = book.rows("conductor/bend_radius_cable_maker.csv", |row, cite| {
            Ok(BendRow {
                insulation_mm_max: row.number("insulation_mm_max")?,
                diameter_mm_max: row.optional("diameter_mm_max")?.unwrap_or(f64::INFINITY),
                multiple: row.number("multiple_of_diameter")?,
                cite,
            })
        })?;
        let tinned = by_gauge("conductor/faa_t11_9_tinned.csv", "resistance_20c_ohm_per_kft")?;
        let thin = by_gauge("conductor/nec_2008_ch9_t5_diameter.csv", "xhhw_diameter_in")?;
        let weight = by_gauge("conductor/sgt_cable_weight.csv", "weight_lb_per_kft")?;
        Ok(Self {
            law,
            metric,
            bend,
            boat_cmil: by_gauge("conductor/sae_areas.csv", "circular_mils_min")?,
            nec_75c_ohm_per_kft: by_gauge(
                "conductor/nec_ch9_t8_stranded.csv",
                "resistance_75c_ohm_per_kft",
            )?,
            tinned_20c_ohm_per_kft: tinned,
            building_wire_in: thin,
            flexible_in: by_gauge("conductor/flexible_cable_diameter.csv", "diameter_in")?,
            battery_cable_lb_per_kft: weight,
        })
    }

    /// Every size of a family, smallest copper first.
    #[must_use]
    pub fn sizes(&self, family: Family) -> Vec<ConductorSize> {
        match family {
            Family::Awg => self.law.iter().map(|r| ConductorSize::Awg(r.gauge)).collect(),
            Family::Boat => self.boat_cmil.iter().map(|r| ConductorSize::Boat(r.gauge)).collect(),
            Family::Metric => self.metric.iter().map(|r| ConductorSize::Metric(r.size)).collect(),
        }
    }

    /// Copper in a conductor of this size. A boat size that SAE does not list has none.
    #[must_use]
    pub fn area(&self, size: ConductorSize) -> Option<Sourced<Area>> {
        match size {
            ConductorSize::Awg(gauge) => {
                let row = self.law.iter().find(|r| r.gauge == gauge)?;
                Some(Sourced::new(Area::mm2(row.area_mm2), row.cite.clone()))
            }
            ConductorSize::Boat(gauge) => {
                Some(at(&self.boat_cmil, gauge)?.map(|cmil| circular_mil() * cmil))
            }
            ConductorSize::Metric(size) => {
                let row = self.metric.iter().find(|r| r.size == size)?;
                Some(Sourced::new(Area::mm2(size.as_mm2()), row.cite.clone()))
            }
        }
    }

    /// Resistance of solid copper drawn to the gauge law, at 20 C [ohm/m].
    #[must_use]
    pub fn solid_ohm_per_m_20c(&self, gauge: Gauge) -> Option<Sourced<f64>> {
        let row = self.law.iter().find(|r| r.gauge == gauge)?;
        Some(Sourced::new(row.resistance_20c_ohm_per_km / 1000.0, row.cite.clone()))
    }

    /// Resistance of stranded uncoated copper, NEC chapter 9 table 8, at 75 C [ohm/m].
    #[must_use]
    pub fn stranded_ohm_per_m_75c(&self, gauge: Gauge) -> Option<Sourced<f64>> {
        Some(at(&self.nec_75c_ohm_per_kft, gauge)?.map(per_kft))
    }

    /// Largest allowed resistance of tinned aircraft wire, at 20 C [ohm/m].
    #[must_use]
    pub fn tinned_aircraft_ohm_per_m_20c(&self, gauge: Gauge) -> Option<Sourced<f64>> {
        Some(at(&self.tinned_20c_ohm_per_kft, gauge)?.map(per_kft))
    }

    /// Largest allowed resistance of IEC 60228 class 5, at 20 C [ohm/m].
    #[must_use]
    pub fn class5_ohm_per_m_20c(&self, size: MetricSize, finish: Finish) -> Option<Sourced<f64>> {
        let row = self.metric.iter().find(|r| r.size == size)?;
        let per_km = match finish {
            Finish::Plain => row.plain_ohm_per_km,
            Finish::Tinned => row.tinned_ohm_per_km,
        };
        Some(Sourced::new(per_km / 1000.0, row.cite.clone()))
    }

    /// Copper of an AWG conductor [kg/m]. Other families: area times density.
    #[must_use]
    pub fn copper_kg_per_m(&self, gauge: Gauge) -> Option<Sourced<f64>> {
        let row = self.law.iter().find(|r| r.gauge == gauge)?;
        Some(Sourced::new(row.copper_kg_per_km / 1000.0, row.cite.clone()))
    }

    /// Weight of finished SGT battery cable, copper and jacket [kg/m].
    #[must_use]
    pub fn battery_cable_kg_per_m(&self, gauge: Gauge) -> Option<Sourced<f64>> {
        // A pound per thousand feet is 0.45359237 kg per 304.8 m.
        let convert = |lb_per_kft: f64| lb_per_kft * 0.453_592_37 / 304.8;
        Some(at(&self.battery_cable_lb_per_kft, gauge)?.map(convert))
    }

    /// Outside diameter of flexible battery cable. Sizes the table does not list are interpolated by
    /// copper area between its rows; below 8 AWG building wire stands in, as a lower bound.
    #[must_use]
    pub fn outer_diameter(&self, size: ConductorSize) -> Option<Sourced<Length>> {
        if let ConductorSize::Awg(gauge) | ConductorSize::Boat(gauge) = size
            && let Some(found) = at(&self.flexible_in, gauge)
        {
            return Some(found.map(Length::inches));
        }
        let rows = self.diameters_by_area();
        let area_mm2 = self.law_area_mm2(size)?;
        let (first, last) = (rows.first()?, rows.last()?);
        if area_mm2 < first.0 || last.0 < area_mm2 {
            return None;
        }
        let diameter = Length::inches(interpolate(&rows, area_mm2)?);
        let place = "outside diameters of cable, interpolated by copper area";
        Some(Sourced::new(diameter, Cite::new("memory", place, Status::Recalled)))
    }

    /// Diameters in inches against gauge-law area, smallest first: building wire, then flexible cable.
    fn diameters_by_area(&self) -> Vec<(f64, f64)> {
        let thickest_wire = self.flexible_in.first().map_or(i8::MIN, |r| r.gauge.as_number());
        let wire = self.building_wire_in.iter().filter(|r| thickest_wire < r.gauge.as_number());
        wire.chain(&self.flexible_in)
            .filter_map(|r| Some((self.law_area_mm2(ConductorSize::Awg(r.gauge))?, r.value)))
            .collect()
    }

    /// Area by which a size is placed among the diameters: the gauge law for both gauge families,
    /// because a boat cable's jacket is made for the gauge number.
    fn law_area_mm2(&self, size: ConductorSize) -> Option<f64> {
        let size = match size {
            ConductorSize::Boat(gauge) => ConductorSize::Awg(gauge),
            other => other,
        };
        Some(self.area(size)?.value.as_mm2())
    }

    /// Least bend radius as a multiple of the outside diameter, for insulation of this thickness.
    #[must_use]
    pub fn bend_multiple(&self, diameter: Length, insulation: Length) -> Option<Sourced<f64>> {
        let row = self.bend.iter().find(|r| {
            insulation.as_mm() <= r.insulation_mm_max && diameter.as_mm() <= r.diameter_mm_max
        })?;
        Some(Sourced::new(row.multiple, row.cite.clone()))
    }
}

/// Ohms per thousand feet in ohms per metre.
fn per_kft(ohm_per_kft: f64) -> f64 {
    ohm_per_kft / 304.8
}

/// The temperature of NEC chapter 9 table 8.
#[must_use]
pub fn nec_table_temperature() -> Temperature {
    Temperature::celsius(75.0)
}

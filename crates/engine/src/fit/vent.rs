//! The gas of the bank on charge and the openings that carry it away.
//!
//! Both published rules stand side by side and the larger decides. What a charger may do, not what
//! it is set to do on a good day, picks the gas.

use crate::calc::ventilation::{
    air_flow, gas_current, hole_area, holes, opening_area, spark_distance,
};
use crate::cite::Cite;
use crate::facts::Facts;
use crate::model::block::Chemistry;
use crate::model::design::Design;
use crate::model::device::Device;
use crate::tables::Tables;
use crate::tables::enclosure::{CellType, GasStage};
use crate::units::{AirFlow, Area, Current, Length};

/// How far a charger may drive the bank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChargeStage {
    /// Never above 2.40 V per cell.
    Limited,
    /// Above it: it equalises, or absorbs higher.
    Equalise,
    /// Nothing limits its volts.
    Unlimited,
}

impl ChargeStage {
    /// The words shown everywhere.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Limited => "to 2.40 V per cell",
            Self::Equalise => "equalising or above 2.40 V per cell",
            Self::Unlimited => "no limit of volts",
        }
    }
}

/// One published rule at one stage of charging.
#[derive(Clone, Debug, PartialEq)]
pub struct VentRow {
    /// The rule, in words.
    pub rule: &'static str,
    /// The stage of charging; `None` where the rule asks for an area whatever the charger does.
    pub stage: Option<ChargeStage>,
    /// Air to be moved; `None` where the rule asks for an area only.
    pub flow: Option<AirFlow>,
    /// Free area of the low opening, and again of the high one.
    pub area: Area,
    /// Holes of the drill that leave that area open, at each opening.
    pub holes: u32,
    /// The drill.
    pub drill: Length,
    /// This one decides for the chargers that are connected.
    pub governs: bool,
    /// Where it stands.
    pub cite: Cite,
}

/// How the openings stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VentStatus {
    /// Large enough, low and high.
    Open,
    /// The owner did not say how large they are.
    Unknown,
    /// One is too small or not there.
    TooSmall,
}

/// A charger and how far it may drive the bank.
#[derive(Clone, Debug, PartialEq)]
pub struct Driver {
    /// The device.
    pub device: String,
    /// How far.
    pub stage: ChargeStage,
    /// Set points that are not in the file were taken at their worst.
    pub assumed: bool,
}

/// The openings of one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Vent {
    /// Gas leaves freely, or through valves.
    pub cells: CellType,
    /// Every rule at every stage of charging.
    pub rows: Vec<VentRow>,
    /// The chargers of this stage, the one that drives farthest first.
    pub drivers: Vec<Driver>,
    /// What the connected chargers ask of each opening.
    pub needed: Area,
    /// What equalising in this box would ask.
    pub to_equalise: Area,
    /// The low opening as the owner gave it.
    pub low: Option<Area>,
    /// The high one.
    pub high: Option<Area>,
    /// How they stand.
    pub status: VentStatus,
    /// The openings suit 2.40 V per cell and nothing above it.
    pub never_equalise: bool,
    /// Most between an opening and the top or bottom of the space.
    pub edge: Length,
    /// Distance from a block within which a spark may light its gas.
    pub spark: Length,
    /// Where that distance stands.
    pub spark_cite: Cite,
}

impl Vent {
    /// The openings of a design taken at a stage; `None` where nothing gasses.
    #[must_use]
    pub fn of(design: &Design, facts: &Facts, tables: &Tables) -> Option<Self> {
        let bank = design.bank()?;
        let first = facts.blocks.first().filter(|b| b.chemistry.is_lead())?;
        let vented = facts.blocks.iter().any(|b| b.chemistry == Chemistry::Flooded);
        let model = design.block_model(&bank.block)?;
        let hours = model.rating?.capacity()?.in_parallel(bank.parallel).as_amp_hours();
        let gas = Gas {
            tables,
            cell: if vented { CellType::Vented } else { CellType::ValveRegulated },
            in_series: first.cells * bank.series,
            hours,
            unlimited: unlimited_amps(design),
        };
        let mut drivers = drivers(design, tables, gas.in_series);
        let amps = |d: &Driver| gas.current(d.stage).map_or(0.0, |(a, _)| a.as_amps());
        drivers.sort_by(|a, b| amps(b).total_cmp(&amps(a)).then_with(|| a.device.cmp(&b.device)));
        let worst = drivers.first().map_or(ChargeStage::Limited, |d| d.stage);
        let drill = design.enclosure.as_ref().and_then(|e| e.vent_drill);
        let rows = gas.rows(worst, drill)?;
        let needed = rows.iter().find(|r| r.governs).map(|r| r.area)?;
        let fixed = Area::mm2(tables.limits.value("vent-area-nec").value);
        let to_equalise = gas.area(ChargeStage::Equalise)?.max(fixed);
        let low = design.enclosure.as_ref().and_then(|e| e.vent_low);
        let high = design.enclosure.as_ref().and_then(|e| e.vent_high);
        let status = status(low, high, needed);
        let fits = |a: Option<Area>, wanted: Area| a.is_some_and(|a| enough(a, wanted));
        let both = |wanted: Area| fits(low, wanted) && fits(high, wanted);
        let spark = tables.limits.value("spark-distance-factor");
        let per_ah = gas.per_100ah(worst)? * 10.0;
        Some(Self {
            cells: gas.cell,
            rows,
            drivers,
            needed,
            to_equalise,
            low,
            high,
            status,
            never_equalise: vented && both(needed) && !both(to_equalise),
            edge: Length::mm(tables.limits.value("vent-edge-nec").value),
            spark: spark_distance(&tables.limits, per_ah, hours),
            spark_cite: spark.cite,
        })
    }

    /// Whether an opening of a size that is known is under what is needed.
    #[must_use]
    pub fn too_small(&self, open: Option<Area>) -> bool {
        open.is_some_and(|a| !enough(a, self.needed))
    }

    /// Holes to cut at the high or the low opening, and their drill: what decides, or more where the
    /// owner opens more.
    #[must_use]
    pub fn planned_holes(&self, high: bool) -> Option<(u32, Length)> {
        let row = self.governing()?;
        let own = if high { self.high } else { self.low };
        Some((own.map_or(row.holes, |a| holes(a, row.drill).max(row.holes)), row.drill))
    }

    /// The row that decides.
    #[must_use]
    pub fn governing(&self) -> Option<&VentRow> {
        self.rows.iter().find(|r| r.governs)
    }
}

/// An opening a hair under what is asked, by the last bits of the arithmetic, is large enough.
fn enough(open: Area, wanted: Area) -> bool {
    wanted.as_mm2() <= open.as_mm2() + 1e-6
}

fn status(low: Option<Area>, high: Option<Area>, needed: Area) -> VentStatus {
    let small = |a: Option<Area>| a.is_some_and(|a| !enough(a, needed));
    if small(low) || small(high) {
        VentStatus::TooSmall
    } else if low.is_none() || high.is_none() {
        VentStatus::Unknown
    } else {
        VentStatus::Open
    }
}

/// What the gas formula is given.
struct Gas<'a> {
    tables: &'a Tables,
    cell: CellType,
    in_series: u32,
    hours: f64,
    unlimited: Current,
}

impl Gas<'_> {
    fn current(&self, stage: ChargeStage) -> Option<(Current, Cite)> {
        if stage == ChargeStage::Unlimited {
            let share = self.tables.limits.value("vent-unregulated-fraction");
            return Some((self.unlimited * share.value, share.cite));
        }
        let row = match stage {
            ChargeStage::Limited => GasStage::UpTo240,
            ChargeStage::Equalise | ChargeStage::Unlimited => GasStage::Equalise,
        };
        let found = self.tables.enclosure.gassing_a_per_100ah(self.cell, row)?;
        Some((gas_current(found.value, self.hours), found.cite))
    }

    fn per_100ah(&self, stage: ChargeStage) -> Option<f64> {
        Some(self.current(stage)?.0.as_amps() * 100.0 / self.hours)
    }

    fn flow(&self, stage: ChargeStage) -> Option<(AirFlow, Cite)> {
        let (gas, cite) = self.current(stage)?;
        let factor = self.tables.limits.value("vent-flow-factor").value;
        Some((air_flow(factor, self.in_series, gas), cite))
    }

    fn area(&self, stage: ChargeStage) -> Option<Area> {
        Some(opening_area(&self.tables.limits, self.flow(stage)?.0))
    }

    fn rows(&self, worst: ChargeStage, drill: Option<Length>) -> Option<Vec<VentRow>> {
        let fixed = self.tables.limits.value("vent-area-nec");
        let least = Area::mm2(fixed.value);
        let by_gas = self.area(worst)?;
        let mut stages = vec![ChargeStage::Limited, ChargeStage::Equalise];
        if worst == ChargeStage::Unlimited {
            stages.push(worst);
        }
        let mut rows = Vec::new();
        for stage in stages {
            let (flow, cite) = self.flow(stage)?;
            let area = opening_area(&self.tables.limits, flow);
            let (holes, drill) = cut(self.tables, area, drill);
            rows.push(VentRow {
                rule: "gas of the bank, EN 50272-3",
                stage: Some(stage),
                flow: Some(flow),
                area,
                holes,
                drill,
                governs: stage == worst && least.as_mm2() <= by_gas.as_mm2(),
                cite,
            });
        }
        let (holes, drill) = cut(self.tables, least, drill);
        rows.push(VentRow {
            rule: "least opening of a trailer's battery space, NEC 552.10",
            stage: None,
            flow: None,
            area: least,
            holes,
            drill,
            governs: by_gas.as_mm2() < least.as_mm2(),
            cite: fixed.cite,
        });
        Some(rows)
    }
}

/// Holes of the owner's drill, or of the smallest hole saw that needs few of them.
fn cut(tables: &Tables, area: Area, own: Option<Length>) -> (u32, Length) {
    if let Some(own) = own {
        return (holes(area, own), own);
    }
    let most = tables.limits.value("vent-holes-most").value;
    let saws = tables.enclosure.hole_saws();
    let few = saws.iter().find(|s| f64::from(holes(area, s.value)) <= most);
    // The table holds at least one saw; a box without a wide enough one gets many holes.
    let saw = few.or(saws.last()).map_or(Length::mm(25.0), |s| s.value);
    (holes(area, saw), saw)
}

/// Amps of all chargers that nothing limits.
fn unlimited_amps(design: &Design) -> Current {
    let unlimited = |d: &&Device| d.absorption.is_none() && d.float.is_none();
    let sources = design.devices.iter().filter(|d| d.kind.is_charge_source());
    sources.filter(unlimited).filter_map(|d| d.rating).sum()
}

/// How far each connected charger may drive the bank.
fn drivers(design: &Design, tables: &Tables, in_series: u32) -> Vec<Driver> {
    let cells = f64::from(in_series.max(1));
    let limit = tables.limits.value("absorption-flooded-min").value
        + tables.limits.value("gas-band-margin").value;
    design
        .devices
        .iter()
        .filter(|d| d.kind.is_charge_source())
        .map(|d| {
            let highest = d.absorption.or(d.float);
            let stage = match (d.equalise, highest) {
                (Some(_), _) => ChargeStage::Equalise,
                (None, Some(volts)) if volts.as_volts() / cells <= limit + 1e-9 => {
                    ChargeStage::Limited
                }
                (None, Some(_)) => ChargeStage::Equalise,
                // Without a rating its share of gas cannot be worked out: the table's worst is taken.
                (None, None) if d.rating.is_none() => ChargeStage::Equalise,
                (None, None) => ChargeStage::Unlimited,
            };
            Driver { device: d.part.name.clone(), stage, assumed: highest.is_none() }
        })
        .collect()
}

/// Free area of a number of holes, for the words of a step.
#[must_use]
pub fn open_area(count: u32, drill: Length) -> Area {
    hole_area(drill) * f64::from(count)
}

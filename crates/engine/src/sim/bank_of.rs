//! The bank of a design, fitted: what the owner's labels, the facts and the tables make of it.

use super::bank::{BankModel, BankTraits, Knees, REFERENCE_C};
use crate::calc::block_resistance;
use crate::calc::kinetic_battery::{Wells, available_share, capacity_ah, wells_of_table};
use crate::cite::Cite;
use crate::facts::Facts;
use crate::facts::block::BlockFacts;
use crate::finding::Assumed;
use crate::model::bank::Bank;
use crate::model::block::{BlockModel, Chemistry};
use crate::model::design::Design;
use crate::tables::Tables;
use crate::units::capacity::Rating;
use crate::units::{Temperature, show};

/// Hours of the label the trade goes by.
const LABEL_H: f64 = 20.0;
/// Hours in a twelfth of a year of 365 days.
const MONTH_H: f64 = 730.0;

/// A bank ready to be run, and what had to be assumed for it.
#[derive(Clone, Debug, PartialEq)]
pub struct FittedBank {
    /// The bank, for steps of one hour.
    pub model: BankModel,
    /// Its chemistry.
    pub chemistry: Chemistry,
    /// Largest difference of the wells from the rates they were fitted to, as a share.
    pub rate_worst_share: f64,
    /// Largest difference of the rest volts from their table at the posts [V].
    pub rest_worst_v: f64,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
}

/// Gassing current at the reference volts and temperature [mA per 100 Ah].
fn gas_ma_per_100_ah(chemistry: Chemistry, tables: &Tables) -> f64 {
    let sealed = matches!(chemistry, Chemistry::Agm | Chemistry::Gel);
    let id = if sealed { "gassing-current-sealed" } else { "gassing-current-vented" };
    tables.limits.value(id).value
}

/// The wells of one block of 20 h capacity, and how well they fit.
struct BlockWells {
    wells: Wells,
    worst: f64,
}

impl BankModel {
    /// The bank of a design taken at one stage. `None` where there is no bank, or nothing tells how
    /// much its blocks hold.
    #[must_use]
    pub fn of(design: &Design, facts: &Facts, tables: &Tables) -> Option<FittedBank> {
        let bank = design.bank()?;
        let first = facts.blocks.first()?;
        let block = design.block_model(&first.model).cloned();
        let block = block.unwrap_or_else(|| BlockModel::named(&first.model));
        let mut assumed = Vec::new();
        let own = block_wells(&block, first, tables, &mut assumed)?;
        let single = capacity_ah(own.wells, LABEL_H);
        let strings = strings_alike(design, facts, bank, single);
        let wells = Wells { charge_max_ah: own.wells.charge_max_ah * strings, ..own.wells };
        let rated_ah = capacity_ah(wells, LABEL_H);
        let cells: u32 = facts.blocks.iter().filter(|b| b.id.string == 0).map(|b| b.cells).sum();
        let cells = f64::from(cells.max(1));
        let rest = rest_volts(first.chemistry, cells, tables)?;
        let lead = first.chemistry.is_lead();
        let limit = |id: &str| tables.limits.value(id).value;
        let gas_ma = gas_ma_per_100_ah(first.chemistry, tables);
        let of_lead = |value: f64| if lead { value } else { 0.0 };
        let (cold_resistance, cold_resistance_last_k) = cold_resistance(lead, tables);
        let traits = BankTraits {
            wells,
            rated_ah,
            cells,
            rest_empty_v: rest.empty_v,
            rest_rise_v: rest.rise_v,
            knees: rest.knees,
            resistance_ohm: resistance_ohm(bank, facts, tables),
            resistance_rise: of_lead(block_resistance::factor_of_charge(tables, 0.0).value - 1.0),
            transfer_ohm: of_lead(
                cells * limit("schiffer-charge-rho") * limit("schiffer-charge-m") / rated_ah,
            ),
            transfer_full: limit("schiffer-charge-c"),
            cold_resistance,
            cold_resistance_last_k,
            cold_capacity: if lead { cold_capacity(tables) } else { [0.0, 0.0] },
            cold_capacity_least: limit("capacity-cold-least"),
            acceptance_per_h: limit("acceptance-rate"),
            charge_max_a: block.charge_max.map_or(f64::INFINITY, |a| a.as_amps() * strings),
            charge_min_c: if lead {
                f64::NEG_INFINITY
            } else {
                limit("lfp-charge-temperature-min")
            },
            discharge_min_c: if lead {
                f64::NEG_INFINITY
            } else {
                limit("lfp-discharge-temperature-min")
            },
            near_full_gas: of_lead(limit("near-full-gas")),
            gas_a: of_lead(gas_ma / 1000.0 * rated_ah / 100.0),
            gas_reference_v: limit("gassing-reference-cell"),
            gas_per_volt: limit("gassing-per-volt"),
            gas_per_kelvin: limit("gassing-per-kelvin"),
            self_per_h: self_discharge(first.chemistry, tables)?,
            loses_water: first.chemistry == Chemistry::Flooded,
        };
        note_usual(&block, first.chemistry, tables, &mut assumed);
        Some(FittedBank {
            model: Self::new(traits, 1.0),
            chemistry: first.chemistry,
            rate_worst_share: own.worst,
            rest_worst_v: rest.worst_v,
            assumed,
        })
    }
}

/// How many strings of the first block's capacity the bank is worth: a string holds what its
/// smallest block holds.
fn strings_alike(design: &Design, facts: &Facts, bank: &Bank, single: f64) -> f64 {
    let held = |b: &BlockFacts| {
        let label = design.block_model(&b.model).and_then(|m| m.rating);
        label.and_then(Rating::capacity).map_or(single, |c| {
            // A label at another rate than the first block's counts as it stands.
            c.as_amp_hours()
        })
    };
    let labelled = facts.blocks.first().map_or(single, held);
    let string = |s: u32| {
        let blocks = facts.blocks.iter().filter(|b| b.id.string == s);
        blocks.map(held).fold(f64::INFINITY, f64::min) / labelled
    };
    (0..bank.parallel).map(string).filter(|s| s.is_finite()).sum()
}

/// Wells of one block from its own rates, or of its label with the shape of the nearest table.
fn block_wells(
    block: &BlockModel,
    first: &BlockFacts,
    tables: &Tables,
    assumed: &mut Vec<Assumed>,
) -> Option<BlockWells> {
    let mut rates: Vec<(f64, f64)> = block
        .rates
        .iter()
        .copied()
        .chain(block.rating.and_then(Rating::capacity))
        .map(|c| (c.rate().as_hours(), c.as_amp_hours()))
        .collect();
    if let Some(Rating::Reserve(time)) = block.rating {
        let amps = tables.limits.value("reserve-current").value;
        rates.push((time.as_hours(), time.as_hours() * amps));
    }
    rates.retain(|(t, c)| 0.0 < *t && 0.0 < *c);
    rates.sort_by(|a, b| a.0.total_cmp(&b.0));
    rates.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-6);
    if let Some(fit) = wells_of_table(&rates) {
        return Some(BlockWells { wells: fit.wells, worst: fit.worst_share });
    }
    if rates.is_empty() {
        let case = tables.battery.case_capacity(block.case.as_deref()?)?;
        let middle = f64::midpoint(case.low_ah, case.high_ah);
        assumed.push(Assumed {
            path: format!("block.{}.rating", block.name),
            value: format!("{} Ah at 20 h", show::decimal(middle, 0)),
            how_to_measure: "read the label or the maker's sheet".to_owned(),
            matters: "the nights go nearly in step with it".to_owned(),
            cite: case.cite.clone(),
        });
        rates.push((LABEL_H, middle));
    }
    let shape = borrowed_shape(block, first, tables, assumed)?;
    let last = *rates.last()?;
    let share = match rates.as_slice() {
        [short, long] => available_share(shape.wells.rate_per_h, *short, *long),
        _ => shape.wells.available_share,
    };
    let fits = 0.0 < share && share < 1.0;
    let available_share = if fits { share } else { shape.wells.available_share };
    let unit = Wells { available_share, charge_max_ah: 1.0, ..shape.wells };
    let wells = Wells { charge_max_ah: last.1 / capacity_ah(unit, last.0), ..unit };
    let away = |(t, c): &(f64, f64)| (capacity_ah(wells, *t) / c - 1.0).abs();
    Some(BlockWells { wells, worst: rates.iter().map(away).fold(shape.worst, f64::max) })
}

/// The shape of a block that has one label only.
fn borrowed_shape(
    block: &BlockModel,
    first: &BlockFacts,
    tables: &Tables,
    assumed: &mut Vec<Assumed>,
) -> Option<BlockWells> {
    let path = format!("block.{}.rates", block.name);
    let how_to_measure =
        "the maker's sheet: amp-hours at 100, 10 and 5 hours, or minutes at a current".to_owned();
    if first.chemistry.is_lead() {
        let curve = tables.battery.rate_curve(first.chemistry.word(), first.nominal)?;
        let fit = wells_of_table(&curve.value.rows)?;
        let five = capacity_ah(fit.wells, 5.0) / capacity_ah(fit.wells, LABEL_H);
        assumed.push(Assumed {
            path,
            value: format!(
                "shape of the {}: {} % of the 20 h amp-hours at the 5 h rate",
                curve.value.name,
                show::decimal(five * 100.0, 0)
            ),
            how_to_measure,
            matters: "amp-hours that are there at a high current, and how long the last fifth takes to charge"
                .to_owned(),
            cite: curve.value.cite.clone(),
        });
        return Some(BlockWells { wells: fit.wells, worst: fit.worst_share });
    }
    let share = tables.limits.value("lfp-available-share");
    let rate = tables.limits.value("lfp-well-rate");
    assumed.push(Assumed {
        path,
        value: "98 % of the 20 h amp-hours at the 1 h rate".to_owned(),
        how_to_measure,
        matters: "little: the rate moves the capacity of LFP by a few in a hundred".to_owned(),
        cite: share.cite,
    });
    let wells = Wells { available_share: share.value, rate_per_h: rate.value, charge_max_ah: 1.0 };
    Some(BlockWells { wells, worst: 0.0 })
}

/// Resistance of the bank when full and at 25 C, with its age; blocks only, without leads.
fn resistance_ohm(bank: &Bank, facts: &Facts, tables: &Tables) -> f64 {
    let block = |b: &BlockFacts| {
        if bank.state_of(b.id).resistance.is_some() {
            return b.resistance.as_ohms();
        }
        let lead = b.chemistry.is_lead();
        let aged = b.age.filter(|_| lead);
        let factor = aged.map_or(1.0, |a| block_resistance::factor_of_age(tables, a).value);
        b.resistance_new.as_ohms() * factor
    };
    let string = |s: u32| {
        let ohms: f64 = facts.blocks.iter().filter(|b| b.id.string == s).map(block).sum();
        1.0 / ohms.max(1e-9)
    };
    1.0 / (0..bank.parallel.max(1)).map(string).sum::<f64>()
}

struct RestVolts {
    empty_v: f64,
    rise_v: f64,
    knees: Option<Knees>,
    worst_v: f64,
}

/// Rest volts at the posts as a straight line, and for LFP with a knee at each end, by least squares.
fn rest_volts(chemistry: Chemistry, cells: f64, tables: &Tables) -> Option<RestVolts> {
    let rows: Vec<(f64, f64)> = if chemistry.is_lead() {
        let curve = tables.battery.rest_curve(chemistry.word())?;
        // The tables are of a 12 V block of six cells.
        curve.rows.iter().map(|(p, v)| (p / 100.0, v / 6.0 * cells)).collect()
    } else {
        // The lowest rows are of a small power cell and steer the knee astray.
        let percent = (3..=50_u32).map(|i| f64::from(i) * 2.0);
        let volts = |p| tables.battery.rest_voltage(chemistry.word(), p);
        percent.filter_map(|p| Some((p / 100.0, volts(p)?.value.as_volts() * cells))).collect()
    };
    let terms = |s: f64| [1.0, s, power_15(1.0 - s), power_15(s) * power_15(s) * s];
    let count = if chemistry.is_lead() { 2 } else { 4 };
    let fit = least_squares(rows.iter().map(|(s, v)| (terms(*s), *v)), count)?;
    let model = |s: f64| terms(s).iter().zip(fit).map(|(t, f)| t * f).sum::<f64>();
    let used = rows.iter().filter(|(s, _)| chemistry.is_lead() || 0.15 <= *s);
    let worst_v = used.map(|(s, v)| (model(*s) - v).abs()).fold(0.0, f64::max);
    let knees =
        (!chemistry.is_lead()).then_some(Knees { low_v: fit[2].min(0.0), high_v: fit[3].max(0.0) });
    Some(RestVolts { empty_v: fit[0], rise_v: fit[1].max(0.0), knees, worst_v })
}

fn power_15(x: f64) -> f64 {
    let x3 = x * x * x;
    x3 * x3 * x3 * x3 * x3
}

/// Shares of capacity lost per kelvin and per kelvin squared under 25 C, by least squares on the
/// IEEE 485 size factors.
fn cold_capacity(tables: &Tables) -> [f64; 2] {
    let at = |cold: u32| {
        let cold = f64::from(cold);
        let factor = tables.battery.size_factor(Temperature::celsius(REFERENCE_C - cold))?;
        Some(([cold, cold * cold, 0.0, 0.0], 1.0 - 1.0 / factor.value))
    };
    // The table ends 28.9 K under 25 C.
    let fit = least_squares((1..=28).filter_map(at), 2);
    fit.map_or([0.0, 0.0], |f| [f[0], f[1]])
}

/// Rise of the resistance with cold through the two coldest rows of cranking power.
fn cold_resistance(lead: bool, tables: &Tables) -> ([f64; 2], f64) {
    let (rows, _) = tables.battery.cranking_power();
    let ([a, b, ..], true) = (rows, lead) else {
        return ([0.0, 0.0], 0.0);
    };
    let reference = Temperature::celsius(REFERENCE_C);
    let at = |row: &(f64, f64)| {
        let factor =
            block_resistance::factor_of_temperature(tables, Temperature::celsius(row.0), reference);
        let cold = REFERENCE_C - row.0;
        ([cold, cold * cold, 0.0, 0.0], factor.value - 1.0)
    };
    let fit = least_squares([at(a), at(b)].into_iter(), 2);
    (fit.map_or([0.0, 0.0], |f| [f[0], f[1]]), REFERENCE_C - a.0)
}

/// Share of a full bank lost in an hour, at three temperatures.
fn self_discharge(chemistry: Chemistry, tables: &Tables) -> Option<[(f64, f64); 3]> {
    if chemistry == Chemistry::Flooded {
        let span = tables.limits.value("self-discharge-span").value;
        let curve = tables.battery.self_discharge_curve();
        let rate =
            |row: &(f64, f64)| (Temperature::fahrenheit(row.0).as_celsius(), row.1 / span / 24.0);
        let [a, b, c] = curve.rows.as_slice() else {
            return None;
        };
        return Some([rate(a), rate(b), rate(c)]);
    }
    let id = if chemistry.is_lead() { "self-discharge-agm" } else { "self-discharge-lfp" };
    let rate = tables.limits.value(id).value / 100.0 / MONTH_H;
    // One figure is known; the temperatures only keep the law's three places.
    Some([(0.0, rate), (REFERENCE_C, rate), (2.0 * REFERENCE_C, rate)])
}

fn note_usual(
    block: &BlockModel,
    chemistry: Chemistry,
    tables: &Tables,
    assumed: &mut Vec<Assumed>,
) {
    if block.charge_max.is_none() {
        assumed.push(Assumed {
            path: format!("block.{}.charge_max", block.name),
            value: "no limit of the maker's; amps no more than the amp-hours missing".to_owned(),
            how_to_measure: "read the maker's sheet".to_owned(),
            matters: "how fast a strong source fills the bank".to_owned(),
            cite: tables.limits.value("acceptance-rate").cite,
        });
    }
    if !chemistry.is_lead() {
        let cold = tables.limits.value("lfp-charge-temperature-min");
        assumed.push(Assumed {
            path: format!("block.{}.charge_min", block.name),
            value: format!("no charge under {} °C", show::decimal(cold.value, 0)),
            how_to_measure: "read the maker's sheet; some allow a little current in frost"
                .to_owned(),
            matters: "a bank that stays frozen is not charged at all, however much sun there is"
                .to_owned(),
            cite: cold.cite,
        });
    }
    assumed.push(Assumed {
        path: format!("block.{}.age", block.name),
        value: "the label's amp-hours are still there".to_owned(),
        how_to_measure: "a capacity test: hours at the 20 h current down to 1.75 V a cell"
            .to_owned(),
        matters: "a bank at 80 % gives four fifths of the nights".to_owned(),
        cite: Cite::practice("a bank is planned by its label"),
    });
}

/// The weights of up to four terms that come nearest to the values; unused terms stay zero.
fn least_squares(rows: impl Iterator<Item = ([f64; 4], f64)>, count: usize) -> Option<[f64; 4]> {
    let mut system = [[0.0; 5]; 4];
    for (terms, value) in rows {
        for (line, own) in system.iter_mut().zip(terms) {
            for (cell, other) in line.iter_mut().zip(terms) {
                *cell += own * other;
            }
            line[4] += own * value;
        }
    }
    // Elimination without exchange of rows: the system is positive definite.
    for i in 0..count {
        let pivot = system[i];
        if pivot[i] <= 0.0 || pivot[i].is_nan() {
            return None;
        }
        for (j, line) in system.iter_mut().enumerate().take(count) {
            if j != i {
                let factor = line[i] / pivot[i];
                line.iter_mut().zip(pivot).for_each(|(cell, above)| *cell -= factor * above);
            }
        }
    }
    let mut weights = [0.0; 4];
    for i in 0..count {
        weights[i] = system[i][4] / system[i][i];
    }
    Some(weights)
}

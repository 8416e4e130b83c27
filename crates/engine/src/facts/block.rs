//! What each block is worth: EMF and resistance at its state of charge, temperature and age.

use crate::calc::block_resistance;
use crate::cite::{Cite, Status};
use crate::finding::Assumed;
use crate::model::bank::{Bank, BlockId, BlockState};
use crate::model::block::{BlockModel, Chemistry};
use crate::model::design::Design;
use crate::tables::battery::BlockResistance;
use crate::tables::{Sourced, Tables};
use crate::units::capacity::{Capacity, Rating};
use crate::units::show;
use crate::units::{BlockVoltage, Current, Duration, Resistance, Temperature, Voltage};

use super::Ambient;

/// What the circuit needs to know of one block.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockFacts {
    /// Which block.
    pub id: BlockId,
    /// The name of its model.
    pub model: String,
    /// Its chemistry.
    pub chemistry: Chemistry,
    /// Nominal volts.
    pub nominal: BlockVoltage,
    /// Cells in series inside the case.
    pub cells: u32,
    /// State of charge, 0 to 1.
    pub soc: f64,
    /// Volts at rest.
    pub emf: Voltage,
    /// Internal resistance as it is now.
    pub resistance: Resistance,
    /// Internal resistance new, full and at 25 °C.
    pub resistance_new: Resistance,
    /// Short-circuit current by the maker's sheet.
    pub short_circuit: Option<Current>,
    /// Time since it was made.
    pub age: Option<Duration>,
    /// Drawn or fitted the wrong way round.
    pub reversed: bool,
    /// Where the weakest of its figures comes from.
    pub cite: Cite,
}

impl BlockFacts {
    /// Largest current this block can drive into a dead short at its own posts: the maker's
    /// figure, or EMF over resistance where there is none.
    #[must_use]
    pub fn prospective_short(&self) -> Current {
        self.short_circuit
            .unwrap_or_else(|| Current::amps(self.emf.as_volts() / self.resistance_new.as_ohms()))
    }
}

pub(super) fn all(
    design: &Design,
    tables: &Tables,
    ambient: Ambient,
    assumed: &mut Vec<Assumed>,
) -> Vec<BlockFacts> {
    let Some(bank) = design.bank() else {
        return Vec::new();
    };
    let mut gather = Gather { design, tables, ambient, bank, assumed };
    bank.block_ids().into_iter().map(|id| gather.block(id)).collect()
}

struct Gather<'a> {
    design: &'a Design,
    tables: &'a Tables,
    ambient: Ambient,
    bank: &'a Bank,
    assumed: &'a mut Vec<Assumed>,
}

impl Gather<'_> {
    /// Notes an assumption once, however many blocks rest on it.
    fn assume(&mut self, item: Assumed) {
        if !self.assumed.iter().any(|a| a.path == item.path) {
            self.assumed.push(item);
        }
    }

    fn block(&mut self, id: BlockId) -> BlockFacts {
        let state = self.bank.state_of(id);
        let name = state.model.as_ref().unwrap_or(&self.bank.block).clone();
        let model =
            self.design.block_model(&name).cloned().unwrap_or_else(|| BlockModel::named(&name));
        let chemistry = self.chemistry(&model);
        let nominal = self.nominal(&model, chemistry);
        let cells = cell_count(nominal, chemistry);
        let soc = state.soc.or(self.ambient.soc).or(self.bank.soc).unwrap_or(1.0).clamp(0.0, 1.0);
        let (emf, emf_cite) = self.emf(&state, chemistry, cells, soc);
        let (resistance_new, ohm_cite) = self.resistance_new(&model, chemistry, nominal);
        let (resistance, now_cite) =
            self.resistance_now(&state, &model, chemistry, (resistance_new, soc));
        let cite = [emf_cite, ohm_cite, now_cite]
            .into_iter()
            .max_by_key(|c| c.status)
            .unwrap_or_else(|| Cite::practice("block"));
        BlockFacts {
            id,
            model: name,
            chemistry,
            nominal,
            cells,
            soc,
            emf,
            resistance,
            resistance_new,
            short_circuit: model.short_circuit,
            age: state.age.or(model.age),
            reversed: state.reversed,
            cite,
        }
    }

    fn chemistry(&mut self, model: &BlockModel) -> Chemistry {
        if let Some(chemistry) = model.chemistry {
            return chemistry;
        }
        self.assume(Assumed {
            path: format!("block.{}.chemistry", model.name),
            value: Chemistry::Flooded.word().to_owned(),
            how_to_measure: "read the label; caps that unscrew mean flooded".to_owned(),
            matters: "volts, venting, charging and watering all depend on it".to_owned(),
            cite: Cite::practice("the block with the strictest demands"),
        });
        Chemistry::Flooded
    }

    fn nominal(&mut self, model: &BlockModel, chemistry: Chemistry) -> BlockVoltage {
        if let Some(volts) = model.volts {
            return volts;
        }
        let volts = if chemistry.is_lead() { 12.0 } else { 12.8 };
        self.assume(Assumed {
            path: format!("block.{}.volts", model.name),
            value: format!("{} V", show::decimal(volts, 1)),
            how_to_measure: "read the label, or count the caps: one cap is 2 V".to_owned(),
            matters: "everything".to_owned(),
            cite: Cite::practice("the commonest block"),
        });
        BlockVoltage::volts(volts)
    }

    fn emf(
        &mut self,
        state: &BlockState,
        chemistry: Chemistry,
        cells: u32,
        soc: f64,
    ) -> (Voltage, Cite) {
        if let Some(rest) = state.rest {
            return (rest, Cite::new("owner", "measured at rest", Status::Read));
        }
        let table = self.tables.battery.rest_voltage(chemistry.word(), soc * 100.0);
        let nominal = || Sourced::new(chemistry.nominal_cell(), Cite::practice("nominal volts"));
        let per_cell = table.unwrap_or_else(nominal);
        if self.bank.soc.is_none() && self.ambient.soc.is_none() && state.soc.is_none() {
            self.assume(Assumed {
                path: format!("{}.soc", self.bank.path),
                value: "100 %".to_owned(),
                how_to_measure: "rest volts after four hours without charge or load".to_owned(),
                matters: "a bank at half sags about half a volt lower per 12 V".to_owned(),
                cite: per_cell.cite.clone(),
            });
        }
        (Voltage::volts(per_cell.value.as_volts() * f64::from(cells)), per_cell.cite)
    }

    fn resistance_new(
        &mut self,
        model: &BlockModel,
        chemistry: Chemistry,
        nominal: BlockVoltage,
    ) -> (Resistance, Cite) {
        if let Some(resistance) = model.resistance {
            return (resistance, Cite::new("owner", "the design file", Status::Read));
        }
        if let Some(amps) = model.short_circuit.filter(|a| a.as_amps() > 0.0) {
            let ohms = nominal.as_volts() / amps.as_amps();
            let cite = Cite::physics("nominal volts over the maker's short-circuit current");
            return (Resistance::ohms(ohms), cite);
        }
        let (resistance, cite) = self.usual_resistance(model, chemistry, nominal);
        self.assume(Assumed {
            path: format!("block.{}.resistance", model.name),
            value: show::resistance(resistance),
            how_to_measure:
                "volts at the posts at rest, less volts under a steady load of 30 A or \
                             more after ten seconds, divided by the amps; or nominal volts over \
                             the maker's short-circuit current"
                    .to_owned(),
            matters: "sets the sag under load, the fault current and how evenly strings share"
                .to_owned(),
            cite: cite.clone(),
        });
        (resistance, cite)
    }

    /// The middle of the band of the most alike block in the table, scaled by volts and, where the
    /// label gives them, inversely by amp-hours.
    fn usual_resistance(
        &self,
        model: &BlockModel,
        chemistry: Chemistry,
        nominal: BlockVoltage,
    ) -> (Resistance, Cite) {
        let kind = if chemistry == Chemistry::Gel { Chemistry::Agm } else { chemistry };
        let away = |row: &BlockResistance| (row.voltage.as_volts() - nominal.as_volts()).abs();
        let nearest = self
            .tables
            .battery
            .resistances()
            .iter()
            .filter(|row| row.chemistry.eq_ignore_ascii_case(kind.word()) && row.low.is_some())
            .min_by(|a, b| away(a).total_cmp(&away(b)));
        let Some(row) = nearest else {
            return (
                Resistance::milliohms(nominal.as_volts()),
                Cite::practice("a milliohm a volt"),
            );
        };
        let middle = (row.low.unwrap_or(row.high) + row.high) / 2.0;
        let volts = nominal.as_volts() / row.voltage.as_volts();
        let label = model.rating.and_then(Rating::capacity).map(Capacity::as_amp_hours);
        let alike = label.zip(row.typical_amp_hours).map_or(1.0, |(own, row)| row / own.max(1.0));
        (middle * volts * alike, row.cite.clone())
    }

    /// The resistance as it is: charge, cold and age each raise it.
    fn resistance_now(
        &mut self,
        state: &BlockState,
        model: &BlockModel,
        chemistry: Chemistry,
        new_at: (Resistance, f64),
    ) -> (Resistance, Cite) {
        let (new, soc) = new_at;
        if let Some(resistance) = state.resistance {
            return (resistance, Cite::new("owner", "this block's own", Status::Read));
        }
        if !chemistry.is_lead() {
            // No published course of LFP pack resistance was found; the stated figure is kept.
            return (new, Cite::physics("taken as stated"));
        }
        let charge = block_resistance::factor_of_charge(self.tables, soc);
        let cold = block_resistance::factor_of_temperature(
            self.tables,
            self.ambient.temperature,
            reference_temperature(),
        );
        let mut factor = charge.value * cold.value;
        // A factor of one moves nothing, so the figure does not rest on the row behind it.
        let mut cite = [charge, cold]
            .into_iter()
            .filter(|f| 1e-9 < (f.value - 1.0).abs())
            .map(|f| f.cite)
            .max_by_key(|c| c.status)
            .unwrap_or_else(|| Cite::physics("taken as stated"));
        if let Some(age) = state.age.or(model.age) {
            let aged = block_resistance::factor_of_age(self.tables, age);
            factor *= aged.value;
            if aged.value > 1.0 {
                self.note_age(state.id, age, new * factor, &aged.cite);
                cite = aged.cite;
            }
        }
        (new * factor, cite)
    }

    fn note_age(&mut self, id: BlockId, age: Duration, resistance: Resistance, cite: &Cite) {
        self.assume(Assumed {
            path: format!("{}.{id}.resistance", self.bank.path),
            value: format!(
                "{} at {} years",
                show::resistance(resistance),
                show::decimal(age.as_years(), 1)
            ),
            how_to_measure: "rest volts less volts under a steady load, divided by the amps"
                .to_owned(),
            matters: "an old block in parallel lets the new ones carry its share".to_owned(),
            cite: cite.clone(),
        });
    }
}

/// Cells in a case, to the nearest whole number; at least one.
fn cell_count(nominal: BlockVoltage, chemistry: Chemistry) -> u32 {
    let cells = (nominal.as_volts() / chemistry.nominal_cell().as_volts()).round();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 1..=64, far inside u32"
    )]
    let whole = cells.clamp(1.0, 64.0) as u32;
    whole
}

/// The temperature at which a maker's figures hold.
#[must_use]
pub fn reference_temperature() -> Temperature {
    Temperature::celsius(25.0)
}

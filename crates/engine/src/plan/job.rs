//! The work of one stage: what stands already, what is new, what must be taken out.

use crate::circuit::netlist::LeadOhms;
use crate::circuit::share::MainConsumer;
use crate::circuit::wiring::{WiredLead, Wiring};
use crate::facts::Facts;
use crate::fit::hold_down::HoldDown;
use crate::fit::hold_down::fasteners::Fasteners;
use crate::fit::vent::Vent;
use crate::fit::weight::Weight;
use crate::model::bank::BlockId;
use crate::model::block::BlockModel;
use crate::model::design::Design;
use crate::model::device::{Device, DeviceKind};
use crate::model::lead::Terminal;
use crate::model::part::Part;
use crate::sizing::answer::LeadAnswer;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::{Length, Torque};
use std::collections::BTreeMap;

use super::bench::{Bench, State};
use super::figures::{Figures, rest_bands};
use super::order::in_order;
use super::studs::Studs;
use super::words::Words;

/// What stood before the stage.
#[derive(Clone, Copy)]
pub struct Standing<'a> {
    /// The design as it stood.
    pub design: &'a Design,
    /// Its leads.
    pub wiring: &'a Wiring,
}

/// Everything the pages of one stage are written from.
pub struct Job<'a> {
    /// The design as it will stand.
    pub design: &'a Design,
    /// Name of the stage.
    pub stage: String,
    /// Its leads.
    pub wiring: &'a Wiring,
    /// Its facts.
    pub facts: &'a Facts,
    /// Resistances of the leads, in wiring order.
    pub ohms: &'a [LeadOhms],
    /// Sizes and ends of the leads.
    pub leads: &'a [LeadAnswer],
    /// Where the test load is taken.
    pub consumer: &'a MainConsumer,
    /// Largest steady amps of that consumer.
    pub consumer_amps: Option<f64>,
    /// What stood before.
    pub before: Option<Standing<'a>>,
    /// Errors and limits.
    pub figures: Figures,
    /// Names of studs, and spanners.
    pub studs: Studs,
    /// What holds it down; `None` where nothing moves.
    pub hold: Option<HoldDown>,
    /// Its openings; `None` where nothing gasses.
    pub vent: Option<Vent>,
    /// What it weighs, where the whole design was at hand.
    pub weight: Option<Weight>,
    /// Lowest and highest rest volts that pass, by block.
    pub bands: BTreeMap<BlockId, (f64, f64)>,
}

impl<'a> Job<'a> {
    /// The work of a stage: what is new at it compared with what stood before; at the first
    /// stage, everything not in hand.
    #[must_use]
    pub fn of(study: &'a Study, before: Option<&'a Study>, tables: &Tables) -> Self {
        let figures = Figures::of(tables);
        let stage = study.design.stages.get(study.stage);
        let consumer = study.consumer.device.as_ref();
        let current = consumer.and_then(|d| study.currents.iter().find(|c| c.device == *d));
        Self {
            design: &study.design,
            stage: stage.map_or_else(String::new, |s| s.name.clone()),
            wiring: &study.wiring,
            facts: &study.facts,
            ohms: &study.ohms,
            leads: &study.leads,
            consumer: &study.consumer,
            consumer_amps: current.map(|c| c.current.steady.as_amps()),
            before: before.map(|b| Standing { design: &b.design, wiring: &b.wiring }),
            figures,
            studs: Studs::of(tables),
            hold: HoldDown::of(&study.design, tables),
            vent: Vent::of(&study.design, &study.facts, tables),
            weight: None,
            bands: rest_bands(&study.design, &study.facts, tables, &figures),
        }
    }

    /// With what the rig weighs before and after the work.
    #[must_use]
    pub fn weighed(mut self, weight: Weight) -> Self {
        self.weight = Some(weight);
        self
    }

    /// What stands when the work begins: at the first stage, what is in hand already.
    #[must_use]
    pub fn standing(&self) -> Design {
        if let Some(before) = &self.before {
            return before.design.clone();
        }
        let mut design = self.design.clone();
        design.devices.retain(|d| d.part.have);
        design.arrays.retain(|a| a.part.have);
        if self.bank_is_new() {
            design.banks.clear();
        }
        design
    }

    /// The words of the reader.
    #[must_use]
    pub const fn words(&self) -> Words {
        Words::of(&self.design.rig)
    }

    /// The bank half built, every block the right way round.
    #[must_use]
    pub fn bench(&self) -> Bench<'a> {
        Bench::new(self.design, self.wiring, self.facts, self.ohms, &self.bands)
    }

    /// Whether the blocks are put in at this stage.
    #[must_use]
    pub fn bank_is_new(&self) -> bool {
        let Some(bank) = self.design.bank() else {
            return false;
        };
        let Some(before) = &self.before else {
            return !bank.have;
        };
        before.design.bank().is_none_or(|old| {
            old.stage != bank.stage
                || old.block != bank.block
                || old.series != bank.series
                || old.parallel != bank.parallel
        })
    }

    fn part_is_new(&self, part: &Part, stood: bool) -> bool {
        if self.before.is_some() { !stood } else { !part.have }
    }

    /// Whether a device is fitted at this stage.
    #[must_use]
    pub fn device_is_new(&self, device: &Device) -> bool {
        let name = &device.part.name;
        let stood = self.before.as_ref().is_some_and(|b| b.design.device(name).is_some());
        self.part_is_new(&device.part, stood)
    }

    /// Devices fitted at this stage, in file order.
    pub fn new_devices(&self) -> impl Iterator<Item = &'a Device> {
        self.design.devices.iter().filter(|d| self.device_is_new(d))
    }

    /// Sets of fasteners fitted at this stage.
    pub fn new_holds(&self) -> impl Iterator<Item = &Fasteners> {
        let stood = |name: &str| {
            self.before.is_some_and(|b| b.design.holds.iter().any(|h| h.part.name == name))
        };
        let all = self.hold.iter().flat_map(|h| &h.fasteners);
        all.filter(move |f| !stood(&f.name))
    }

    /// Devices of a kind fitted at this stage.
    pub fn new_of(&self, kind: DeviceKind) -> impl Iterator<Item = &'a Device> {
        self.new_devices().filter(move |d| d.kind == kind)
    }

    /// Whether this is a first stage at which nothing is built: the rig as found.
    #[must_use]
    pub fn nothing_is_new(&self) -> bool {
        self.before.is_none()
            && !self.bank_is_new()
            && self.new_devices().next().is_none()
            && self.fitted_leads().is_empty()
    }

    /// Whether a lead is bolted on at this stage: it is new, or something at one of its ends is.
    #[must_use]
    pub fn lead_is_fitted(&self, lead: &WiredLead) -> bool {
        if self.bank_is_new() && (lead.role.is_link() || reaches_bank(lead)) {
            return true;
        }
        let end_is_new = [&lead.from, &lead.to].into_iter().any(|t| {
            t.device().and_then(|d| self.design.device(d)).is_some_and(|d| self.device_is_new(d))
        });
        if end_is_new {
            return true;
        }
        match &self.before {
            Some(before) => !before
                .wiring
                .lead(&lead.id)
                .is_some_and(|old| old.from == lead.from && old.to == lead.to),
            None if lead.role.is_link() && !lead.written => false,
            None => !lead.stated.part.have,
        }
    }

    /// The leads of this stage in the order in which they go on.
    #[must_use]
    pub fn fitted_leads(&self) -> Vec<&'a WiredLead> {
        in_order(self.design, self.wiring).into_iter().filter(|l| self.lead_is_fitted(l)).collect()
    }

    /// What is bolted and closed once everything is dead and what goes has gone: the leads that
    /// stay, with every fuse out and every switch open.
    #[must_use]
    pub fn start(&self) -> State {
        let mut state = State::default();
        for lead in &self.wiring.leads {
            if !self.lead_is_fitted(lead) {
                state.leads.insert(lead.id.clone());
            }
        }
        for device in self.design.devices.iter().filter(|d| stays_closed(d.kind)) {
            state.devices.insert(device.part.name.clone());
        }
        state
    }

    /// The model of a block.
    #[must_use]
    pub fn model_of(&self, id: BlockId) -> Option<&'a BlockModel> {
        let bank = self.design.bank()?;
        let name = bank.state_of(id).model.unwrap_or_else(|| bank.block.clone());
        self.design.block_model(&name)
    }

    /// Torque from the part's own sheet at a post or stud.
    #[must_use]
    pub fn torque_at(&self, terminal: &Terminal) -> Option<Torque> {
        match terminal {
            Terminal::Post { block, .. } => self.model_of(*block)?.torque,
            Terminal::Stud { device, .. } => self.design.device(device)?.torque,
        }
    }

    /// Diameter of a post or stud.
    #[must_use]
    pub fn stud_at(&self, terminal: &Terminal) -> Option<Length> {
        match terminal {
            Terminal::Post { block, .. } => self.model_of(*block)?.stud,
            Terminal::Stud { device, .. } => self.design.device(device)?.stud,
        }
    }

    /// What the sizing says of a lead.
    #[must_use]
    pub fn answer(&self, id: &str) -> Option<&'a LeadAnswer> {
        self.leads.iter().find(|l| l.id == id)
    }

    /// Volts of a whole string as stated, highest of all strings.
    #[must_use]
    pub fn string_volts(&self) -> f64 {
        let mut by_string: BTreeMap<u32, f64> = BTreeMap::new();
        for block in &self.facts.blocks {
            *by_string.entry(block.id.string).or_default() += block.emf.as_volts();
        }
        by_string.values().copied().fold(0.0, f64::max)
    }
}

/// A lead that ends on a block's post.
fn reaches_bank(lead: &WiredLead) -> bool {
    lead.from.block().is_some() || lead.to.block().is_some()
}

/// A device that is neither a fuse nor a switch: it conducts as soon as it is there.
const fn stays_closed(kind: DeviceKind) -> bool {
    matches!(kind, DeviceKind::Shunt | DeviceKind::Bms)
}

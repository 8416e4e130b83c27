//! What comes aboard and what leaves, stage by stage, since the day the rig was weighed.

use crate::calc::copper_mass::copper_mass;
use crate::cite::{Cite, Status};
use crate::finding::Assumed;
use crate::model::bank::Bank;
use crate::model::design::Design;
use crate::model::device::{Device, DeviceKind};
use crate::model::part::{Part, Spot};
use crate::model::rig::RigKind;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::{Length, Mass, show};

/// A mass that comes or goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// The stage at which it does, by its number.
    pub stage: usize,
    /// What it is.
    pub what: String,
    /// Where the owner writes its mass.
    pub path: String,
    /// Its mass, below zero when it leaves; `None` when nobody said.
    pub mass: Option<Mass>,
    /// Its mass may be out by this much.
    pub spread: Mass,
    /// Where it sits.
    pub spot: Spot,
    /// Moves with the box.
    pub at_box: bool,
    /// Small enough that the sum may stand without it.
    pub small: bool,
    /// Where its mass comes from.
    pub cite: Cite,
}

/// All of them, with the stages they belong to.
pub(super) struct Moves {
    pub(super) moved: Vec<Moved>,
    /// Stages after the measurement up to this one, by number.
    pub(super) stages: Vec<usize>,
    pub(super) assumed: Vec<Assumed>,
}

/// Every mass that moves between the measurement and the stage of the study.
pub(super) fn moves(study: &Study, whole: &Design, tables: &Tables) -> Moves {
    let measured = measured_at(whole);
    let first = measured.map_or(0, |m| m + 1);
    let stages: Vec<usize> = (first..=study.stage).collect();
    let leaves = first_new_bank(whole, measured, first);
    let mut log = Log { study, whole, tables, leaves, moved: Vec::new(), assumed: Vec::new() };
    for &stage in &stages {
        let before = if stage == first { measured } else { Some(stage - 1) };
        let step = Step { stage, before };
        let told = log.taken_out(step);
        log.bank(step, told);
        log.enclosure(step);
        log.devices(step);
        log.arrays(step);
        log.leads(step);
    }
    Moves { moved: log.moved, stages, assumed: log.assumed }
}

/// The stage at which the figures of `vehicle` were measured: the last one done. `None` is the rig
/// before any stage, with what is in hand.
pub(super) fn measured_at(whole: &Design) -> Option<usize> {
    let last = whole.stages.len().saturating_sub(1);
    if whole.stages.iter().all(|s| s.done) {
        return Some(last);
    }
    whole.present_stage().checked_sub(1)
}

/// The first stage after the measurement that brings another bank.
fn first_new_bank(whole: &Design, measured: Option<usize>, first: usize) -> usize {
    let path = |bank: Option<&Bank>| bank.map(|b| b.path.clone());
    let before = measured.and_then(|m| path(whole.bank_at(m)));
    let new = (first..whole.stages.len()).find(|s| path(whole.bank_at(*s)) != before);
    new.unwrap_or(first)
}

/// One stage and the one before it.
#[derive(Clone, Copy)]
struct Step {
    stage: usize,
    before: Option<usize>,
}

struct Log<'a> {
    study: &'a Study,
    whole: &'a Design,
    tables: &'a Tables,
    /// The stage at which a mass taken out leaves, where its own is not said.
    leaves: usize,
    moved: Vec<Moved>,
    assumed: Vec<Assumed>,
}

impl Log<'_> {
    fn stood(&self, part: &Part, step: Step) -> bool {
        step.before
            .map_or(part.have && self.whole.stands_at(part, 0), |b| self.whole.stands_at(part, b))
    }

    /// 1 when a part comes at this stage, -1 when it leaves, 0 when it stays or is not there.
    fn sign(&self, part: &Part, step: Step) -> f64 {
        match (self.stood(part, step), self.whole.stands_at(part, step.stage)) {
            (false, true) => 1.0,
            (true, false) => -1.0,
            _ => 0.0,
        }
    }

    fn box_spot(&self, stage: usize) -> Option<Spot> {
        let stands = |p: &Part| self.whole.stands_at(p, stage);
        self.whole.enclosure.as_ref().filter(|e| stands(&e.part)).map(|e| e.spot)
    }

    /// What the owner takes out; whether anything was said of this stage at all.
    fn taken_out(&mut self, step: Step) -> bool {
        let Some(vehicle) = &self.whole.vehicle else {
            return false;
        };
        let mut told = false;
        for out in &vehicle.taken_out {
            let named = out.stage.as_ref().and_then(|s| self.whole.stage_index(s));
            if named.unwrap_or(self.leaves) != step.stage {
                continue;
            }
            told = true;
            self.moved.push(Moved {
                stage: step.stage,
                what: format!("{} out", out.name),
                path: format!("vehicle.out.{}", out.name),
                mass: Some(-out.mass),
                spread: Mass::ZERO,
                spot: out.spot,
                at_box: false,
                small: false,
                cite: Cite::new("owner", &format!("vehicle.out.{}", out.name), Status::Read),
            });
        }
        told
    }

    /// The new bank comes. The old one leaves by itself only where the owner named nothing that does.
    fn bank(&mut self, step: Step, told: bool) {
        let new = self.whole.bank_at(step.stage);
        let old = match step.before {
            Some(before) => self.whole.bank_at(before),
            None => self.whole.bank_at(0).filter(|b| b.have),
        };
        if new.map(|b| &b.path) == old.map(|b| &b.path) {
            return;
        }
        if let Some(old) = old.filter(|_| !told) {
            let spot = step.before.and_then(|b| self.box_spot(b));
            self.blocks(step.stage, old, -1.0, spot);
        }
        if let Some(new) = new {
            self.blocks(step.stage, new, 1.0, self.box_spot(step.stage));
        }
    }

    fn blocks(&mut self, stage: usize, bank: &Bank, sign: f64, spot: Option<Spot>) {
        let mut models: Vec<(String, f64)> = Vec::new();
        for id in bank.block_ids() {
            let name = bank.state_of(id).model.unwrap_or_else(|| bank.block.clone());
            match models.iter_mut().find(|m| m.0 == name) {
                Some(m) => m.1 += 1.0,
                None => models.push((name, 1.0)),
            }
        }
        for (name, count) in models {
            let (each, spread, cite) = self.block_mass(&name);
            let leaves = if sign < 0.0 { " out" } else { "" };
            self.moved.push(Moved {
                stage,
                what: format!("{} x {name}{leaves}", show::decimal(count, 0)),
                path: format!("block.{name}.mass"),
                mass: each.map(|m| m * (count * sign)),
                spread: spread * count,
                spot: spot.unwrap_or_default(),
                at_box: spot.is_some(),
                small: false,
                cite,
            });
        }
    }

    /// The label's mass, or the middle of what cases of that size weigh.
    fn block_mass(&mut self, name: &str) -> (Option<Mass>, Mass, Cite) {
        let model = self.whole.block_model(name);
        let own = Cite::new("owner", &format!("block.{name}.mass"), Status::Read);
        if let Some(mass) = model.and_then(|m| m.mass) {
            return (Some(mass), Mass::ZERO, own);
        }
        let group = model.and_then(|m| m.case.as_deref());
        let Some(usual) = group.and_then(|g| self.tables.battery.case_mass(g)) else {
            return (None, Mass::ZERO, own);
        };
        let middle = (usual.low + usual.high) / 2.0;
        let spread = (usual.high - usual.low) / 2.0;
        let units = self.whole.rig.units;
        let path = format!("block.{name}.mass");
        if !self.assumed.iter().any(|a| a.path == path) {
            self.assumed.push(Assumed {
                path,
                value: show::mass(middle, units),
                how_to_measure: "read the label, or stand one on the bathroom scale".to_owned(),
                matters: format!(
                    "cases of size {} weigh {} to {}; it moves ball, axle and gross",
                    usual.group,
                    show::mass(usual.low, units),
                    show::mass(usual.high, units)
                ),
                cite: usual.cite.clone(),
            });
        }
        (Some(middle), spread, usual.cite.clone())
    }

    fn enclosure(&mut self, step: Step) {
        let Some(enclosure) = &self.whole.enclosure else {
            return;
        };
        let sign = self.sign(&enclosure.part, step);
        self.push_part(
            step,
            sign,
            &Thing {
                what: "box, leads and fittings",
                path: "box.mass".to_owned(),
                mass: enclosure.mass,
                spot: enclosure.spot,
                at_box: true,
            },
        );
    }

    fn devices(&mut self, step: Step) {
        for device in &self.whole.devices {
            let sign = self.sign(&device.part, step);
            if device.mass.is_none() && is_fitting(device) {
                continue;
            }
            let name = &device.part.name;
            let (spot, at_box) = self.spot_of(device.spot, step, device.in_box == Some(true));
            if at_box && device.mass.is_some() && sign > 0.0 {
                self.assume_place(&format!("device.{name}"), name);
            }
            let path = format!("device.{name}.mass");
            self.push_part(
                step,
                sign,
                &Thing { what: name, path, mass: device.mass, spot, at_box },
            );
        }
    }

    fn arrays(&mut self, step: Step) {
        for array in &self.whole.arrays {
            let name = &array.part.name;
            let sign = self.sign(&array.part, step);
            let what = format!("array {name}");
            let path = format!("array.{name}.mass");
            let (mass, spot) = (array.mass, array.spot);
            self.push_part(step, sign, &Thing { what: &what, path, mass, spot, at_box: false });
        }
    }

    /// Where a device sits: its own place, else that of the box.
    fn spot_of(&self, own: Spot, step: Step, in_box: bool) -> (Spot, bool) {
        let said = own != Spot::default();
        match self.box_spot(step.stage) {
            Some(spot) if in_box || !said => (spot, true),
            _ => (own, false),
        }
    }

    fn assume_place(&mut self, path: &str, name: &str) {
        let (key, from) = match self.whole.rig.kind {
            RigKind::Trailer => ("behind_ball", "the ball"),
            RigKind::Van => ("behind_front_axle", "the front axle"),
            RigKind::Boat => ("off_centre", "the centreline"),
            RigKind::Cabin => return,
        };
        let path = format!("{path}.{key}");
        if self.assumed.iter().any(|a| a.path == path) {
            return;
        }
        self.assumed.push(Assumed {
            path,
            value: "at the box".to_owned(),
            how_to_measure: format!("tape from {from} to the middle of {name}"),
            matters: "a mass far from the box presses elsewhere".to_owned(),
            cite: Cite::practice("what belongs to the bank hangs near it"),
        });
    }

    /// Copper of the leads that the box's own mass does not hold: those of a later stage, or all
    /// where the box was never weighed.
    fn leads(&mut self, step: Step) {
        let Some(spot) = self.box_spot(step.stage) else {
            return;
        };
        let weighed = self.whole.enclosure.as_ref().filter(|e| e.mass.is_some());
        if weighed.is_some_and(|e| self.sign(&e.part, step) > 0.0) {
            return;
        }
        let (mut copper, mut count, mut status) = (Mass::ZERO, 0_u32, Status::Read);
        for answer in &self.study.leads {
            let new = match self.whole.leads.iter().find(|l| l.part.name == answer.id) {
                Some(lead) => self.sign(&lead.part, step) > 0.0,
                None => weighed.is_none() && step.stage == self.study.stage,
            };
            if let Some(mass) =
                copper_mass(self.tables, answer.size, answer.length.cut).filter(|_| new)
            {
                copper = copper + mass.value;
                count += 1;
                status = status.weaker(mass.cite.status);
            }
        }
        if count > 0 {
            let leads = if count == 1 { "lead" } else { "leads" };
            self.moved.push(Moved {
                stage: step.stage,
                what: format!("copper of {count} {leads}"),
                path: "box.mass".to_owned(),
                mass: Some(copper),
                spread: copper * self.tables.limits.value("lead-jacket-share").value,
                spot,
                at_box: true,
                small: true,
                cite: Cite::new("memory", "copper", status),
            });
        }
    }

    fn push_part(&mut self, step: Step, sign: f64, thing: &Thing<'_>) {
        if sign.abs() < 0.5 {
            return;
        }
        let leaves = if sign < 0.0 { " out" } else { "" };
        self.moved.push(Moved {
            stage: step.stage,
            what: format!("{}{leaves}", thing.what),
            path: thing.path.clone(),
            mass: thing.mass.map(|m| m * sign),
            spread: Mass::ZERO,
            spot: thing.spot,
            at_box: thing.at_box,
            small: true,
            cite: Cite::new("owner", &thing.path, Status::Read),
        });
    }
}

/// A part with a mass.
struct Thing<'a> {
    what: &'a str,
    path: String,
    mass: Option<Mass>,
    spot: Spot,
    at_box: bool,
}

/// Counted with the box: fuses, switches, bars and the like weigh little.
const fn is_fitting(device: &Device) -> bool {
    !matches!(
        device.kind,
        DeviceKind::Inverter
            | DeviceKind::Charger
            | DeviceKind::SolarController
            | DeviceKind::DcDc
            | DeviceKind::StepDown
            | DeviceKind::Generator
            | DeviceKind::Equipment
    )
}

/// How far a mass lies from what its rig measures from.
pub(super) fn arm(kind: RigKind, spot: Spot) -> Option<Length> {
    match kind {
        RigKind::Trailer => spot.behind_ball,
        RigKind::Van => spot.behind_front_axle,
        RigKind::Boat => spot.off_centre,
        RigKind::Cabin => None,
    }
}

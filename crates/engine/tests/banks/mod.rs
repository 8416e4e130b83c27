//! Banks with invented figures, built as data: no tables are needed to judge a gate.

#![allow(dead_code, reason = "each test file uses its own part")]

use engine::circuit::netlist::LeadOhms;
use engine::circuit::share::MainConsumer;
use engine::circuit::wiring::{BANK, Wiring};
use engine::cite::Cite;
use engine::facts::Facts;
use engine::facts::block::BlockFacts;
use engine::model::as_built::AsBuilt;
use engine::model::bank::{Bank, BlockId, TakeOff};
use engine::model::block::{BlockModel, Chemistry};
use engine::model::design::{Design, Stage};
use engine::model::device::{Device, DeviceKind};
use engine::model::lead::{Lead, Pole, Terminal};
use engine::model::rig::{Practice, Rig, RigKind};
use engine::model::stock::{Limits, Stock};
use engine::plan::figures::Figures;
use engine::plan::job::Job;
use engine::plan::studs::Studs;
use engine::units::show::UnitSystem;
use engine::units::{BlockVoltage, Current, Mass, Resistance, Temperature, Voltage};
use std::collections::BTreeMap;

/// A bank as a test wants it.
#[derive(Clone, Copy)]
pub(crate) struct Shape {
    /// Blocks in series.
    pub(crate) series: u32,
    /// Strings.
    pub(crate) parallel: u32,
    /// Volts of a block at rest.
    pub(crate) emf_v: f64,
    /// Nominal volts.
    pub(crate) nominal_v: f64,
    /// Cells in a block.
    pub(crate) cells: u32,
    /// Chemistry.
    pub(crate) chemistry: Chemistry,
    /// Two bars instead of links.
    pub(crate) bars: bool,
}

/// Two 6 V blocks in each of three strings.
pub(crate) const SIX_VOLT: Shape = Shape {
    series: 2,
    parallel: 3,
    emf_v: 6.32,
    nominal_v: 6.0,
    cells: 3,
    chemistry: Chemistry::Flooded,
    bars: false,
};

/// Everything a job borrows from.
pub(crate) struct Kit {
    pub(crate) design: Design,
    pub(crate) wiring: Wiring,
    pub(crate) facts: Facts,
    pub(crate) ohms: Vec<LeadOhms>,
    pub(crate) consumer: MainConsumer,
}

/// The figures as the data has them.
pub(crate) fn figures() -> Figures {
    let tables = engine::tables::Tables::load().expect("the tables are read");
    Figures::of(&tables)
}

fn studs() -> Studs {
    Studs::of(&engine::tables::Tables::load().expect("the tables are read"))
}

pub(crate) fn kit(shape: Shape) -> Kit {
    let design = design(shape);
    let wiring = Wiring::of(&design);
    let facts = facts(&design, shape);
    // Hand-chosen: 0.08 mohm of conductor and 0.1 mohm joints, unequal enough to see a mix-up.
    let ohms = wiring
        .leads
        .iter()
        .enumerate()
        .map(|(i, _)| LeadOhms {
            from_joint: 1.0e-4,
            conductor: 0.8e-4 + 1e-6 * f64::from(u32::try_from(i).expect("few leads")),
            to_joint: 1.0e-4,
        })
        .collect();
    let consumer = MainConsumer { device: Some("panel".to_owned()), cut_off: None };
    Kit { design, wiring, facts, ohms, consumer }
}

impl Kit {
    pub(crate) fn job(&self) -> Job<'_> {
        // A block at 80 % rests about 1.8 % under a full one.
        let band = |v: f64| (v * 0.982, v * 1.01);
        let bands: BTreeMap<BlockId, (f64, f64)> =
            self.facts.blocks.iter().map(|b| (b.id, band(b.emf.as_volts()))).collect();
        Job {
            design: &self.design,
            stage: "bank".to_owned(),
            wiring: &self.wiring,
            facts: &self.facts,
            ohms: &self.ohms,
            leads: &[],
            consumer: &self.consumer,
            consumer_amps: None,
            before: None,
            figures: figures(),
            studs: studs(),
            hold: None,
            vent: None,
            weight: None,
            bands,
        }
    }

    /// The facts with one block turned round.
    pub(crate) fn with_reversed(&self, id: BlockId) -> Facts {
        let mut facts = self.facts.clone();
        for block in facts.blocks.iter_mut().filter(|b| b.id == id) {
            block.reversed = true;
        }
        facts
    }
}

fn facts(design: &Design, shape: Shape) -> Facts {
    let bank = design.bank().expect("a bank");
    let blocks = bank
        .block_ids()
        .into_iter()
        .map(|id| BlockFacts {
            id,
            model: "block".to_owned(),
            chemistry: shape.chemistry,
            nominal: BlockVoltage::volts(shape.nominal_v),
            cells: shape.cells,
            soc: 1.0,
            emf: Voltage::volts(shape.emf_v),
            resistance: Resistance::milliohms(3.2),
            resistance_new: Resistance::milliohms(3.2),
            short_circuit: None,
            age: None,
            reversed: false,
            cite: Cite::practice("test"),
        })
        .collect();
    Facts {
        blocks,
        link_joint: Resistance::microohms(100.0),
        feed_joint: Resistance::microohms(100.0),
        devices: [("main".to_owned(), Resistance::milliohms(0.3))].into(),
        ambient: Temperature::celsius(20.0),
        assumed: Vec::new(),
    }
}

pub(crate) fn lead(name: &str, from: Terminal, to: Terminal) -> Lead {
    Lead { from: Some(from), to: Some(to), ..Lead::named(name) }
}

fn design(shape: Shape) -> Design {
    let takeoff = if shape.bars {
        TakeOff::Busbars { plus: "plus bar".to_owned(), minus: "minus bar".to_owned() }
    } else {
        TakeOff::OppositeCorners
    };
    let mut block = BlockModel::named("block");
    block.chemistry = Some(shape.chemistry);
    block.volts = Some(BlockVoltage::volts(shape.nominal_v));
    block.mass = Some(Mass::kg(27.0));
    let bank = Bank {
        path: "bank".to_owned(),
        stage: None,
        block: "block".to_owned(),
        series: shape.series,
        parallel: shape.parallel,
        takeoff,
        link_size: None,
        link_length: None,
        link_temperature: None,
        joint: None,
        soc: Some(1.0),
        discharge: None,
        have: false,
        blocks: Vec::new(),
    };
    let mut fuse = Device::named("main", DeviceKind::Fuse);
    fuse.rating = Some(Current::amps(225.0));
    let mut devices = vec![
        fuse,
        Device::named("switch", DeviceKind::Isolator),
        Device::named("panel", DeviceKind::Panel),
    ];
    if shape.bars {
        devices.push(Device::named("plus bar", DeviceKind::Busbar));
        devices.push(Device::named("minus bar", DeviceKind::Busbar));
    }
    let stud = Terminal::stud;
    let leads = vec![
        lead("main plus", stud(BANK, Pole::Plus), stud("main", Pole::In)),
        lead("to switch", stud("main", Pole::Out), stud("switch", Pole::In)),
        lead("to panel", stud("switch", Pole::Out), stud("panel", Pole::Plus)),
        lead("main minus", stud(BANK, Pole::Minus), stud("panel", Pole::Minus)),
    ];
    Design {
        rig: rig(),
        place: None,
        stages: vec![Stage { name: "bank".to_owned(), note: None, done: false, budget: None }],
        blocks: vec![block],
        banks: vec![bank],
        enclosure: None,
        obstacles: Vec::new(),
        holds: Vec::new(),
        leads,
        devices,
        arrays: Vec::new(),
        loads: Vec::new(),
        trips: Vec::new(),
        storage: None,
        mains: None,
        vehicle: None,
        stock: Stock::default(),
        limits: Limits::default(),
        as_built: AsBuilt::default(),
    }
}

fn rig() -> Rig {
    Rig {
        name: "test rig".to_owned(),
        kind: RigKind::Trailer,
        practice: Practice::UsTrailer,
        units: UnitSystem::Metric,
        purpose: None,
        petrol_inboard: None,
        electric_brakes: Some(true),
        insurer_told: None,
        permit: None,
        mains_by: None,
        shop_distance: None,
        revision: None,
    }
}

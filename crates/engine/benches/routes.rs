//! How long it takes to place twelve blocks and lay all their leads, feeds round the box included.
//!
//! The budget is 2 ms.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

#[path = "../tests/banks/mod.rs"]
mod banks;

use banks::{SIX_VOLT, Shape, kit};
use divan::{Bencher, black_box};
use engine::circuit::wiring::{BANK, Wiring};
use engine::layout::lay_out;
use engine::model::block::{Chemistry, PostAt};
use engine::model::design::Design;
use engine::model::device::{Device, DeviceKind};
use engine::model::lead::{Lead, Pole, Terminal};
use engine::model::part::PlanPoint;
use engine::tables::Tables;
use engine::units::Length;
use engine::units::conductor::{ConductorSize, Gauge};

fn main() {
    let (design, tables) = (design(), tables());
    let layout = lay_out(&design, &Wiring::of(&design), &tables, &|_| size());
    let bent = layout.leads.iter().filter(|l| l.route.as_ref().is_some_and(|r| r.bends() > 0));
    println!("{} leads, {} of them bent", layout.leads.len(), bent.count());
    divan::main();
}

fn tables() -> Tables {
    Tables::load().expect("the data is readable, by the tests of the tables")
}

fn size() -> Option<ConductorSize> {
    Gauge::from_text("2/0").map(ConductorSize::Awg)
}

/// Three strings of four flooded blocks, a lead from each end of the bank to the far side of the box.
fn design() -> Design {
    let mut design = kit(Shape { series: 4, parallel: 3, ..SIX_VOLT }).design;
    let at = |x: f64, y: f64| PlanPoint { x: Length::mm(x), y: Length::mm(y) };
    let post = |x: f64, y: f64| Some(PostAt { x: Length::mm(x), y: Length::mm(y) });
    design.blocks[0].chemistry = Some(Chemistry::Flooded);
    (design.blocks[0].plus_at, design.blocks[0].minus_at) = (post(32.0, 151.0), post(232.0, 32.0));
    design.leads.clear();
    design.devices.clear();
    for (name, pole, place) in
        [("main", Pole::Plus, at(1100.0, 90.0)), ("shunt", Pole::Minus, at(-200.0, 700.0))]
    {
        let mut device = Device::named(name, DeviceKind::Shunt);
        device.at = Some(place);
        design.devices.push(device);
        let mut lead = Lead::named(name);
        lead.from = Some(Terminal::stud(BANK, pole));
        lead.to = Some(Terminal::stud(name, Pole::In));
        design.leads.push(lead);
    }
    design
}

#[divan::bench]
fn twelve_blocks(bencher: Bencher<'_, '_>) {
    let (design, tables) = (design(), tables());
    let wiring = Wiring::of(&design);
    bencher.bench_local(|| lay_out(black_box(&design), &wiring, &tables, &|_| size()));
}

//! What the readings of a day come to, on every demo with a full sheet: the budget is 50 ms.

use design_file::read::read;
use engine::evidence::readings::{Readings, TakenReading};
use engine::facts::Ambient;
use engine::prove::Proof;
use engine::prove::sheet::expected;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

fn main() {
    divan::main();
}

/// The demos with a link on which readings are far too high.
const DEMOS: [(&str, &str, &str); 3] = [
    ("trailer", include_str!("../../../examples/alder-fen.toml"), "5.to"),
    ("boat", include_str!("../../../examples/withy-reach.toml"), "5.to"),
    ("cabin", include_str!("../../../examples/rime-hollow.toml"), "1.to"),
];
const NAMES: [&str; 3] = ["trailer", "boat", "cabin"];

/// A demo at its last stage, and a sheet of which one joint's readings are `more` millivolts high.
fn full_sheet(name: &str, more: f64) -> (Study, Tables, Readings) {
    let tables = Tables::load().expect("the tables are well formed");
    let demo = DEMOS.iter().find(|d| d.0 == name).expect("a demo");
    let design = read(demo.1).design.expect("the demo is read");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let last = design.stages.len().saturating_sub(1);
    let study = Study::of(&design, last, &tables, ambient).expect("the tables hold");
    let sheet = expected(&study, &tables, &Readings::default()).expect("the plan solves");
    let more = |id: &str| if id.starts_with(demo.2) { more } else { 0.0 };
    let taken = |value: f64, e: &engine::prove::Expected| TakenReading {
        what: e.id.clone(),
        value: value + more(&e.id),
        quantity: e.quantity,
        amps: None,
        line: None,
    };
    let taken = sheet.iter().filter_map(|e| Some(taken(e.expect?, e))).collect();
    (study, tables, Readings { taken, ..Readings::default() })
}

#[divan::bench(args = NAMES)]
fn sound(bencher: divan::Bencher<'_, '_>, name: &str) {
    let (study, tables, readings) = full_sheet(name, 0.0);
    bencher.bench_local(|| Proof::of(&study, &tables, &readings));
}

#[divan::bench(args = NAMES)]
fn one_joint_high(bencher: divan::Bencher<'_, '_>, name: &str) {
    let (study, tables, readings) = full_sheet(name, 40.0);
    bencher.bench_local(|| Proof::of(&study, &tables, &readings));
}

#[divan::bench(args = NAMES)]
fn nothing_read(bencher: divan::Bencher<'_, '_>, name: &str) {
    let (study, tables, _) = full_sheet(name, 0.0);
    bencher.bench_local(|| Proof::of(&study, &tables, &Readings::default()));
}

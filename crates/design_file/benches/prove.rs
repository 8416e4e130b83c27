//! What the readings of a day come to, on the trailer demo with a full sheet: the budget is 50 ms.

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

/// The trailer at its last stage, and a sheet on which one link's readings are far too high.
fn full_sheet() -> (Study, Tables, Readings) {
    let tables = Tables::load().expect("the tables are well formed");
    let text = include_str!("../../../examples/alder-fen.toml");
    let design = read(text).design.expect("the demo is read");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let last = design.stages.len().saturating_sub(1);
    let study = Study::of(&design, last, &tables, ambient).expect("the tables hold");
    let sheet = expected(&study, &tables, &Readings::default()).expect("the plan solves");
    let more = |id: &str| if id.starts_with("5.to") { 40.0 } else { 0.0 };
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

#[divan::bench]
fn full(bencher: divan::Bencher<'_, '_>) {
    let (study, tables, readings) = full_sheet();
    bencher.bench_local(|| Proof::of(&study, &tables, &readings));
}

#[divan::bench]
fn nothing_read(bencher: divan::Bencher<'_, '_>) {
    let (study, tables, _) = full_sheet();
    bencher.bench_local(|| Proof::of(&study, &tables, &Readings::default()));
}

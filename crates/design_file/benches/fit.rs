//! How long the fit of a demo takes: box, leads, weight, hold-down and vents of a stage that has been
//! worked through, the stage itself, and the search for better layouts that only `fit` makes.
//!
//! The budget is 20 ms for the fit with the stage. The search has a budget of its own.

use divan::{Bencher, black_box};
use engine::facts::Ambient;
use engine::fit::Fit;
use engine::model::design::Design;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

fn main() {
    divan::main();
}

const DEMOS: [&str; 3] = ["alder-fen", "withy-reach", "rime-hollow"];

fn design(demo: &str) -> Design {
    let text = match demo {
        "alder-fen" => include_str!("../../../examples/alder-fen.toml"),
        "withy-reach" => include_str!("../../../examples/withy-reach.toml"),
        _ => include_str!("../../../examples/rime-hollow.toml"),
    };
    design_file::read::read(text).design.expect("an example is readable, by its tests")
}

fn tables() -> Tables {
    Tables::load().expect("the data is readable, by the tests of the tables")
}

fn study(design: &Design, tables: &Tables) -> Study {
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    Study::of(design, design.present_stage(), tables, ambient).expect("the tables are whole")
}

/// The fit alone, of a stage that is worked through already.
#[divan::bench(args = DEMOS)]
fn fit(bencher: Bencher<'_, '_>, demo: &str) {
    let (design, tables) = (design(demo), tables());
    let study = study(&design, &tables);
    bencher.bench_local(|| Fit::of(black_box(&study), &design, &tables));
}

/// The fit and the stage it is of.
#[divan::bench(args = DEMOS)]
fn stage_and_fit(bencher: Bencher<'_, '_>, demo: &str) {
    let (design, tables) = (design(demo), tables());
    bencher.bench_local(|| {
        let study = study(black_box(&design), &tables);
        Fit::of(&study, &design, &tables)
    });
}

/// The search for better layouts alone.
#[divan::bench(args = DEMOS, sample_count = 20, sample_size = 1)]
fn better(bencher: Bencher<'_, '_>, demo: &str) {
    let (design, tables) = (design(demo), tables());
    let study = study(&design, &tables);
    let fit = Fit::of(&study, &design, &tables);
    let again = || fit.clone();
    bencher.with_inputs(again).bench_local_values(|fit| fit.with_better(&study, &design, &tables));
}

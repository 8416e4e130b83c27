//! Nights of whole rigs.

use design_file::read::read;
use engine::facts::Ambient;
use engine::sim::nights::{Ask, Nights};
use engine::study::Study;
use engine::tables::Tables;
use engine::tables::climate::Climate;
use engine::units::Temperature;

fn nights(text: &str, stage: &str, years: usize) -> Nights {
    let tables = Tables::load().expect("the tables are read");
    let climate = Climate::embedded().expect("the map is whole");
    let design = read(text).design.expect("the file is read");
    let at = design.stage_index(stage).expect("the stage is there");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(20.0) };
    let study = Study::of(&design, at, &tables, ambient).expect("the tables are whole");
    let ask = Ask { place: None, month: None, years, seed: 1, recorded: None };
    Nights::of(&study, &design, &tables, &climate, &ask).expect("there is an answer")
}

const ALDER: &str = include_str!("../../../examples/alder-fen.toml");
const WITHY: &str = include_str!("../../../examples/withy-reach.toml");
const RIME: &str = include_str!("../../../examples/rime-hollow.toml");

#[test]
fn more_certainty_is_never_more_nights() {
    for (text, stage) in [(ALDER, "bank"), (ALDER, "sun"), (WITHY, "solar"), (RIME, "bank")] {
        let nights = nights(text, stage, 100);
        for m in &nights.by_month {
            let sure = m.sure;
            assert!(sure.in_95 <= sure.in_90 && sure.in_90 <= sure.in_50, "month {}", m.month);
        }
        let sure = nights.sure;
        assert!(sure.in_95 <= sure.in_90 && sure.in_90 <= sure.in_50, "{sure:?}");
        let energy = nights.energy;
        assert!(energy.residual_wh.abs() < 1e-6 * energy.out_wh.max(1.0), "{energy:?}");
    }
}

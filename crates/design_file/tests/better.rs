//! A better layout of whole rigs: what is offered was laid and solved, and its edits, written into
//! the file, give the figures that were promised.

use design_file::edit;
use design_file::read::read;
use engine::facts::Ambient;
use engine::fit::better::{SEED, Search};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

fn ambient() -> Ambient {
    Ambient { soc: None, temperature: Temperature::celsius(20.0) }
}

fn studied(text: &str, stage: &str, tables: &Tables) -> (Study, engine::model::design::Design) {
    let design = read(text).design.expect("the file is read");
    let stage = design.stage_index(stage).expect("the stage is there");
    (Study::of(&design, stage, tables, ambient()).expect("the tables are whole"), design)
}

/// A bank of four strings of one block, every block turned the same way in one row and both main
/// leads at the first: the classic slip.
const ROW: &str = "format = 1\n[rig]\nname = \"Row\"\nkind = \"cabin\"\npractice = \"us-cabin\"\n\
    units = \"metric\"\n[stage.bank]\n[block.b12]\nchemistry = \"AGM\"\nvolts = \"12 V\"\n\
    rating = \"100 Ah at 20 h\"\nresistance = \"4 mohm\"\nlength = \"330 mm\"\nwidth = \"173 mm\"\n\
    height = \"220 mm\"\nstud = \"8 mm\"\n[[bank]]\nstage = \"bank\"\nblock = \"b12\"\nseries = 1\n\
    parallel = 4\ntakeoff = \"same end\"\nlink = \"2/0 AWG\"\njoint = \"0.1 mohm\"\n\
    discharge = \"100 A\"\n";

#[test]
fn the_row_fed_at_one_end_is_offered_the_opposite_corners() {
    let tables = Tables::load().expect("the tables are read");
    let (study, whole) = studied(ROW, "bank", &tables);
    let search = Search::of(&study, &whole, &tables, SEED).expect("a bank stands");
    assert!(search.exact, "four blocks are searched to the end");
    let first = search.better.first().expect("something is better than one end");
    // Reference pack, unequal sharing, four strings, 4 mohm and about 0.25 mohm per link: same end
    // 34.2 to 18.7 A, opposite corners 26.5 to 23.5 A of 100: the spread falls to a fifth.
    let (before, after) = (search.present.spread_percent, first.spread_percent);
    assert!(after < before / 3.0, "{before} % to {after} %: {first:?}");
}

#[test]
fn what_is_offered_is_what_its_edits_give() {
    let tables = Tables::load().expect("the tables are read");
    let demos = [
        (ROW.to_owned(), "bank"),
        (include_str!("../../../examples/alder-fen.toml").to_owned(), "bank"),
        (include_str!("../../../examples/withy-reach.toml").to_owned(), "bank"),
    ];
    let mut offered = 0;
    for (text, stage) in demos {
        let (study, whole) = studied(&text, stage, &tables);
        let search = Search::of(&study, &whole, &tables, SEED).expect("a bank stands");
        for better in &search.better {
            offered += 1;
            let mut edited = text.clone();
            for (path, value) in &better.edits {
                edited = edit::set(&edited, path, value, Some(stage)).expect("the edit is taken");
            }
            // Links as long as they must be, as the search compares them.
            let mut design = read(&edited).design.expect("the edited file is read");
            for bank in &mut design.banks {
                if !bank.have {
                    bank.link_length = None;
                }
            }
            let at = design.stage_index(stage).expect("the stage is there");
            let again = Study::of(&design, at, &tables, ambient()).expect("the tables are whole");
            let spread = again.discharge.as_ref().expect("it is solved").spread_percent;
            // Places are written to the millimetre, which moves a link by less than 1.5 mm.
            assert!((spread - better.spread_percent).abs() < 0.1, "{spread} for {better:?}");
            assert!(
                again.layout.plan.clashes.len() <= study.layout.plan.clashes.len(),
                "{better:?}"
            );
        }
    }
    assert!(0 < offered, "something was offered");
}

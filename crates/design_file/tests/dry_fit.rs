//! Leads in hand held against the layout: long enough, short, and what helps.

use design_file::read::read;
use engine::facts::Ambient;
use engine::fit::dry_fit::{self, DryFit};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

/// One block of 300 by 170 mm in a box of 324 by 194 mm, its posts 32 mm in from the far side, and a
/// fuse 244 mm to the left of the plus post as the block stands unturned.
fn lead_in_hand(turn: &str, length: &str) -> DryFit {
    let text = format!(
        "format = 1\n[rig]\nname = \"Hut\"\nkind = \"cabin\"\npractice = \"eu-cabin\"\n\
         [block.solo]\nchemistry = \"AGM\"\nvolts = \"12 V\"\nrating = \"100 Ah at 20 h\"\n\
         resistance = \"5 mohm\"\nlength = \"300 mm\"\nwidth = \"170 mm\"\nheight = \"220 mm\"\n\
         plus_at = [\"32 mm\", \"138 mm\"]\nminus_at = [\"268 mm\", \"138 mm\"]\nstud = \"8 mm\"\n\
         [bank]\nblock = \"solo\"\nseries = 1\nparallel = 1\n\
         [bank.A1]\nat = [\"12 mm\", \"12 mm\"]\nturn = \"{turn}\"\n\
         [box]\nlength = \"324 mm\"\nwidth = \"194 mm\"\nheight = \"300 mm\"\n\
         [device]\nfuse = {{ kind = \"fuse\", family = \"class T\", rating = \"100 A\", \
         stud = \"8 mm\", at = [\"-200 mm\", \"150 mm\"] }}\n\
         panel = {{ kind = \"panel\", rating = \"60 A\" }}\n\
         [lead]\n2 = {{ from = \"bank +\", to = \"fuse in\", size = \"35 mm2\", have = true, \
         length = \"{length}\" }}\n\
         main = {{ from = \"fuse out\", to = \"panel +\", size = \"35 mm2\", length = \"600 mm\" }}\n\
         minus = {{ from = \"panel -\", to = \"bank -\", size = \"35 mm2\", length = \"900 mm\" }}\n"
    );
    let result = read(&text);
    let faults: Vec<String> = result.faults.iter().map(|f| f.one_line()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    let design = result.design.expect("a design");
    let tables = Tables::load().expect("the data is readable");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let study = Study::of(&design, 0, &tables, ambient).expect("the tables are whole");
    let leads = dry_fit::of(&study, &tables);
    leads.into_iter().find(|l| l.id == "2").expect("lead 2 is there")
}

#[test]
fn a_lead_that_reaches_says_by_how_much() {
    // Hand worked: 244 mm straight and 50 mm of slack at each end are 344; 404 are 60 more.
    let lead = lead_in_hand("0 deg", "404 mm");
    assert_eq!(lead.says, "long enough by 60 mm");
    assert!(lead.helps.is_empty(), "nothing needs help: {:?}", lead.helps);
}

#[test]
fn lead_2_is_80_mm_short_after_the_box_was_turned() {
    // Hand worked: turned half round the plus post stands at 280, 44; from the fuse at -200, 150 that
    // is hypot(480, 106) = 491.56 mm, with slack 591.56. 511.6 mm are 79.96 short; as it stood
    // before, 344 were needed: 167.6 over. The block fills the box, so turning the box is the same.
    let lead = lead_in_hand("180 deg", "511.6 mm");
    assert_eq!(
        lead.says,
        "80 mm short with this layout; 168 mm long if block A1 is turned; \
         168 mm long if the whole box is turned round"
    );
}

#[test]
fn each_part_of_the_cut_is_shown() {
    let parts = lead_in_hand("0 deg", "344 mm").parts.expect("it has a path");
    let mm = [parts.route, parts.slack_each_end, parts.lug_from, parts.lug_to].map(|l| l.as_mm());
    // Hand worked: two palms of twice the M8 stud.
    for (got, want) in mm.iter().zip([244.0, 50.0, 16.0, 16.0]) {
        assert!((got - want).abs() < 0.01, "{mm:?}");
    }
}

#[test]
fn a_long_lead_is_held_on_its_way() {
    // Hand worked: 491.56 mm on the battery side, at most 300 mm apart: once, in its middle.
    let lead = lead_in_hand("180 deg", "700 mm");
    assert_eq!(lead.supports.at.len(), 1, "{:?}", lead.supports);
}

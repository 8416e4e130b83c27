//! A whole design file is read without a word and with every value. Numbers are hand worked.

use design_file::read::read;
use design_file::render::render;
use engine::model::bank::{BlockId, TakeOff};
use engine::model::design::Design;
use engine::model::lead::{Pole, Terminal};
use engine::model::part::Turn;

const GOOD: &str = include_str!("good.toml");

fn good() -> Design {
    let got = read(GOOD);
    assert!(got.faults.is_empty(), "{}", render(GOOD, "good.toml", &got.faults));
    got.design.expect("a file without faults gives a design")
}

fn near(got: f64, want: f64) -> bool {
    (got - want).abs() < 1e-9 * want.abs().max(1.0)
}

#[test]
fn stages_stand_in_file_order_and_banks_in_the_order_of_their_stages() {
    let design = good();
    let names: Vec<&str> = design.stages.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["found", "bank", "sun"], "file order");
    assert_eq!(design.present_stage(), 1, "the first is done");
    let banks: Vec<&str> = design.banks.iter().map(|b| b.block.as_str()).collect();
    assert_eq!(banks, ["old12", "gc6"], "stage order");
}

#[test]
fn quantities_arrive_in_their_units() {
    let design = good();
    let block = design.block_model("gc6").expect("the model is there");
    let length = block.length.expect("a length").as_mm();
    // 10 3/8 in of 25.4 mm.
    assert!(near(length, 263.525), "{length} mm");
    let interrupt = design.device("main").and_then(|d| d.interrupt).expect("a limit").as_amps();
    assert!(near(interrupt, 20_000.0), "{interrupt} A");
    let coldest = design.place.and_then(|p| p.coldest).expect("a temperature").as_celsius();
    // (-10 - 32) / 1.8.
    assert!(near(coldest, -42.0 / 1.8), "{coldest} C");
    let kelvin = design.arrays[0].volts_per_kelvin.expect("a share");
    assert!(near(kelvin, -0.003), "{kelvin}");
}

#[test]
fn the_bank_keeps_what_is_known_of_single_blocks() {
    let bank = good().banks[1].clone();
    assert_eq!(bank.takeoff, TakeOff::OppositeCorners, "as written");
    assert_eq!(bank.path, "bank.1", "the second [[bank]]");
    let a1 = bank.state_of(BlockId { string: 0, place: 0 });
    assert_eq!(a1.turn, Some(Turn::Quarter), "turned by 90 degrees");
    assert!(a1.age.is_some_and(|t| near(t.as_years(), 5.0)), "{:?}", a1.age);
    let b2 = bank.state_of(BlockId { string: 1, place: 1 });
    assert!(b2.resistance.is_some_and(|r| near(r.as_milliohms(), 3.1)), "{:?}", b2.resistance);
}

#[test]
fn leads_carry_their_ends_and_joints() {
    let design = good();
    let lead = |name: &str| design.leads.iter().find(|l| l.part.name == name).expect("a lead");
    assert_eq!(lead("plus").from, Some(Terminal::stud("bank", Pole::Plus)), "the bank's post");
    assert_eq!(lead("to panel").to, Some(Terminal::stud("panel", Pole::Plus)), "a stud");
    assert_eq!(lead("to panel").via.len(), 2, "two points");
    assert_eq!(lead("2").from, None, "a link of the bank");
    let joint = lead("2").from_end.joint.expect("said in [joint.2]").as_milliohms();
    assert!(near(joint, 0.4), "{joint} mohm");
}

#[test]
fn every_path_knows_its_line() {
    let spans = read(GOOD).spans;
    for (path, text) in [
        ("lead.plus.size", "\"2/0 AWG\""),
        ("bank.1.takeoff", "\"opposite corners\""),
        ("bank.1.A1.age", "\"5 years\""),
        ("block.gc6.volts", "\"6 V\""),
        ("device.main.interrupt", "\"20 kA\""),
        ("as_built.volts.gap 3", "\"-0.02 V\""),
    ] {
        let span = spans.get(path).expect("the path stands in the file");
        assert_eq!(&GOOD[span.range.clone()], text, "{path}");
        let line = GOOD[..span.range.start].matches('\n').count() + 1;
        assert_eq!(spans.line_of(path), Some(line), "{path}");
    }
    assert_eq!(spans.line_of("lead.plus.insulation"), spans.line_of("lead.plus"), "falls back");
}

#[test]
fn a_comment_and_a_blank_line_change_nothing() {
    let moved = GOOD.replace("\n[", "\n# A remark.\n\n[");
    assert_eq!(read(&moved).design, read(GOOD).design, "the same design");
}

#[test]
fn the_demo_rigs_are_read_without_a_word() {
    for (name, text) in [
        ("rime-hollow", include_str!("../../../examples/rime-hollow.toml")),
        ("withy-reach", include_str!("../../../examples/withy-reach.toml")),
        ("alder-fen", include_str!("../../../examples/alder-fen.toml")),
    ] {
        let got = read(text);
        assert!(got.faults.is_empty(), "{}", render(text, name, &got.faults));
        assert!(got.design.is_some_and(|d| !d.banks.is_empty()), "{name} has a bank");
    }
}

#[test]
fn a_line_that_is_no_toml_takes_only_itself_away() {
    let whole = read(GOOD).spans;
    let lines: Vec<&str> = GOOD.lines().collect();
    let keys = lines.iter().enumerate().filter(|(_, l)| l.contains(" = "));
    for (at, line) in keys {
        let mut broken = lines.clone();
        broken[at] = "%%%";
        let text = broken.join("\n");
        let got = read(&text);
        let told = got.faults.iter().any(|f| f.line == at + 1 && f.column == 1);
        assert!(told, "line {} is named where it stands: {line}", at + 1);
        assert!(got.design.is_some(), "the rest is read without {line}");
        let lost: Vec<&str> = whole
            .iter()
            .filter(|(path, span)| got.spans.get(path).map(|s| s.line) != Some(span.line))
            .map(|(path, _)| path)
            .collect();
        assert_eq!(
            lost.len(),
            1,
            "only this line is lost, and every other keeps its number: {lost:?}"
        );
        assert_eq!(whole.get(lost[0]).map(|s| s.line), Some(at + 1), "{line}");
    }
}

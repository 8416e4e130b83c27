//! Sharing of the trailer demo at 147 A, from what its file states: block 3.2 mohm, every link 318 mm
//! of 2/0 AWG at 20 °C, joints 0.1 mohm. No link resistance is typed in.
//!
//! The figures are those of the scenario's own worked example (three strings of two blocks, link
//! 0.28 mohm; exact ladder solution): 55.35 / 47.67 / 43.98 A from one end, 49.67 / 47.67 / 49.67
//! from opposite corners, 49.00 each on busbars. The tolerance of 0.05 A covers the rounding of the
//! link to 0.28 mohm. They cannot detect an error common to all links.

use engine::circuit::share::{Draw, Share};
use engine::facts::Ambient;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::{Current, Temperature};

const FILE: &str = include_str!("../../../examples/alder-fen.toml");

fn shared(changes: &[(&str, &str)]) -> Share {
    let mut text = FILE.to_owned();
    for (path, value) in changes {
        let changed = design_file::edit::set(&text, path, value, Some("bank"));
        text = changed.unwrap_or_else(|fault| panic!("{path} = {value}: {fault:?}"));
    }
    let read = design_file::read::read(&text);
    assert!(!read.has_errors(), "{:?}", read.faults);
    let design = read.design.expect("the demo is a design");
    let stage = design.stage_index("bank").expect("the demo has that stage");
    let tables = Tables::load().expect("the tables are well formed");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let study = Study::of(&design, stage, &tables, ambient).expect("the tables answer");
    study.share(&Draw::Amps(Current::amps(147.0))).expect("the bank solves")
}

fn check(changes: &[(&str, &str)], wanted: [f64; 3]) {
    let share = shared(changes);
    let amps: Vec<f64> = share.strings.iter().map(|s| s.amps).collect();
    for (got, want) in amps.iter().zip(wanted) {
        assert!((got - want).abs() <= 0.05, "{changes:?}: {amps:?} instead of {wanted:?}");
    }
    assert!(share.balance_residual < 1e-9, "the node balance holds: {}", share.balance_residual);
}

#[test]
fn the_trailer_shares_as_its_worked_example_says() {
    check(&[("bank.takeoff", "same end")], [55.35, 47.67, 43.98]);
    check(&[("bank.takeoff", "opposite corners")], [49.67, 47.67, 49.67]);
    let busbars = [
        ("device.plus_strings.kind", "busbar"),
        ("device.minus_strings.kind", "busbar"),
        ("bank.takeoff", "{ plus = \"plus_strings\", minus = \"minus_strings\" }"),
    ];
    check(&busbars, [49.0, 49.0, 49.0]);
}

#[test]
fn a_loose_joint_is_reached_by_its_name() {
    let even = shared(&[]);
    let loose = shared(&[("joint.4.from", "2.1 mohm")]);
    let largest = |s: &Share| s.strings.iter().map(|x| x.amps).fold(f64::MIN, f64::max);
    assert!(largest(&even) + 1.0 < largest(&loose), "a loose joint moves the share");
    let joint = loose.joints.iter().find(|j| j.id == "4.from").expect("joint 4.from is listed");
    assert!((joint.micro_ohm - 2100.0).abs() < 1e-6, "it has its own resistance");
}

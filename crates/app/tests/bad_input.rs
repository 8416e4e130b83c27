//! Bad input ends with exit code 2, says what is and what to do, and prints no half answer.

mod bankwright;

use bankwright::{Run, folder, run, run_in, write};
use expect_test::{Expect, expect};

fn check(arguments: &[&str], want: Expect) {
    let Run { code, out, err } = run(arguments);
    assert_eq!(code, 2, "bad input: {arguments:?}\n{err}");
    assert_eq!(out, "", "nothing half done is printed: {arguments:?}");
    want.assert_eq(&err);
}

#[test]
fn a_file_that_is_not_there() {
    check(
        &["check", "nowhere.toml"],
        expect![[r#"
            error: nowhere.toml cannot be read: it is not there.
              do: Check the name, or write a new one with `bankwright start nowhere.toml`.
        "#]],
    );
}

#[test]
fn a_current_without_its_unit() {
    check(
        &["share", "examples/alder-fen.toml", "--load", "147"],
        expect![[r#"
            error: --load "147" is not a current. The unit is missing.
              do: Write "147 A" or "20 mA".
        "#]],
    );
}

#[test]
fn a_load_below_nothing() {
    check(
        &["share", "examples/alder-fen.toml", "--load=-5 A"],
        expect![[r#"
            error: --load "-5 A" is out of range.
              do: Give a current from 0 A up; --charge is the other way round.
        "#]],
    );
}

#[test]
fn more_than_full() {
    check(
        &["check", "examples/alder-fen.toml", "--soc", "120 %"],
        expect![[r#"
            error: --soc "120 %" is out of range.
              do: Give a share from 0 % to 100 %.
        "#]],
    );
}

#[test]
fn colder_than_any_winter() {
    check(
        &["check", "examples/alder-fen.toml", "--temperature", "-200 C"],
        expect![[r#"
            error: --temperature "-200 C" is out of range.
              do: Give a temperature from -60 C to 90 C.
        "#]],
    );
}

#[test]
fn a_stage_that_is_not_planned() {
    check(
        &["leads", "examples/alder-fen.toml", "--stage", "heating"],
        expect![[r#"
            error: The design has no stage "heating".
              do: Its stages are "as found", "bank", "charger", "sun", "inverter" and "changeover".
        "#]],
    );
}

#[test]
fn a_change_without_a_value() {
    check(
        &["check", "examples/alder-fen.toml", "--set", "bank.parallel"],
        expect![[r#"
            error: --set bank.parallel names no value.
              do: Write PATH=VALUE, such as --set bank.parallel=3.
        "#]],
    );
}

#[test]
fn a_change_of_a_key_that_is_not_there() {
    check(
        &["check", "examples/alder-fen.toml", "--set", "bank.paralell=2"],
        expect![[r#"
            error: --set bank.paralell=2: bank has no key "paralell".
              do: Did you mean "parallel"?
        "#]],
    );
}

#[test]
fn a_subject_that_nobody_knows() {
    check(
        &["explain", "bussbar"],
        expect![[r#"
            error: "bussbar" is neither a rule nor a word known here.
              do: Did you mean busbar?
        "#]],
    );
}

#[test]
fn a_file_that_is_no_text() {
    let folder = folder();
    write(&folder, "photo.toml", [0xff, 0xd8, 0xff, 0xe0]);
    let run = run_in(folder.path(), &["check", "photo.toml"]);
    assert_eq!(run.code, 2, "no text");
    assert!(run.err.contains("it is not text"), "{}", run.err);
}

#[test]
fn an_error_in_the_design_shows_line_and_caret_and_the_rest_is_still_reported() {
    let folder = folder();
    let text = "format = 1\n[rig]\nname = \"Cart\"\nkind = \"trailer\"\npractice = \"us-trailer\"\n\
                [block.b]\nchemistry = \"flooded\"\nvolts = \"6 V\"\nrating = \"190 Ah at 20 h\"\nresistance = \"3.2 volts\"\n\
                [bank]\nblock = \"b\"\nseries = 2\nparallel = 1\n";
    write(&folder, "cart.toml", text);
    let run = run_in(folder.path(), &["check", "cart.toml"]);
    assert_eq!(run.code, 2, "an error in the design");
    assert!(run.out.contains("Cart"), "what was understood is reported: {}", run.out);
    assert!(run.err.contains("--> cart.toml:10:"), "the line is named: {}", run.err);
    assert!(run.err.contains("^^^"), "the place is marked: {}", run.err);
    assert!(run.err.contains("One error in the design file"), "and counted: {}", run.err);
    assert!(!run.err.contains('\u{1b}'), "no colour away from a terminal");
}

#[test]
fn json_says_the_faults_even_of_a_file_that_says_nothing() {
    let folder = folder();
    write(&folder, "empty.toml", "");
    let run = run_in(folder.path(), &["check", "empty.toml", "--json"]);
    assert_eq!(run.code, 2, "nothing to work out");
    let json: serde_json::Value = serde_json::from_str(&run.out).expect("it is JSON");
    assert!(!json["faults"].as_array().expect("a list").is_empty(), "{}", run.out);
}

/// A bank with no isolator and one load; its parts are replaced by each test.
const CART: &str = r#"format = 1
[rig]
name = "Cart"
kind = "trailer"
practice = "us-trailer"
[block.b]
chemistry = "flooded"
volts = "6 V"
rating = "190 Ah at 20 h"
[bank]
block = "b"
series = 2
parallel = 1
[lead.plus]
from = "bank +"
to = "panel +"
length = "400 mm"
[lead.minus]
from = "panel -"
to = "bank -"
length = "400 mm"
[device.panel]
kind = "panel"
rating = "30 A"
"#;

fn cart(changed: &str, arguments: &[&str]) -> Run {
    let folder = folder();
    write(&folder, "cart.toml", changed);
    run_in(folder.path(), arguments)
}

#[test]
fn the_fault_in_the_file_is_shown_when_the_circuit_has_no_answer() {
    let far = "[device.bar]\nkind = \"busbar\"\n[lead.far]\nfrom = \"bar\"\nto = \"panel +\"\n";
    let text = CART.replace("to = \"panel +\"", "to = \"bank +\"") + far;
    for arguments in [&["share", "cart.toml"][..], &["book", "cart.toml", "--out", "book"]] {
        let Run { code, err, .. } = cart(&text, arguments);
        assert_eq!(code, 2, "{arguments:?}: {err}");
        let place = err.find("--> cart.toml:14").expect("the line of the lead is named");
        let effect = err.find("No conductor joins").expect("and what comes of it");
        assert!(place < effect, "the cause stands first: {err}");
    }
}

#[test]
fn a_stage_without_a_bank_says_so() {
    let from = CART.find("[bank]").expect("it is there");
    let to = CART.find("[lead.plus]").expect("it is there");
    let text = format!("{}{}", &CART[..from], &CART[to..]);
    let Run { code, err, .. } = cart(&text, &["share", "cart.toml"]);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("There is no bank at this stage"), "{err}");
    // More blocks than a bank can have leave none: the count is named first.
    let many = CART.replace("parallel = 1", "parallel = 90");
    let Run { code, err, .. } = cart(&many, &["share", "cart.toml"]);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("--> cart.toml:13") && err.contains("more than 96 blocks"), "{err}");
}

#[test]
fn a_lead_that_no_load_reaches_is_not_sized() {
    let text = CART.replace("rating = \"30 A\"\n", "");
    let Run { code, out, err } = cart(&text, &["leads", "cart.toml"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("Not sized for a load: nothing on it draws a"), "{out}");
    assert!(!out.contains(" mm in "), "lengths are told in the units of the rig: {out}");
}

#[test]
fn a_quantity_below_nothing_is_read_as_one() {
    let Run { code, err, .. } = run(&["share", "examples/alder-fen.toml", "--load", "-5 A"]);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("--load \"-5 A\" is out of range"), "{err}");
}

#[test]
fn a_file_in_place_of_a_folder() {
    let Run { code, err, .. } = cart(CART, &["book", "cart.toml", "--out", "cart.toml"]);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("a file of that name is there") && !err.contains("os error"), "{err}");
}

#[test]
fn a_load_that_no_bank_can_give() {
    let load = ["share", "examples/alder-fen.toml", "--load", "20000000 A"];
    let Run { code, out, err } = run(&load);
    assert_eq!((code, out.as_str()), (2, ""), "no volts below zero are told: {err}");
    assert!(err.contains("of a dead short at the take-off"), "{err}");
}

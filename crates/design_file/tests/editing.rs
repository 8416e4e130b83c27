//! A change writes one key and leaves every other byte alone.

use design_file::edit::{remove, set};
use design_file::read::read;
use design_file::render::render;
use engine::model::design::Design;

const GOOD: &str = include_str!("good.toml");

fn design(text: &str) -> Design {
    let got = read(text);
    assert!(got.faults.is_empty(), "{}", render(text, "edited", &got.faults));
    got.design.expect("a design")
}

/// Lines that are only in one of two texts: what an edit took out, what it put in.
fn difference(before: &str, after: &str) -> (Vec<String>, Vec<String>) {
    let (before, after): (Vec<&str>, Vec<&str>) =
        (before.split('\n').collect(), after.split('\n').collect());
    let same = before.iter().zip(&after).take_while(|(a, b)| a == b).count();
    let (a, b) = (&before[same..], &after[same..]);
    let tail = a.iter().rev().zip(b.iter().rev()).take_while(|(a, b)| a == b).count();
    let owned = |lines: &[&str]| lines.iter().map(|l| (*l).to_owned()).collect();
    (owned(&a[..a.len() - tail]), owned(&b[..b.len() - tail]))
}

/// Sets a path in the good file and compares the lines that changed.
fn check_set(path: &str, value: &str, (out, put): (&[&str], &[&str])) {
    let edited = set(GOOD, path, value, None).expect("this change is possible");
    let (gone, new) = difference(GOOD, &edited);
    assert_eq!((gone.as_slice(), new.as_slice()), (&own(out)[..], &own(put)[..]), "{path}");
    assert_eq!(set(&edited, path, value, None).as_deref(), Ok(&*edited), "{path} set twice");
    design(&edited);
}

fn own(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|l| (*l).to_owned()).collect()
}

#[test]
fn a_value_that_stands_there_is_replaced_and_its_comment_stays() {
    check_set(
        "rig.name",
        "Reed",
        (
            &["name = \"Grey Heron\"            # painted on the side"],
            &["name = \"Reed\"            # painted on the side"],
        ),
    );
    check_set("bank.parallel", "3", (&["parallel = 2"], &["parallel = 3"]));
    check_set(
        "bank.takeoff",
        "same end",
        (
            &["takeoff = \"opposite corners\"   # so that both strings share alike"],
            &["takeoff = \"same end\"   # so that both strings share alike"],
        ),
    );
    check_set("bank.A1.age", "7 years", (&["age = \"5 years\""], &["age = \"7 years\""]));
    check_set("limit.drop", "0.02", (&["drop = \"3 %\""], &["drop = 0.02"]));
}

#[test]
fn a_key_that_is_missing_is_added_after_the_last_of_its_table() {
    check_set("lead.2.size", "2 AWG", (&[], &["size = \"2 AWG\""]));
    check_set("block.gc6.torque", "11 Nm", (&[], &["torque = \"11 Nm\""]));
    check_set("joint.2.to", "2 mohm", (&[], &["to = \"2 mohm\""]));
    check_set("bank.0.soc", "50 %", (&[], &["soc = \"50 %\""]));
}

#[test]
fn a_table_that_is_missing_is_made_beside_its_like() {
    check_set("lead.4.length", "400 mm", (&[], &["[lead.4]", "length = \"400 mm\"", ""]));
    check_set("joint.4.from", "2 mohm", (&[], &["[joint.4]", "from = \"2 mohm\"", ""]));
    check_set("bank.A2.age", "5 years", (&[], &["[bank.A2]", "age = \"5 years\"", ""]));
    check_set("device.wind.kind", "charger", (&[], &["[device.wind]", "kind = \"charger\"", ""]));
    check_set(
        "as_built.post.\"A1 -\".boot",
        "true",
        (&[], &["[as_built.post.\"A1 -\"]", "boot = true", ""]),
    );
    check_set(
        "mains.circuit.galley.power",
        "2 kW",
        (&[], &["[mains.circuit.galley]", "power = \"2 kW\"", ""]),
    );
}

#[test]
fn the_bank_of_a_stage_can_be_reached() {
    let edited = set(GOOD, "bank.series", "2", Some("found")).expect("possible");
    let (gone, new) = difference(GOOD, &edited);
    assert_eq!((gone, new), (own(&["series = 1"]), own(&["series = 2"])), "the first bank");
    let fault = set(GOOD, "bank.series", "2", Some("fuond")).expect_err("no such stage");
    assert_eq!(fault.meant.as_deref(), Some("found"), "{fault:?}");
}

#[test]
fn braces_dotted_keys_and_other_line_ends_keep_their_form() {
    let text =
        "rig.name = \"a\"\r\nrig.kind = \"van\"\r\nblock.b = { volts = \"12 V\" } # mine\r\n";
    let edited = set(text, "rig.practice", "eu-vehicle", None).expect("dotted");
    let edited = set(&edited, "block.b.rating", "95 Ah at 20 h", None).expect("braces");
    let edited = set(&edited, "bank.block", "b", None).expect("a table of its own");
    assert_eq!(
        edited,
        "rig.name = \"a\"\r\nrig.kind = \"van\"\r\nrig.practice = \"eu-vehicle\"\r\n\
         block.b = { volts = \"12 V\", rating = \"95 Ah at 20 h\" } # mine\r\n\
         \r\n[bank]\r\nblock = \"b\"\r\n",
        "every line as it was made"
    );
    let edited = set("", "rig.name", "a", None).expect("an empty file");
    assert_eq!(edited, "[rig]\nname = \"a\"\n", "begun from nothing");
    let edited = set("# mine\n[rig]\nname = \"a\" # b", "rig.kind", "van", None).expect("no end");
    assert_eq!(
        edited, "# mine\n[rig]\nname = \"a\" # b\nkind = \"van\"\n",
        "no line end at the end"
    );
    let edited = set("# mine\n[rig]\n", "format", "1", None).expect("the top");
    assert_eq!(edited, "format = 1\n# mine\n[rig]\n", "before the first table");
}

fn check_refusal(path: &str, value: &str, says: &str, write: &str) {
    let fault = set(GOOD, path, value, None).expect_err("this cannot be meant");
    assert_eq!((fault.says.as_str(), fault.write.as_str()), (says, write), "{path}={value}");
    assert_eq!(fault.line, 0, "it is not in the file");
}

#[test]
fn a_path_or_value_that_cannot_be_meant_is_refused_with_the_nearest_word() {
    check_refusal(
        "bank.paralel",
        "3",
        "bank has no key \"paralel\".",
        "Did you mean \"parallel\"?",
    );
    check_refusal(
        "bnak.series",
        "3",
        "There is no table [bnak] in a design file.",
        "Did you mean [bank]?",
    );
    check_refusal(
        "device.mian.rating",
        "3 A",
        "device.mian.rating: nothing in the file has the name \"mian\".",
        "Did you mean device.main.rating?",
    );
    check_refusal(
        "lead.2.length",
        "400",
        "lead 2, length: \"400\" does not say its unit.",
        "Write \"400 mm\" or \"400 in\", in quotes.",
    );
    check_refusal(
        "bank.parallel",
        "two",
        "bank, parallel: here stands the text \"two\", wanted is a number.",
        "Write a plain number, without quotes or unit.",
    );
    check_refusal(
        "bank",
        "two",
        "bank is a table, and a table takes no value.",
        "Add the key that is to change: bank.KEY=VALUE.",
    );
}

#[test]
fn what_is_taken_out_leaves_the_rest_and_the_comments() {
    let edited = remove(GOOD, "lead.plus.colour", None).expect("it stands there");
    assert_eq!(difference(GOOD, &edited), (own(&["colour = \"red\""]), own(&[])), "one line");
    let edited = remove(GOOD, "bank.A1", None).expect("it stands there");
    let gone =
        ["[bank.A1]", "age = \"5 years\"", "at = [\"20 mm\", \"20 mm\"]", "turn = \"90 deg\"", ""];
    assert_eq!(difference(GOOD, &edited), (own(&gone), own(&[])), "one table");
    let edited = remove(GOOD, "trip", None).expect_err("a group has a name").says;
    assert_eq!(edited, "trip holds several things, each with a name.", "no whole group");
    let fault = remove(GOOD, "lead.plus.price", None).expect_err("it is not there");
    assert_eq!(fault.says, "lead.plus.price does not stand in the file.", "nothing to take out");
    let text = "[block]\nb = { volts = \"12 V\", mass = \"20 kg\" }\n";
    let edited = remove(text, "block.b.volts", None).expect("it stands there");
    assert_eq!(edited, "[block]\nb = { mass = \"20 kg\" }\n", "braces keep the rest");
}

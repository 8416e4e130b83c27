//! `nights`: the keys that other programs rely on, the order of certainty, the same figures on every
//! face, the same bytes whatever the cores do, and bad input told plainly.

#![expect(clippy::disallowed_methods, reason = "this test runs the program and reads its files")]

mod bankwright;

use bankwright::{folder, root, run, run_in, text, write};
use expect_test::{Expect, expect};
use serde_json::Value;
use std::process::Command;

const RIGS: [(&str, &str); 4] = [
    ("alder-fen", "bank"),
    ("alder-fen", "sun"),
    ("withy-reach", "solar"),
    ("rime-hollow", "bank"),
];

fn json(rig: &str, stage: &str, more: &[&str]) -> Value {
    let file = format!("examples/{rig}.toml");
    let mut arguments = vec!["nights", file.as_str(), "--stage", stage, "--json"];
    arguments.extend_from_slice(more);
    let ran = run(&arguments);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{rig} {stage}");
    serde_json::from_str(&ran.out).expect("it prints JSON")
}

fn figure(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("a figure and not {value}"))
}

#[test]
fn the_keys_are_those_promised() {
    let found = json("alder-fen", "sun", &["--years", "40"]);
    for (part, keys) in [
        ("nights", &["sure_50", "sure_90", "sure_95"][..]),
        ("worst_week", &["start", "soc"]),
        ("usable_ah", &["at_current", "rule_of_thumb"]),
        ("energy", &["in_wh", "out_wh", "lost_wh", "stored_wh", "residual_wh"]),
    ] {
        for key in keys {
            assert!(!found[part][key].is_null(), "{part}.{key}");
        }
    }
    for (list, keys) in [
        ("by_month", &["month", "sure_50", "sure_90", "sure_95"][..]),
        ("unplugged_probability", &["night", "p"]),
        ("one_more", &["change", "nights_sure_90"]),
    ] {
        let list = found[list].as_array().unwrap_or_else(|| panic!("{list} is a list"));
        assert!(!list.is_empty(), "there is one");
        for key in keys {
            assert!(!list[0][key].is_null(), "{key} of {list:?}");
        }
    }
    for key in ["days_since_full", "generator_hours", "limits", "seed", "years"] {
        assert!(!found[key].is_null(), "{key}");
    }
    assert_eq!((figure(&found["seed"]), figure(&found["years"])), (1.0, 40.0), "as asked");
    assert_eq!(found["by_month"].as_array().map(Vec::len), Some(12), "twelve months");
}

#[test]
fn more_certainty_is_never_more_nights() {
    for (rig, stage) in RIGS {
        let found = json(rig, stage, &["--years", "60"]);
        let months = found["by_month"].as_array().expect("twelve months");
        for sure in months.iter().chain([&found["nights"]]) {
            let [in_50, in_90, in_95] =
                ["sure_50", "sure_90", "sure_95"].map(|key| figure(&sure[key]));
            assert!(in_95 <= in_90 && in_90 <= in_50, "{rig} {stage}: {sure}");
        }
        let p: Vec<f64> = found["unplugged_probability"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|c| figure(&c["p"]))
            .collect();
        assert!(
            p.windows(2).all(|w| w[1] <= w[0]),
            "{rig} {stage}: no later night is surer: {p:?}"
        );
    }
}

/// What the program prints with so many threads.
fn with_threads(threads: &str, more: &[&str]) -> Vec<u8> {
    let output = Command::new(env!("CARGO_BIN_EXE_bankwright"))
        .args(["nights", "examples/alder-fen.toml", "--stage", "sun", "--json"])
        .args(more)
        .current_dir(root())
        .env("RAYON_NUM_THREADS", threads)
        .output()
        .expect("the program runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    output.stdout
}

#[test]
fn the_same_seed_gives_the_same_bytes_on_any_number_of_cores() {
    let one = with_threads("1", &["--years", "70", "--seed", "5"]);
    assert!(one == with_threads("2", &["--years", "70", "--seed", "5"]), "two threads");
    assert!(one == with_threads("1", &["--years", "70", "--seed", "5"]), "again");
    assert!(one != with_threads("1", &["--years", "70", "--seed", "6"]), "other weather");
}

#[test]
fn the_book_and_the_command_line_show_the_same_nights() {
    let out = folder();
    let path = out.path().to_str().expect("a plain path").to_owned();
    for (rig, stage) in RIGS {
        let file = format!("examples/{rig}.toml");
        let ran = run(&["book", &file, "--stage", stage, "--out", &path]);
        assert_eq!(ran.code, 0, "{rig}: {}", ran.err);
        let book = text(&out, "book-a4.html").replace('\u{a0}', " ");
        let words = run(&["nights", &file, "--stage", stage, "--years", "200"]).out;
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let found = json(rig, stage, &["--years", "200"]);
        let limits = found["limits"].as_array().expect("a list");
        for line in limits.iter().filter_map(Value::as_str) {
            assert!(words.contains(line), "{rig} {stage}: in words {line}");
            let on_paper = line.replace('&', "&amp;").replace('"', "&quot;");
            assert!(book.contains(&on_paper), "{rig} {stage}: on paper {line}");
        }
        // The first sentence holds the three figures; it is the same on both.
        let from = words.find("In ").expect("the answer comes first");
        let says = &words[from..from + words[from..].find(". ").expect("its end")];
        let says = says.split(" in 95 of 100").next().expect("a beginning");
        assert!(book.contains(says), "{rig} {stage}: {says}");
    }
}

fn refused(arguments: &[&str], want: Expect) {
    let ran = run(arguments);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{arguments:?}");
    want.assert_eq(&ran.err);
}

#[test]
fn bad_options_are_told() {
    let rig = "examples/alder-fen.toml";
    refused(
        &["nights", rig, "--place", "91,0"],
        expect![[r#"
        error: --place "91,0" is out of range.
          do: Give latitude and longitude in degrees, such as "43.4, -89.6"; latitude from -90 to 90, longitude from -180 to 180.
    "#]],
    );
    refused(
        &["nights", rig, "--month", "13"],
        expect![[r#"
        error: --month "13" is out of range.
          do: Give a month, 1 to 12 or its name.
    "#]],
    );
    refused(
        &["nights", rig, "--years", "0"],
        expect![[r#"
        error: --years "0" is out of range.
          do: Give a whole number from 1 to 100000.
    "#]],
    );
    refused(
        &["nights", rig, "--seed", "-1"],
        expect![[r#"
        error: --seed "-1" is out of range.
          do: Give a whole number from 0 to 18446744073709551615.
    "#]],
    );
    refused(
        &["nights", rig, "--place", "0, -140"],
        expect![[r#"
        error: The climate map has nothing within 350 km; its nearest land is 3643 km away.
          do: Write twelve monthly figures for a flat plane, in kWh per square metre a day, as place.sun_hours.
    "#]],
    );
}

#[test]
fn a_fault_in_the_weather_file_names_file_and_line() {
    let there = folder();
    let rig = std::fs::read_to_string(root().join("examples/alder-fen.toml")).expect("a demo");
    let rig = rig.replacen("[place]\n", "[place]\nweather = \"sky.csv\"\n", 1);
    write(&there, "rig.toml", rig);
    write(&there, "sky.csv", "month,day,hour,ghi\n1,1,0,0\n1,1,1,bright\n");
    let ran = run_in(there.path(), &["nights", "rig.toml"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{}", ran.err);
    assert!(ran.err.contains("sky.csv, line "), "{}", ran.err);
}

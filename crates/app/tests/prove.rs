//! `prove` from outside: the list, a readings file, the sheet, what it refuses to overwrite, what
//! it says of slips.

mod bankwright;

use bankwright::{Run, folder, root, run_in, text, write};
use serde_json::Value;
use tempfile::TempDir;

/// A folder with the survey trailer in it.
fn trailer() -> TempDir {
    let folder = folder();
    let path = root().join("examples/alder-fen.toml");
    #[expect(clippy::disallowed_methods, reason = "the example is a file")]
    let rig = std::fs::read_to_string(path).expect("the example is there");
    write(&folder, "rig.toml", rig);
    folder
}

fn prove(folder: &TempDir, more: &[&str]) -> Run {
    let mut all = vec!["prove", "rig.toml", "--stage", "bank"];
    all.extend(more);
    run_in(folder.path(), &all)
}

fn json(folder: &TempDir, more: &[&str]) -> (i32, Value) {
    let mut all = more.to_vec();
    all.push("--json");
    let run = prove(folder, &all);
    (run.code, serde_json::from_str(&run.out).expect("it prints JSON"))
}

#[test]
fn without_readings_it_lists_what_to_read() {
    let folder = trailer();
    let run = prove(&folder, &[]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "it works");
    for words in ["Blocks apart", "A1 ", "string A", "gap ", "clamp A", "5.from", "Read first"] {
        assert!(run.out.contains(words), "{words} is listed:\n{}", run.out);
    }
    let (_, answer) = json(&folder, &[]);
    assert_eq!(answer["readings"], serde_json::json!([]), "nothing was read");
    assert!(answer["next_reading"]["id"].is_string(), "what to read first");
}

#[test]
fn a_reversed_block_stops_and_is_named() {
    let folder = trailer();
    // Hand worked: a reversed block of 6.37 V shows -6.37 V, its string 6.37 - 6.37 = 0 V.
    write(&folder, "day.csv", "A1,6.37\nB1,-6.37\nB2,6.38\nstring B,0.01\n");
    let (code, answer) = json(&folder, &["day.csv"]);
    assert_eq!(code, 0, "it did its work");
    assert_eq!(answer["verdict"], "stop", "nothing may be closed");
    let first = &answer["suspects"][0];
    assert_eq!(
        (first["part"].as_str(), first["kind"].as_str()),
        (Some("B1"), Some("reversed block"))
    );
    assert!(0.9 < first["probability"].as_f64().expect("a number"), "and surely so");
    for key in ["part", "kind", "probability", "estimate", "says", "do"] {
        assert!(first.get(key).is_some(), "a suspect has its {key}");
    }
    for key in ["id", "expected", "low", "high", "measured", "verdict"] {
        assert!(answer["readings"][0].get(key).is_some(), "a reading has its {key}");
    }
    let words = prove(&folder, &["day.csv"]);
    assert!(words.out.contains("STOP"), "said in words:\n{}", words.out);
    assert!(words.out.contains("B1, reversed block"), "with the part:\n{}", words.out);
}

#[test]
fn volts_of_the_design_count_and_the_file_wins() {
    let folder = trailer();
    let mut rig = text(&folder, "rig.toml");
    rig.push_str("\n[as_built.volts]\nA1 = \"6.30 V\"\nA2 = \"6.36 V\"\n");
    write(&folder, "rig.toml", rig);
    write(&folder, "day.toml", "A1 = \"6.37 V\"\n");
    let (_, answer) = json(&folder, &["day.toml"]);
    let of = |id: &str| {
        let all = answer["readings"].as_array().expect("a list");
        all.iter().find(|r| r["id"] == id).map(|r| r["measured"].clone())
    };
    assert_eq!(of("A1"), Some(serde_json::json!(6.37)), "the file's own");
    assert_eq!(of("A2"), Some(serde_json::json!(6.36)), "the design's");
    assert_eq!(answer["from_design_count"], 1, "and it is said");
}

#[test]
fn slips_are_told_and_the_rest_is_judged() {
    let folder = trailer();
    write(
        &folder,
        "day.toml",
        "[read]\nA1 = \"6,37 V\"\nA2 = \"6.37 V\"\n\"strin A\" = \"12.7 V\"\n",
    );
    let (code, answer) = json(&folder, &["day.toml"]);
    assert_eq!(code, 2, "the file has errors");
    assert_eq!(answer["readings_faults"].as_array().map(Vec::len), Some(2), "both are told");
    assert_eq!(answer["readings"].as_array().map(Vec::len), Some(1), "the third is judged");
    let run = prove(&folder, &["nowhere.toml"]);
    assert_eq!(run.code, 2, "no file");
    assert!(run.err.contains("--blank nowhere.toml"), "what to do: {}", run.err);
}

#[test]
fn a_blank_file_is_written_once_and_reads_back() {
    let folder = trailer();
    let run = prove(&folder, &["--blank", "day.toml"]);
    assert_eq!(run.code, 0, "written: {}", run.err);
    let blank = text(&folder, "day.toml");
    let again = prove(&folder, &["--blank", "day.toml"]);
    assert_eq!(again.code, 2, "what may hold readings is never touched");
    assert_eq!(text(&folder, "day.toml"), blank, "and it was not");
    let filled = blank.replacen("\"A1\" = \" V\"", "\"A1\" = \"6.37 V\"", 1);
    assert_ne!(filled, blank, "A1 is there to fill in");
    write(&folder, "day.toml", filled);
    let (code, answer) = json(&folder, &["day.toml"]);
    assert_eq!((code, &answer["read_count"]), (0, &serde_json::json!(1)), "one reading");
}

#[test]
fn the_sheet_is_replaced_but_nothing_else_is() {
    let folder = trailer();
    write(&folder, "day.csv", "A1,6.37\nA2,6.36\nby,R. Alder\n");
    let run = prove(&folder, &["day.csv", "--sheet", "proving.html"]);
    assert_eq!(run.code, 0, "written: {}", run.err);
    let sheet = text(&folder, "proving.html");
    for words in ["R. Alder", "signature", "6.37", "Torque", "Photographs", "common practice"] {
        assert!(sheet.contains(words), "{words} stands on the sheet");
    }
    let again = prove(&folder, &["day.csv", "--sheet", "proving.html"]);
    assert_eq!(again.code, 0, "an older sheet is replaced");
    assert_eq!(text(&folder, "proving.html"), sheet, "by the same bytes");
    write(&folder, "letter.html", "<p>to the insurer</p>");
    let refused = prove(&folder, &["day.csv", "--sheet", "letter.html"]);
    assert_eq!(refused.code, 2, "something else is not");
    assert_eq!(text(&folder, "letter.html"), "<p>to the insurer</p>", "it stays as it is");
}

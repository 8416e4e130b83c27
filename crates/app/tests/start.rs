//! `start` writes a file that every other word understands, and never overwrites one unasked.

mod bankwright;

use bankwright::{folder, run_in, text, write};

const OPTIONS: [&str; 10] = [
    "--kind",
    "boat",
    "--rules",
    "eu",
    "--volts",
    "24 V",
    "--block",
    "12 V, 110 Ah at 20 h",
    "--there",
    "panel 60 A, inverter 3 kW",
];

#[test]
fn the_written_file_is_understood_by_every_word() {
    let folder = folder();
    let mut start = vec!["start", "rig.toml"];
    start.extend(OPTIONS);
    let run = run_in(folder.path(), &start);
    assert_eq!(run.code, 0, "written: {}", run.err);
    let text = text(&folder, "rig.toml");
    assert!(text.contains("practice = \"eu-boat\""), "{text}");
    assert!(text.contains("series = 2"), "two 12 V blocks make 24 V: {text}");
    for word in ["check", "share", "leads"] {
        let run = run_in(folder.path(), &[word, "rig.toml"]);
        assert!(run.code < 2, "{word}: {}", run.err);
        assert_eq!(run.err, "", "{word} has no fault to show");
    }
}

#[test]
fn a_file_that_is_there_stays_unless_forced() {
    let folder = folder();
    write(&folder, "rig.toml", "mine\n");
    let mut start = vec!["start", "rig.toml"];
    start.extend(OPTIONS);
    let run = run_in(folder.path(), &start);
    assert_eq!(run.code, 2, "refused");
    assert!(run.err.contains("--force"), "and said how: {}", run.err);
    let kept = text(&folder, "rig.toml");
    assert_eq!(kept, "mine\n", "untouched");
    start.push("--force");
    assert_eq!(run_in(folder.path(), &start).code, 0, "overwritten when asked");
}

#[test]
fn away_from_a_terminal_it_names_what_is_missing() {
    let folder = folder();
    let run = run_in(folder.path(), &["start", "rig.toml", "--kind", "van"]);
    assert_eq!(run.code, 2, "nobody to ask");
    assert!(run.err.contains("Give --block as well"), "{}", run.err);
    assert!(!folder.path().join("rig.toml").exists(), "nothing is written");
}

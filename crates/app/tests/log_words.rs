//! The words of `log`: entries in, corrected, taken back and brought back, and never gone.

mod bankwright;

use bankwright::{demo_rig, log, well};
use tempfile::TempDir;

/// The entries that stand, by number.
fn standing(folder: &TempDir) -> Vec<i64> {
    let shown = well(folder, &["show", "--json"]);
    let value: serde_json::Value = serde_json::from_str(&shown).expect("it prints JSON");
    let entries = value["entries"].as_array().expect("a list");
    let mut ids: Vec<i64> = entries.iter().filter_map(|e| e["id"].as_i64()).collect();
    ids.sort_unstable();
    ids
}

#[test]
fn undo_and_correct_keep_the_history() {
    let folder = demo_rig("alder-fen");
    well(&folder, &["add", "gravity", "A1.2", "1.265", "68", "F"]);
    well(&folder, &["add", "gravity", "A1.3", "1.256", "68", "F"]);
    well(&folder, &["add", "gravity", "A1.2", "1.260", "68", "F", "--correct", "1"]);
    assert_eq!(standing(&folder), [2, 3], "3 stands in place of 1");
    let said = well(&folder, &["undo"]);
    assert!(said.contains("Taken back: 3"), "{said}");
    assert_eq!(standing(&folder), [1, 2], "the correction is gone, the first reading is back");
    well(&folder, &["undo", "--back"]);
    assert_eq!(standing(&folder), [2, 3], "and the other way again");
    well(&folder, &["undo"]);
    well(&folder, &["undo"]);
    assert_eq!(standing(&folder), [1], "again takes the one before");
    well(&folder, &["undo"]);
    let said = well(&folder, &["undo"]);
    assert!(said.contains("nothing left"), "{said}");
    assert!(standing(&folder).is_empty(), "nothing stands");
    let copy = well(&folder, &["export"]);
    assert!(9 <= copy.lines().count(), "and every entry is still in the file: {copy}");
    let ran = log(&folder, &["undo", "77"]);
    assert!(ran.code == 2 && ran.err.contains("no entry 77"), "{}", ran.err);
    let ran = log(&folder, &["add", "rest", "12.7 V", "--correct", "77"]);
    assert!(ran.code == 2 && ran.err.contains("no entry 77"), "{}", ran.err);
}

#[test]
fn a_jump_is_asked_about_and_kept() {
    let folder = demo_rig("alder-fen");
    well(&folder, &["add", "gravity", "A1.2", "1.265", "68 F", "--when", "2026-05-01"]);
    let said = well(&folder, &["add", "gravity", "A1.2", "1.165", "68 F"]);
    assert!(said.contains("read it once more") && said.contains("1.265"), "{said}");
    let said = well(&folder, &["add", "gravity", "A1.3", "1.165", "68 F"]);
    assert!(!said.contains("once more"), "a first reading is no jump: {said}");
    assert_eq!(standing(&folder), [1, 2, 3], "all are kept");
}

#[test]
fn bad_words_keep_nothing() {
    let folder = demo_rig("alder-fen");
    for (words, says) in [
        (&["add", "gravty", "A1.2", "1.265"][..], "gravity"),
        (&["add", "gravity", "D9.1", "1.265"], "no part of this bank"),
        (&["add", "rest", "bank", "12.7 V", "--when", "2027-01-01"], "yet to come"),
        (&["add", "rest", "bank", "12.7 V", "--when", "yesterday"], "2026-05-03"),
        (&["show", "Q"], "names no part"),
        (&["show", "--since", "May"], "2026-05-03"),
    ] {
        let ran = log(&folder, words);
        assert_eq!(ran.code, 2, "{words:?}: {}", ran.out);
        assert!(ran.err.contains(says), "{words:?}: {}", ran.err);
    }
    assert!(!folder.path().join("rig.log.sqlite").exists(), "no log was begun");
    let said = well(&folder, &["show"]);
    assert!(said.contains("no log yet"), "{said}");
}

//! Forty design files with mistakes people make, and what they are told. `UPDATE_EXPECT=1` writes
//! the expected texts anew; read them as the owner of the file would before keeping them.

#![expect(clippy::disallowed_methods, reason = "a test reads its cases from files")]

mod cases;

use cases::cases;
use design_file::read::read;
use design_file::render::render;

/// How many cases there are; one that is lost must be missed.
const CASES: usize = 40;

/// From this number on a case holds several mistakes.
const SEVERAL_FROM: usize = 26;

#[test]
fn every_broken_file_is_told_what_to_write() {
    let update = std::env::var("UPDATE_EXPECT").is_ok();
    let files = cases("broken", &["toml"]);
    assert_eq!(files.len(), CASES, "every case is there");
    for (at, file) in files.iter().enumerate() {
        let name = file.file_name().and_then(|n| n.to_str()).expect("a plain name");
        let text = std::fs::read_to_string(file).expect("a readable case");
        let got = read(&text);
        let shown = render(&text, name, &got.faults);
        let expected = file.with_extension("expected");
        if update {
            std::fs::write(&expected, &shown).expect("a writable folder");
        }
        let want = std::fs::read_to_string(&expected).unwrap_or_default();
        assert_eq!(shown, want, "{name}");
        assert!(!got.faults.is_empty(), "{name} is broken");
        assert!(got.faults.iter().all(|f| !f.write.is_empty()), "{name}: each says what to write");
        if at + 1 >= SEVERAL_FROM {
            assert!(got.faults.len() > 1, "{name}: everything is told at once");
        } else {
            assert!(got.faults.len() <= 2, "{name}: one mistake is not told over and over");
        }
        assert_eq!(got.design.is_some(), !name.contains("no_rig"), "{name}: the rest is read");
    }
}

#[test]
fn no_expected_text_is_left_without_its_case() {
    for file in cases("broken", &["expected"]) {
        assert!(file.with_extension("toml").exists(), "{} has a case", file.display());
    }
}

//! Every published answer of wiring and of batteries in `data/oracles/` is tried by some test: an oracle nobody asks is no
//! oracle.

use engine::tables::sheet::Sheet;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Every Rust file under a folder.
fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("a readable entry").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

#[test]
#[expect(clippy::disallowed_methods, reason = "a test may read the sources it speaks of")]
fn every_oracle_is_asked() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    rust_files(&here.join("src"), &mut files);
    rust_files(&here.join("tests"), &mut files);
    let this = here.join("tests/oracles_used.rs");
    let texts = files.iter().filter(|f| **f != this).map(std::fs::read_to_string);
    let code: String = texts.map(|t| t.expect("a readable source file")).collect();

    let wiring = include_str!("../../../data/oracles/wiring.csv");
    let battery = include_str!("../../../data/oracles/battery.csv");
    for (name, text, count) in
        [("oracles/wiring.csv", wiring, 32), ("oracles/battery.csv", battery, 42)]
    {
        let sheet = Sheet::read(name, text).unwrap_or_else(|e| panic!("{e}"));
        let column = |name| sheet.rows().map(move |r| r.text(name).expect("a column").to_owned());
        let ids: BTreeSet<String> = column("id").collect();
        assert_eq!(ids.len(), count, "the published answers of {name}");
        // In code an id stands in quotes; in a comment it does not, and a comment tests nothing.
        let idle: Vec<&String> =
            ids.iter().filter(|id| !code.contains(&format!("\"{id}\""))).collect();
        assert!(idle.is_empty(), "no test asks {idle:?}");
    }
}

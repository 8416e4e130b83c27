//! Nobody crosses a border: what each crate may build on, as `cargo tree` sees it.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

/// What the pure crates may never build on, however far away.
const FORBIDDEN: [&str; 10] = [
    "serde",
    "serde_derive",
    "serde_json",
    "toml",
    "clap",
    "tokio",
    "axum",
    "rusqlite",
    "ureq",
    "reqwest",
];

/// The reader of tables brings the part of serde that has no macros; it is all there may be of it.
const OF_SERDE: &str = "serde_core";

/// Each crate of the workspace and those of ours it may build on.
const ORDER: [(&str, &[&str]); 5] = [
    ("engine", &[]),
    ("design_file", &["engine"]),
    ("drawing", &["engine"]),
    ("book", &["engine", "drawing"]),
    ("bankwright", &["engine", "design_file", "drawing", "book"]),
];

/// What a tree says: names of all crates under one, with their features.
struct Tree(BTreeSet<String>);

impl Tree {
    /// The tree that cargo prints for a crate as a user builds it, the features of each crate beside it.
    fn of(crate_name: &str) -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        let words = ["tree", "--offline", "--package", crate_name, "--edges", "normal"];
        let output = Command::new(env!("CARGO"))
            .args(words)
            .args(["--prefix", "none", "--format", "{p} {f}"])
            .current_dir(root)
            .output()
            .expect("cargo built this test, so it starts");
        let errors = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "cargo tree speaks: {errors}");
        let text = String::from_utf8_lossy(&output.stdout);
        let lines = text.lines().map(|l| l.trim_end_matches(" (*)").trim().to_owned());
        Self(lines.filter(|l| !l.is_empty()).collect())
    }

    fn names(&self) -> BTreeSet<&str> {
        self.0.iter().filter_map(|l| l.split(' ').next()).collect()
    }
}

#[test]
fn the_pure_crates_build_on_no_file_format_and_no_network() {
    for crate_name in ["engine", "drawing", "book"] {
        let tree = Tree::of(crate_name);
        let found: Vec<&str> = tree.names().into_iter().filter(|n| FORBIDDEN.contains(n)).collect();
        assert!(found.is_empty(), "{crate_name} builds on {found:?}");
        let serde: Vec<&str> =
            tree.names().into_iter().filter(|n| n.starts_with("serde") && *n != OF_SERDE).collect();
        assert!(serde.is_empty(), "{crate_name} builds on {serde:?}; only {OF_SERDE} is allowed");
    }
}

#[test]
fn the_part_of_serde_under_the_engine_has_no_macros() {
    let tree = Tree::of("engine");
    let line =
        tree.0.iter().find(|l| l.starts_with(OF_SERDE)).expect("the reader of tables has it");
    assert!(!line.contains("derive"), "no derive: {line}");
}

#[test]
fn the_reader_of_designs_knows_no_terminal_and_no_network() {
    let tree = Tree::of("design_file");
    let far = ["clap", "tokio", "axum", "serde_json", "serde_derive", "rusqlite"];
    let found: Vec<&str> = tree.names().into_iter().filter(|n| far.contains(n)).collect();
    assert!(found.is_empty(), "design_file builds on {found:?}");
}

#[test]
fn the_crates_of_the_workspace_stand_in_order() {
    for (crate_name, allowed) in ORDER {
        let tree = Tree::of(crate_name);
        let ours = ORDER.map(|(name, _)| name);
        for name in tree.names().into_iter().filter(|n| ours.contains(n) && *n != crate_name) {
            assert!(allowed.contains(&name), "{crate_name} may not build on {name}");
        }
    }
}

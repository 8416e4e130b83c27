//! Runs the program as a person would: from outside, with arguments, on files.
#![allow(
    dead_code,
    clippy::disallowed_methods,
    reason = "each test file uses its own part of this; designs are files, and are written here"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// What a run gave back.
#[derive(Debug)]
pub(crate) struct Run {
    /// The exit code.
    pub(crate) code: i32,
    /// The standard output.
    pub(crate) out: String,
    /// The error stream.
    pub(crate) err: String,
}

/// Runs the program in a folder, away from any terminal and from the reader's own settings.
pub(crate) fn run_in(folder: &Path, arguments: &[&str]) -> Run {
    let output = Command::new(env!("CARGO_BIN_EXE_bankwright"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("COLUMNS")
        .stdin(Stdio::null())
        .output()
        .expect("the program was built beside this test");
    Run {
        code: output.status.code().expect("it ends by itself"),
        out: String::from_utf8(output.stdout).expect("it prints text"),
        err: String::from_utf8(output.stderr).expect("it prints text"),
    }
}

/// Runs the program where the examples are.
pub(crate) fn run(arguments: &[&str]) -> Run {
    run_in(&root(), arguments)
}

/// The root of the repository.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A folder of its own, gone at the end of the test.
pub(crate) fn folder() -> TempDir {
    TempDir::new().expect("a temporary folder can be made")
}

/// Writes a file into a folder.
pub(crate) fn write(folder: &TempDir, name: &str, bytes: impl AsRef<[u8]>) {
    std::fs::write(folder.path().join(name), bytes).expect("the folder can be written to");
}

/// The text of a file in a folder.
pub(crate) fn text(folder: &TempDir, name: &str) -> String {
    std::fs::read_to_string(folder.path().join(name)).expect("the file is there")
}

/// A folder with a demo rig called `rig.toml`.
pub(crate) fn demo_rig(demo: &str) -> TempDir {
    let folder = folder();
    let demo = root().join(format!("examples/{demo}.toml"));
    std::fs::copy(demo, folder.path().join("rig.toml")).expect("the demo can be copied");
    folder
}

/// A word of its log on a day.
pub(crate) fn log_on(folder: &TempDir, day: &str, words: &[&str]) -> Run {
    let mut all = vec!["log", "rig.toml", "--today", day];
    all.extend(words);
    run_in(folder.path(), &all)
}

/// A word of its log, on a day that is always the same.
pub(crate) fn log(folder: &TempDir, words: &[&str]) -> Run {
    log_on(folder, "2026-06-01", words)
}

/// A word of its log that must go well and complain of nothing.
#[track_caller]
pub(crate) fn well(folder: &TempDir, words: &[&str]) -> String {
    let ran = log(folder, words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{words:?}: {}", ran.out);
    ran.out
}

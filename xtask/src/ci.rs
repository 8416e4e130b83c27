//! Exactly what CI runs. `.ci/run` calls this, and this calls `cargo xtask test`, the command the
//! README names, as a program of its own.

use crate::shell::{self, Line};
use crate::tally::Tally;
use std::time::Instant;

/// What stands before the tests: name and arguments of cargo.
const STEPS: [(&str, &[&str]); 4] = [
    ("formatted", &["fmt", "--all", "--check"]),
    ("no lint", &["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"]),
    ("tests build", &["test", "--workspace", "--no-run"]),
    ("documented", &["doc", "--workspace", "--no-deps", "--document-private-items"]),
];

/// Runs every step even where one fails; the last line is the sum of steps and tests.
pub(crate) fn run() -> Result<(), String> {
    let mut steps = Tally::default();
    let before = changes()?;
    let mut build_seconds = 0.0;
    for (name, arguments) in STEPS {
        let start = Instant::now();
        let done = Line::new("cargo", arguments).with("RUSTDOCFLAGS", "-D warnings").run();
        steps.check(name, done);
        if name == "tests build" {
            build_seconds = start.elapsed().as_secs_f64();
        }
    }
    let start = Instant::now();
    steps.check("released", shell::cargo(&["build", "--release", "--package", "bankwright"]));
    let release_seconds = start.elapsed().as_secs_f64();
    let out = shell::word(&shell::target().join("books/released"));
    let released = shell::word(&shell::product("release"));
    let words = ["book", "examples/alder-fen.toml", "--out", &out];
    steps.check("the released program writes a book", Line::new(&released, &words).run());

    let start = Instant::now();
    tests(&mut steps)?;
    let test_seconds = start.elapsed().as_secs_f64();
    let unchanged = if changes()? == before { Ok(()) } else { Err("see git status".to_owned()) };
    steps.check("the tests change no tracked file", unchanged);
    let bytes = std::fs::metadata(shell::product("release")).map_or(0, |m| m.len());
    println!(
        "{{\"build_s\":{build_seconds:.1},\"release_build_s\":{release_seconds:.1},\
         \"test_s\":{test_seconds:.1},\"binary_bytes\":{bytes}}}"
    );
    steps.close()
}

/// Runs `cargo xtask test` and takes its sum into ours, so that one line tells all.
fn tests(steps: &mut Tally) -> Result<(), String> {
    let mut sum = None;
    let ended_well =
        Line::new("cargo", &["xtask", "test"]).each_line(|line| match Tally::read(line) {
            Some(read) => sum = Some(read),
            None => println!("{line}"),
        })?;
    match sum {
        Some(sum) => {
            steps.passed += sum.passed;
            steps.failed += sum.failed;
            steps.skipped += sum.skipped;
            if !ended_well && sum.failed == 0 {
                steps.fail("cargo xtask test", "it ended badly after its sum");
            }
        }
        None => steps.fail("cargo xtask test", "it stopped before its sum"),
    }
    Ok(())
}

/// What differs from the last commit, new files included.
fn changes() -> Result<String, String> {
    let status = Line::new("git", &["status", "--porcelain"]).output()?;
    Ok(status + &Line::new("git", &["diff", "HEAD"]).output()?)
}

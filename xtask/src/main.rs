//! Project tasks: tidy, generated docs, tests with outside tools, what CI runs.

#![expect(clippy::print_stdout, clippy::print_stderr, reason = "a task speaks to its user")]
#![expect(clippy::disallowed_methods, reason = "a task reads the tree and the environment")]

mod tree;
mod shell;
mod tidy;
mod ratchet;
mod docs;
mod formulas;
mod find;
mod goldens;
mod tally;
mod outside;
mod test;
mod ci;
mod bench;

use std::process::ExitCode;

const USAGE: &str = "cargo xtask TASK

  check                fmt, clippy, test, tidy; before each commit
  tidy [--ratchet]     small checks of the tree; --ratchet writes the lower counts
  docs [--check]       write the generated pages in docs/; --check fails when one is stale
  where WORD           file and line, formula, source, tests
  goldens              one page with old and new picture of every changed golden
  test                 everything: unit, oracles, ngspice, browser
  ci                   exactly what CI runs
  bench                print the figures that the speed budgets speak of
  bench page           print how fast the page follows a pointer, in a browser";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["check"] => check(),
        ["tidy"] => tidy::run(false),
        ["tidy", "--ratchet"] => tidy::run(true),
        ["docs"] => docs::run(false),
        ["docs", "--check"] => docs::run(true),
        ["where", word] => find::run(word),
        ["goldens"] => goldens::run(),
        ["test"] => test::run(),
        ["ci"] => ci::run(),
        ["bench"] => bench::run(),
        ["bench", "page"] => bench::page(),
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(says) => {
            if !says.is_empty() {
                eprintln!("{says}");
            }
            ExitCode::FAILURE
        }
    }
}

/// What a commit must pass.
fn check() -> Result<(), String> {
    shell::cargo(&["fmt", "--all", "--check"])?;
    shell::cargo(&["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"])?;
    shell::cargo(&["test", "--workspace", "--quiet"])?;
    tidy::run(false)
}

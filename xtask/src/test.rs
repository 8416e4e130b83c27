//! Everything that can be tested, in one sum.

use crate::docs;
use crate::outside;
use crate::shell::Line;
use crate::tally::Tally;
use crate::tidy;
use crate::tree::{self, ends};

/// Runs every test; the last line printed is the sum.
pub(crate) fn run() -> Result<(), String> {
    let mut tally = Tally::default();
    tidy::into(&mut tally)?;
    cargo_tests(&mut tally)?;
    tally.check("generated pages are fresh", docs::run(true));
    outside::oracles(&mut tally)?;
    outside::decks(&mut tally)?;
    outside::browser(&mut tally)?;
    outside::page(&mut tally)?;
    outside::templates(&mut tally)?;
    outside::dependencies(&mut tally);
    tally.close()
}

/// Everything cargo knows. Tests that need a tool which is not here are left out by name.
fn cargo_tests(tally: &mut Tally) -> Result<(), String> {
    let simulated = tests_that_hold("Command::new(\"ngspice\")")?;
    let in_python = tests_that_hold("xtask/oracles/sky_cases.py")?;
    let mut left_out = Vec::new();
    if !outside::provide("ngspice", "ngspice") {
        tally.skip(&simulated, "ngspice is not here");
        left_out.extend(simulated);
    }
    // Those tests look for Python where this puts it.
    if let Err(why) = outside::python() {
        tally.skip(&in_python, &why);
        left_out.extend(in_python);
    }
    let mut words = vec!["test", "--workspace", "--no-fail-fast"];
    if !left_out.is_empty() {
        words.push("--");
        for name in &left_out {
            words.extend(["--skip", name.as_str()]);
        }
    }
    let failed = tally.failed;
    let ended_well = Line::new("cargo", &words).with("SLOW", "1").each_line(|line| {
        println!("{line}");
        tally.hear_cargo(line);
    })?;
    if !ended_well && tally.failed == failed {
        tally.fail("cargo test", "it stopped before its tests had run");
    }
    Ok(())
}

/// Names of the tests in files of our crates that hold a text: the start of an outside tool.
fn tests_that_hold(start: &str) -> Result<Vec<String>, String> {
    let mut names = Vec::new();
    let ours = |path: &str| ends(path, "rs") && path.starts_with("crates/");
    for file in tree::files()?.iter().filter(|f| ours(&f.path)) {
        if !file.text.contains(start) {
            continue;
        }
        let mut marked = false;
        for line in file.text.lines().map(str::trim) {
            if let Some(name) = line.strip_prefix("fn ").filter(|_| marked) {
                names.extend(name.split('(').next().map(str::to_owned));
            }
            marked = line == "#[test]" || (marked && line.starts_with("#["));
        }
    }
    Ok(names)
}

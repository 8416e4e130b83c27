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
    outside::dependencies(&mut tally);
    tally.close()
}

/// Everything cargo knows. Tests that need the circuit simulator are left out by name without it.
fn cargo_tests(tally: &mut Tally) -> Result<(), String> {
    let simulated = simulator_tests()?;
    let mut words = vec!["test", "--workspace", "--no-fail-fast"];
    if !outside::provide("ngspice", "ngspice") {
        tally.skip(&simulated, "ngspice is not here");
        words.push("--");
        for name in &simulated {
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

/// Names of the tests in files that start the circuit simulator.
fn simulator_tests() -> Result<Vec<String>, String> {
    let start = format!("Command::new({:?})", "ngspice");
    let mut names = Vec::new();
    for file in tree::files()?.iter().filter(|f| ends(&f.path, "rs")) {
        if !file.text.contains(&start) {
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

//! Counts what is not yet clean. The counts may only fall.

use crate::formulas;
use crate::tree::{self, File, ends};

const PATH: &str = "xtask/ratchet.txt";

/// Compares the counts with those written down; with `lower`, writes the lower ones.
pub(crate) fn check(files: &[File], lower: bool) -> Result<Vec<String>, String> {
    let counts = [
        ("formulas that name no oracle", formulas_without_oracle(files)),
        ("rows from memory", rows_recalled(files)),
        ("lines with another word than the nomenclature's", lines_with_other_words(files)?),
    ];
    let written = tree::text(PATH).unwrap_or_default();
    let mut faults = Vec::new();
    let mut text = String::new();
    for (name, count) in counts {
        let before =
            written.lines().find_map(|l| l.strip_suffix(name)?.trim().parse::<usize>().ok());
        let known = lower || written.is_empty();
        let Some(before) = before.or(known.then_some(count)) else {
            faults.push(format!("{PATH} does not count {name}; cargo xtask tidy --ratchet"));
            continue;
        };
        if before < count {
            faults.push(format!("{PATH}: {count} {name}, {before} before; it may only fall"));
        }
        println!("     {count} {name} ({before} written)");
        text.push_str(&format!("{} {name}\n", count.min(before)));
    }
    if lower || written.is_empty() {
        tree::write(PATH, &text)?;
    }
    Ok(faults)
}

fn formulas_without_oracle(files: &[File]) -> usize {
    files
        .iter()
        .filter(|f| ends(&f.path, "rs") && f.path.contains("engine/src/calc/"))
        .flat_map(formulas::of)
        .filter(|f| {
            let checked = f.part("Checked by").unwrap_or_default();
            let named = |letters: &str| {
                checked
                    .split(|c: char| !c.is_ascii_alphanumeric())
                    .any(|w| w.strip_prefix(letters).is_some_and(|n| n.parse::<u32>().is_ok()))
            };
            // A test that asks a program of others is an oracle as a published answer is.
            let asked = checked.contains("_agrees.rs");
            !(asked || named("O") || named("S") || named("WE"))
        })
        .count()
}

fn rows_recalled(files: &[File]) -> usize {
    files
        .iter()
        .filter(|f| f.path.starts_with("data/") && ends(&f.path, "csv"))
        .flat_map(|f| f.text.lines())
        .filter(|l| l.contains(",recalled,"))
        .count()
}

/// Lines of the crates that use a regional name of two words or more where the nomenclature has one
/// term. Single words have too many other meanings to be judged by a program.
fn lines_with_other_words(files: &[File]) -> Result<usize, String> {
    // These files hold the regional words on purpose.
    const HOLD_THEM: [&str; 3] = ["words.rs", "glossary.rs", "nearest.rs"];
    let names = regional_names(files)?;
    // Small letters only: `return Current` in code is no return current.
    let holds = |line: &str| names.iter().find(|name| line.contains(name.as_str()));
    let judged = files.iter().filter(|f| {
        let name = f.path.rsplit('/').next().unwrap_or_default();
        f.path.starts_with("crates/")
            && (ends(&f.path, "rs") || ends(&f.path, "md"))
            && !HOLD_THEM.contains(&name)
    });
    let mut count = 0;
    for file in judged {
        for (number, line) in file.text.lines().enumerate() {
            let Some(name) = holds(line) else {
                continue;
            };
            println!("     {}:{}: \"{name}\" has another term", file.path, number + 1);
            count += 1;
        }
    }
    Ok(count)
}

/// Regional names of two words or more that are not themselves a term.
fn regional_names(files: &[File]) -> Result<Vec<String>, String> {
    const PATH: &str = "data/nomenclature.csv";
    let file = files.iter().find(|f| f.path == PATH).ok_or_else(|| format!("no {PATH}"))?;
    let fault = |e: csv::Error| format!("{PATH}: {e}");
    let mut reader = csv::Reader::from_reader(file.text.as_bytes());
    let headers = reader.headers().map_err(fault)?.clone();
    let column = |name: &str| headers.iter().position(|h| h == name);
    let mut terms = Vec::new();
    let mut names = Vec::new();
    for record in reader.records() {
        let record = record.map_err(fault)?;
        let cell = |name: &str| column(name).and_then(|c| record.get(c)).unwrap_or_default();
        terms.push(cell("term").to_lowercase());
        let regional = [cell("us"), cell("uk")].map(str::to_lowercase);
        names.extend(regional.iter().flat_map(|c| c.split(';')).map(|n| n.trim().to_owned()));
    }
    names.retain(|name| name.contains(' ') && !terms.contains(name));
    Ok(names)
}

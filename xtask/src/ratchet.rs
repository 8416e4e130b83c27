//! Counts what is not yet clean. The counts may only fall.

use crate::formulas;
use crate::tree::{self, File, ends};

const PATH: &str = "xtask/ratchet.txt";

/// Compares the counts with those written down; with `lower`, writes the lower ones.
pub(crate) fn check(files: &[File], lower: bool) -> Result<Vec<String>, String> {
    let counts = [
        ("formulas that name no oracle", formulas_without_oracle(files)),
        ("rows from memory", rows_recalled(files)),
    ];
    let written = tree::text(PATH).unwrap_or_default();
    let mut faults = Vec::new();
    let mut text = String::new();
    for (name, count) in counts {
        let before = written
            .lines()
            .find_map(|l| l.strip_suffix(name)?.trim().parse::<usize>().ok())
            .unwrap_or(count);
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
            !(named("O") || named("WE"))
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

//! Where a word stands: formulas, tables, rules, tests.

use crate::formulas;
use crate::tree::{self, ends};

/// Prints every place that speaks of the word.
pub(crate) fn run(word: &str) -> Result<(), String> {
    let wanted = word.to_lowercase();
    let files = tree::files()?;
    let has = |text: &str| text.to_lowercase().contains(&wanted);
    let mut places = 0_usize;
    for file in files.iter().filter(|f| ends(&f.path, "rs")) {
        for formula in formulas::of(file) {
            let parts = formulas::HEADINGS.map(|h| formula.part(h).unwrap_or_default());
            if !(has(&formula.name) || has(&formula.says) || parts.iter().any(|p| has(p))) {
                continue;
            }
            places += 1;
            println!("{}:{} {}", file.path, formula.line, formula.name);
            println!("    {}", formula.says);
            for (heading, part) in formulas::HEADINGS.iter().zip(parts) {
                if *heading != "Symbols" {
                    println!(
                        "    {heading}: {}",
                        part.split_whitespace().collect::<Vec<_>>().join(" ")
                    );
                }
            }
        }
        for (number, line) in file.text.lines().enumerate() {
            let test = line.trim().strip_prefix("fn ").filter(|l| l.contains("() {") && has(l));
            let item = ["pub fn ", "pub struct ", "pub enum "]
                .iter()
                .find_map(|p| line.trim().strip_prefix(p))
                .filter(|l| has(l.split(['(', '{', '<']).next().unwrap_or_default()));
            if let Some(text) = item.or(test) {
                places += 1;
                println!("{}:{} {}", file.path, number + 1, text.trim_end_matches('{').trim());
            }
        }
    }
    for file in files.iter().filter(|f| f.path.starts_with("data/") || ends(&f.path, "md")) {
        if let Some(number) = file.text.lines().position(has) {
            places += 1;
            let count = file.text.lines().filter(|l| has(l)).count();
            println!("{}:{} {count} lines", file.path, number + 1);
        }
    }
    if places == 0 { Err(format!("nothing speaks of \"{word}\"")) } else { Ok(()) }
}

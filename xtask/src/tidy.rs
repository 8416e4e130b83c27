//! Small checks of the tree that no compiler makes.

use crate::formulas;
use crate::ratchet;
use crate::tally::Tally;
use crate::tree::{self, File, ends};
use std::collections::BTreeSet;

/// Lines a source file may have.
const LINES_MAX: usize = 600;
/// Bytes a tracked file may have, generated lock files apart.
const BYTES_MAX: u64 = 100_000;
/// The climate of the world is one file that is read in place; it may be heavy.
const HEAVY: &str = "data/climate/climate.bin";

/// The checks by what they hold.
const CHECKS: [(&str, Check); 11] = [
    ("files are short", short_files),
    ("no file is heavy", light_files),
    ("nothing is left to be done", nothing_left),
    ("no path of a machine, no registry host", no_machine),
    ("modules use only what stands above them", module_order),
    ("formulas have their five headings", formula_headings),
    ("formulas name a known source", formula_sources),
    ("tables name source, place, status", table_shape),
    ("a rule is two files", rule_pairs),
    ("goldens have an owner", golden_owners),
    ("licence texts stand", licences),
];

/// Runs every check; with `lower`, writes the ratchet's lower counts.
pub(crate) fn run(lower: bool) -> Result<(), String> {
    let files = tree::files()?;
    let mut faults = Vec::new();
    for (name, check) in CHECKS {
        let found = check(&files);
        println!("{} {name}", if found.is_empty() { "ok  " } else { "FAIL" });
        faults.extend(found);
    }
    faults.extend(ratchet::check(&files, lower)?);
    if faults.is_empty() {
        return Ok(());
    }
    Err(format!("{}\n{} faults", faults.join("\n"), faults.len()))
}

/// Runs every check as a test of its own.
pub(crate) fn into(tally: &mut Tally) -> Result<(), String> {
    let files = tree::files()?;
    let done = |faults: Vec<String>| {
        if faults.is_empty() { Ok(()) } else { Err(faults.join("\n")) }
    };
    for (name, check) in CHECKS {
        tally.check(name, done(check(&files)));
    }
    tally.check("nothing gets worse", done(ratchet::check(&files, false)?));
    Ok(())
}

type Check = fn(&[File]) -> Vec<String>;

fn rust(files: &[File]) -> impl Iterator<Item = &File> {
    files.iter().filter(|f| ends(&f.path, "rs"))
}

fn short_files(files: &[File]) -> Vec<String> {
    rust(files)
        .filter(|f| LINES_MAX < f.text.lines().count())
        .map(|f| format!("{}: {} lines, {LINES_MAX} at most", f.path, f.text.lines().count()))
        .collect()
}

fn light_files(files: &[File]) -> Vec<String> {
    files
        .iter()
        .filter(|f| BYTES_MAX < f.bytes && !f.path.contains("lock") && f.path != HEAVY)
        .map(|f| format!("{}: {} bytes, {BYTES_MAX} at most", f.path, f.bytes))
        .collect()
}

/// Lines of `files` that hold one of `words`, with where they stand.
fn holding(files: &[File], words: &[String], skip: fn(&str) -> bool) -> Vec<String> {
    let mut found = Vec::new();
    for file in files.iter().filter(|f| !skip(&f.path)) {
        for (number, line) in file.text.lines().enumerate() {
            if let Some(word) = words.iter().find(|w| line.contains(w.as_str())) {
                found.push(format!("{}:{}: holds \"{word}\"", file.path, number + 1));
            }
        }
    }
    found
}

fn nothing_left(files: &[File]) -> Vec<String> {
    // Written in two halves so that this file does not find itself.
    let words = [("FIX", "ME"), ("TO", "DO"), ("XX", "X")].map(|(a, b)| format!("{a}{b}"));
    holding(files, &words, |path| path.contains("lock") || path.contains("fonts/"))
}

fn no_machine(files: &[File]) -> Vec<String> {
    let words: Vec<String> = [
        ("/ho", "me/"),
        ("/ro", "ot/"),
        ("/wo", "rk/"),
        ("crates", ".io"),
        ("py", "pi.org"),
        ("registry.", "npmjs"),
        ("deb.deb", "ian"),
    ]
    .map(|(a, b)| format!("{a}{b}"))
    .into();
    holding(files, &words, |p| p == "Cargo.lock" || p == "fuzz/Cargo.lock")
}

/// Modules of the engine in reading order, with what each may use besides those above it.
const ORDER: [&str; 22] = [
    "units",
    "number",
    "cite",
    "finding",
    "tables",
    "calc",
    "model",
    "evidence",
    "facts",
    "circuit",
    "layout",
    "sizing",
    "study",
    "draws",
    "sim",
    "fit",
    "plan",
    "prove",
    "care",
    "checks",
    "report",
    "hand_over",
];
/// `finding` quotes `cite`; sizing reads the list of design currents that `study` gathers.
const ALLOWED: [(&str, &str); 1] = [("sizing", "study")];

fn module_order(files: &[File]) -> Vec<String> {
    let mut faults = Vec::new();
    for file in rust(files) {
        let Some(inside) = file.path.strip_prefix("crates/engine/src/") else {
            continue;
        };
        let module = inside.split(['/', '.']).next().unwrap_or_default();
        let Some(place) = ORDER.iter().position(|m| *m == module) else {
            continue;
        };
        // Tests may build what they test from anything.
        let code = file.text.split("#[cfg(test)]").next().unwrap_or_default();
        if inside.ends_with("tests.rs") {
            continue;
        }
        for (number, line) in code.lines().enumerate() {
            let Some(used) = line.trim().strip_prefix("use crate::") else {
                continue;
            };
            let used = used.split("::").next().unwrap_or_default();
            let later = ORDER.iter().position(|m| *m == used).is_some_and(|u| place < u);
            if later && !ALLOWED.contains(&(module, used)) {
                faults.push(format!("{}:{}: {module} uses {used}", file.path, number + 1));
            }
        }
    }
    faults
}

fn formula_headings(files: &[File]) -> Vec<String> {
    let mut faults = Vec::new();
    for file in rust(files).filter(|f| f.path.contains("engine/src/calc/")) {
        if file.path.ends_with("mod.rs") {
            continue;
        }
        let formulas = formulas::of(file);
        if formulas.is_empty() {
            faults.push(format!("{}: has no formula", file.path));
        }
        for formula in formulas {
            for heading in formulas::HEADINGS {
                if formula.part(heading).is_none() {
                    let (path, line) = (&file.path, formula.line);
                    faults.push(format!("{path}:{line}: {} lacks # {heading}", formula.name));
                }
            }
        }
    }
    faults
}

fn source_keys(files: &[File]) -> BTreeSet<String> {
    files
        .iter()
        .filter(|f| f.path == "data/sources.toml")
        .flat_map(|f| f.text.lines())
        .filter_map(|l| l.strip_prefix('[')?.strip_suffix(']').map(str::to_owned))
        .collect()
}

fn formula_sources(files: &[File]) -> Vec<String> {
    let keys = source_keys(files);
    let mut faults = Vec::new();
    for file in rust(files).filter(|f| f.path.contains("engine/src/calc/")) {
        for formula in formulas::of(file) {
            let source = formula.part("Source").unwrap_or_default();
            let plain = ["physics", "practice", "computed", "hand worked", "geometry"];
            let known = keys.iter().any(|k| source.contains(k.as_str()))
                || plain.iter().any(|w| source.to_lowercase().contains(w));
            if !known {
                faults.push(format!(
                    "{}:{}: {} names no source",
                    file.path, formula.line, formula.name
                ));
            }
        }
    }
    faults
}

fn table_shape(files: &[File]) -> Vec<String> {
    let keys = source_keys(files);
    let mut faults = Vec::new();
    for file in files.iter().filter(|f| f.path.starts_with("data/") && ends(&f.path, "csv")) {
        let header = file.text.lines().next().unwrap_or_default();
        if file.path.ends_with("nomenclature.csv") {
            continue;
        }
        if !header.ends_with("source,where,status,note") {
            faults.push(format!("{}: does not end in source,where,status,note", file.path));
        }
        if !keys.iter().any(|k| file.text.contains(&format!(",{k},"))) {
            faults.push(format!("{}: no row names a known source", file.path));
        }
    }
    faults
}

fn rule_pairs(files: &[File]) -> Vec<String> {
    let paths: BTreeSet<&str> = files.iter().map(|f| f.path.as_str()).collect();
    let mut faults = Vec::new();
    let mut codes = BTreeSet::new();
    let is_rule = |path: &str| {
        let name = path.strip_prefix("crates/engine/src/checks/")?;
        let digits = name.strip_prefix('r')?.get(..2)?.to_owned();
        digits.bytes().all(|b| b.is_ascii_digit()).then_some(digits)
    };
    for path in &paths {
        let Some(code) = is_rule(path) else {
            continue;
        };
        let (stem, other) = match path.strip_suffix(".rs") {
            Some(stem) => {
                if !codes.insert(code.clone()) {
                    faults.push(format!("{path}: R{code} stands twice"));
                }
                (stem, "md")
            }
            None => (path.trim_end_matches(".md"), "rs"),
        };
        if !paths.contains(format!("{stem}.{other}").as_str()) {
            faults.push(format!("{path}: has no .{other} beside it"));
        }
    }
    faults
}

fn golden_owners(files: &[File]) -> Vec<String> {
    let code: String = rust(files).map(|f| f.text.as_str()).collect();
    files
        .iter()
        .filter(|f| f.path.contains("/goldens/") && ends(&f.path, "svg"))
        .filter(|f| {
            let stem = f.path.rsplit('/').next().unwrap_or_default().trim_end_matches(".svg");
            let family = stem.split('-').next().unwrap_or_default();
            !code.contains(stem) && !code.contains(family)
        })
        .map(|f| format!("{}: no test names it", f.path))
        .collect()
}

fn licences(files: &[File]) -> Vec<String> {
    ["LICENSE-MIT", "LICENSE-APACHE"]
        .into_iter()
        .filter(|name| !files.iter().any(|f| f.path == *name))
        .map(|name| format!("{name} is missing"))
        .collect()
}

//! The generated pages in `docs/`. Each is made from what the program itself holds, so that no page
//! can say what the program does not do.

use crate::formulas;
use crate::shell::{self, Line};
use crate::tree::{self, File, ends};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// The last code promised; see `engine::checks::registry`.
const LAST_RULE: u8 = 63;

/// A line at the top of each page.
const MADE: &str = "<!-- Made by `cargo xtask docs`; changes here are lost. -->\n\n";

/// Writes every page; with `check`, says which are stale instead.
pub(crate) fn run(check: bool) -> Result<(), String> {
    let files = tree::files()?;
    let pages = [
        ("docs/formulas.md", Ok(formulas_page(&files))),
        ("docs/rules.md", Ok(rules_page(&files))),
        ("docs/tables.md", tables_page(&files)),
        ("docs/sources.md", Ok(sources_page(&files))),
        ("docs/design-file.md", Ok(design_file::reference::reference_markdown())),
        ("docs/cli.md", commands_page()),
    ];
    let mut faults = Vec::new();
    for (path, text) in pages {
        let text = match text {
            Ok(text) => format!("{MADE}{}\n", text.trim_end()),
            Err(why) => {
                faults.push(format!("{path}: {why}"));
                continue;
            }
        };
        if !check {
            tree::write(path, &text)?;
        } else if tree::text(path).unwrap_or_default() != text {
            faults.push(format!("{path} is stale; run `cargo xtask docs` and read what moved"));
        }
    }
    if faults.is_empty() { Ok(()) } else { Err(faults.join("\n")) }
}

fn formulas_page(files: &[File]) -> String {
    let mut page = String::from(
        "# Formulas\n\nEvery formula of the engine, from the comment above its function. \
         `cargo xtask where WORD` finds one.\n",
    );
    for file in files.iter().filter(|f| f.path.starts_with("crates/engine/src/")) {
        let found = if ends(&file.path, "rs") { formulas::of(file) } else { Vec::new() };
        if found.is_empty() {
            continue;
        }
        let _ = write!(page, "\n## {}\n", file.path.trim_start_matches("crates/engine/src/"));
        for formula in found {
            let _ = write!(page, "\n### {}\n\n{}\n", formula.name, formula.says);
            for heading in formulas::HEADINGS {
                let part = formula.part(heading).unwrap_or_default().trim();
                if part.is_empty() {
                    continue;
                }
                let _ = match heading {
                    "Formula" => write!(page, "\n```text\n{part}\n```\n"),
                    "Symbols" => write!(page, "\n{part}\n"),
                    _ => write!(page, "\n**{heading}.** {}\n", one_line(part)),
                };
            }
        }
    }
    page
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The number in a rule's file name, such as 14 in `r14_no_fuse_at_battery.md`.
pub(crate) fn rule_number(path: &str) -> Option<u8> {
    let name = path.strip_prefix("crates/engine/src/checks/r")?;
    let digits = name.get(..2)?;
    if name.get(2..3)? != "_" {
        return None;
    }
    digits.parse().ok()
}

fn rules_page(files: &[File]) -> String {
    let pages: BTreeMap<u8, &File> = files
        .iter()
        .filter(|f| ends(&f.path, "md"))
        .filter_map(|f| Some((rule_number(&f.path)?, f)))
        .collect();
    let mut page = format!(
        "# Rules\n\n{} of the {LAST_RULE} rules are there. `bankwright explain R14` prints the page \
         of one. A STOP holds every gate unless its rule names fewer.\n\n\
         | rule | name | looks at | severity and gates |\n|---|---|---|---|\n",
        pages.len()
    );
    let mut missing = Vec::new();
    for code in 1..=LAST_RULE {
        let Some(file) = pages.get(&code) else {
            missing.push(format!("R{code:02}"));
            continue;
        };
        let title = file.text.lines().next().unwrap_or_default();
        let name = title.trim_start_matches(['#', ' ']);
        let name = name.split_once(' ').map_or(name, |(_, rest)| rest);
        let looks = cell(&section(&file.text, "What it looks at"));
        let severity = cell(&section(&file.text, "Severity and gates"));
        let link = format!("../{}", file.path);
        let _ = writeln!(page, "| [R{code:02}]({link}) | {name} | {looks} | {severity} |");
    }
    if !missing.is_empty() {
        let _ = write!(
            page,
            "\nNot there yet, so `check` does not look for them: {}.\n",
            missing.join(", ")
        );
    }
    page
}

/// The text between a heading of the second level and the next.
fn section(text: &str, heading: &str) -> String {
    let wanted = format!("## {heading}");
    let lines = text.lines().skip_while(|l| l.trim() != wanted).skip(1);
    one_line(&lines.take_while(|l| !l.starts_with('#')).collect::<Vec<_>>().join(" "))
}

/// Text that may stand in a cell of a table.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

/// What a table of `data/` says about itself.
struct Table {
    rows: usize,
    columns: Vec<String>,
    sources: BTreeSet<String>,
    statuses: BTreeMap<String, usize>,
}

impl Table {
    fn read(file: &File) -> Result<Self, String> {
        let fault = |e: csv::Error| format!("{}: {e}", file.path);
        let mut reader = csv::Reader::from_reader(file.text.as_bytes());
        let columns: Vec<String> =
            reader.headers().map_err(fault)?.iter().map(str::to_owned).collect();
        let (source, status) = (at(&columns, "source"), at(&columns, "status"));
        let mut table =
            Self { rows: 0, columns, sources: BTreeSet::new(), statuses: BTreeMap::new() };
        for record in reader.records() {
            let record = record.map_err(fault)?;
            table.rows += 1;
            if let Some(key) = source.and_then(|c| record.get(c)) {
                table.sources.insert(key.to_owned());
            }
            if let Some(word) = status.and_then(|c| record.get(c)) {
                *table.statuses.entry(word.to_owned()).or_default() += 1;
            }
        }
        Ok(table)
    }
}

fn at(columns: &[String], name: &str) -> Option<usize> {
    columns.iter().position(|c| c == name)
}

/// The tables of `data/` with what each says about itself.
fn tables(files: &[File]) -> Result<Vec<(&File, Table)>, String> {
    let data = files.iter().filter(|f| f.path.starts_with("data/") && ends(&f.path, "csv"));
    data.map(|f| Ok((f, Table::read(f)?))).collect()
}

fn tables_page(files: &[File]) -> Result<String, String> {
    let mut page = String::from(
        "# Tables\n\nEvery file of `data/`. What the statuses mean stands in \
         [data/README.md](../data/README.md), the sources in [sources.md](sources.md).\n\n\
         | file | columns | rows | sources | statuses |\n|---|---|---:|---|---|\n",
    );
    let mut sum: BTreeMap<String, usize> = BTreeMap::new();
    for (file, table) in tables(files)? {
        let name = file.path.trim_start_matches("data/");
        let own: Vec<&str> = table.columns.iter().map(String::as_str).collect();
        let own: Vec<&str> = own
            .into_iter()
            .filter(|c| !["source", "where", "status", "note"].contains(c))
            .collect();
        let sources: Vec<String> =
            table.sources.iter().map(|k| format!("[{k}](sources.md#{k})")).collect();
        let statuses: Vec<String> =
            table.statuses.iter().map(|(word, count)| format!("{count} {word}")).collect();
        for (word, count) in table.statuses {
            *sum.entry(word).or_default() += count;
        }
        let _ = writeln!(
            page,
            "| [{name}](../{}) | {} | {} | {} | {} |",
            file.path,
            own.join(", "),
            table.rows,
            sources.join(", "),
            statuses.join(", ")
        );
    }
    let all: Vec<String> = sum.iter().map(|(word, count)| format!("{count} {word}")).collect();
    let _ = write!(page, "\nAll rows: {}.\n", all.join(", "));
    Ok(page)
}

fn sources_page(files: &[File]) -> String {
    let text = files.iter().find(|f| f.path == "data/sources.toml").map_or("", |f| &f.text);
    let mut page = String::from(
        "# Sources\n\nEvery source that a row of `data/` names, with what of it was really read. \
         Misprints stand in [data/ERRATA.md](../data/ERRATA.md).\n",
    );
    let users: Vec<&File> =
        files.iter().filter(|f| f.path.starts_with("data/") && ends(&f.path, "csv")).collect();
    let mut key = "";
    for line in text.lines() {
        if let Some(name) = line.strip_prefix('[').and_then(|l| l.strip_suffix(']')) {
            write_users(&mut page, &users, key);
            key = name;
            let _ = write!(page, "\n## {key}\n\n");
        } else if let Some((field, value)) = line.split_once(" = ")
            && !line.starts_with('#')
        {
            let _ = writeln!(page, "- {field}: {}", value.trim_matches('"').replace("\\\"", "\""));
        }
    }
    write_users(&mut page, &users, key);
    page
}

/// The tables that rest on a source.
fn write_users(page: &mut String, users: &[&File], key: &str) {
    if key.is_empty() {
        return;
    }
    let row = format!(",{key},");
    let names: Vec<String> = users
        .iter()
        .filter(|f| f.text.contains(&row))
        .map(|f| format!("[{}](../{})", f.path.trim_start_matches("data/"), f.path))
        .collect();
    if !names.is_empty() {
        let _ = writeln!(page, "- tables: {}", names.join(", "));
    }
}

/// The help of the program and of each of its words, as the program itself prints it.
fn commands_page() -> Result<String, String> {
    shell::cargo(&["build", "--quiet", "--package", "bankwright"])?;
    let main = help(&["--help"])?;
    let words = words_of(&main);
    if words.is_empty() {
        return Err("the help of bankwright lists no words".to_owned());
    }
    let mut page = format!("# Command line\n\n```text\n{}\n```\n", main.trim_end());
    for word in words {
        let text = help(&[word, "--help"])?;
        let _ = write!(page, "\n## {word}\n\n```text\n{}\n```\n", text.trim_end());
        for inner in words_of(&text) {
            let text = help(&[word, "RIG", inner, "--help"])?;
            let _ = write!(page, "\n### {word} {inner}\n\n```text\n{}\n```\n", text.trim_end());
        }
    }
    Ok(page)
}

/// The words that a help lists.
fn words_of(help: &str) -> Vec<&str> {
    help.lines()
        .skip_while(|l| l.trim() != "Commands:")
        .skip(1)
        .take_while(|l| !l.trim().is_empty())
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next())
        .filter(|word| *word != "help")
        .collect()
}

/// What the program prints, at a width that no window changes.
fn help(arguments: &[&str]) -> Result<String, String> {
    let program = shell::word(&shell::product("debug"));
    let text = Line::new(&program, arguments)
        .with("COLUMNS", "100")
        .with("NO_COLOR", "1")
        .output_away_from_terminal()
        // The machine's own path is no part of the fault.
        .map_err(|e| e.replace(&program, "bankwright"))?;
    Ok(text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n"))
}

//! `log import`: a spreadsheet of readings, or an exported log. Nothing is taken in twice.

use super::Job;
use crate::args::LogImportArgs;
use crate::failure::Failure;
use crate::json;
use crate::json::log::{BadRowJson, ColumnJson, ImportedJson};
use crate::log::copy::{self, BadRow};
use crate::log::parts::Parts;
use crate::log::sheet::columns::{self, Column, Meaning};
use crate::log::sheet::rows;
use crate::log::sheet::table::{Table, decoded, delimiter};
use crate::log::store::Added;
use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use crate::terminal::{say, warn};
use std::io::{BufRead, IsTerminal};

/// Most bad rows told one by one.
const TOLD: usize = 20;

pub(super) fn run(job: &Job<'_>, args: &LogImportArgs) -> Result<(), Failure> {
    let bytes = std::fs::read(&args.file).map_err(|e| Failure::unreadable(&args.file, &e))?;
    let text = decoded(&bytes);
    if copy::is_copy(&text) { own_copy(job, args, &text) } else { sheet(job, args, &text) }
}

/// A log that this program wrote.
fn own_copy(job: &Job<'_>, args: &LogImportArgs, text: &str) -> Result<(), Failure> {
    let (copies, bad) = copy::read(text, delimiter(text));
    refuse_bad(args, &bad)?;
    let mut store = job.store_to_write()?;
    let added = store.add_copies("import", &job.made(), &copies).map_err(|t| t.at(&job.path))?;
    told(job, &added, &bad, &[])
}

/// A spreadsheet made by hand.
fn sheet(job: &Job<'_>, args: &LogImportArgs, text: &str) -> Result<(), Failure> {
    let table = Table::read(&args.file, text)?;
    let parts = Parts::of(&job.rig);
    let known = match job.store()? {
        Some(store) => store.mapping(&table.fingerprint()).map_err(|t| t.at(&job.path))?,
        None => None,
    };
    let remembered = known.and_then(|kept| columns::taken(&kept, &table, job.units()));
    let agreed = remembered.is_some() || args.yes;
    let mut columns = remembered.unwrap_or_else(|| columns::guessed(&table, &parts, job.units()));
    for map in &args.map {
        say_over(map, &mut columns, job)?;
    }
    needs_day(&columns)?;
    let taken = rows::taken(&table, &columns, &parts, job.now.local.date());
    if !agreed {
        warn(&understood(&table, &columns));
        agree()?;
    }
    refuse_bad(args, &taken.bad)?;
    let mut store = job.store_to_write()?;
    let added =
        store.add_new("import", &job.made(), &taken.entries).map_err(|t| t.at(&job.path))?;
    store.remember(&table.fingerprint(), &columns::kept(&columns)).map_err(|t| t.at(&job.path))?;
    told(job, &added, &taken.bad, &columns)
}

/// `--map "Zelle 1=gravity A1.1"`.
fn say_over(map: &str, columns: &mut [Column], job: &Job<'_>) -> Result<(), Failure> {
    let Some((header, meaning)) = map.rsplit_once('=') else { return Err(no_meaning(map)) };
    let meaning = Meaning::from_words(meaning, job.units()).ok_or_else(|| no_meaning(map))?;
    let wanted = header.trim().to_lowercase();
    let names: Vec<String> = columns.iter().map(|c| format!("\"{}\"", c.header)).collect();
    let found = columns.iter_mut().find(|c| c.header.to_lowercase() == wanted);
    let Some(column) = found else { return Err(no_column(header, &names)) };
    column.meaning = meaning;
    column.doubt = None;
    Ok(())
}

/// What each column is understood as, with the first thing that stands in it.
fn understood(sheet: &Table, columns: &[Column]) -> String {
    let heads = [
        ("column", Lean::Left),
        ("first", Lean::Left),
        ("understood as", Lean::Left),
        ("", Lean::Left),
    ];
    let lines = columns.iter().enumerate().map(|(at, column)| {
        vec![
            column.header.clone(),
            sheet.column(at).next().unwrap_or("").chars().take(20).collect(),
            column.meaning.words(),
            column.doubt.clone().unwrap_or_default(),
        ]
    });
    format!("{}\n", table(&heads, lines.collect()))
}

/// Asks whether it was understood well, where there is somebody to ask.
fn agree() -> Result<(), Failure> {
    if !std::io::stdin().is_terminal() {
        return Err(not_agreed());
    }
    warn("Is this right? y takes it in and remembers it; enter takes nothing > ");
    let line = std::io::stdin().lock().lines().next().and_then(Result::ok).unwrap_or_default();
    if matches!(line.trim().to_lowercase().as_str(), "y" | "yes") {
        Ok(())
    } else {
        Err(not_agreed())
    }
}

/// Without `--partial` one bad row keeps the whole file out.
fn refuse_bad(args: &LogImportArgs, bad: &[BadRow]) -> Result<(), Failure> {
    if bad.is_empty() || args.partial { Ok(()) } else { Err(bad_rows(args, bad)) }
}

fn told(job: &Job<'_>, added: &Added, bad: &[BadRow], columns: &[Column]) -> Result<(), Failure> {
    if job.is_json() {
        return say(&json::text(&ImportedJson {
            added: added.ids.clone(),
            known: added.known,
            bad: bad.iter().map(BadRowJson::of).collect(),
            columns: columns.iter().map(ColumnJson::of).collect(),
        }));
    }
    let mut text = match (added.ids.len(), added.known) {
        (0, 0) => "There was nothing to take in.\n".to_owned(),
        (0, known) => format!("Nothing new: all {known} entries were in the log already.\n"),
        (new, 0) => format!("{new} entries kept.\n"),
        (new, known) => format!("{new} entries kept; {known} were in the log already.\n"),
    };
    if !bad.is_empty() {
        text.push_str(&format!("Left out:\n{}", listed(bad)));
    }
    if !added.ids.is_empty() {
        text.push_str(&format!("`bankwright log {} undo` takes them back.\n", job.rig.name));
    }
    say(&text)
}

fn listed(bad: &[BadRow]) -> String {
    let told = bad.iter().take(TOLD);
    let mut text: String =
        told.map(|row| hanging(&format!("  line {}: ", row.line), &row.says)).collect();
    if TOLD < bad.len() {
        text.push_str(&format!("  and {} more\n", bad.len() - TOLD));
    }
    text
}

fn needs_day(columns: &[Column]) -> Result<(), Failure> {
    if columns.iter().any(|c| matches!(c.meaning, Meaning::When(_))) {
        return Ok(());
    }
    Err(Failure::log(
        "No column says when.".to_owned(),
        "Name it, such as --map \"read on=when day-first\".".to_owned(),
    ))
}

fn no_meaning(map: &str) -> Failure {
    Failure::log(
        format!("--map \"{map}\" does not say what a column holds."),
        "Write COLUMN=, then one of: when day-first, when month-first, time, part, gravity A1.1, \
         fluid F, fluid C, water A1 ml, water A1 fl oz, rest A1, note, leave out."
            .to_owned(),
    )
}

fn no_column(header: &str, names: &[String]) -> Failure {
    let says = format!("The file has no column \"{}\".", header.trim());
    Failure::log(says, format!("Its columns are {}.", crate::failure::listed(names)))
}

fn not_agreed() -> Failure {
    Failure::log(
        "Nothing was taken in.".to_owned(),
        "Where all is understood as you mean it, add --yes; else say what a column holds, such as \
         --map \"Zelle 1=gravity A1.1\", and then --yes."
            .to_owned(),
    )
}

fn bad_rows(args: &LogImportArgs, bad: &[BadRow]) -> Failure {
    let rows = if bad.len() == 1 { "One row" } else { "Some rows" };
    Failure::log(
        format!(
            "{rows} of {} cannot be used; nothing was taken in.\n{}",
            args.file.display(),
            listed(bad).trim_end()
        ),
        "Mend them, or add --partial to take in the others.".to_owned(),
    )
}

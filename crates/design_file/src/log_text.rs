//! One entry of the log as one line of text, and back without loss.
//!
//! `2026-05-03 09:00, A1.2, gravity, 1.265, fluid 68 F, charged 2 h, note "after the trip"`: when, of
//! what, what was read or done, its figure, and then as many words with a figure as there are. A
//! field with a comma or a quote in it stands in double quotes, as in every CSV.

mod fields;
mod read;
mod write;

use engine::evidence::log::{Entry, Log};
use fields::Fields;

/// The first line of a file of entries; it may be left out.
pub const HEADER: &str = "when,subject,event,value,more";

/// Why a line is no entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineFault {
    /// Line in the text, from 1.
    pub line: usize,
    /// What is, in one sentence with the owner's own text.
    pub says: String,
    /// What to write instead.
    pub write: String,
}

impl LineFault {
    /// The fault as one line of text.
    #[must_use]
    pub fn one_line(&self) -> String {
        format!("line {}: {} {}", self.line, self.says, self.write)
    }
}

/// One entry as one line, without the line's end.
#[must_use]
pub fn line(entry: &Entry) -> String {
    write::fields(entry).iter().map(fields::quoted).collect::<Vec<_>>().join(", ")
}

/// The entry a line tells. Where the line names no number of its own, `id` is its number.
///
/// # Errors
/// Says what is wrong with the line, which is called line 1, and what to write.
pub fn entry(text: &str, id: i64) -> Result<Entry, LineFault> {
    numbered(text, id, 1)
}

fn numbered(text: &str, id: i64, line: usize) -> Result<Entry, LineFault> {
    let fault = |(says, write): (String, String)| LineFault { line, says, write };
    let split = fields::split(text).map_err(fault)?;
    read::entry(Fields::of(split), id).map_err(fault)
}

/// Every entry of a text, one a line; empty lines, lines that begin with `#` and the header are
/// passed over. What is no entry is told, and the rest is kept.
#[must_use]
pub fn log(text: &str) -> (Log, Vec<LineFault>) {
    let mut log = Log::default();
    let mut faults = Vec::new();
    let mut next = 1;
    for (at, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let bare = line.trim();
        if bare.is_empty() || bare.starts_with('#') || bare.starts_with("when,") {
            continue;
        }
        match numbered(line, next, at + 1) {
            Ok(entry) => {
                next = next.max(entry.id.saturating_add(1));
                log.entries.push(entry);
            }
            Err(fault) => faults.push(fault),
        }
    }
    (log, faults)
}

/// Every entry as text, the header first.
#[must_use]
pub fn text(log: &Log) -> String {
    let mut text = format!("{HEADER}\n");
    for entry in &log.entries {
        text.push_str(&line(entry));
        text.push('\n');
    }
    text
}

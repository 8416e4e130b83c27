//! The log as a CSV file: a copy that comes back without loss, into this log or another.
//!
//! `number,mark,corrects,when,part,what,value,more`: the number in the log it came from; the mark,
//! the same in every copy; the mark of the entry it corrects; then the fields of the entry's line.

use super::line;
use super::store::{Copied, Stored};
use std::collections::BTreeMap;

/// The columns every row has.
pub(crate) const HEADER: &str = "number,mark,corrects,when,part,what,value,more";

/// Columns before those of the line.
const OWN: usize = 3;

/// Most entries of one log that say exactly the same.
const SAME: u32 = 10_000;

/// Every entry as CSV.
pub(crate) fn text(all: &[Stored]) -> String {
    let marks: BTreeMap<i64, &str> = all.iter().map(|s| (s.entry.id, s.mark.as_str())).collect();
    let mut text = format!("{HEADER}\n");
    for one in all {
        let earlier = one.entry.corrects.and_then(|id| marks.get(&id).copied()).unwrap_or("");
        let row = line::row(&line::of(&one.entry));
        text.push_str(&format!("{},{},{earlier},{row}\n", one.entry.id, one.mark));
    }
    text
}

/// Whether a file is such a copy.
pub(crate) fn is_copy(text: &str) -> bool {
    let first = text.trim_start_matches('\u{feff}').lines().next().unwrap_or("");
    let plain: String = first.chars().filter(|c| !" \"".contains(*c)).collect();
    plain.replace([';', '\t'], ",").starts_with("number,mark,corrects,when,part,what")
}

/// A row that is no entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct BadRow {
    /// Its line in the file, from 1.
    pub(crate) line: u64,
    /// What is wrong, and what to write.
    pub(crate) says: String,
}

/// The entries of a copy, and the rows that are none.
pub(crate) fn read(text: &str, delimiter: u8) -> (Vec<Copied>, Vec<BadRow>) {
    let (mut copies, mut bad) = (Vec::new(), Vec::new());
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    for record in reader.records() {
        match record {
            Err(error) => {
                let line = error.position().map_or(0, csv::Position::line);
                bad.push(BadRow { line, says: "It is not a row of this file.".to_owned() });
            }
            Ok(record) => {
                let line = record.position().map_or(0, csv::Position::line);
                match copied(&record) {
                    Ok(Some(copy)) => copies.push(copy),
                    Ok(None) => {}
                    Err(says) => bad.push(BadRow { line, says }),
                }
            }
        }
    }
    (copies, bad)
}

fn copied(record: &csv::StringRecord) -> Result<Option<Copied>, String> {
    if record.iter().all(|f| f.trim().is_empty()) {
        return Ok(None);
    }
    // A spreadsheet fills short rows up with empty fields.
    let fields: Vec<&str> = record.iter().collect();
    let kept = fields.iter().rposition(|f| !f.is_empty()).map_or(0, |at| at + 1);
    let fields = fields.into_iter().take(kept).skip(OWN);
    let entry = line::read(&line::of_fields(fields))?;
    let (mark, corrects) = (record.get(1).unwrap_or(""), record.get(2).unwrap_or(""));
    let said = |text: &str| (!text.trim().is_empty()).then(|| text.trim().to_owned());
    let corrects = said(corrects);
    let line = line::of(&entry);
    let fits = |mark: &str| {
        (0..SAME).any(|same| super::mark::of(&line, corrects.as_deref(), same) == mark)
    };
    match said(mark) {
        // A row added by hand has no mark yet.
        None => Ok(Some(Copied {
            mark: super::mark::of(&line, corrects.as_deref(), 0),
            entry,
            corrects,
        })),
        Some(mark) if fits(&mark) => Ok(Some(Copied { mark, entry, corrects })),
        Some(_) => Err(format!(
            "It was changed since it was exported (\"{line}\"). To correct an entry, use \
             `log RIG add ... --correct NUMBER`; to add this as a new one, clear its mark."
        )),
    }
}

//! From text to a TOML document, whatever is wrong with it: a line that is no TOML is named,
//! taken out and the rest is read.

use crate::fault::{Fault, Trouble};
use crate::place;
use crate::spans::Lines;
use toml_edit::Document;

/// How many broken lines are taken out before the rest is given up.
const TRIES: usize = 20;

/// What could be read of a text.
pub(crate) struct Parsed {
    /// The document with the broken lines left blank; every offset is that of the owner's text.
    pub(crate) document: Document<String>,
    /// What was broken.
    pub(crate) faults: Vec<Fault>,
    /// The lines taken out, as the owner wrote them.
    pub(crate) lost: Vec<String>,
}

/// Reads what can be read.
pub(crate) fn parse(text: &str, lines: &Lines) -> Parsed {
    let mut left = text.to_owned();
    let mut faults: Vec<Fault> = Vec::new();
    let mut lost = Vec::new();
    let mut mended: Vec<usize> = Vec::new();
    for _ in 0..TRIES {
        let error = match Document::parse(left.clone()) {
            Ok(document) => return Parsed { document, faults, lost },
            Err(error) => error,
        };
        let at = error.span().map_or(0, |s| s.start).min(left.len());
        let left_lines = Lines::of(&left);
        let Some(broken) = place::broken(&left_lines, left_lines.place(at).0 - 1, &error) else {
            break;
        };
        let span = lines.range(broken.blame);
        let start = span.start + lines.line(broken.blame).len()
            - lines.line(broken.blame).trim_start().len();
        let trouble = place::trouble(&left_lines, &broken, &error);
        faults.push(trouble.at("", start.min(span.end)..span.end, lines));
        if let Some(header) = broken.header.filter(|_| !mended.contains(&broken.blame)) {
            mended.push(broken.blame);
            mend(&mut left, &left_lines, broken.blame, &header);
            continue;
        }
        for line in broken.first..=broken.last {
            lost.push(left_lines.line(line).to_owned());
            blank(&mut left, &left_lines, line);
        }
    }
    match Document::parse(left) {
        Ok(document) => Parsed { document, faults, lost },
        Err(_) => gave_up(text, faults, lines),
    }
}

/// Replaces a line by spaces, so that every other offset stays.
fn blank(text: &mut String, lines: &Lines, line: usize) {
    let range = lines.range(line);
    let spaces = " ".repeat(range.len());
    text.replace_range(range, &spaces);
}

/// Puts the header that was meant in the place of one that cannot be read, within its room.
fn mend(text: &mut String, lines: &Lines, line: usize, header: &str) {
    let range = lines.range(line);
    let spaces = " ".repeat(range.len().saturating_sub(header.len()));
    text.replace_range(range, &format!("{header}{spaces}"));
}

fn gave_up(text: &str, mut faults: Vec<Fault>, lines: &Lines) -> Parsed {
    let says = format!("More than {TRIES} lines could not be read; the file is not read at all.");
    let write = "Mend the lines named above first.".to_owned();
    faults.push(Trouble::error(says, write).at("", 0..0, lines));
    let document = Document::parse(String::new());
    // An empty text is a whole, empty document.
    let document = document.unwrap_or_else(|e| unreachable!("an empty text is TOML: {e}"));
    Parsed { document, faults, lost: text.lines().map(str::to_owned).collect() }
}

/// Whether a lost line spoke of a key or a name, so that its absence is not told twice.
pub(crate) fn spoke_of(lost: &[String], word: &str) -> bool {
    let letter = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
    let whole = |line: &str, at: usize| {
        let (before, after) = (line.get(..at), line.get(at + word.len()..));
        let before = before.and_then(|t| t.chars().next_back());
        !letter(before) && !letter(after.and_then(|t| t.chars().next()))
    };
    !word.is_empty()
        && lost.iter().any(|line| line.match_indices(word).any(|(at, _)| whole(line, at)))
}

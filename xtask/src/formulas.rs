//! Reads the formula comments of the engine.

use crate::tree::File;

/// The headings of a formula comment, in order.
pub(crate) const HEADINGS: [&str; 5] = ["Formula", "Symbols", "Valid", "Source", "Checked by"];

/// A function with a formula comment.
pub(crate) struct Formula {
    /// Its name.
    pub(crate) name: String,
    /// The line of its `fn`.
    pub(crate) line: usize,
    /// The first sentence.
    pub(crate) says: String,
    parts: Vec<(String, String)>,
}

impl Formula {
    /// The text under a heading.
    pub(crate) fn part(&self, heading: &str) -> Option<&str> {
        self.parts.iter().find(|p| p.0 == heading).map(|p| p.1.as_str())
    }
}

/// Every function of a file whose comment has a formula.
pub(crate) fn of(file: &File) -> Vec<Formula> {
    let mut found = Vec::new();
    let mut comment: Vec<&str> = Vec::new();
    for (number, line) in file.text.lines().enumerate() {
        let line = line.trim();
        if let Some(text) = line.strip_prefix("///") {
            comment.push(text.strip_prefix(' ').unwrap_or(text));
            continue;
        }
        if line.starts_with("#[") || line.starts_with("reason =") || line == ")]" {
            continue;
        }
        if let Some(name) = function_name(line)
            && comment.iter().any(|l| l.trim() == "# Formula")
        {
            found.push(read(name, number + 1, &comment));
        }
        comment.clear();
    }
    found
}

fn function_name(line: &str) -> Option<&str> {
    let rest = line
        .strip_prefix("pub fn ")
        .or_else(|| line.strip_prefix("pub const fn "))
        .or_else(|| line.strip_prefix("pub(crate) fn "))
        .or_else(|| line.strip_prefix("fn "))?;
    rest.split(['(', '<']).next()
}

fn read(name: &str, line: usize, comment: &[&str]) -> Formula {
    let mut says = String::new();
    let mut parts: Vec<(String, String)> = Vec::new();
    for text in comment {
        if let Some(heading) = text.strip_prefix("# ") {
            parts.push((heading.trim().to_owned(), String::new()));
        } else if let Some(part) = parts.last_mut() {
            part.1.push_str(text);
            part.1.push('\n');
        } else if !text.is_empty() {
            says.push_str(text);
            says.push(' ');
        }
    }
    Formula { name: name.to_owned(), line, says: says.trim().to_owned(), parts }
}

//! Which line is to blame when a text is no TOML, and what the owner meant to write.

use crate::fault::Trouble;
use crate::spans::Lines;
use crate::target::pieces;
use crate::words;
use toml_edit::TomlError;

/// The lines to take out, and the one to point at.
pub(crate) struct Broken {
    pub(crate) blame: usize,
    pub(crate) first: usize,
    pub(crate) last: usize,
    /// The header as it was meant, where it takes no more room than what stands there.
    pub(crate) header: Option<String>,
}

/// How far back an unclosed bracket is looked for.
const REACH: usize = 40;

/// Finds the line to blame; `None` when nothing is left to take out.
pub(crate) fn broken(lines: &Lines, at: usize, error: &TomlError) -> Option<Broken> {
    let at = at.min(lines.count().saturating_sub(1));
    if let Some(open) = unclosed_above(lines, at) {
        let last = at.saturating_sub(1).max(open);
        return Some(Broken { blame: open, first: open, last, header: None });
    }
    let full = |line: &usize| !lines.line(*line).trim().is_empty();
    let before = (0..=at).rev().find(full);
    let blame = before.or_else(|| (at..lines.count()).find(full))?;
    // The keys under a header that cannot be read would fall to the table before it.
    let line = lines.line(blame);
    let twice = error.message().contains("duplicate");
    let header = Some(meant_header(line)).filter(|_| is_header(line) && !twice);
    let header = header.filter(|h| h.len() <= line.len() && h != line.trim());
    let last = if is_header(line) && header.is_none() {
        let next = (blame + 1..lines.count()).find(|l| is_header(lines.line(*l)));
        next.map_or(lines.count(), |n| n).saturating_sub(1).max(blame)
    } else {
        blame
    };
    Some(Broken { blame, first: blame, last, header })
}

fn is_header(line: &str) -> bool {
    let line = line.trim();
    (line.starts_with('[') && !line.contains(',')) || lacks_its_bracket(line)
}

/// `lead.8]`: a header without its opening bracket, not the end of a list.
fn lacks_its_bracket(line: &str) -> bool {
    let Some(name) = line.strip_suffix(']') else {
        return false;
    };
    let plain = |c: char| c.is_alphanumeric() || " _-.\"".contains(c);
    name.starts_with(|c: char| c.is_ascii_alphabetic()) && name.chars().all(plain)
}

fn starts_statement(line: &str) -> bool {
    let line = line.trim_start();
    let key = line.split('=').next().unwrap_or("");
    let plain = |c: char| c.is_alphanumeric() || " _-.\"'".contains(c);
    is_header(line) || (line.contains('=') && !key.trim().is_empty() && key.chars().all(plain))
}

/// A list or brace that is opened above and not closed before another statement begins.
fn unclosed_above(lines: &Lines, at: usize) -> Option<usize> {
    if at == 0 {
        return None;
    }
    if !starts_statement(lines.line(at)) && at + 1 < lines.count() {
        return None;
    }
    let first = at.saturating_sub(REACH);
    let start = (first..at).rev().find(|l| starts_statement(lines.line(*l)))?;
    if is_header(lines.line(start)) {
        return None;
    }
    let depth: i32 = (start..at).map(|l| depth(lines.line(l))).sum();
    (depth > 0).then_some(start)
}

/// Brackets opened less brackets closed on a line, outside of texts and comments.
fn depth(line: &str) -> i32 {
    let mut depth = 0;
    let mut inside = None;
    for c in line.chars() {
        match (inside, c) {
            (None, '"' | '\'') => inside = Some(c),
            (Some(quote), c) if c == quote => inside = None,
            (None, '[' | '{') => depth += 1,
            (None, ']' | '}') => depth -= 1,
            (None, '#') => break,
            _ => {}
        }
    }
    depth
}

/// What is wrong with a line and how to write it.
pub(crate) fn trouble(lines: &Lines, broken: &Broken, error: &TomlError) -> Trouble {
    let line = lines.line(broken.blame).trim();
    if error.message().contains("duplicate") {
        return twice(lines, broken, line);
    }
    if depth(line) > 0 && !is_header(line) {
        let says = "A bracket or brace opened here is not closed.".to_owned();
        return Trouble::error(says, "Close it with ] or }.".to_owned());
    }
    if is_header(line) {
        return header(line, broken.header.is_some());
    }
    if line.starts_with("//") || line.starts_with(';') || line.starts_with("--") {
        let says = "This line is no key and no comment.".to_owned();
        return Trouble::error(says, "Begin a comment with #.".to_owned());
    }
    if line.contains(['“', '”', '„', '‘', '’']) {
        let says = "The quotes on this line are typographic ones.".to_owned();
        let straight = line.replace(['“', '”', '„', '‘', '’'], "\"");
        return Trouble::error(says, format!("Write {straight}"));
    }
    statement(line)
}

fn twice(lines: &Lines, broken: &Broken, line: &str) -> Trouble {
    let same = |l: &usize| key_of(lines.line(*l)) == key_of(line);
    let from = if is_header(line) { 0 } else { section_start(lines, broken.blame) };
    let first = (from..broken.blame).find(same);
    let first = first.map_or(String::new(), |l| format!(", first on line {}", l + 1));
    if is_header(line) {
        let says = format!("{line} stands twice{first}; what is under the second is not read.");
        let write = "Give the second a name of its own, or put its keys under the first.";
        return Trouble::error(says, write.to_owned());
    }
    let says = format!("\"{}\" stands twice{first}; the second is not read.", key_of(line));
    Trouble::error(says, "Keep one of the two.".to_owned())
}

fn section_start(lines: &Lines, at: usize) -> usize {
    (0..at).rev().find(|l| is_header(lines.line(*l))).unwrap_or(0)
}

fn key_of(line: &str) -> &str {
    let line = line.trim();
    if is_header(line) { line } else { line.split('=').next().unwrap_or(line).trim() }
}

fn header(line: &str, still_read: bool) -> Trouble {
    if toml_edit::Document::parse(line).is_ok() {
        let says =
            format!("{line} clashes with what stands above it; what is under it is not read.");
        let write = "Put its keys where the same thing is written above.".to_owned();
        return Trouble::error(says, write);
    }
    let rest = if still_read { "" } else { " What is under it is not read." };
    let says = format!("\"{line}\" is no table header.{rest}");
    Trouble::error(says, format!("Write {}.", meant_header(line)))
}

/// A header as it was probably meant: closed, with dots between its pieces.
fn meant_header(line: &str) -> String {
    let name = line.trim().trim_start_matches('[');
    let name = name.split([']', '#']).next().unwrap_or(name).trim();
    let mut pieces = pieces(name);
    if let [one] = pieces.as_slice()
        && let Some((group, rest)) = one.split_once([' ', ':', '/'])
    {
        pieces = vec![group.trim().to_owned(), rest.trim().to_owned()];
    }
    let pieces: Vec<String> = pieces.iter().map(|p| words::bare(p)).collect();
    if pieces == ["bank"] && (line.contains("[[") || line.contains("]]")) {
        return "[[bank]]".to_owned();
    }
    format!("[{}]", pieces.join("."))
}

fn statement(line: &str) -> Trouble {
    let Some((key, value)) = line.split_once('=') else {
        if let Some((key, value)) = line.split_once(':') {
            let says = "A key and its value are parted by =, not by a colon.".to_owned();
            let write = format!("Write {} = {}", key.trim(), as_value(value));
            return Trouble::error(says, write);
        }
        let says = format!("{} is no key with a value.", words::quoted(line));
        return Trouble::error(says, "Write key = value, or begin a comment with #.".to_owned());
    };
    let (key, value) = (key.trim(), value.trim());
    if key.contains(' ') && !key.contains('"') {
        let says = format!("\"{key}\" has a space and so is no key.");
        let write = format!("Write {} = {}", key.replace(' ', "_"), as_value(value));
        return Trouble::error(says, write);
    }
    if value.is_empty() || value.starts_with('#') {
        let says = format!("\"{key}\" has no value.");
        return Trouble::error(says, "Write a value after the =, or take the line out.".to_owned());
    }
    let right = as_value(value);
    let says = if value.matches('"').count() % 2 == 1 || value.matches('\'').count() % 2 == 1 {
        format!("The text of \"{key}\" lacks a quote.")
    } else if right == "true" || right == "false" {
        format!("{value} is written {right} in this file.")
    } else if !right.starts_with('"') && value.contains(',') {
        format!("{value} has a decimal comma; a point is read here.")
    } else if right.starts_with('"') && !value.contains('"') {
        format!("The text of \"{key}\" wants quotes around it.")
    } else {
        format!("The value of \"{key}\" cannot be read as it stands.")
    };
    Trouble::error(says, format!("Write {key} = {right}"))
}

/// A value as it was probably meant: true, a number with a point, or a text in quotes.
fn as_value(value: &str) -> String {
    let value = value.trim_start_matches(['=', ' ', '$', '€', '£']);
    let value = value.trim().trim_end_matches([',', ';', '€']);
    let body = value.trim_matches(['"', '\'']).trim();
    match body.to_lowercase().as_str() {
        "yes" | "true" | "on" => return "true".to_owned(),
        "no" | "false" | "off" => return "false".to_owned(),
        _ => {}
    }
    let number = |text: &str| text.parse::<f64>().is_ok_and(f64::is_finite);
    // A number with an inch sign: 40" or "40\"".
    let inches =
        value.strip_suffix('"').map(|v| v.trim_start_matches('"').trim_end_matches(['"', '\\']));
    if let Some(inches) = inches.filter(|v| number(v) && value.matches('"').count() % 2 == 1) {
        return format!("\"{inches} in\"");
    }
    let pointed = body.replacen(',', ".", 1);
    if !value.contains('"') && number(&pointed) {
        let trimmed = pointed.trim_start_matches('0');
        let lead = if trimmed.is_empty() || trimmed.starts_with('.') { "0" } else { "" };
        return format!("{lead}{trimmed}");
    }
    let body = body.replace(['"', '\\'], "");
    format!("\"{}\"", body.chars().take(60).collect::<String>())
}

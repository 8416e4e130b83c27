//! The bibliography: every source that a row in `data/` may name.
//!
//! `data/sources.toml` is held to a subset of TOML that forty lines can read: comments, blank
//! lines, `[key]`, and `name = "text"` without escapes. Anything else is an error that names the line.

use super::error::TableError;
use std::collections::BTreeMap;

const FILE: &str = "sources.toml";

/// One source.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Source {
    /// Who wrote it; empty where nobody is named.
    pub author: String,
    /// Its title.
    pub title: String,
    /// Its edition; empty where none is known.
    pub edition: String,
    /// Who publishes it.
    pub publisher: String,
    /// What of it was really read.
    pub read: String,
}

impl Source {
    /// Its title inside a sentence: what nobody signed begins small, and what is withheld stands in
    /// brackets.
    #[must_use]
    pub fn inside(&self) -> String {
        let unsigned = self.author.is_empty() && self.publisher.is_empty();
        let mut letters = self.title.chars();
        let first = letters.next();
        let small = letters.clone().next().is_none_or(|c| c.is_lowercase() || !c.is_alphabetic());
        let title = match first.filter(|_| unsigned && small) {
            Some(first) => first.to_lowercase().chain(letters).collect(),
            None => self.title.clone(),
        };
        match title.rsplit_once([',', ';']) {
            Some((before, after)) if after.trim_end().ends_with("withheld") => {
                format!("{before} ({})", after.trim())
            }
            _ => title,
        }
    }
}

/// Every source by its key.
#[derive(Debug)]
pub struct Sources {
    by_key: BTreeMap<String, Source>,
}

impl Sources {
    /// Reads the file.
    pub fn parse(text: &str) -> Result<Self, TableError> {
        let mut by_key: BTreeMap<String, Source> = BTreeMap::new();
        let mut key: Option<&str> = None;
        for (index, line) in text.lines().enumerate() {
            let (number, line) = (index + 1, line.trim());
            if line.is_empty() || line.starts_with('#') {
                continue;
            }
            if let Some(name) = line.strip_prefix('[').and_then(|l| l.strip_suffix(']')) {
                check_key(name, number)?;
                if by_key.insert(name.to_owned(), Source::default()).is_some() {
                    return Err(TableError::line(FILE, number, &format!("[{name}] stands twice")));
                }
                key = Some(name);
                continue;
            }
            let (name, value) = field(line, number)?;
            let Some(source) = key.and_then(|k| by_key.get_mut(k)) else {
                return Err(TableError::line(FILE, number, "a field stands before any [key]"));
            };
            *slot(source, name, number)? = value.to_owned();
        }
        match by_key.iter().find(|(_, s)| s.title.is_empty() || s.read.is_empty()) {
            Some((k, _)) => Err(TableError::file(FILE, &format!("[{k}] lacks its title or read"))),
            None => Ok(Self { by_key }),
        }
    }

    /// The source of a key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Source> {
        self.by_key.get(key)
    }

    /// Every source with its key, sorted by key.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Source)> {
        self.by_key.iter().map(|(k, s)| (k.as_str(), s))
    }
}

fn check_key(name: &str, line: usize) -> Result<(), TableError> {
    let legal = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
    if !name.is_empty() && name.bytes().all(legal) {
        return Ok(());
    }
    let says = format!("[{name}] must be small letters, digits and hyphens");
    Err(TableError::line(FILE, line, &says))
}

fn field(line: &str, number: usize) -> Result<(&str, &str), TableError> {
    let shape = || TableError::line(FILE, number, "expected [key] or name = \"text\"");
    let (name, value) = line.split_once('=').ok_or_else(shape)?;
    let value = value.trim().strip_prefix('"').and_then(|v| v.strip_suffix('"'));
    let value = value.ok_or_else(shape)?;
    if value.contains(['"', '\\']) {
        return Err(TableError::line(FILE, number, "a text may hold no quote and no backslash"));
    }
    Ok((name.trim(), value))
}

fn slot<'s>(source: &'s mut Source, name: &str, line: usize) -> Result<&'s mut String, TableError> {
    match name {
        "author" => Ok(&mut source.author),
        "title" => Ok(&mut source.title),
        "edition" => Ok(&mut source.edition),
        "publisher" => Ok(&mut source.publisher),
        "read" => Ok(&mut source.read),
        _ => Err(TableError::line(FILE, line, &format!("no such field: \"{name}\""))),
    }
}

#[cfg(test)]
mod tests {
    use super::Sources;

    #[test]
    fn titles_stand_well_inside_a_sentence() {
        let says = |fields: &str| {
            let sources = Sources::parse(&format!("[a]\n{fields}\nread = \"all\"\n"));
            sources.ok().and_then(|s| s.get("a").map(super::Source::inside)).unwrap_or_default()
        };
        for (fields, want) in [
            (
                "title = \"Flooded battery data sheet, brand withheld\"",
                "flooded battery data sheet (brand withheld)",
            ),
            ("title = \"AGM maker's table, brand withheld\"", "AGM maker's table (brand withheld)"),
            (
                "title = \"Notes of three makers; names withheld\"",
                "notes of three makers (names withheld)",
            ),
            ("title = \"A note, in two parts\"", "a note, in two parts"),
            ("author = \"Office\"\ntitle = \"Lifting equation\"", "Lifting equation"),
            ("title = \"Nec\"\npublisher = \"Office\"", "Nec"),
        ] {
            assert_eq!(says(fields), want, "{fields}");
        }
    }

    #[test]
    fn reads_the_subset_it_promises() {
        let text = "# a comment\n\n[law-1]\nauthor = \"Office\"\ntitle = \"A law\"\nread = \"all of it\"\n";
        let sources = Sources::parse(text).expect("the text is in the subset");
        let law = sources.get("law-1").expect("the key is there");
        assert_eq!((law.author.as_str(), law.title.as_str()), ("Office", "A law"), "fields");
        assert_eq!(law.edition, "", "an absent field is empty");
        assert!(sources.get("law-2").is_none(), "no other key");
    }

    #[test]
    fn names_the_line_of_whatever_is_outside_it() {
        for (text, says) in [
            ("[a]\ntitle = \"x\"\ntitle : y\n", "line 3"),
            ("title = \"x\"\n", "line 1"),
            ("[A]\n", "line 1"),
            ("[a]\nread = \"x\\n\"\n", "line 2"),
            ("[a]\npages = \"3\"\n", "line 2"),
            ("[a]\ntitle = \"x\"\nread = \"y\"\n[a]\n", "line 4"),
            ("[a]\ntitle = \"x\"\n", "[a] lacks its title or read"),
        ] {
            let error = Sources::parse(text).expect_err("the text is outside the subset");
            assert!(error.to_string().contains(says), "{error} does not say {says}");
        }
    }
}

//! Where in the text each part of the design stands.

use std::collections::BTreeMap;
use std::ops::Range;

/// Turns byte offsets into lines and columns.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Lines {
    text: String,
    starts: Vec<usize>,
}

impl Lines {
    /// The lines of a text.
    pub(crate) fn of(text: &str) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(at, _)| at + 1);
        Self { text: text.to_owned(), starts: std::iter::once(0).chain(ends).collect() }
    }

    /// Line and character in it, both counted from 1.
    pub(crate) fn place(&self, offset: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|s| *s <= offset).max(1);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let end = offset.min(self.text.len());
        let before = self.text.get(start..end).map_or(0, |t| t.chars().count());
        (line, before + 1)
    }

    /// How many lines there are.
    pub(crate) fn count(&self) -> usize {
        self.starts.len()
    }

    /// The bytes of a line, counted from 0, without its line end.
    pub(crate) fn range(&self, line: usize) -> Range<usize> {
        let start = self.starts.get(line).copied().unwrap_or(self.text.len());
        let end = self.starts.get(line + 1).copied().unwrap_or(self.text.len());
        let body = self.text.get(start..end).unwrap_or("");
        start..start + body.trim_end_matches(['\n', '\r']).len()
    }

    /// The text of a line, counted from 0.
    pub(crate) fn line(&self, line: usize) -> &str {
        self.text.get(self.range(line)).unwrap_or("")
    }
}

/// Where one thing stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// Bytes in the text: the value of a key, the name in the header of a table.
    pub range: Range<usize>,
    /// Line, counted from 1.
    pub line: usize,
}

/// Where every table and every key of the file stands, by dotted path.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spans {
    places: BTreeMap<String, Span>,
}

impl Spans {
    /// Remembers a place; the first one stays.
    pub(crate) fn put(&mut self, path: &str, range: Range<usize>, lines: &Lines) {
        let line = lines.place(range.start).0;
        self.places.entry(path.to_owned()).or_insert(Span { range, line });
    }

    /// The place of exactly this path.
    #[must_use]
    pub fn get(&self, path: &str) -> Option<&Span> {
        self.places.get(path)
    }

    /// The place of a path or of the nearest thing around it that stands in the file.
    #[must_use]
    pub fn nearest(&self, path: &str) -> Option<&Span> {
        let mut path = path;
        loop {
            if let Some(span) = self.places.get(path) {
                return Some(span);
            }
            path = path.rsplit_once('.')?.0;
        }
    }

    /// The line of a path, counted from 1, or of the nearest thing around it.
    #[must_use]
    pub fn line_of(&self, path: &str) -> Option<usize> {
        self.nearest(path).map(|s| s.line)
    }

    /// Every path with its place, in order of the paths.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Span)> {
        self.places.iter().map(|(path, span)| (path.as_str(), span))
    }
}

#[cfg(test)]
mod tests {
    use super::{Lines, Spans};

    #[test]
    fn places_count_characters_and_lines_from_one() {
        let lines = Lines::of("a\r\nß = 1\n");
        assert_eq!(lines.place(0), (1, 1), "first character");
        assert_eq!(lines.place(3), (2, 1), "first of the second line");
        assert_eq!(lines.place(5), (2, 2), "ß is one character of two bytes");
        assert_eq!(lines.line(0), "a", "no line end");
        assert_eq!(lines.place(99), (3, 1), "past the end is the end");
    }

    #[test]
    fn a_path_without_a_place_falls_back_to_what_is_around_it() {
        let lines = Lines::of("one\ntwo\n");
        let mut spans = Spans::default();
        spans.put("lead.8", 4..7, &lines);
        assert_eq!(spans.line_of("lead.8.size"), Some(2), "the table's line");
        assert_eq!(spans.line_of("bank"), None, "nothing around it");
    }
}

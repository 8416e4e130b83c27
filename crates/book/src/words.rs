//! Words as they are set: blanks to write on, signs of findings, the tick box.

use super::lettering::BLANK;
use engine::cite::Status;
use engine::finding::Severity;
use maud::{Markup, PreEscaped, html};

/// Text with every run of underscores as a blank to write on.
pub(crate) fn text(words: &str) -> Markup {
    let mut pieces = words.split(BLANK);
    let first = pieces.next().unwrap_or_default();
    html! {
        (first)
        @for piece in pieces { span.blank {} (piece.trim_start_matches('_')) }
    }
}

/// A path in the design file, which may break after each of its points.
pub(crate) fn path(words: &str) -> Markup {
    html! { @for (index, part) in words.split('.').enumerate() { @if index > 0 { "." wbr; } (part) } }
}

/// A finding's sign: an octagon with a cross, a triangle with a mark, a ring; its word stands beside.
#[must_use]
pub fn sign(severity: Severity) -> Markup {
    let shape = match severity {
        Severity::Stop => {
            "<path class=\"stop\" d=\"M6 1h8l5 5v8l-5 5H6l-5-5V6z\"/>\
             <path class=\"cut\" d=\"M6.5 6.5l7 7m0-7l-7 7\"/>"
        }
        Severity::Fix => {
            "<path class=\"fix\" d=\"M10 2L19 18H1z\"/><path class=\"mark\" d=\"M10 8v5m0 1.6v1.2\"/>"
        }
        Severity::Note => {
            "<circle class=\"note\" cx=\"10\" cy=\"10\" r=\"8\"/>\
             <path class=\"mark\" d=\"M10 9v5.5M10 5.4v1.4\"/>"
        }
    };
    html! {
        svg.sign viewBox="0 0 20 20" aria-hidden="true" focusable="false" { (PreEscaped(shape)) }
        " "
        b.word.(severity.word().to_lowercase()) { (severity.word()) }
    }
}

/// A mark after a figure that does not rest on a text that was read.
pub(crate) const fn footnote(status: Status) -> &'static str {
    match status {
        Status::Recalled => "\u{a0}*",
        Status::Practice => "\u{a0}+",
        Status::Read | Status::Reprint | Status::Computed => "",
    }
}

/// What the marks mean, for the foot of a table.
pub(crate) const FOOTNOTES: &str = "* rests on a figure from memory, not verified. + rests on common \
     practice without a source. The pages at the back name each.";

/// A first letter made a capital.
#[must_use]
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// One thing or several: `1 lead`, `3 leads`.
#[must_use]
pub fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
}

/// Things in a sentence: `a, b and c`.
pub(crate) fn listed(things: &[String]) -> String {
    match things {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::{listed, text};

    #[test]
    fn underscores_become_a_blank() {
        let html = text("torque, write it here ______; then").into_string();
        assert_eq!(html, "torque, write it here <span class=\"blank\"></span>; then", "one blank");
        assert_eq!(text("a < b").into_string(), "a &lt; b", "signs are escaped");
    }

    #[test]
    fn things_are_listed_as_a_person_would() {
        let of = |n: usize| listed(&["a", "b", "c"].map(str::to_owned)[..n]);
        assert_eq!(
            (of(0).as_str(), of(1).as_str(), of(3).as_str()),
            ("", "a", "a, b and c"),
            "lists"
        );
    }
}

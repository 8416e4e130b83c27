//! What must be decided before anything else: work that was not saved, a file that somebody changed.

use super::common::{wish, wish_flag};
use crate::web::session::Session;
use maud::{Markup, html};

/// Most lines shown of what differs.
const LINES: usize = 24;

/// The questions that stand open; mostly none.
pub(super) fn piece(session: &Session) -> Markup {
    html! {
        @if let Some(unsaved) = &session.offer {
            section.ask aria-label="Work that was not saved" {
                h2 { "There is work here that was not saved" }
                p { "The last time this design was open it was left before it was saved. Take that work up, or leave it for good." }
                (differences(session.store.known(), unsaved, ("in the file", "not saved")))
                button type="button" data-key="restore" data-do=(wish_flag("restore", ("take", true))) { "Take it up" }
                button type="button" data-key="leave" data-do=(wish_flag("restore", ("take", false))) { "Leave it for good" }
            }
        }
        @if let Some(theirs) = &session.theirs {
            section.ask aria-label="The file was changed" {
                h2 { "Somebody else has changed the file" }
                p { "Nothing was written. Whichever goes on, the other is laid beside it as a file of its own." }
                (differences(theirs, &session.draft.text, ("on disk", "yours")))
                button type="button" data-key="settle mine" data-do=(wish(&[("do", "settle"), ("keep", "mine")])) { "Mine goes on" }
                button type="button" data-key="settle theirs" data-do=(wish(&[("do", "settle"), ("keep", "theirs")])) { "The one on disk goes on" }
            }
        }
    }
}

/// The lines that are only in one of two texts.
fn differences(a: &str, b: &str, (of_a, of_b): (&str, &str)) -> Markup {
    let only = |one: &str, other: &str| -> Vec<String> {
        let other: std::collections::BTreeSet<&str> = other.lines().collect();
        let lines = one.lines().filter(|l| !l.trim().is_empty() && !other.contains(l));
        lines.map(str::to_owned).collect()
    };
    let (only_a, only_b) = (only(a, b), only(b, a));
    let list = |of: &str, lines: &[String]| {
        html! {
            div {
                h3 { "Only " (of) }
                @if lines.is_empty() { p { "nothing" } }
                @else { pre tabindex="0" { @for line in lines.iter().take(LINES) { (line) "\n" } @if LINES < lines.len() { "and " (lines.len() - LINES) " lines more" } } }
            }
        }
    };
    html! { div.two { (list(of_a, &only_a)) (list(of_b, &only_b)) } }
}

//! Shows faults with their lines and a mark under the place, for a terminal or a page.

use crate::fault::{Fault, Severity};
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use std::ops::Range;

/// Every fault with its line, a mark under the place and what to write. No colour.
#[must_use]
pub fn render(text: &str, file_name: &str, faults: &[Fault]) -> String {
    rendered(text, file_name, faults, &Renderer::plain())
}

/// The same in colour, for a terminal that has it.
#[must_use]
pub fn render_coloured(text: &str, file_name: &str, faults: &[Fault]) -> String {
    rendered(text, file_name, faults, &Renderer::styled())
}

fn rendered(text: &str, file_name: &str, faults: &[Fault], renderer: &Renderer) -> String {
    let mut page = String::new();
    for fault in faults {
        let level = match fault.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let mut group = if fault.line == 0 || text.is_empty() {
            Group::with_title(level.primary_title(fault.says.as_str()))
        } else {
            let span = marked(text, &fault.span);
            level.primary_title(fault.says.as_str()).element(
                Snippet::source(text)
                    .path(file_name)
                    .annotation(AnnotationKind::Primary.span(span)),
            )
        };
        if !fault.write.is_empty() {
            group = group.element(Level::HELP.message(fault.write.as_str()));
        }
        page.push_str(&renderer.render(&[group]));
        page.push_str("\n\n");
    }
    page
}

/// The span cut to whole characters of the text, at most to the end of its first line.
fn marked(text: &str, span: &Range<usize>) -> Range<usize> {
    let floor = |at: usize| {
        let at = at.min(text.len());
        (0..=at).rev().find(|a| text.is_char_boundary(*a)).unwrap_or(0)
    };
    let start = floor(span.start);
    let end = floor(span.end).max(start);
    let first = text[start..end].find('\n').map_or(end, |n| start + n);
    start..first
}

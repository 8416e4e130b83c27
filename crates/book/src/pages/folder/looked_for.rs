//! What professionals look for, where the folder shows it, and what the checks say of it.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use crate::words::{FOOTNOTES, footnote, listed};
use engine::finding::{Finding, Severity};
use engine::hand_over::{HandOver, Item};

pub(super) fn chapter(cx: &Context<'_>, lists: &HandOver<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "The rig is looked at, not this page: it only says where to look. \"Nothing found\" means \
         that the rules named read the design and have nothing to say of it.",
    );
    let mut table = Table::new(vec![
        figures("no.", 0.4),
        words("looked for", 5.3),
        words("shown on", 1.2),
        words("the checks say", 2.3),
        words("initials", 0.8),
    ]);
    for item in &lists.items {
        table.row(vec![
            item.looked.number.to_string().into(),
            format!("{}{}", item.looked.what, footnote(item.looked.cite.status)).into(),
            shown(cx, item).into(),
            says(item).into(),
            Cell::Write,
        ]);
    }
    parts.push(table);
    parts.paragraph(FOOTNOTES);
    Chapter { parts: parts.all, ..plain("looked-for", "What professionals look for", "looked-for") }
}

/// On which pages it is shown.
fn shown(cx: &Context<'_>, item: &Item<'_>) -> String {
    if item.looked.sheets.iter().any(|s| s == "book") {
        return "build book".to_owned();
    }
    let mut pages: Vec<usize> = item.looked.sheets.iter().filter_map(|s| cx.page(s)).collect();
    pages.sort_unstable();
    let named: Vec<String> = pages.iter().map(ToString::to_string).collect();
    match named.as_slice() {
        [] => "at the rig".to_owned(),
        [one] => format!("page {one}"),
        many => format!("pages {}", listed(many)),
    }
}

/// What stands against it, worst first; a note is no fault.
fn says(item: &Item<'_>) -> String {
    let against = |f: &&&Finding| f.severity != Severity::Note;
    let mut open: Vec<String> = Vec::new();
    for finding in item.findings.iter().filter(against) {
        let line = format!("{} {} {}", finding.severity.word(), finding.code, finding.part);
        if !open.contains(&line) {
            open.push(line);
        }
    }
    if !open.is_empty() {
        return open.join("; ");
    }
    if item.looked.rules.is_empty() {
        return "no rule can see it".to_owned();
    }
    let rules: Vec<String> = item.looked.rules.iter().map(ToString::to_string).collect();
    format!("nothing found ({})", rules.join(", "))
}

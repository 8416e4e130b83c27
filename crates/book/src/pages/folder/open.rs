//! What still stands against the design, each with room to write how it was settled.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use engine::finding::{Finding, Severity};

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let findings = &cx.input.report.findings;
    let open: Vec<&Finding> = findings.iter().filter(|f| f.severity != Severity::Note).collect();
    let notes = findings.len() - open.len();
    if open.is_empty() {
        parts.paragraph(&format!(
            "No STOP and no FIX stands against the design at this stage. {notes} notes stand in the \
             build book."
        ));
        return Chapter { parts: parts.all, ..plain("findings", "Open findings", "open") };
    }
    parts.paragraph(&format!(
        "Whoever keeps this folder sees what was open when it was printed: {} of these, and {notes} \
         notes in the build book. A line is settled when it is written how, by whom and when.",
        open.len()
    ));
    let mut table = Table::new(vec![
        words("finding", 1.0),
        words("what is", 3.8),
        words("what to do", 3.0),
        words("settled: how, by whom, when", 2.2),
    ]);
    for finding in open {
        table.row(vec![
            Cell::Bold(format!("{} {}", finding.severity.word(), finding.code)),
            finding.says.as_str().into(),
            finding.remedy.as_str().into(),
            Cell::Write,
        ]);
    }
    parts.push(table);
    Chapter { parts: parts.all, ..plain("findings", "Open findings", "open") }
}

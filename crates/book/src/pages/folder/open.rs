//! What still stands against the design, each with room to write how it was settled.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use engine::finding::{Finding, Severity};

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let findings = &cx.input.report.findings;
    let (notes, open): (Vec<&Finding>, Vec<&Finding>) =
        findings.iter().partition(|f| f.severity == Severity::Note);
    if open.is_empty() {
        parts.paragraph("No STOP and no FIX stands against the design at this stage.");
    } else {
        parts.paragraph(&format!(
            "What was open when this was printed: {} findings. A line is settled when it is written \
             how, by whom and when.",
            open.len()
        ));
        parts.push(table(&open));
    }
    if !notes.is_empty() {
        parts.heading("Worth knowing");
        for note in notes {
            parts.paragraph(&format!("{} {}", note.code, note.says));
        }
    }
    Chapter { parts: parts.all, ..plain("findings", "Open findings", "open") }
}

fn table(open: &[&Finding]) -> Table {
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
    table
}

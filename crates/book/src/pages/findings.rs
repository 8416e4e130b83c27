//! Every finding of the stage as a margin note, worst first.

use super::plain;
use crate::book::Context;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece};
use crate::words::{listed, sign, text};
use engine::finding::{Finding, Severity};
use maud::html;

/// Width of the column with the sign and the rule [mm].
const MARGIN: f64 = 26.0;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let report = cx.input.report;
    if report.findings.is_empty() {
        return None;
    }
    let mut parts = Parts::new(cx.width);
    let count = |s: Severity| report.findings.iter().filter(|f| f.severity == s).count();
    parts.paragraph(&format!(
        "{} STOP, {} FIX, {} NOTE. What is, then in bold what to do, then why.",
        count(Severity::Stop),
        count(Severity::Fix),
        count(Severity::Note)
    ));
    for finding in &report.findings {
        parts.push(note(finding, cx.width));
    }
    Some(Chapter { parts: parts.all, ..plain("findings", "What the checks found", "findings") })
}

fn note(finding: &Finding, width: f64) -> Piece {
    let column = width - MARGIN;
    let holds = if finding.blocks.is_empty() {
        String::new()
    } else {
        let gates: Vec<String> = finding.blocks.iter().map(|g| g.word().to_owned()).collect();
        format!("It holds the gate to {}.", listed(&gates))
    };
    let mut from: Vec<String> = Vec::new();
    for cite in &finding.sources {
        let line = format!("{}, {} ({})", cite.key, cite.place, cite.status.says());
        if !from.contains(&line) {
            from.push(line);
        }
    }
    let sources =
        if from.is_empty() { String::new() } else { format!("From: {}.", from.join("; ")) };
    let height = Size::Body.height(&finding.says, column)
        + Size::Body.height(&finding.remedy, column)
        + Size::Body.height(&finding.why, column)
        + Size::Body.height(&holds, column)
        + Size::Small.height(&sources, column)
        + 5.0;
    let html = html! {
        div.finding {
            div { (sign(finding.severity)) " " br; span.small { (finding.code) } }
            div {
                p { (text(&finding.says)) }
                p.remedy { (text(&finding.remedy)) }
                p { (text(&finding.why)) }
                @if !holds.is_empty() { p { b { (holds) } } }
                @if !sources.is_empty() { p.small { (text(&sources)) } }
            }
        }
    };
    Piece::new(html, height)
}

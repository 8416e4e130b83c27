//! Every gate in the order it is met: what opens it, what holds it, on which page it stands.

use super::plain;
use super::step::anchor;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use engine::finding::{Finding, Gate, Severity};
use engine::plan::build::GateMark;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "Nobody goes past a gate until what it says is so and its reading is written down. A STOP \
         finding holds its gates shut on paper as it does in the tool.",
    );
    let mut table = Table::new(vec![
        words("gate", 0.9),
        words("on page", 1.6),
        words("do not go on unless", 4.4),
        words("held by", 1.7),
        words("passed: date, initials", 1.2),
    ]);
    let buy = held(cx, &[Gate::Buy]);
    table.row(vec![
        Cell::Bold("buy".to_owned()),
        where_is(cx, "shopping", "Shopping").into(),
        "every part on the list is the one meant, and no STOP stands against buying".into(),
        buy.into(),
        Cell::Write,
    ]);
    for (page, gate) in cx.input.build.gates() {
        table.row(vec![
            Cell::Bold(gate.mark.code().to_owned()),
            where_is(cx, &anchor(page.number), &page.title).into(),
            gate.unless.as_str().into(),
            held(cx, &gate.held_by).into(),
            Cell::Write,
        ]);
    }
    for gate in unmet(cx) {
        table.row(vec![
            Cell::Bold(gate.word().to_owned()),
            "this page: no step of this stage asks for it".into(),
            format!("no STOP stands against it; until then do not {}", gate.word()).into(),
            held(cx, &[gate]).into(),
            Cell::Write,
        ]);
    }
    parts.push(table);
    Chapter { parts: parts.all, ..plain("gates", "The gates, and what holds them", "gates") }
}

/// Gates that a STOP holds but that no page of the build asks for.
fn unmet(cx: &Context<'_>) -> Vec<Gate> {
    let asked = |gate: Gate| {
        let of = |mark: GateMark| mark.held_by().contains(&gate);
        gate == Gate::Buy || cx.input.build.gates().any(|(_, bar)| of(bar.mark))
    };
    let holds = |gate: Gate| cx.input.report.holding(gate).next().is_some();
    Gate::ALL.into_iter().filter(|g| holds(*g) && !asked(*g)).collect()
}

fn where_is(cx: &Context<'_>, anchor: &str, title: &str) -> String {
    cx.page(anchor).map_or_else(|| title.to_owned(), |p| format!("{p}, {title}"))
}

/// The STOP findings that hold any of these gates.
pub(super) fn holding<'a>(cx: &'a Context<'_>, gates: &'a [Gate]) -> Vec<&'a Finding> {
    let report = cx.input.report;
    let holds =
        |f: &&Finding| f.severity == Severity::Stop && f.blocks.iter().any(|b| gates.contains(b));
    report.findings.iter().filter(holds).collect()
}

fn held(cx: &Context<'_>, gates: &[Gate]) -> String {
    let findings = holding(cx, gates);
    if findings.is_empty() {
        return "no finding".to_owned();
    }
    let all: Vec<String> = findings.iter().map(|f| format!("STOP {} {}", f.code, f.part)).collect();
    all.join("; ")
}

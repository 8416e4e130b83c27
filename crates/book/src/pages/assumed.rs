//! What was assumed because nobody said, how to measure it, and how much it matters.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use crate::words::path;
use maud::html;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let assumed = &cx.input.report.assumed;
    if assumed.is_empty() {
        parts.paragraph("Nothing: every figure the tool needed was stated.");
    } else {
        parts.paragraph("Nobody said these, so the tool took a usual value. Measure what matters to you, write it in the design file at the place named, and print again.");
        let mut table = Table::new(vec![
            words("in the design file", 1.7),
            words("taken as", 1.5),
            words("how to measure it", 2.6),
            words("what it changes", 2.0),
            words("from", 1.2),
            words("measured", 1.1),
        ]);
        for item in assumed {
            table.row(vec![
                Cell::Made(html! { b { (path(&item.path)) } }, item.path.replace('.', ". ")),
                item.value.as_str().into(),
                item.how_to_measure.as_str().into(),
                item.matters.as_str().into(),
                item.cite.status.says().into(),
                Cell::Write,
            ]);
        }
        parts.push(table);
    }
    Chapter { parts: parts.all, ..plain("assumed", "What was assumed", "assumed") }
}

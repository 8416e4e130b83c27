//! Tools in the order in which they are needed first: have, bring, borrow.

use super::plain;
use super::step::anchor;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use engine::units::show;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let design = &cx.input.report.study.design;
    parts.paragraph("Lay all of it out and tick it before the first lead is touched: a tool that is missing stops the work half way.");
    if let Some(far) = design.rig.shop_distance {
        parts.paragraph(&format!("The nearest shop is {} away.", show::far(far, cx.units)));
    }
    let mut table = Table::new(vec![
        words("tool", 3.0),
        words("needed first", 2.2),
        words("in hand", 2.0),
        words("have", 0.6),
        words("bring", 0.6),
        words("borrow or buy", 0.9),
    ]);
    for need in &cx.input.build.tools {
        let page = cx.page(&anchor(need.page)).map_or_else(String::new, |p| format!("page {p}, "));
        table.row(vec![
            Cell::Bold(need.name.clone()),
            format!("{page}step {}", need.step).into(),
            need.in_hand
                .clone()
                .unwrap_or_else(|| "not on the list of tools in hand".to_owned())
                .into(),
            Cell::Tick,
            Cell::Tick,
            Cell::Tick,
        ]);
    }
    parts.push(table);
    Chapter { parts: parts.all, ..plain("tools", "Tools", "tools") }
}

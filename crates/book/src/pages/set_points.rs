//! The set points of every charge source, with room for what it was really set to.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use engine::plan::labels::set_points;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let all = set_points(cx.input.job);
    if all.is_empty() {
        parts.paragraph("No charge source of this stage has set points.");
    } else {
        parts.paragraph(
            "Set each source, then write what it shows. Volts at the charger and at the posts are \
             read in the same minute; the difference is lost in the leads.",
        );
    }
    for card in &all {
        parts.heading(&card.device);
        let mut table = Table::new(vec![
            words("set point", 1.2),
            words("should be", 3.6),
            words("set to", 1.2),
            words("read at the posts", 1.2),
        ]);
        for (what, value) in &card.rows {
            table.row(vec![
                Cell::Bold(what.clone()),
                value.as_str().into(),
                Cell::Write,
                Cell::Write,
            ]);
        }
        parts.push(table);
    }
    Chapter { parts: parts.all, ..plain("set-points", "Set points", "set-points") }
}

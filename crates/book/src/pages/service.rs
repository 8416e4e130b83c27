//! The service card: what is due, how often, and room to write when it was done.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use crate::words::{FOOTNOTES, footnote};
use engine::care::due::Due;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let due = &cx.input.care.due;
    if due.is_empty() {
        return None;
    }
    let dated = due.iter().any(|d| d.due.is_some());
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "Hang it where the water bottle stands. Gloves and goggles for acid, no flame, chargers off \
         before a cap or a post is touched. Write the day each time; what is late comes first.",
    );
    let mut columns = vec![words("what", 3.6), words("how often", 1.3)];
    if dated {
        columns.extend([words("last", 1.5), words("due", 1.5)]);
    }
    columns.extend([words("done", 1.0), words("done", 1.0), words("done", 1.0)]);
    let mut table = Table::new(columns);
    for one in due {
        let what = format!("{}{}", one.what, footnote(one.source.status));
        let mut row = vec![
            Cell::Made(maud::html! { b { (what) } " " (one.why) }, format!("{what} {}", one.why)),
            one.how_often.as_str().into(),
        ];
        if dated {
            row.extend([last(one).into(), when(one).into()]);
        }
        row.extend([Cell::Write, Cell::Write, Cell::Write]);
        table.row(row);
    }
    parts.push(table);
    parts.paragraph(FOOTNOTES);
    Some(Chapter { parts: parts.all, ..plain("service", "Service card", "service") })
}

fn last(due: &Due) -> String {
    due.last.map_or_else(|| "not written".to_owned(), |d| d.to_string())
}

fn when(due: &Due) -> String {
    let Some(day) = due.due else { return String::new() };
    match due.late_days {
        Some(late) if 0 < late => format!("{day}, {late} days late"),
        _ => day.to_string(),
    }
}

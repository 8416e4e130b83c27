//! What is in the book, with the page on which each thing begins, and what its signs mean.

use super::plain;
use crate::book::Context;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece};
use crate::words::sign;
use engine::finding::Severity;
use maud::html;

pub(super) fn chapter(cx: &Context<'_>, named: &[(String, String)]) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let mut rows = cx.contents(named);
    if rows.is_empty() {
        // The first time round no page is known yet; the list keeps its room.
        rows = named.iter().map(|(_, title)| (title.clone(), 0)).collect();
    }
    for some in rows.chunks(MOST) {
        parts.push(columns(some, cx.width));
    }
    parts.heading("Signs");
    for (severity, says) in [
        (Severity::Stop, "do not buy, energise, charge, tow or sail: the gate it holds stays shut"),
        (Severity::Fix, "it works, but ruins something or is not as the rules ask"),
        (Severity::Note, "a surprise worth knowing"),
    ] {
        let html = html! { p { (sign(severity)) " " (says) } };
        parts.push(Piece::new(html, 7.4));
    }
    parts.paragraph(
        "Plus is +, red, with beads along the middle of the lead. Minus is −, black, a plain line. \
         A lead has the same name on the plan, in every table, on its label and in the steps.",
    );
    Chapter { parts: parts.all, ..plain("contents", "What is in this book", "contents-page") }
}

/// Lines that stand in one piece; a longer list goes over to the next page.
const MOST: usize = 60;

/// Two columns, read downwards.
pub(super) fn columns(rows: &[(String, usize)], width: f64) -> Piece {
    let column = (width - 6.0) / 2.0 - 11.0;
    let heights = rows.iter().map(|(title, _)| Size::Body.height(title, column).max(5.2) + 1.2);
    let (sum, tallest) = heights.fold((0.0, 0.0_f64), |(s, t), h| (s + h, t.max(h)));
    let html = html! {
        div.contents {
            @for (title, page) in rows {
                div.row { a href=(format!("#p{page}")) { (title) } span { (page) } }
            }
        }
    };
    Piece::new(html, sum / 2.0 + tallest)
}

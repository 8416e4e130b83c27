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
    // Two columns, read downwards.
    let half = rows.len().div_ceil(2);
    let column = (cx.width - 6.0) / 2.0 - 11.0;
    for index in 0..half {
        let line = [rows.get(index), rows.get(index + half)];
        let tall = line.iter().flatten().map(|(t, _)| Size::Body.height(t, column));
        let height = tall.fold(5.2, f64::max) + 1.2;
        let html = html! {
            div.contents style=(format!("min-height:{height:.1}mm")) {
                @for (title, page) in line.into_iter().flatten() {
                    div.row { a href=(format!("#p{page}")) { (title) } span { (page) } }
                }
            }
        };
        parts.push(Piece::new(html, height));
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

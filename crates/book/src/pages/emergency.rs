//! The back page: how to make it dead, what stays live all the same, first aid.

use super::plain;
use crate::book::Context;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece};
use crate::words::{capital, text};
use maud::html;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let card = &cx.card;
    let mut parts = Parts::new(cx.width);
    parts.heading("Off, in this order");
    for (index, off) in card.off.iter().enumerate() {
        let number = index + 1;
        parts.push(line(&number.to_string(), off.verb, &off.what, cx.width));
    }
    if card.off.is_empty() {
        parts.paragraph("This stage has nothing that a hand can switch off.");
    }
    parts.heading("Still live after \"off\"");
    for live in &card.live {
        parts.push(line("!", &capital(&live.name), &format!("{}.", live.why), cx.width));
    }
    parts.heading("First aid and fire");
    for aid in &card.first_aid {
        parts.push(said(aid, cx.width));
    }
    parts.heading("Gas");
    for gas in &card.gas {
        parts.push(said(gas, cx.width));
    }
    parts.push(Piece::new(
        html! { div.sketch style="height:38mm;margin-bottom:3mm" { "photograph or sketch: where the switch and the main fuse are" } },
        41.0,
    ));
    parts.push(Piece::new(
        html! { p.made { "Emergency number " span.blank {} " we are at " span.blank {} span.blank {} span.blank {} } },
        15.0,
    ));
    Chapter { parts: parts.all, ..plain("emergency", "How to make it dead", "emergency") }
}

fn line(mark: &str, first: &str, rest: &str, width: f64) -> Piece {
    let words = format!("{first} {rest}");
    let html = html! { div.big-line { b { (mark) } div { b { (text(first)) } " " (text(rest)) } } };
    Piece::new(html, Size::Step.height(&words, width - 9.0) + 2.0)
}

/// A line whose first words, up to the colon, are bold.
fn said(words: &str, width: f64) -> Piece {
    let (first, rest) = words.split_once(':').unwrap_or(("", words));
    let height = Size::Body.height(words, width) + 2.0;
    let html = html! { p { @if !first.is_empty() { b { (first) ":" } } (text(rest)) } };
    Piece::new(html, height)
}

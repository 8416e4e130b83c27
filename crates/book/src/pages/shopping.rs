//! What to buy for this stage, with what is used again later and what would be scrap, behind a gate.

use super::gates::holding;
use super::plain;
use super::step::bar;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use crate::words::listed;
use engine::finding::Gate;
use engine::plan::shopping::Item;
use engine::units::show::{decimal, fixed};

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let list = &cx.shopping;
    let held = holding(cx, &[Gate::Buy]);
    parts.push(bar(&super::step::Bar {
        name: "gate to buy".to_owned(),
        do_not: "DO NOT BUY UNLESS",
        unless: "every part is the one meant here, measured against the rig as it stands, and no STOP stands against buying.".to_owned(),
        meanings: Vec::new(),
        reading: None,
        held: &held,
        turn: cx.page("findings").map(|p| format!("What each says stands on page {p}.")),
    }, cx.width));
    if list.items.is_empty() {
        parts.paragraph("Nothing is bought for this stage.");
    }
    let mut table = Table::new(vec![
        words("what to ask for", 3.4),
        figures("how many", 0.9),
        figures("price", 0.8),
        words("used again at", 1.6),
        words("know before you buy", 3.0),
        words("got", 0.5),
    ]);
    for item in &list.items {
        table.row(vec![
            Cell::Bold(item.what.clone()),
            quantity(item).into(),
            item.price.map_or(Cell::Write, |p| fixed(p, 0).into()),
            listed(&item.used_again).into(),
            remark(item).into(),
            Cell::Tick,
        ]);
    }
    parts.push(table);
    parts.paragraph(&cx.shopping.sum_says());
    if !list.in_hand.is_empty() {
        parts.heading("In hand already");
        parts.paragraph(&format!("{}.", listed(&list.in_hand)));
    }
    if !list.find_out.is_empty() {
        parts.heading("Find out before you go");
        for line in &list.find_out {
            parts.tick(line);
        }
    }
    Chapter { parts: parts.all, ..plain("shopping", "Shopping", "shopping") }
}

fn quantity(item: &Item) -> String {
    format!("{} {}", decimal(item.quantity, 2), item.unit)
}

fn remark(item: &Item) -> String {
    let notes = [item.note.clone(), item.too_small.clone()];
    let notes: Vec<String> = notes.into_iter().flatten().collect();
    notes.join(". ")
}

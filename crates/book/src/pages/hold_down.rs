//! Holding it down: what pulls, what holds, what to buy and drill.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use engine::fit::hold_down::{HoldDown, HoldStatus};

/// What gives way first, once for each, with what is taken off it and how it was read.
fn strengths(hold: &HoldDown) -> Option<Table> {
    let mut all: Vec<[String; 4]> = Vec::new();
    for row in hold.rows.iter().filter(|r| r.capacity.is_some()) {
        let (Some(by), Some(margin), Some(read)) = (&row.governed_by, row.margin, row.strength)
        else {
            continue;
        };
        let told = [row.held.word().to_owned(), by.clone(), margin.words(), read.says().to_owned()];
        if !all.contains(&told) {
            all.push(told);
        }
    }
    let mut table = Table::new(vec![
        words("held", 0.7),
        words("gives way first", 2.4),
        words("counted at", 1.8),
        words("strength", 1.6),
    ]);
    let found = !all.is_empty();
    for told in all {
        table.row(told.map(Cell::Text).into_iter().collect());
    }
    found.then_some(table)
}

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let hold = cx.input.fit.hold_down.as_ref()?;
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "Every load case stands beside the others. What is not known never passes. The strength of the \
         frame is not worked out here; look at welds, rust and thin metal.",
    );
    for note in &hold.notes {
        parts.paragraph(note);
    }
    for scene in &cx.fit.hold {
        parts.push(figure(scene, cx.width));
    }
    if let Some(table) = strengths(hold) {
        parts.push(table);
    }
    if hold.rows.iter().any(|r| r.binding && r.status == HoldStatus::Fails) {
        parts.paragraph(
            "What the design has does not hold: buy and drill nothing of this list before it is changed \
             and printed again.",
        );
    }
    if !hold.fasteners.is_empty() {
        let mut table = Table::new(vec![
            words("set", 1.0),
            words("buy", 2.6),
            words("drills", 2.0),
            words("socket or spanner", 1.2),
        ]);
        for set in &hold.fasteners {
            let buy: Vec<String> =
                set.buy.iter().map(|(what, n)| format!("{n} × {what}")).collect();
            table.row(vec![
                Cell::Bold(set.name.clone()),
                buy.join("; ").into(),
                set.drills.join("; ").into(),
                set.socket.clone().map_or(Cell::Write, Cell::Text),
            ]);
        }
        parts.push(table);
    }
    Some(Chapter { parts: parts.all, ..plain("hold-down", "Holding it down", "hold-down") })
}

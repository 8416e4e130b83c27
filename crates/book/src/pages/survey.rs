//! The survey sheet: every lead on every post and stud as it was found, before anything is loosened.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Piece, Table, words};
use engine::circuit::wiring::Wiring;
use engine::model::lead::Terminal;
use maud::html;
use std::collections::BTreeMap;

/// Empty lines for wires that the design does not know.
const SPARE_ROWS: usize = 6;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "Fill this in before anything is loosened. One line for each lead on each post; a label of \
         tape with the same words on the lead itself. A wire nobody can name stays where it is until \
         somebody can.",
    );
    parts.push(photos());
    let mut table = Table::new(vec![
        words("on", 1.3),
        words("lead", 1.2),
        words("goes to", 1.4),
        words("colour", 0.9),
        words("size on the jacket", 1.0),
        words("lug hole", 0.8),
        words("fuse, A", 0.8),
        words("keep, move, remove", 1.1),
    ]);
    if let Some(before) = cx.input.before {
        for (post, lead, other) in known(&before.wiring) {
            table.row(vec![
                Cell::Bold(post),
                lead.into(),
                other.into(),
                Cell::Write,
                Cell::Write,
                Cell::Write,
                Cell::Write,
                Cell::Write,
            ]);
        }
    }
    for _ in 0..SPARE_ROWS {
        table.row(vec![
            Cell::Write,
            Cell::Write,
            Cell::Write,
            Cell::Write,
            Cell::Write,
            Cell::Write,
            Cell::Write,
            Cell::Write,
        ]);
    }
    parts.push(table);
    parts.paragraph(
        "What still draws with the switch off, measured with the clamp round each lead: ______ \
         ______ ______",
    );
    Chapter { parts: parts.all, ..plain("survey", "As found", "survey") }
}

/// Leads by the post or stud they are on, as the stage before has them.
fn known(wiring: &Wiring) -> Vec<(String, String, String)> {
    let mut on: BTreeMap<&Terminal, Vec<(&str, &Terminal)>> = BTreeMap::new();
    for lead in &wiring.leads {
        on.entry(&lead.from).or_default().push((&lead.id, &lead.to));
        on.entry(&lead.to).or_default().push((&lead.id, &lead.from));
    }
    let mut rows = Vec::new();
    for (post, leads) in on {
        for (id, other) in leads {
            rows.push((post.to_string(), id.to_owned(), other.to_string()));
        }
    }
    rows
}

fn photos() -> Piece {
    let html = html! {
        div.photo {
            div style="height:24mm" { "photograph 1, number " span.blank {} br; "from where you stand; stick a print here, or write where it is kept" }
            div style="height:24mm" { "photograph 2, number " span.blank {} br; "from the other side; stick a print here, or write where it is kept" }
        }
    };
    Piece::new(html, 27.0)
}

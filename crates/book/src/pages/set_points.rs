//! The set points of every charge source, with room for what it was really set to.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::night_pictures;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use engine::plan::labels::set_points;
use engine::sim::set_points::SetPointCard;
use engine::units::show::fixed;

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
        let card = cx.input.report.cards.iter().find(|c| c.device == card.device);
        if let Some(card) = card {
            reaches(cx, &mut parts, card);
        }
    }
    let tow = cx.input.report.cards.iter().filter(|c| all.iter().all(|a| a.device != c.device));
    for card in tow {
        parts.heading(&card.device);
        reaches(cx, &mut parts, card);
    }
    Chapter { parts: parts.all, ..plain("set-points", "Set points", "set-points") }
}

/// What of the set points reaches the posts, when a charge ends, and how long it takes.
fn reaches(cx: &Context<'_>, parts: &mut Parts, card: &SetPointCard) {
    if !card.rows.is_empty() {
        let mut table = Table::new(vec![
            words("at 25 °C", 1.2),
            words("at the source", 1.2),
            words("at the posts, all its amps", 1.5),
            words("at the posts, nearly full", 1.5),
            words("each cell", 1.1),
            words("usual for a cell", 1.4),
            words("from", 1.8),
        ]);
        for row in &card.rows {
            let volts = |v: f64| format!("{} V", fixed(v, 2));
            let band = row.band.map_or_else(
                || "never".to_owned(),
                |(low, high)| format!("{} to {} V", fixed(low, 2), fixed(high, 2)),
            );
            table.row(vec![
                Cell::Bold(row.what.to_owned()),
                volts(row.source_v).into(),
                volts(row.posts_full_v).into(),
                volts(row.posts_end_v).into(),
                volts(row.cell_v).into(),
                band.into(),
                row.from.as_str().into(),
            ]);
        }
        parts.push(table);
    }
    for line in &card.lines {
        parts.paragraph(line);
    }
    if !card.rows.is_empty() && card.rows.iter().all(|r| r.what != "equalise") {
        parts.paragraph("It never equalises: no such set point is written for it.");
    }
    if let Some(scene) = night_pictures::charge(cx, &card.device) {
        parts.push(figure(&scene, cx.width));
    }
}

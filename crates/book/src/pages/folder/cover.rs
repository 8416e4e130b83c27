//! The first side of the folder: which rig, which stage, who hands it over, and what is in it.

use super::super::contents::columns;
use super::super::cover::{bank_line, made, stage_line, stop_box};
use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Parts, Piece, Table};
use crate::words::capital;
use engine::hand_over::practice_says;
use maud::html;

pub(super) fn chapter(cx: &Context<'_>, named: &[(String, String)]) -> Chapter {
    let rig = &cx.input.report.study.design.rig;
    let mut parts = Parts::new(cx.width);
    parts.push(Piece::new(html! { div.rig-name { (rig.name) } }, 18.0));
    parts.push(made(&stage_line(cx), cx.width));
    if let Some(bank) = bank_line(cx) {
        parts.push(made(&bank, cx.width));
    }
    let revision = rig.revision.as_deref().unwrap_or("______");
    parts.paragraph(&format!(
        "{}. Rules of practice: {}. Revision of the drawing: {revision}.",
        capital(rig.kind.word()),
        practice_says(rig.practice)
    ));
    parts.push(stop_box(cx));
    parts.push(Table::to_write(&[
        ["handed over on", "place"],
        ["built and handed over by", "signature"],
        ["received by", "signature"],
        ["hull, chassis or house number", "photographs and receipts kept where"],
    ]));
    parts.heading("In this folder");
    let mut rows = cx.contents(named);
    if rows.is_empty() {
        // The first time round no page is known yet; the list keeps its room.
        rows = named.iter().map(|(_, title)| (title.clone(), 0)).collect();
    }
    parts.push(columns(&rows, cx.width));
    parts.paragraph(
        "Figures are worked out from the design file, or measured and written by hand; what is only \
         assumed, and what rests on memory, says so where it stands. It is no certificate and no \
         approval.",
    );
    Chapter { parts: parts.all, ..plain("cover", "Hand-over folder", "cover") }
}

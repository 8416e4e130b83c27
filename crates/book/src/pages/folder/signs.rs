//! What the owner declares and who else must sign, with what the design file says of each.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use crate::words::{FOOTNOTES, capital, footnote};
use engine::hand_over::HandOver;
use engine::model::rig::Rig;
use engine::tables::examiner::Who;

/// Least height of a row in which somebody signs [mm].
const SIGNED: f64 = 15.0;

pub(super) fn chapter(cx: &Context<'_>, lists: &HandOver<'_>) -> Chapter {
    let rig = &cx.input.report.study.design.rig;
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "What one person declares, another need not believe: each line is signed by the one it \
         names. Who must sign where you live is your law's, your insurer's and your harbour's \
         word; a line that nobody asks for stays empty.",
    );
    let mut table = Table::new(vec![
        words("who", 1.5),
        words("signs for", 3.8),
        words("the design file says", 1.4),
        words("name and signature", 2.3),
        words("date", 1.0),
    ]);
    table.row_mm = SIGNED;
    for line in &lists.signs {
        table.row(vec![
            Cell::Bold(capital(line.who.says())),
            format!("{}{}", line.what, footnote(line.cite.status)).into(),
            said(rig, line.who).into(),
            Cell::Write,
            Cell::Write,
        ]);
    }
    parts.push(table);
    parts.paragraph(FOOTNOTES);
    parts.heading("Insurance");
    parts.paragraph(
        "Insurers' wording differs. Owners found that lithium was excluded, or that the wording \
         asked for professional fitting, only when they claimed. This folder shows what was done; \
         it does not say that it is covered. Ask in writing, and keep the answer with this page. \
         (Boat owners' threads on insurance, read in the public text.)",
    );
    parts.paragraph("Insurer asked on ______ answered on ______ their reference ______");
    Chapter { parts: parts.all, ..plain("signs", "Self-declared, and signed by others", "signs") }
}

/// What the design file says of somebody.
fn said(rig: &Rig, who: Who) -> String {
    let yes = |told: Option<bool>, words: &str| match told {
        Some(true) => words.to_owned(),
        Some(false) => "not yet".to_owned(),
        None => "nothing".to_owned(),
    };
    match who {
        Who::Electrician => rig.mains_by.clone().unwrap_or_else(|| "nobody named".to_owned()),
        Who::Insurer => yes(rig.insurer_told, "was told"),
        Who::Permit => yes(rig.permit, "was asked for"),
        _ => String::new(),
    }
}

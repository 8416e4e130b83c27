//! The templates: which files belong to this book, and how they print true.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    if cx.fit.templates.is_empty() {
        return None;
    }
    let paper = cx.input.paper.word();
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "The templates are files of their own in the folder templates beside this book, because a \
         browser may scale a page. SVG and DXF are for a shop that cuts; DXF is in millimetres, with the \
         layers CUT, DRILL and MARK.",
    );
    let mut table = Table::new(vec![
        words("template", 1.6),
        words("print this file", 2.0),
        figures("sheets", 0.6),
        words("for a shop", 2.0),
        words("bar measured", 0.9),
    ]);
    for (name, title, sheets) in &cx.fit.templates {
        table.row(vec![
            Cell::Bold(title.clone()),
            format!("templates/{name}-{paper}.pdf").into(),
            sheets.to_string().into(),
            format!("templates/{name}.dxf, .svg").into(),
            Cell::Tick,
        ]);
    }
    parts.push(table);
    parts.tick("Print at 100 %, \"actual size\"; never \"fit to page\" or \"shrink\".");
    parts.tick("Measure the bar on every sheet: 100 mm or do not drill. At 97 % a hole at 800 mm is 24 mm off.");
    parts.tick("Lay register marks with the same letter on one another and tape the sheets on a flat table.");
    parts.tick("Where a template says \"decide\", decide, and mark the new place before you prick through.");
    parts.tick("Look at what lies behind: frame, cable, pipe, tank. Then drill.");
    Some(Chapter { parts: parts.all, ..plain("templates", "Templates at true size", "templates") })
}

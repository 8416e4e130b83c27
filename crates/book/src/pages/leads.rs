//! Every lead of the stage: from, to, size, what it carries and may carry, and what decided its size.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use crate::words::{FOOTNOTES, footnote, listed};
use engine::units::show;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let study = &cx.input.report.study;
    parts.paragraph(
        "A lead has the same name here, on the plan, on the cut list, on its label and in the steps. \
         \"Carries\" is the largest steady current it must carry, \"may carry\" what its table allows \
         with every factor applied.",
    );
    let mut table = Table::new(vec![
        words("lead", 1.3),
        words("from", 1.3),
        words("to", 1.3),
        words("size", 1.5),
        words("colour", 0.9),
        figures("carries", 0.9),
        figures("may carry", 0.9),
        words("decided by", 1.6),
    ]);
    for lead in &study.leads {
        table.row(vec![
            Cell::Bold(lead.id.clone()),
            lead.from.to_string().into(),
            lead.to.to_string().into(),
            lead.size.to_string().into(),
            lead.colour.as_str().into(),
            show::current(lead.design_amps).into(),
            format!("{}{}", show::current(lead.ampacity), footnote(lead.status)).into(),
            lead.governed_by.as_str().into(),
        ]);
    }
    parts.push(table);
    parts.paragraph(FOOTNOTES);
    parts.heading("Why each is this thick");
    let mut why = Table::new(vec![words("leads", 1.6), words("why", 5.4)]);
    let mut told: Vec<(&str, Vec<String>)> = Vec::new();
    for lead in &study.leads {
        match told.iter_mut().find(|(why, _)| *why == lead.why) {
            Some((_, leads)) => leads.push(lead.id.clone()),
            None => told.push((&lead.why, vec![lead.id.clone()])),
        }
    }
    for (reason, leads) in told {
        why.row(vec![Cell::Bold(listed(&leads)), reason.into()]);
    }
    parts.push(why);
    Chapter { parts: parts.all, ..plain("leads", "Leads", "leads") }
}

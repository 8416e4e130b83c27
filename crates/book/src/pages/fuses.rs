//! Every fuse and breaker: amps, what it can break, volts, how far from the source, and why this one.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use crate::words::{FOOTNOTES, footnote, listed};
use engine::sizing::answer::{FuseChoice, LeadAnswer};
use engine::units::show;

/// A fuse with the leads it guards.
struct Guarding<'a> {
    fuse: &'a FuseChoice,
    leads: Vec<String>,
}

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let all = guarding(&cx.input.report.study.leads);
    parts.paragraph(
        "A fuse guards the lead behind it, not the load. Never put in another family or a larger one \
         in its place. Keep one spare of each.",
    );
    if all.is_empty() {
        parts.paragraph("No lead of this stage has a fuse yet: see what the checks found.");
    }
    let mut table = Table::new(vec![
        words("fuse", 1.3),
        words("family", 1.0),
        figures("amps", 0.8),
        figures("breaks", 0.8),
        figures("volts", 0.7),
        figures("from source", 1.0),
        figures("allowed", 0.9),
        words("guards", 2.0),
    ]);
    let mut why = Table::new(vec![words("fuse", 1.2), words("where", 2.0), words("why", 4.4)]);
    for one in &all {
        let fuse = one.fuse;
        let distance = |l: Option<engine::units::Length>| {
            l.map_or_else(|| unsaid(fuse).to_owned(), |l| show::length(l, cx.units))
        };
        table.row(vec![
            Cell::Bold(name(fuse)),
            fuse.trade.as_str().into(),
            format!("{}{}", show::current(fuse.rating), footnote(fuse.status)).into(),
            format!("{} kA", show::decimal(fuse.interrupt.as_amps() / 1000.0, 1)).into(),
            fuse.rated_volts
                .map_or_else(
                    || "not known".to_owned(),
                    |v| format!("{} V", show::decimal(v.as_volts(), 0)),
                )
                .into(),
            distance(fuse.distance).into(),
            distance(fuse.limit).into(),
            listed(&one.leads).into(),
        ]);
        why.row(vec![Cell::Bold(name(fuse)), fuse.place.as_str().into(), fuse.why.as_str().into()]);
    }
    if !all.is_empty() {
        parts.push(table);
        parts.paragraph(FOOTNOTES);
        parts.heading("Where each goes, and why this one");
        parts.push(why);
    }
    Chapter { parts: parts.all, ..plain("fuses", "Fuses and breakers", "fuses") }
}

/// Without a distance: a fuse to be fitted is still to be measured, and one that is fed through
/// another fuse has no distance from the bank to keep.
fn unsaid(fuse: &FuseChoice) -> &'static str {
    match (fuse.limit, fuse.id.is_empty()) {
        (Some(_), true) => "to measure",
        (Some(_), false) => "not known",
        (None, _) => "behind a fuse",
    }
}

fn name(fuse: &FuseChoice) -> String {
    if fuse.id.is_empty() { "to be fitted".to_owned() } else { fuse.id.clone() }
}

fn guarding(leads: &[LeadAnswer]) -> Vec<Guarding<'_>> {
    let mut all: Vec<Guarding<'_>> = Vec::new();
    for lead in leads {
        let Some(fuse) = &lead.fuse else {
            continue;
        };
        match all.iter_mut().find(|g| g.fuse.id == fuse.id && g.fuse.place == fuse.place) {
            Some(known) => known.leads.push(lead.id.clone()),
            None => all.push(Guarding { fuse, leads: vec![lead.id.clone()] }),
        }
    }
    all
}

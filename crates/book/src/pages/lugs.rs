//! The facts for each lug: stud, hole, barrel, sleeve, boot, torque or a blank for it.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use engine::model::lead::Terminal;
use engine::sizing::answer::{LeadAnswer, LugChoice};
use engine::units::Length;
use engine::units::show::{self, UnitSystem};

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "The die must be the lug maker's for this lug and this cable. Pull each crimp by hand. Torque \
         is the figure of the part's own maker: where it is blank, read it from the sheet and write \
         it here. Order on a stud: lug flat on the metal, largest lowest, then flat washer, spring \
         washer, nut. No washer under a lug.",
    );
    let mut table = Table::new(vec![
        words("lead", 1.2),
        words("end on", 1.3),
        figures("stud", 0.8),
        figures("hole", 0.8),
        words("barrel for", 1.4),
        words("heat-shrink", 2.2),
        words("boot", 0.6),
        words("torque", 0.9),
        words("made", 0.7),
    ]);
    for lead in &cx.input.report.study.leads {
        if !cx.input.job.fitted_leads().iter().any(|l| l.id == lead.id) {
            continue;
        }
        table.row(end(cx, lead, &lead.from, &lead.lug_from));
        table.row(end(cx, lead, &lead.to, &lead.lug_to));
    }
    parts.push(table);
    let leads = &cx.input.report.study.leads;
    let angled: Vec<String> = leads
        .iter()
        .filter_map(|l| {
            let angle = show::decimal(l.lug_angle?.as_degrees(), 0);
            (angle != "0").then(|| format!("{} {angle}°", l.id))
        })
        .collect();
    // Nearly every pair is in line: only the turned ones are worth a reader's eye.
    if angled.is_empty() && leads.iter().all(|l| l.lug_angle.is_some()) {
        parts.paragraph("Both lugs of every lead lie in line, 0° between them.");
    } else if !angled.is_empty() {
        parts.paragraph(&format!(
            "Angle between the two lugs of a lead, 0° where it is not named: {}.",
            angled.join(", ")
        ));
    }
    Chapter { parts: parts.all, ..plain("lugs", "Lug card", "lugs") }
}

fn end(cx: &Context<'_>, lead: &LeadAnswer, on: &Terminal, lug: &LugChoice) -> Vec<Cell> {
    let units = cx.units;
    // A stud goes by the name that the shopping list and the steps ask for it with.
    let named = |l: Length| cx.input.job.studs.name(l).into();
    let measured = |l: Option<Length>| l.map_or(Cell::Write, |l| stud(l, units).into());
    let shrink = lead.shrink.as_ref().map_or_else(
        || "none found".to_owned(),
        |s| format!("{}, {}", s.sold_as, show::length(s.length, units)),
    );
    vec![
        Cell::Bold(lead.id.clone()),
        on.to_string().into(),
        lug.stud.map_or(Cell::Write, named),
        measured(lug.hole),
        lug.named().into(),
        shrink.into(),
        if lug.boot { "yes" } else { "no" }.into(),
        lug.torque.map_or(Cell::Write, |t| show::torque(t, units).into()),
        Cell::Tick,
    ]
}

/// A stud or hole is known by tenths of a millimetre, or by sixteenths of an inch.
pub(super) fn stud(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => show::length(length, units),
        UnitSystem::Metric => format!("{} mm", show::decimal(length.as_mm(), 1)),
    }
}

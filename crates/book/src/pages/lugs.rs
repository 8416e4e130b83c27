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
        words("barrel for", 1.2),
        words("heat-shrink", 2.2),
        words("boot", 0.6),
        words("torque", 0.9),
        words("made", 0.7),
    ]);
    for lead in &cx.input.report.study.leads {
        if !cx.input.job.fitted_leads().iter().any(|l| l.id == lead.id) {
            continue;
        }
        table.row(end(lead, &lead.from, &lead.lug_from, cx.units));
        table.row(end(lead, &lead.to, &lead.lug_to, cx.units));
    }
    parts.push(table);
    let angled: Vec<String> = cx
        .input
        .report
        .study
        .leads
        .iter()
        .filter_map(|l| {
            let angle = l.lug_angle?;
            Some(format!("{} {}°", l.id, show::decimal(angle.as_degrees(), 0)))
        })
        .collect();
    if !angled.is_empty() {
        parts.paragraph(&format!("Angle between the two lugs of a lead: {}.", angled.join(", ")));
    }
    Chapter { parts: parts.all, ..plain("lugs", "Lug card", "lugs") }
}

fn end(lead: &LeadAnswer, on: &Terminal, lug: &LugChoice, units: UnitSystem) -> Vec<Cell> {
    let measured = |l: Option<Length>| l.map_or(Cell::Write, |l| stud(l, units).into());
    let shrink = lead.shrink.as_ref().map_or_else(
        || "none found".to_owned(),
        |s| format!("{}, {}", s.sold_as, show::length(s.length, units)),
    );
    vec![
        Cell::Bold(lead.id.clone()),
        on.to_string().into(),
        measured(lug.stud),
        measured(lug.hole),
        lug.barrel.as_str().into(),
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

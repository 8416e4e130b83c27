//! What to cut, how long, from which length of cable, and how far the length may be trusted.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use engine::plan::cut_list::{CableGroup, cut_list};
use engine::plan::cutting::{CutPlan, Origin};
use engine::sizing::answer::{LeadAnswer, Reuse};
use engine::units::Length;
use engine::units::show::{self, UnitSystem};

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let study = &cx.input.report.study;
    let fitted: Vec<&LeadAnswer> = study
        .leads
        .iter()
        .filter(|a| cx.input.job.fitted_leads().iter().any(|l| l.id == a.id))
        .collect();
    parts.paragraph(
        "Lay a string along the real way of each lead, write its length, compare with the route: \
         within the tolerance, cut; further off, look for why before you cut. The cut length is the \
         bare cable, with the lugs taken off at both ends.",
    );
    if fitted.is_empty() {
        parts.paragraph("No lead is fitted at this stage.");
    }
    let mut table = Table::new(vec![
        words("lead", 1.2),
        words("size, colour", 1.7),
        figures("route", 0.9),
        figures("cut", 0.9),
        figures("within ±", 0.8),
        words("string length", 1.1),
        words("in hand", 1.5),
        words("cut", 0.4),
    ]);
    for lead in &fitted {
        table.row(vec![
            Cell::Bold(lead.id.clone()),
            format!("{}, {}", lead.size, lead.colour).into(),
            show::length(lead.length.route.length(), cx.units).into(),
            Cell::Bold(show::length(lead.length.cut, cx.units)),
            show::length(lead.length.tolerance, cx.units).into(),
            Cell::Write,
            reuse(&lead.reuse, cx.units).into(),
            Cell::Tick,
        ]);
    }
    parts.push(table);
    let owned: Vec<LeadAnswer> = fitted.into_iter().cloned().collect();
    let groups = cut_list(&study.design, &owned);
    if !groups.is_empty() {
        parts.heading("What is cut from what");
        parts.paragraph("Longest first, so that a slip can still serve as a shorter one. Lengths are rounded up here, never down.");
        for group in &groups {
            pieces(&mut parts, group, cx.units);
        }
    }
    Chapter { parts: parts.all, ..plain("cut-list", "Cut list", "cut-list") }
}

fn pieces(parts: &mut Parts, group: &CableGroup, units: UnitSystem) {
    let colour = group.colour.as_ref().map_or_else(String::new, |c| format!(", {c}"));
    let head = format!("{}{colour}", group.size);
    match &group.plan {
        Err(error) => {
            parts.paragraph(&format!("{head}: {}", error.says(units)));
        }
        Ok(plan) => planned(parts, &head, plan, units),
    }
}

fn planned(parts: &mut Parts, head: &str, plan: &CutPlan, units: UnitSystem) {
    let mut table = Table::new(vec![
        words("cable", 1.6),
        words("from", 1.6),
        words("pieces in the order of cutting", 3.6),
        figures("left over", 0.9),
    ]);
    for length in &plan.lengths {
        let from = match &length.origin {
            Origin::InHand(name) => format!("in hand: {name}"),
            Origin::Bought { label, number } => format!("bought no. {number}: {label}"),
        };
        let cut: Vec<String> = length
            .pieces
            .iter()
            .map(|p| {
                format!("lead {}: {}", p.id, show::length(whole(u64::from(p.length_mm)), units))
            })
            .collect();
        table.row(vec![
            Cell::Bold(head.to_owned()),
            from.into(),
            cut.join("; ").into(),
            show::length(whole(u64::from(length.remainder_mm)), units).into(),
        ]);
    }
    parts.push(table);
    if !plan.proven {
        parts.paragraph("A good plan, not proven to be the least.");
    }
}

/// A length counted in whole millimetres.
fn whole(millimetres: u64) -> Length {
    // Cable for a rig is far below 4,000 km, so the cap is never met.
    Length::mm(f64::from(u32::try_from(millimetres).unwrap_or(u32::MAX)))
}

fn reuse(reuse: &Reuse, units: UnitSystem) -> String {
    match reuse {
        Reuse::New => "new".to_owned(),
        Reuse::Fits { over } => format!("use it: {} over", show::length(*over, units)),
        Reuse::TooShort { missing } => {
            format!("{} too short: cut new", show::length(*missing, units))
        }
        Reuse::WrongLug { at, .. } => format!("its lug does not fit {at}: cut new"),
        Reuse::TooThin { needed } => format!("too thin, {needed} needed: cut new"),
        Reuse::Unmeasured => "in hand: measure it first".to_owned(),
    }
}

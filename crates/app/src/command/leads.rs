//! `leads`: every lead with its size, length, fuse and ends, and how to cut them.

use crate::args::LeadsArgs;
use crate::failure::Failure;
use crate::json;
use crate::json::leads::origin;
use crate::rig::Rig;
use crate::terminal::style::Style;
use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use crate::terminal::{findings, say};
use engine::plan::cut_list::{self, CableGroup};
use engine::report::Report;
use engine::sizing::answer::{FuseChoice, LeadAnswer, LugChoice, OtherPractice, Reuse};
use engine::units::Length;
use engine::units::show::{self, UnitSystem};
use std::process::ExitCode;

pub(crate) fn run(args: &LeadsArgs) -> Result<ExitCode, Failure> {
    let rig = Rig::open(&args.rig)?;
    let mut report = rig.report()?;
    report.study.compare_practices(&rig.tables).map_err(|e| Failure::table(&e))?;
    let groups = cut_list::cut_list(&report.study.design, &report.study.leads);
    if args.rig.json {
        let totals = cut_list::totals(&groups);
        say(&json::text(&json::leads::Leads::of(&rig, &report, &groups, totals)))?;
    } else {
        say(&shown(&rig, &report, &groups))?;
    }
    rig.close()?;
    Ok(ExitCode::SUCCESS)
}

fn shown(rig: &Rig, report: &Report, groups: &[CableGroup]) -> String {
    let style = Style::for_output();
    let units = rig.design.rig.units;
    let mut text = format!("{}  stage \"{}\"\n\n", style.bold(&rig.design.rig.name), report.stage);
    text.push_str(&sizes(&report.study.leads, units));
    text.push('\n');
    for lead in &report.study.leads {
        text.push_str(&style.bold(&format!("lead {}", lead.id)));
        text.push('\n');
        text.push_str(&details(lead, units));
    }
    text.push('\n');
    text.push_str(&style.bold("Cutting"));
    text.push('\n');
    for group in groups {
        text.push_str(&cutting(group, units));
    }
    text.push('\n');
    text.push_str(&findings::stop_line(report.stops(), &report.stage));
    text
}

fn sizes(leads: &[LeadAnswer], units: UnitSystem) -> String {
    let columns = [
        ("lead", Lean::Left),
        ("from", Lean::Left),
        ("to", Lean::Left),
        ("size", Lean::Left),
        ("cut", Lean::Right),
        ("carries", Lean::Right),
        ("may carry", Lean::Right),
        ("colour", Lean::Left),
        ("in hand", Lean::Left),
    ];
    let row = |lead: &LeadAnswer| {
        vec![
            lead.id.clone(),
            lead.from.to_string(),
            lead.to.to_string(),
            lead.size.to_string(),
            show::length(lead.length.cut, units),
            show::current(lead.design_amps),
            show::current(lead.ampacity),
            lead.colour.clone(),
            reuse(&lead.reuse, units),
        ]
    };
    table(&columns, leads.iter().map(row).collect())
}

fn details(lead: &LeadAnswer, units: UnitSystem) -> String {
    let route = format!(
        "route {} ({}), cut {} within {}; carries: {}",
        show::length(lead.length.route.length(), units),
        lead.length.from,
        show::length(lead.length.cut, units),
        show::length(lead.length.tolerance, units),
        lead.design_why
    );
    let mut text = hanging("  ", &route);
    let size = format!("{} ({})", lead.why, lead.status.says());
    text.push_str(&hanging("  size  ", &size));
    let fuse = lead.fuse.as_ref().map_or_else(|| "none".to_owned(), |f| fuse_words(f, units));
    text.push_str(&hanging("  fuse  ", &fuse));
    text.push_str(&hanging("  lugs  ", &lugs(lead, units)));
    if let Some(shrink) = &lead.shrink {
        let each = show::length(shrink.length, units);
        text.push_str(&hanging("  shrink  ", &format!("{}, {each} at each end", shrink.sold_as)));
    }
    if !lead.other_practice.is_empty() {
        let others: Vec<String> = lead.other_practice.iter().map(other).collect();
        text.push_str(&hanging("  elsewhere  ", &others.join("; ")));
    }
    text
}

/// Both lugs; told once where they are alike.
pub(crate) fn lugs(lead: &LeadAnswer, units: UnitSystem) -> String {
    let (from, to) = (lug(&lead.lug_from, units), lug(&lead.lug_to, units));
    let both = if from == to {
        format!("{from}, at both ends")
    } else {
        format!("{from}, on {}; {to}, on {}", lead.from, lead.to)
    };
    let angle = lead.lug_angle.map_or(String::new(), |a| {
        format!("; {}° between the two", show::decimal(a.as_degrees(), 0))
    });
    format!("{both}{angle}")
}

fn other(other: &OtherPractice) -> String {
    let size = other.size.map_or_else(|| "no size".to_owned(), |s| s.to_string());
    let word = other.practice.word();
    format!("{word} {size}, by {} ({})", other.governed_by, other.status.says())
}

pub(crate) fn fuse_words(fuse: &FuseChoice, units: UnitSystem) -> String {
    let name =
        if fuse.id.is_empty() { "to be fitted".to_owned() } else { format!("\"{}\"", fuse.id) };
    let away = match (fuse.distance, fuse.limit) {
        (Some(distance), Some(limit)) => format!(
            ", {} along the lead where {} is allowed",
            show::length(distance, units),
            show::length(limit, units)
        ),
        _ => String::new(),
    };
    format!(
        "{} {}, {name}, breaks {} A, {}{away}. {} ({})",
        fuse.trade,
        show::current(fuse.rating),
        show::fixed(fuse.interrupt.as_amps(), 0),
        fuse.place,
        fuse.why,
        fuse.status.says()
    )
}

fn lug(lug: &LugChoice, units: UnitSystem) -> String {
    let stud = lug
        .stud
        .map_or("an unmeasured stud".to_owned(), |s| format!("a {} stud", stud_words(s, units)));
    let torque = lug
        .torque
        .map_or("torque from the part's sheet: ____".to_owned(), |t| show::torque(t, units));
    let boot = if lug.boot { ", booted" } else { "" };
    format!("{} lug for {stud}{boot}, {torque}", lug.named())
}

/// A stud is known by its nominal size: whole or half millimetres, or sixteenths.
fn stud_words(stud: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => show::length(stud, units),
        UnitSystem::Metric => format!("{} mm", show::decimal(stud.as_mm(), 1)),
    }
}

pub(crate) fn reuse(reuse: &Reuse, units: UnitSystem) -> String {
    match reuse {
        Reuse::New => "-".to_owned(),
        Reuse::Fits { over } => format!("fits, {} over", show::length(*over, units)),
        Reuse::TooShort { missing } => format!("{} too short", show::length(*missing, units)),
        Reuse::WrongLug { at, .. } => format!("lug does not fit {at}"),
        Reuse::TooThin { needed } => format!("too thin, {needed} needed"),
        Reuse::Unmeasured => "measure it".to_owned(),
    }
}

pub(crate) fn cutting(group: &CableGroup, units: UnitSystem) -> String {
    let colour = group.colour.as_ref().map_or(String::new(), |c| format!(", {c}"));
    let head = format!("  {}{colour}", group.size);
    let plan = match &group.plan {
        Ok(plan) => plan,
        Err(error) => return hanging(&format!("{head}: "), &error.says(units)),
    };
    let mut text = format!("{head}\n");
    for bought in &plan.bought {
        let each = show::route(mm(bought.length_mm), units);
        text.push_str(&hanging(
            "      buy  ",
            &format!("{} x {each} {}", bought.count, bought.label),
        ));
    }
    for length in &plan.lengths {
        let pieces: Vec<String> = length
            .pieces
            .iter()
            .map(|p| format!("lead {}: {}", p.id, show::length(mm(p.length_mm), units)))
            .collect();
        let left = show::length(mm(length.remainder_mm), units);
        let cut = format!("{}: {}; {left} left", origin(&length.origin), pieces.join(", "));
        text.push_str(&hanging("      cut  ", &cut));
    }
    if !plan.proven {
        text.push_str("      not proven to be the least\n");
    }
    text
}

fn mm(millimetres: u32) -> Length {
    Length::mm(f64::from(millimetres))
}

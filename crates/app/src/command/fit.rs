//! `fit`: whether it fits, holds, breathes and may be carried, with what to do about each.

mod hold;
mod weight;

use crate::args::FitArgs;
use crate::failure::{Failure, listed};
use crate::json;
use crate::rig::Rig;
use crate::terminal::style::Style;
use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use crate::terminal::{findings, say};
use engine::fit::Fit;
use engine::fit::better::Search;
use engine::fit::dry_fit::DryFit;
use engine::fit::room::{Clear, Room};
use engine::layout::plan::Plan;
use engine::model::enclosure::Enclosure;
use engine::report::Report;
use engine::units::show::{self, UnitSystem};
use std::process::ExitCode;

pub(crate) fn run(args: &FitArgs) -> Result<ExitCode, Failure> {
    let rig = Rig::open(&args.rig)?;
    let report = rig.report()?;
    let fit = Fit::of(&report.study, &rig.design, &rig.tables).with_better(
        &report.study,
        &rig.design,
        &rig.tables,
    );
    if args.rig.json {
        say(&json::text(&json::fit::FitJson::of(&rig, &report, &fit)))?;
    } else {
        say(&shown(&rig, &report, &fit))?;
    }
    rig.close()?;
    Ok(ExitCode::SUCCESS)
}

fn shown(rig: &Rig, report: &Report, fit: &Fit) -> String {
    let style = Style::for_output();
    let units = rig.design.rig.units;
    let mut text = format!("{}  stage \"{}\"\n", style.bold(&rig.design.rig.name), report.stage);
    let mut part = |title: &str, body: &str| {
        if !body.is_empty() {
            text.push('\n');
            text.push_str(&style.bold(title));
            text.push('\n');
            text.push_str(body);
        }
    };
    let plan = &report.study.layout.plan;
    let unsaid = Enclosure::unsaid(report.study.design.enclosure.as_ref());
    let boxed = |r: &Room| format!("{}{}", to_build(plan, &unsaid, units), room(r, units));
    part("Box", &fit.room.as_ref().map_or_else(String::new, boxed));
    part("Leads", &leads(&fit.dry_fit, units));
    part("A better layout", &fit.better.as_ref().map_or_else(String::new, |b| better(b, units)));
    part("Weight", &weight::shown(&fit.weight, units, &rig.tables));
    part("Held down", &fit.hold_down.as_ref().map_or_else(String::new, |h| hold::down(h, units)));
    part("Vents", &fit.vent.as_ref().map_or_else(String::new, |v| hold::vents(v, units)));
    text.push('\n');
    text.push_str(&findings::stop_line(report.stops(), &report.stage));
    text
}

/// Where the file does not give all of the box, what the figures are of.
fn to_build(plan: &Plan, unsaid: &[&'static str], units: UnitSystem) -> String {
    if unsaid.is_empty() || plan.blocks.is_empty() {
        return String::new();
    }
    let [long, wide, high] =
        [plan.inner.length, plan.inner.width, plan.inner.height].map(|l| show::length(l, units));
    let words = format!(
        "The file does not say {}. The figures are of the smallest box with room enough, {long} x \
         {wide} x {high} inside, not of yours: measure yours and write it.",
        listed(&unsaid.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>())
    );
    hanging("  not known  ", &words)
}

fn room(room: &Room, units: UnitSystem) -> String {
    let columns = [("clear", Lean::Right), ("least", Lean::Right), ("", Lean::Left)];
    let row = |c: &Clear| {
        let length = |l| show::length(l, units);
        vec![length(c.clear), length(c.wants), c.says.to_owned()]
    };
    let mut text = if room.clear.is_empty() {
        String::new()
    } else {
        table(&columns, room.clear.iter().map(row).collect())
    };
    if room.clashes.is_empty() {
        text.push_str("Nothing strikes anything.\n");
    }
    for clash in &room.clashes {
        let word = clash.severity.word();
        text.push_str(&hanging(&format!("  {word}  "), &clash.says));
        text.push_str(&hanging("      do  ", &clash.remedy));
    }
    for lift in room.lifts.iter().filter(|l| !l.across.is_empty()) {
        let leads = listed(&lift.across);
        let words = format!("Block {} comes out once lead {leads} is off.", lift.block);
        text.push_str(&hanging("  lift  ", &words));
    }
    for asked in &room.asked {
        text.push_str(&hanging(
            "  not known  ",
            &format!("{}: {}", asked.path, ended(&asked.matters)),
        ));
        text.push_str(&hanging("      do  ", &ended(&asked.how_to_measure)));
    }
    text
}

/// A sentence with one full stop.
fn ended(text: &str) -> String {
    format!("{}.", text.trim_end_matches('.'))
}

fn leads(leads: &[DryFit], units: UnitSystem) -> String {
    if leads.is_empty() {
        return String::new();
    }
    let mut columns = vec![("lead", Lean::Left), ("way", Lean::Right), ("cut", Lean::Right)];
    // A column in which nothing stands is left out.
    let in_hand = leads.iter().any(|l| l.in_hand.is_some());
    let told = leads.iter().any(|l| !l.says.is_empty());
    if in_hand {
        columns.push(("in hand", Lean::Right));
    }
    if told {
        columns.push(("", Lean::Left));
    }
    let row = |lead: &DryFit| {
        let mut cells =
            vec![lead.id.clone(), show::length(lead.route, units), show::length(lead.cut, units)];
        if in_hand {
            cells.push(lead.in_hand.map_or("-".to_owned(), |l| show::length(l, units)));
        }
        if told {
            cells.push(lead.says.clone());
        }
        cells
    };
    let mut text = table(&columns, leads.iter().map(row).collect());
    text.push_str(&hanging(
        "  ",
        "Way: stud to stud as it lies on the plan, or as written where the plan has no end for it. \
         Cut: bare cable without its lugs, of the length written in the file where there is one, \
         and as long as its partners.",
    ));
    text
}

fn better(search: &Search, units: UnitSystem) -> String {
    let now = format!(
        "As it is: {} of links and bank leads, spread {} %.",
        show::route(search.present.copper, units),
        show::fixed(search.present.spread_percent, 1)
    );
    let mut text = hanging("  ", &now);
    if search.better.is_empty() {
        let found = if search.exact { "There is no better one" } else { "No better one was found" };
        text.push_str(&hanging("  ", &format!("{found}: leave it as it is.")));
    }
    for better in &search.better {
        text.push_str(&hanging("  do  ", &format!("{}: {}.", better.change, better.gains)));
    }
    text
}

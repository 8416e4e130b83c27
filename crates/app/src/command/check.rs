//! `check`: everything there is to say about the design.

use crate::args::CheckArgs;
use crate::failure::Failure;
use crate::json;
use crate::rig::Rig;
use crate::terminal::style::Style;
use crate::terminal::{findings, say};
use engine::finding::{Assumed, Finding};
use engine::report::Report;
use std::process::ExitCode;

/// Exit code when a STOP finding stands.
const STOPS_STAND: u8 = 1;

pub(crate) fn run(args: &CheckArgs) -> Result<ExitCode, Failure> {
    let rig = Rig::open(&args.rig)?;
    let reports = rig.reports()?;
    let stops: usize = reports.iter().map(Report::stops).sum();
    if args.rig.json {
        say(&json::text(&json::check::Check::of(&rig, &reports)))?;
    } else {
        say(&shown(&rig, &reports, Style::for_output()))?;
    }
    rig.close()?;
    Ok(if stops > 0 { ExitCode::from(STOPS_STAND) } else { ExitCode::SUCCESS })
}

fn shown(rig: &Rig, reports: &[Report], style: Style) -> String {
    let mut text = heading(rig, reports, style);
    for report in reports {
        text.push('\n');
        text.push_str(&style.bold(&stage_line(report)));
        text.push('\n');
        for finding in &report.findings {
            text.push('\n');
            let line = rig.line_of(&finding.path);
            text.push_str(&findings::finding(finding, line, &rig.tables, style));
        }
    }
    let assumed = assumed_once(reports);
    if !assumed.is_empty() {
        text.push('\n');
        text.push_str(&findings::assumed(&assumed, style));
    }
    text.push('\n');
    let all: Vec<&Finding> = reports.iter().flat_map(|r| &r.findings).collect();
    text.push_str(&findings::closing(&all, rig.design.rig.kind, style));
    text
}

fn heading(rig: &Rig, reports: &[Report], style: Style) -> String {
    let design = &rig.design.rig;
    let first = reports.first().map_or("", |r| r.stage.as_str());
    let stages = match reports.len() {
        0 | 1 => format!("stage \"{first}\""),
        n => format!("stage \"{first}\" and the {} after it", n - 1),
    };
    let name = style.bold(&design.name);
    format!("{name}  {} rules, {stages}, {}\n", design.practice.word(), rig.name)
}

/// The stage, and whether anything is new at it.
fn stage_line(report: &Report) -> String {
    let name = &report.stage;
    match (report.findings.len(), report.stops()) {
        (0, _) => format!("Stage \"{name}\": nothing more to say."),
        (_, 0) => format!("Stage \"{name}\""),
        (_, stops) => format!("Stage \"{name}\": {stops} STOP"),
    }
}

/// What was assumed at any stage, each path once.
pub(crate) fn assumed_once(reports: &[Report]) -> Vec<&Assumed> {
    let mut all: Vec<&Assumed> = Vec::new();
    for item in reports.iter().flat_map(|r| &r.assumed) {
        if !all.iter().any(|a| a.path == item.path) {
            all.push(item);
        }
    }
    all
}

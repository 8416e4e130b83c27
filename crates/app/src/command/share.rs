//! `share`: what every string, block, lead and joint carries.

use crate::args::ShareArgs;
use crate::failure::Failure;
use crate::json;
use crate::rig::Rig;
use crate::terminal::style::Style;
use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use crate::terminal::{findings, say};
use engine::circuit::error::SolveError;
use engine::circuit::share::{BlockShare, Draw, LeadShare, Share, ShareState};
use engine::draws::{self, JudgedPath};
use engine::report::Report;
use engine::study::Study;
use engine::units::{Current, Voltage, parse, show};
use std::process::ExitCode;

/// What a sign means; a lead may be written either way round.
const SIGNS: &str = "Amps above zero leave a string or a block, and run along a lead from its \
                     first end to its second; below zero they run the other way.";

pub(crate) fn run(args: &ShareArgs) -> Result<ExitCode, Failure> {
    let rig = Rig::open(&args.rig)?;
    let report = rig.report()?;
    let study = &report.study;
    let draw = asked(args, study)?;
    let unsolved = |e: &SolveError| rig.failed(Failure::unsolved(e));
    let share = study.share(&draw).map_err(|e| unsolved(&e))?;
    // Below zero volts the blocks would be driven backwards, which no load can do.
    if let Some(text) = args.load.as_ref().filter(|_| share.bank_volts < 0.0) {
        let most = show::fixed(share.short_circuit_amps, 0);
        let limits = format!("less than the {most} A of a dead short at the take-off");
        return Err(rig.failed(Failure::out_of_range("load", text, &limits)));
    }
    if args.spice {
        let deck = draws::deck(study, &draw, &share).map_err(|e| unsolved(&e))?;
        say(&deck)?;
    } else {
        let paths = draws::judged_paths(study, &rig.tables, &share);
        if args.rig.json {
            say(&json::text(&json::share::ShareJson::of(&rig, &report, &share, &paths)))?;
        } else {
            say(&shown(&rig, &report, &share, &paths))?;
        }
    }
    rig.close()?;
    Ok(ExitCode::SUCCESS)
}

/// The draw that the options ask for.
fn asked(args: &ShareArgs, study: &Study) -> Result<Draw, Failure> {
    let draw = if let Some(text) = &args.charge {
        draws::charge(study, positive_current("charge", text)?)
    } else if let Some(text) = &args.load {
        Draw::Amps(positive_current("load", text)?)
    } else if let Some(text) = &args.power {
        let power = parse::power(text).map_err(|e| Failure::option("power", &e))?;
        if power.as_watts() < 0.0 {
            return Err(Failure::out_of_range("power", text, "a power from 0 W up"));
        }
        Draw::Watts(power)
    } else {
        draws::usual(study)
    };
    Ok(if args.surge { draws::with_surge(study, &draw) } else { draw })
}

fn positive_current(option: &str, text: &str) -> Result<Current, Failure> {
    let amps = parse::current(text).map_err(|e| Failure::option(option, &e))?;
    if amps.as_amps() < 0.0 {
        let limits = "a current from 0 A up; --charge is the other way round";
        return Err(Failure::out_of_range(option, text, limits));
    }
    Ok(amps)
}

fn shown(rig: &Rig, report: &Report, share: &Share, paths: &[JudgedPath]) -> String {
    let style = Style::for_output();
    let mut text = format!("{}  stage \"{}\"\n", style.bold(&rig.design.rig.name), report.stage);
    let state = match share.state {
        ShareState::Solved => "",
        ShareState::CutOff => "CUT OFF: ",
        ShareState::Collapsed => "COLLAPSED: ",
    };
    text.push_str(&hanging("", &format!("{state}{}", share.says)));
    let bank = format!(
        "Bank {}, {} in all, spread between strings {} %.",
        show::voltage(Voltage::volts(share.bank_volts)),
        show::current(Current::amps(share.total_amps)),
        show::fixed(share.spread_percent, 1)
    );
    text.push_str(&hanging("", &bank));
    text.push_str(&hanging("", SIGNS));
    for part in [strings(share), blocks(share), leads(share), judged(paths)] {
        text.push('\n');
        text.push_str(&part);
    }
    text.push('\n');
    text.push_str(&shorts(share));
    text.push('\n');
    text.push_str(&findings::stop_line(report.stops(), &report.stage));
    text
}

fn amps(value: f64) -> String {
    show::fixed(value, 2)
}

fn millivolts(value: f64) -> String {
    show::fixed(value, 1)
}

fn strings(share: &Share) -> String {
    let columns = [("string", Lean::Left), ("A", Lean::Right)];
    let rows = share.strings.iter().map(|s| vec![s.id.clone(), amps(s.amps)]).collect();
    table(&columns, rows)
}

fn blocks(share: &Share) -> String {
    let columns = [("block", Lean::Left), ("A", Lean::Right), ("V", Lean::Right)];
    let row = |b: &BlockShare| vec![b.id.to_string(), amps(b.amps), show::fixed(b.volts, 3)];
    table(&columns, share.blocks.iter().map(row).collect())
}

fn leads(share: &Share) -> String {
    let columns = [
        ("lead", Lean::Left),
        ("from", Lean::Left),
        ("to", Lean::Left),
        ("A", Lean::Right),
        ("mV", Lean::Right),
        ("W", Lean::Right),
        ("joints mV", Lean::Right),
    ];
    let joints = |id: &str| {
        let ends = [format!("{id}.from"), format!("{id}.to")];
        let drop = |end: &String| share.joints.iter().find(|j| j.id == *end).map(|j| j.drop_mv);
        let shown: Vec<String> = ends.iter().filter_map(drop).map(millivolts).collect();
        shown.join(" / ")
    };
    let row = |l: &LeadShare| {
        vec![
            l.id.clone(),
            l.from.to_string(),
            l.to.to_string(),
            amps(l.amps),
            millivolts(l.drop_mv),
            show::fixed(l.watts, 2),
            joints(&l.id),
        ]
    };
    table(&columns, share.leads.iter().map(row).collect())
}

fn judged(paths: &[JudgedPath]) -> String {
    let columns = [
        ("to and from", Lean::Left),
        ("A", Lean::Right),
        ("mV", Lean::Right),
        ("%", Lean::Right),
        ("limit %", Lean::Right),
        ("", Lean::Left),
        ("in fuses, mV", Lean::Right),
        ("limit by", Lean::Left),
    ];
    let row = |p: &JudgedPath| {
        vec![
            p.share.id.clone(),
            amps(p.share.amps),
            millivolts(p.share.drop_mv),
            show::fixed(p.percent, 2),
            show::decimal(p.limit_percent, 1),
            match p.within {
                Some(true) => "ok",
                Some(false) => "OVER",
                None => "-",
            }
            .to_owned(),
            millivolts(p.share.devices_mv),
            format!("{} ({})", p.governed_by, p.cite.status.says()),
        ]
    };
    table(&columns, paths.iter().map(row).collect())
}

fn shorts(share: &Share) -> String {
    let columns = [("dead short at", Lean::Left), ("A", Lean::Right), ("", Lean::Left)];
    let take_off = vec!["the take-off".to_owned(), show::fixed(share.short_circuit_amps, 0)];
    let mut rows = vec![take_off];
    for fault in &share.faults {
        let amps = show::fixed(fault.amps, 0);
        rows.push(vec![fault.node.clone(), amps, fault.status.says().to_owned()]);
    }
    table(&columns, rows)
}

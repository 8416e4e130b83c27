//! `book`: the build book of a stage on both papers, the hand-over folder, its pictures as files of
//! their own, the cut list, and the templates at true size.

use crate::args::BookArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::json::files::Files;
use crate::out::{Source, TEMPLATES};
use crate::rig::Rig;
use crate::terminal::{findings, say};
use engine::report::Report;
use std::process::ExitCode;

pub(crate) fn run(args: &BookArgs) -> Result<ExitCode, Failure> {
    let rig = Rig::open(&args.rig)?;
    let report = rig.report()?;
    let written = written(&rig, &report, args)?;
    if args.rig.json {
        say(&json::text(&Files { files: written, stop_count: Some(report.stops()) }))?;
    } else {
        let mut text: String = written.iter().map(|f| format!("Wrote {f}\n")).collect();
        text.push_str(&findings::stop_line(report.stops(), &report.stage));
        say(&text)?;
    }
    rig.close()?;
    Ok(ExitCode::SUCCESS)
}

/// Writes everything and says where.
fn written(rig: &Rig, report: &Report, args: &BookArgs) -> Result<Vec<String>, Failure> {
    let recorded = super::nights::recorded(&rig.design, &args.rig.rig)?;
    let source = Source {
        design: &rig.design,
        report,
        tables: &rig.tables,
        evidence: &rig.evidence,
        recorded: recorded.as_ref(),
    };
    let all = source.all().map_err(|failure| rig.failed(failure))?;
    files::make_folder(&args.out)?;
    files::make_folder(&args.out.join(TEMPLATES))?;
    let mut paths = Vec::with_capacity(all.len());
    for piece in all {
        let path = args.out.join(piece.name);
        files::write_whole(&path, &piece.bytes, true)?;
        paths.push(path.display().to_string());
    }
    Ok(paths)
}

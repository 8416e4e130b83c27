//! `book`: the build book of a stage on both papers, and its pictures as files of their own.

use crate::args::BookArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::json::files::Files;
use crate::rig::Rig;
use crate::terminal::{findings, say};
use book::book::{BookInput, write_book};
use book::paper::Paper;
use book::pictures::standalone;
use drawing::svg::{Setting, svg};
use engine::plan::job::Job;
use engine::plan::steps::write;
use engine::report::Report;
use engine::study::Study;
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
    let study = |stage: usize| {
        Study::of(&rig.design, stage, &rig.tables, rig.ambient).map_err(|e| Failure::table(&e))
    };
    let stage = report.study.stage;
    let before = stage.checked_sub(1).map(study).transpose()?;
    let later = (stage + 1..rig.design.stages.len()).map(study).collect::<Result<Vec<_>, _>>()?;
    let job = Job::of(&report.study, before.as_ref(), &rig.tables);
    let build = write(&job).map_err(|e| rig.failed(Failure::unsolved(&e)))?;
    let on = |paper: Paper| BookInput {
        report,
        before: before.as_ref(),
        later: &later,
        job: &job,
        build: &build,
        tables: &rig.tables,
        paper,
    };
    let usual = Paper::usual(rig.design.rig.practice);
    let mut papers = Paper::ALL;
    papers.sort_by_key(|p| *p != usual);
    let mut all: Vec<(String, String)> = papers
        .into_iter()
        .map(|paper| (format!("book-{}.html", paper.word()), write_book(&on(paper))))
        .collect();
    let pictures = standalone(&on(usual));
    all.extend(pictures.iter().map(|(name, s)| ((*name).to_owned(), svg(s, Setting::Standalone))));
    files::make_folder(&args.out)?;
    let mut paths = Vec::with_capacity(all.len());
    for (name, text) in all {
        let path = args.out.join(name);
        files::write_whole(&path, text.as_bytes(), true)?;
        paths.push(path.display().to_string());
    }
    Ok(paths)
}

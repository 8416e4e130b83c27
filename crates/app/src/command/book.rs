//! `book`: the build book of a stage on both papers, its pictures as files of their own, and the
//! templates at true size.

use crate::args::BookArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::json::files::Files;
use crate::rig::Rig;
use crate::terminal::{findings, say};
use book::book::{BookInput, write_book};
use book::paper::Paper;
use book::pictures::{standalone, templates};
use drawing::dxf::dxf;
use drawing::svg::{Setting, svg};
use drawing::templates::Template;
use drawing::templates::tile::tiled;
use engine::fit::Fit;
use engine::plan::job::Job;
use engine::plan::steps::write;
use engine::report::Report;
use engine::sim::nights::{Ask, Nights, NightsError};
use engine::study::Study;
use engine::tables::climate::Climate;
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
    let fit = Fit::of(&report.study, &rig.design, &rig.tables);
    let job = Job::of(&report.study, before.as_ref(), &rig.tables).weighed(fit.weight.clone());
    let build = write(&job).map_err(|e| rig.failed(Failure::unsolved(&e)))?;
    let nights = nights(rig, report, args)?;
    let on = |paper: Paper| BookInput {
        fit: &fit,
        nights: nights.as_ref(),
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
    let mut all: Vec<(String, Vec<u8>)> =
        all.into_iter().map(|(name, text)| (name, text.into_bytes())).collect();
    all.extend(true_to_size(&templates(&on(usual)), &rig.design.rig.name));
    files::make_folder(&args.out)?;
    files::make_folder(&args.out.join(TEMPLATES))?;
    let mut paths = Vec::with_capacity(all.len());
    for (name, bytes) in all {
        let path = args.out.join(name);
        files::write_whole(&path, &bytes, true)?;
        paths.push(path.display().to_string());
    }
    Ok(paths)
}

/// Weather years behind the pages of nights: enough for 90 in 100, and quick.
const YEARS: usize = 200;

/// The nights of the stage, by the seed that `nights` takes when none is named.
fn nights(
    rig: &Rig,
    report: &Report,
    args: &BookArgs,
) -> Result<Result<Nights, NightsError>, Failure> {
    let recorded = super::nights::recorded(rig, &args.rig.rig)?;
    let ask = Ask {
        place: None,
        month: None,
        years: YEARS,
        seed: 1,
        recorded: recorded.as_ref(),
        progress: None,
    };
    let climate = Climate::embedded().map_err(|e| Failure::table(&e))?;
    Ok(Nights::of(&report.study, &rig.design, &rig.tables, &climate, &ask))
}

/// The folder of the templates, beside the book.
const TEMPLATES: &str = "templates";

/// Each template as SVG and DXF for a shop, and as PDF cut into sheets of both papers.
fn true_to_size(all: &[Template], rig: &str) -> Vec<(String, Vec<u8>)> {
    let mut written = Vec::new();
    for template in all {
        let path = |end: &str| format!("{TEMPLATES}/{}{end}", template.name);
        written.push((path(".svg"), svg(&template.scene, Setting::Standalone).into_bytes()));
        written.push((path(".dxf"), dxf(&template.scene).into_bytes()));
        for paper in Paper::ALL {
            let end = format!("-{}.pdf", paper.word());
            written.push((path(&end), tiled(template, paper.size_mm(), rig)));
        }
    }
    written
}

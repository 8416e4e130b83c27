//! `book`: the build book of a stage on both papers, the hand-over folder, its pictures as files of
//! their own, and the templates at true size.

use crate::args::BookArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::json::files::Files;
use crate::rig::Rig;
use crate::terminal::{findings, say};
use book::book::{BookInput, write_book, write_hand_over};
use book::paper::Paper;
use book::phone::write_phone;
use book::pictures::{standalone, templates};
use drawing::dxf::dxf;
use drawing::scene::Scene;
use drawing::svg::{Setting, svg};
use drawing::templates::Template;
use drawing::templates::tile::tiled;
use engine::care::Care;
use engine::fit::Fit;
use engine::model::design::Design;
use engine::plan::job::Job;
use engine::plan::steps::write;
use engine::report::Report;
use engine::sim::nights::{Ask, Nights, NightsError};
use engine::sim::recorded::RecordedYear;
use engine::study::Study;
use engine::tables::Tables;
use engine::tables::climate::Climate;
use rayon::prelude::{IntoParallelIterator, IntoParallelRefIterator, ParallelIterator};
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
    let (design, tables, ambient) = (&rig.design, &rig.tables, rig.ambient);
    let study =
        |stage: usize| Study::of(design, stage, tables, ambient).map_err(|e| Failure::table(&e));
    let stage = report.study.stage;
    let recorded = super::nights::recorded(rig, &args.rig.rig)?;
    // Nights and stages need nothing of each other, and neither do the two papers further down: the
    // cores share them, and the bytes are the same.
    let (nights, studies) = rayon::join(
        || nights(design, report, tables, recorded.as_ref()),
        || {
            let others = (0..design.stages.len()).into_par_iter();
            let beside = others.filter(|s| *s + 1 == stage || stage < *s);
            beside.map(study).collect::<Result<Vec<_>, _>>()
        },
    );
    let (nights, studies) = (nights?, studies?);
    let (before, later) = studies.split_at(stage.min(1));
    let fit = Fit::of(&report.study, &rig.design, &rig.tables);
    let mut evidence = rig.evidence.clone();
    evidence.readings.extend(super::prove::built(&report.study, tables));
    let care = Care::of(&report.study, design, tables, &rig.evidence);
    let templates = templates(&report.study, &fit, &rig.tables);
    let before = before.first();
    let job = Job::of(&report.study, before, &rig.tables).weighed(fit.weight.clone());
    let build = write(&job).map_err(|e| rig.failed(Failure::unsolved(&e)))?;
    let on = |paper: Paper| BookInput {
        fit: &fit,
        templates: &templates,
        nights: nights.as_ref(),
        evidence: &evidence,
        care: &care,
        report,
        before,
        later,
        job: &job,
        build: &build,
        tables: &rig.tables,
        paper,
    };
    let usual = Paper::usual(rig.design.rig.practice);
    let mut papers = Paper::ALL;
    papers.sort_by_key(|p| *p != usual);
    let written = |paper: &Paper| {
        (format!("book-{}.html", paper.word()), write_book(&on(*paper)).into_bytes())
    };
    let pictures = |(name, scene): &(&str, Scene)| {
        ((*name).to_owned(), svg(scene, Setting::Standalone).into_bytes())
    };
    let (mut all, (alone, true_to_size)) = rayon::join(
        || papers.par_iter().map(written).collect::<Vec<_>>(),
        || {
            let mut alone: Vec<_> = standalone(&on(usual)).iter().map(pictures).collect();
            alone.insert(0, (HAND_OVER.to_owned(), write_hand_over(&on(usual)).into_bytes()));
            (alone, true_to_size(&templates, &rig.design.rig.name))
        },
    );
    all.push(("phone.html".to_owned(), write_phone(&on(usual)).into_bytes()));
    all.extend(alone);
    all.extend(true_to_size);
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
    design: &Design,
    report: &Report,
    tables: &Tables,
    recorded: Option<&RecordedYear>,
) -> Result<Result<Nights, NightsError>, Failure> {
    let ask = Ask { place: None, month: None, years: YEARS, seed: 1, recorded, progress: None };
    let climate = Climate::embedded().map_err(|e| Failure::table(&e))?;
    Ok(Nights::of(&report.study, design, tables, &climate, &ask))
}

/// The hand-over folder, on the paper that is usual where the rig is.
const HAND_OVER: &str = "hand-over.html";

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

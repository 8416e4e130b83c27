//! The demo rigs at each of their stages, worked through as the command line does.

use book::book::BookInput;
use book::paper::Paper;
use book::pictures::templates;
use engine::care::Care;
use engine::evidence::Evidence;
use engine::facts::Ambient;
use engine::fit::Fit;
use engine::model::design::Design;
use engine::plan::build::Build;
use engine::plan::job::Job;
use engine::plan::steps::write;
use engine::report::Report;
use engine::sim::nights::{Ask, Nights, NightsError};
use engine::study::Study;
use engine::tables::Tables;
use engine::tables::climate::Climate;
use engine::units::Temperature;
use std::sync::LazyLock;

/// The published tables.
pub(crate) static TABLES: LazyLock<Tables> =
    LazyLock::new(|| Tables::load().expect("the tables are whole"));

/// The demo rigs by name.
pub(crate) const DEMOS: [(&str, &str); 3] = [
    ("alder-fen", include_str!("../../../../examples/alder-fen.toml")),
    ("withy-reach", include_str!("../../../../examples/withy-reach.toml")),
    ("rime-hollow", include_str!("../../../../examples/rime-hollow.toml")),
];

/// Few years: the pages are tested here, not the weather.
const ASK: Ask<'static> =
    Ask { place: None, month: None, years: 24, seed: 1, recorded: None, progress: None };

/// A stage with everything its book is made from.
pub(crate) struct Worked {
    /// The stage, judged.
    pub(crate) report: Report,
    /// The stage before.
    pub(crate) before: Option<Study>,
    /// The stages after.
    pub(crate) later: Vec<Study>,
    /// The pages.
    pub(crate) build: Build,
    /// What was measured and done.
    pub(crate) evidence: Evidence,
    /// The nights.
    pub(crate) nights: Result<Nights, NightsError>,
}

/// A design by the name of a demo.
pub(crate) fn design(name: &str) -> Design {
    let text = DEMOS.iter().find(|d| d.0 == name).map(|d| d.1).expect("a demo of that name");
    design_file::read::read(text).design.expect("a demo reads")
}

impl Worked {
    /// Works every stage of a design through.
    pub(crate) fn all(whole: &Design) -> Vec<Self> {
        let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
        let report = |n| Report::of(whole, n, &TABLES, ambient).expect("the tables are whole");
        let reports: Vec<Report> = (0..whole.stages.len()).map(report).collect();
        let studies: Vec<Study> = reports.iter().map(|r| r.study.clone()).collect();
        let climate = Climate::embedded().expect("the map is whole");
        let of = |(stage, report): (usize, Report)| {
            let before = stage.checked_sub(1).map(|n| studies[n].clone());
            let later = studies[stage + 1..].to_vec();
            let job = Job::of(&report.study, before.as_ref(), &TABLES);
            let build = write(&job).expect("the network solves");
            let nights = Nights::of(&report.study, whole, &TABLES, &climate, &ASK);
            Self { report, before, later, build, evidence: Evidence::default(), nights }
        };
        reports.into_iter().enumerate().map(of).collect()
    }

    /// Does something with the book's input on a paper.
    pub(crate) fn with<T>(&self, paper: Paper, then: impl FnOnce(&BookInput<'_>) -> T) -> T {
        let design = &self.report.study.design;
        let care = Care::of(&self.report.study, design, &TABLES, &self.evidence);
        self.with_care(paper, &care, then)
    }

    /// The same with what a log says.
    pub(crate) fn with_care<T>(
        &self,
        paper: Paper,
        care: &Care,
        then: impl FnOnce(&BookInput<'_>) -> T,
    ) -> T {
        let job = Job::of(&self.report.study, self.before.as_ref(), &TABLES);
        let fit = Fit::of(&self.report.study, &self.report.study.design, &TABLES);
        let templates = templates(&self.report.study, &fit, &TABLES);
        then(&BookInput {
            fit: &fit,
            templates: &templates,
            nights: self.nights.as_ref(),
            evidence: &self.evidence,
            care,
            report: &self.report,
            before: self.before.as_ref(),
            later: &self.later,
            job: &job,
            build: &self.build,
            tables: &TABLES,
            paper,
        })
    }
}

//! What a design is handed on as: books, folder, copy for the phone, pictures, cut list, templates.
//!
//! It makes each as a named run of bytes and touches no disk: `book` writes all of them into a folder,
//! the page gives one at a time.

mod cut_list;

use crate::failure::Failure;
use crate::proving;
use book::book::{BookInput, write_book, write_hand_over};
use book::paper::Paper;
use book::phone::write_phone;
use book::pictures::{standalone, standalone_names, templates};
use drawing::dxf::dxf;
use drawing::scene::Scene;
use drawing::svg::{Setting, svg};
use drawing::templates::Template;
use drawing::templates::tile::tiled;
use engine::care::Care;
use engine::evidence::Evidence;
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

/// One file, ready to be written or handed over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    /// Its name below the folder of the book, such as `templates/floor.svg`.
    pub(crate) name: String,
    /// What it is, as a browser is told.
    pub(crate) kind: &'static str,
    /// What is in it.
    pub(crate) bytes: Vec<u8>,
}

/// What everything is made from.
#[derive(Clone, Copy)]
pub(crate) struct Source<'a> {
    /// The rig with every stage.
    pub(crate) design: &'a Design,
    /// The stage, worked through and judged.
    pub(crate) report: &'a Report,
    /// Published numbers.
    pub(crate) tables: &'a Tables,
    /// What was measured and done.
    pub(crate) evidence: &'a Evidence,
    /// The owner's own weather.
    pub(crate) recorded: Option<&'a RecordedYear>,
}

/// The folder of the templates, beside the book.
pub(crate) const TEMPLATES: &str = "templates";
/// The hand-over folder, on the paper that is usual where the rig is.
pub(crate) const HAND_OVER: &str = "hand-over.html";
/// The copy for the driveway.
pub(crate) const PHONE: &str = "phone.html";
/// The cut list as a table.
pub(crate) const CUT_LIST: &str = "cut-list.csv";

/// Weather years behind the pages of nights: enough for 90 in 100, and quick.
const YEARS: usize = 200;

const HTML: &str = "text/html; charset=utf-8";
const CSV: &str = "text/csv; charset=utf-8";
const SVG: &str = "image/svg+xml";
const DXF: &str = "image/vnd.dxf";
const PDF: &str = "application/pdf";

/// The name of the book on a paper.
pub(crate) fn book_name(paper: Paper) -> String {
    format!("book-{}.html", paper.word())
}

/// Both papers, the usual one first.
pub(crate) fn papers(design: &Design) -> [Paper; 2] {
    let usual = Paper::usual(design.rig.practice);
    let mut papers = Paper::ALL;
    papers.sort_by_key(|p| *p != usual);
    papers
}

impl Source<'_> {
    /// Every file, in the order in which they are told.
    pub(crate) fn all(&self) -> Result<Vec<Piece>, Failure> {
        self.bound(|on| {
            let (mut all, alone) = rayon::join(
                || papers(self.design).par_iter().map(|p| book(on, *p)).collect::<Vec<_>>(),
                || {
                    let mut alone = vec![phone(on), hand_over(on)];
                    alone.extend(standalone(on).iter().map(picture));
                    alone.push(self.cut_list());
                    let rig = &self.design.rig.name;
                    alone.extend(on.templates.iter().flat_map(|t| {
                        ends().into_iter().map(move |end| true_to_size(t, end, rig))
                    }));
                    alone
                },
            );
            all.extend(alone);
            all
        })
    }

    /// One file by its name; `None` where this stage has none of that name.
    pub(crate) fn one(&self, name: &str) -> Result<Option<Piece>, Failure> {
        if name == CUT_LIST {
            return Ok(Some(self.cut_list()));
        }
        if let Some(template) = name.strip_prefix(TEMPLATES).and_then(|n| n.strip_prefix('/')) {
            return Ok(self.template(template));
        }
        if standalone_names(&self.report.study).contains(&name) {
            return self.bound(|on| {
                let all = standalone(on);
                all.iter().find(|p| p.0 == name).map(picture)
            });
        }
        match name {
            HAND_OVER => self.bound(hand_over).map(Some),
            PHONE => self.bound(phone).map(Some),
            _ => match Paper::ALL.into_iter().find(|p| book_name(*p) == name) {
                Some(paper) => self.bound(|on| book(on, paper)).map(Some),
                None => Ok(None),
            },
        }
    }

    /// The templates of the stage.
    pub(crate) fn templates(&self) -> Vec<Template> {
        let study = &self.report.study;
        templates(study, &Fit::of(study, self.design, self.tables), self.tables)
    }

    fn template(&self, name: &str) -> Option<Piece> {
        let rig = &self.design.rig.name;
        let all = self.templates();
        let of = |t: &Template| {
            let end = ends().into_iter().find(|end| name == format!("{}{}", t.name, end.says()))?;
            Some(true_to_size(t, end, rig))
        };
        all.iter().find_map(of)
    }

    fn cut_list(&self) -> Piece {
        let study = &self.report.study;
        let text = cut_list::text(&study.design, &study.leads);
        Piece { name: CUT_LIST.to_owned(), kind: CSV, bytes: text.into_bytes() }
    }

    /// Works out all that a book tells, and makes something of it.
    fn bound<T>(&self, make: impl FnOnce(&BookInput<'_>) -> T) -> Result<T, Failure> {
        let (design, tables, report) = (self.design, self.tables, self.report);
        let ambient = report.study.ambient;
        let study = |stage: usize| {
            Study::of(design, stage, tables, ambient).map_err(|e| Failure::table(&e))
        };
        let stage = report.study.stage;
        // Nights and stages need nothing of each other: the cores share them, and the bytes are the
        // same.
        let (nights, studies) = rayon::join(
            || self.nights(),
            || {
                let others = (0..design.stages.len()).into_par_iter();
                let beside = others.filter(|s| *s + 1 == stage || stage < *s);
                beside.map(study).collect::<Result<Vec<_>, _>>()
            },
        );
        let (nights, studies) = (nights?, studies?);
        let (before, later) = studies.split_at(stage.min(1));
        let before = before.first();
        let fit = Fit::of(&report.study, design, tables);
        let mut evidence = self.evidence.clone();
        if evidence.readings.is_empty() {
            evidence.readings.extend(proving::built(&report.study, tables));
        }
        let care = Care::of(&report.study, design, tables, self.evidence);
        let templates = templates(&report.study, &fit, tables);
        let job = Job::of(&report.study, before, tables).weighed(fit.weight.clone());
        let build = write(&job).map_err(|e| Failure::unsolved(&e))?;
        Ok(make(&BookInput {
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
            tables,
            paper: Paper::usual(design.rig.practice),
        }))
    }

    /// The nights of the stage, by the seed that `nights` takes when none is named.
    fn nights(&self) -> Result<Result<Nights, NightsError>, Failure> {
        let recorded = self.recorded;
        let ask = Ask { place: None, month: None, years: YEARS, seed: 1, recorded, progress: None };
        let climate = Climate::embedded().map_err(|e| Failure::table(&e))?;
        Ok(Nights::of(&self.report.study, self.design, self.tables, &climate, &ask))
    }
}

fn book(on: &BookInput<'_>, paper: Paper) -> Piece {
    let bytes = write_book(&BookInput { paper, ..*on }).into_bytes();
    Piece { name: book_name(paper), kind: HTML, bytes }
}

fn hand_over(on: &BookInput<'_>) -> Piece {
    Piece { name: HAND_OVER.to_owned(), kind: HTML, bytes: write_hand_over(on).into_bytes() }
}

fn phone(on: &BookInput<'_>) -> Piece {
    Piece { name: PHONE.to_owned(), kind: HTML, bytes: write_phone(on).into_bytes() }
}

fn picture((name, scene): &(&str, Scene)) -> Piece {
    let bytes = svg(scene, Setting::Standalone).into_bytes();
    Piece { name: (*name).to_owned(), kind: SVG, bytes }
}

/// What a template is written as: for a shop that cuts, and cut into sheets of a paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum End {
    /// The whole as a drawing.
    Svg,
    /// The whole for a cutter.
    Dxf,
    /// Sheets of paper.
    Pdf(Paper),
}

/// Everything a template is written as.
fn ends() -> [End; 4] {
    let [one, other] = Paper::ALL;
    [End::Svg, End::Dxf, End::Pdf(one), End::Pdf(other)]
}

impl End {
    /// How its name ends.
    pub(crate) fn says(self) -> String {
        match self {
            Self::Svg => ".svg".to_owned(),
            Self::Dxf => ".dxf".to_owned(),
            Self::Pdf(paper) => format!("-{}.pdf", paper.word()),
        }
    }
}

fn true_to_size(template: &Template, end: End, rig: &str) -> Piece {
    let (kind, bytes) = match end {
        End::Svg => (SVG, svg(&template.scene, Setting::Standalone).into_bytes()),
        End::Dxf => (DXF, dxf(&template.scene).into_bytes()),
        End::Pdf(paper) => (PDF, tiled(template, paper.size_mm(), rig)),
    };
    Piece { name: format!("{TEMPLATES}/{}{}", template.name, end.says()), kind, bytes }
}

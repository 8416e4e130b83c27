//! The whole book: which pages there are, in which order, and on which side each begins.

use super::fit_scenes::FitScenes;
use super::pager::{Chapter, Sheet, sheets};
use super::pages;
use super::paper::Paper;
use super::pictures;
use super::pictures::Better;
use super::sheet::{Running, document};
use drawing::scene::Scene;
use drawing::templates::Template;
use engine::care::Care;
use engine::evidence::Evidence;
use engine::fit::Fit;
use engine::plan::build::Build;
use engine::plan::card::Card;
use engine::plan::job::Job;
use engine::plan::proving::Proving;
use engine::plan::shopping::Shopping;
use engine::plan::shopping::later::Later;
use engine::report::Report;
use engine::sim::nights::{Nights, NightsError};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::show::UnitSystem;
use std::collections::BTreeMap;

/// What a book is made from.
#[derive(Clone, Copy)]
pub struct BookInput<'a> {
    /// The stage, worked through and judged.
    pub report: &'a Report,
    /// The stage before it, where there is one.
    pub before: Option<&'a Study>,
    /// The stages after it, in order, for what is used again.
    pub later: &'a [Study],
    /// The work of the stage.
    pub job: &'a Job<'a>,
    /// Its pages in the order of hands.
    pub build: &'a Build,
    /// What the box, the frame and the hitch say.
    pub fit: &'a Fit,
    /// Its templates at true size, which are the same on every paper; see `pictures::templates`.
    pub templates: &'a [Template],
    /// How long the rig stays unplugged, or why nobody can say.
    pub nights: Result<&'a Nights, &'a NightsError>,
    /// What was measured and done.
    pub evidence: &'a Evidence,
    /// What the log says, and what is due.
    pub care: &'a Care,
    /// Published numbers, for the names of the sources.
    pub tables: &'a Tables,
    /// The paper it is printed on.
    pub paper: Paper,
}

/// The book as one self-contained HTML file. The same input gives the same bytes.
#[must_use]
pub fn write_book(input: &BookInput<'_>) -> String {
    let (running, sheets) = bound(input, Volume::Book);
    document(&running, &sheets)
}

/// The hand-over folder as one self-contained HTML file. The same input gives the same bytes.
#[must_use]
pub fn write_hand_over(input: &BookInput<'_>) -> String {
    let (running, sheets) = bound(input, Volume::HandOver);
    document(&running, &sheets)
}

/// What is bound.
#[derive(Clone, Copy)]
enum Volume {
    Book,
    HandOver,
}

/// The title of every page, in order.
#[must_use]
pub fn page_titles(input: &BookInput<'_>) -> Vec<String> {
    bound(input, Volume::Book).1.into_iter().map(|s| s.title).collect()
}

/// What every page is written from.
pub(crate) struct Context<'a> {
    /// What was given.
    pub(crate) input: &'a BookInput<'a>,
    /// Width of the work on a page [mm].
    pub(crate) width: f64,
    /// Height of the work on a page [mm].
    pub(crate) height: f64,
    /// The reader's units.
    pub(crate) units: UnitSystem,
    /// What the finished bank must show; `None` without a bank or where the network has no answer.
    pub(crate) proving: Option<Proving>,
    /// The card that makes the rig dead.
    pub(crate) card: Card,
    /// What to buy.
    pub(crate) shopping: Shopping,
    /// The plan of the box; drawn once, however often pages are broken.
    pub(crate) plan: Option<Scene>,
    /// The single-line diagram on as many sheets as it needs.
    pub(crate) diagram: Vec<Scene>,
    /// The best other take-off, where the checks ask for one.
    pub(crate) better: Option<Better>,
    /// The pictures of the box, the frame and the hitch.
    pub(crate) fit: FitScenes,
    /// The small pictures of the pages of steps, by big number.
    pub(crate) small: BTreeMap<u32, Scene>,
    /// The proving sheet of the last day with readings; empty where there is none.
    pub(crate) proved: Vec<Chapter>,
    /// On which page each chapter begins.
    turn: BTreeMap<String, usize>,
}

impl<'a> Context<'a> {
    /// What every page is written from, without the small pictures of the pages of steps.
    fn of(input: &'a BookInput<'a>) -> Self {
        let design = &input.report.study.design;
        let later: Vec<Later<'_>> = input.later.iter().map(Later::of).collect();
        Self {
            input,
            width: input.paper.width(),
            height: input.paper.height(),
            units: design.rig.units,
            proving: design.bank().and_then(|_| Proving::of(input.job).ok()),
            shopping: Shopping::of(input.job, &later),
            card: Card::of(design, &input.report.study.wiring),
            plan: pictures::plan(input),
            diagram: pictures::diagram(input),
            better: pictures::better(input),
            fit: FitScenes::of(input),
            small: BTreeMap::new(),
            proved: Vec::new(),
            turn: BTreeMap::new(),
        }
    }

    /// The page on which a chapter begins, where the book has it.
    pub(crate) fn page(&self, anchor: &str) -> Option<usize> {
        self.turn.get(anchor).copied()
    }

    /// Every chapter with the page on which it begins, in the order of the pages.
    pub(crate) fn contents(&self, chapters: &[(String, String)]) -> Vec<(String, usize)> {
        chapters
            .iter()
            .filter_map(|(anchor, title)| Some((title.clone(), self.page(anchor)?)))
            .collect()
    }
}

/// Pages are broken again until every "turn to page" stands: the first time no page is known, the
/// second time all are, and a third time only if a number made a line longer.
const ROUNDS: usize = 4;

fn bound(input: &BookInput<'_>, volume: Volume) -> (Running, Vec<Sheet>) {
    let design = &input.report.study.design;
    let what = match volume {
        Volume::Book => "build book",
        Volume::HandOver => "hand-over folder",
    };
    let running = Running {
        what,
        rig: design.rig.name.clone(),
        stage: input.report.stage.clone(),
        revision: design.rig.revision.clone().unwrap_or_else(|| "not given".to_owned()),
        paper: input.paper,
    };
    let mut context = Context::of(input);
    match volume {
        Volume::Book => context.small = small(&context),
        Volume::HandOver => context.proved = pages::folder::proved(&context).unwrap_or_default(),
    }
    let mut all = Vec::new();
    for _ in 0..ROUNDS {
        let chapters = match volume {
            Volume::Book => pages::chapters(&context),
            Volume::HandOver => pages::folder::chapters(&context),
        };
        all = laid(&chapters, &context);
        let turn = places(&all);
        if turn == context.turn {
            break;
        }
        context.turn = turn;
    }
    (running, all)
}

/// Width of the picture at the head of a page of steps [mm].
pub(crate) const SMALL_WIDTH: f64 = 76.0;

/// The small pictures, drawn once, however often pages are broken.
fn small(context: &Context<'_>) -> BTreeMap<u32, Scene> {
    let pages = context.input.build.pages.iter();
    pages.filter_map(|p| Some((p.number, pictures::step(context, p, SMALL_WIDTH)?))).collect()
}

fn laid(chapters: &[Chapter], context: &Context<'_>) -> Vec<Sheet> {
    chapters.iter().flat_map(|c| sheets(c, context.width, context.height)).collect()
}

fn places(sheets: &[Sheet]) -> BTreeMap<String, usize> {
    let named = sheets.iter().enumerate();
    named.filter_map(|(index, s)| Some((s.anchor.clone()?, index + 1))).collect()
}

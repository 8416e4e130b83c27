//! The pictures of a book as scenes, chosen for the paper they stand on.

use super::book::{BookInput, Context};
use drawing::pictures::plan::{PlanPicture, plan as plan_picture};
use drawing::pictures::share::{Half, SharePicture, share as share_picture};
use drawing::pictures::single_line::{SingleLinePicture, single_line, single_line_sheets};
use drawing::pictures::step_plan::{StepMarks, StepPlanPicture, step_plan};
use drawing::pictures::tips::Tips;
use drawing::pictures::{Foot, Setting, Subject};
use drawing::scene::Scene;
use drawing::templates::{Kit, Template};
use engine::checks;
use engine::checks::r01_take_off_at_one_end::best_move;
use engine::checks::resolve::share_with;
use engine::circuit::share::Share;
use engine::finding::Code;
use engine::fit::Fit;
use engine::model::bank::TakeOff;
use engine::model::lead::Terminal;
use engine::plan::build::{Change, Page, PartRef, Step};
use engine::prove::Point;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Current;

/// A rig at one stage as the pictures want it.
pub(crate) fn subject(study: &Study) -> Subject<'_> {
    Subject {
        design: &study.design,
        stage: study.stage,
        wiring: &study.wiring,
        layout: &study.layout,
        leads: &study.leads,
    }
}

/// Widest that a chart is set [mm]: its lines would only grow longer.
const WIDEST: f64 = 180.0;

/// The paper of a chart.
pub(crate) fn chart_setting(cx: &Context<'_>, id: &str) -> Setting {
    let width = cx.width.min(WIDEST);
    Setting { id: id.to_owned(), width, height: cx.height, foot: Foot::Bare, scale: None }
}

/// Rig and stage, for the title of a chart.
pub(crate) fn named<'a>(cx: &'a Context<'_>) -> (&'a str, &'a str) {
    (&cx.input.report.study.design.rig.name, &cx.input.report.stage)
}

/// Room beside the plan on its page for the sentence above it [mm].
const ABOVE: f64 = 20.0;

/// The plan, upright or turned on its side, whichever lets the box be drawn larger; `None` without a
/// bank.
pub(crate) fn plan(input: &BookInput<'_>) -> Option<Scene> {
    let study = &input.report.study;
    study.design.bank()?;
    let (across, down) = (input.paper.width(), input.paper.height() - ABOVE);
    let drawn = |width: f64, height: f64| {
        let setting =
            Setting { id: "plan".to_owned(), width, height, foot: Foot::Bare, scale: None };
        let share = study.discharge.as_ref().ok();
        plan_picture(&PlanPicture { subject: subject(study), share, setting: &setting })
    };
    let upright = drawn(across, down);
    let turned = drawn(down, across);
    let scale = |s: &Scene| s.view.map_or(0.0, |v| v.scale);
    let fits = |s: &Scene, w: f64, h: f64| s.width <= w + 0.5 && s.height <= h + 0.5;
    let better = scale(&turned) > scale(&upright) * 1.2 || !fits(&upright, across, down);
    Some(if better && fits(&turned, down, across) { turned } else { upright })
}

/// The single-line diagram, on as many sheets as the paper needs.
pub(crate) fn diagram(input: &BookInput<'_>) -> Vec<Scene> {
    let study = &input.report.study;
    let (width, height) = (input.paper.width(), input.paper.height() - ABOVE);
    let setting =
        Setting { id: "diagram".to_owned(), width, height, foot: Foot::Bare, scale: None };
    let share = study.discharge.as_ref().ok();
    single_line_sheets(&SingleLinePicture { subject: subject(study), share, setting: &setting })
}

/// The share as arrows, with the better take-off beside it where there is one.
pub(crate) fn share(input: &BookInput<'_>, then: Option<&Better>, foot: Foot) -> Option<Scene> {
    let study = &input.report.study;
    let now = Half { says: "now", share: study.discharge.as_ref().ok()? };
    let then = then.map(|b| Half { says: &b.says, share: &b.share });
    let (width, height) = (input.paper.width(), input.paper.height());
    let setting = Setting { id: "share".to_owned(), width, height, foot, scale: None };
    let picture = SharePicture { subject: subject(study), now, then, setting: &setting };
    (now.share.strings.len() > 1).then(|| share_picture(&picture))
}

/// The best other take-off, in words and as what the strings then carry.
#[derive(Clone, Debug)]
pub(crate) struct Better {
    /// Such as `plus on A1 +, minus on C2 −`.
    pub(crate) says: String,
    /// The share it gives at the same amps.
    pub(crate) share: Share,
}

/// The rule on where the main leads leave.
const TAKE_OFF: Code = Code(1);

/// The best other take-off, where the rule on the take-off has something to say.
pub(crate) fn better(input: &BookInput<'_>) -> Option<Better> {
    let report = input.report;
    report.findings.iter().find(|f| f.code == TAKE_OFF)?;
    let study = &report.study;
    let bank = study.design.bank()?;
    let cx = checks::context::Context {
        study,
        tables: input.tables,
        whole: &study.design,
        evidence: input.evidence,
    };
    let discharge = study.discharge.as_ref().ok()?;
    let amps = discharge.strings.iter().map(|s| s.amps.abs()).sum();
    let (better, _) = best_move(&cx, bank, amps).ok()?;
    let share = share_with(&cx, &better.takeoff, Current::amps(amps)).ok()?;
    let says = match &better.takeoff {
        TakeOff::Posts { plus, minus } => format!("plus on {plus}, minus on {minus}"),
        _ => "equal leads to busbars".to_owned(),
    };
    Some(Better { says, share })
}

/// The small picture at the head of a page of steps: its leads, blocks and posts, and the gap to
/// measure; `None` for a page that speaks of nothing on the bank.
pub(crate) fn step(cx: &Context<'_>, page: &Page, width: f64) -> Option<Scene> {
    let study = &cx.input.report.study;
    study.design.bank()?;
    let marks = marks(cx, page);
    let on_bank = |id: &String| {
        study.wiring.lead(id).is_some_and(|l| l.from.block().is_some() || l.to.block().is_some())
    };
    // Leads that are only cut lie on the bench, not on the bank.
    let at_bank = |s: &Step| {
        matches!(s.change, Some(Change::Fits(_)))
            || !s.readings.is_empty()
            || s.parts.iter().any(|p| matches!(p, PartRef::Block(_)))
    };
    if !page.steps.iter().any(at_bank) {
        return None;
    }
    let shows = !marks.blocks.is_empty()
        || marks.posts.iter().any(|p| p.block().is_some())
        || marks.leads.iter().any(on_bank);
    if !shows {
        return None;
    }
    let id = format!("step-{}", page.number);
    let setting = Setting { id, width, height: STEP_HEIGHT, foot: Foot::Bare, scale: None };
    let picture = StepPlanPicture { subject: subject(study), marks: &marks, setting: &setting };
    Some(step_plan(&picture))
}

/// Height to keep the small picture within, where its names allow [mm].
const STEP_HEIGHT: f64 = 55.0;

fn marks(cx: &Context<'_>, page: &Page) -> StepMarks {
    let mut marks = StepMarks::default();
    marks.fitted.extend(cx.input.job.start().leads);
    let earlier = cx.input.build.pages.iter().take_while(|p| p.number < page.number);
    for step in earlier.flat_map(|p| &p.steps) {
        if let Some(Change::Fits(lead)) = &step.change {
            marks.fitted.push(lead.clone());
        }
    }
    for step in &page.steps {
        if let Some(Change::Fits(lead)) = &step.change {
            marks.leads.push(lead.clone());
        }
        for part in &step.parts {
            match part {
                PartRef::Lead(lead) => marks.leads.push(lead.clone()),
                PartRef::Terminal(post) => marks.posts.push(post.clone()),
                PartRef::Block(block) => marks.blocks.push(*block),
                PartRef::Device(_) => {}
            }
        }
    }
    let wired = marks.leads.iter().filter_map(|id| cx.input.report.study.wiring.lead(id));
    let ends = wired.flat_map(|l| [&l.from, &l.to]).filter(|t| t.block().is_some());
    let ends: Vec<Terminal> = ends.cloned().collect();
    marks.posts.extend(ends);
    marks.posts.sort();
    marks.posts.dedup();
    marks.leads.sort();
    marks.leads.dedup();
    // A lead that the page only speaks of may be on already; it is then highlighted, not new.
    let leads = marks.leads.clone();
    marks.fitted.retain(|f| !leads.contains(f));
    let gate = page.gate.as_ref().and_then(|g| g.reading.as_ref());
    marks.gap = gate.and_then(|r| r.between.clone());
    if marks.gap.is_none() {
        marks.tips = tips(page);
    }
    marks
}

/// The tips of the first reading of a page that is taken between two posts; the others are taken alike.
fn tips(page: &Page) -> Option<Tips> {
    let readings = page.steps.iter().flat_map(|s| &s.readings);
    let (red, black) = readings.filter_map(|r| r.between.clone()).next()?;
    red.block().and(black.block())?;
    let on = |post| Some(Point::Terminal(post));
    Some(Tips { red: on(red), black: on(black), jaw: None })
}

/// Every picture of the book as a file of its own: its name and its scene.
#[must_use]
pub fn standalone(input: &BookInput<'_>) -> Vec<(&'static str, Scene)> {
    let study = &input.report.study;
    if study.design.bank().is_none() {
        return Vec::new();
    }
    let discharge = study.discharge.as_ref().ok();
    let setting = Setting::landscape("plan");
    let picture = PlanPicture { subject: subject(study), share: discharge, setting: &setting };
    let mut all = vec![("plan.svg", plan_picture(&picture))];
    let setting = Setting::landscape("diagram");
    let picture =
        SingleLinePicture { subject: subject(study), share: discharge, setting: &setting };
    all.push(("diagram.svg", single_line(&picture)));
    all.extend(share(input, better(input).as_ref(), Foot::TitleBlock).map(|s| ("share.svg", s)));
    all
}

/// The names that [`standalone`] gives, without drawing anything.
#[must_use]
pub fn standalone_names(study: &Study) -> Vec<&'static str> {
    if study.design.bank().is_none() {
        return Vec::new();
    }
    let shared = study.discharge.as_ref().is_ok_and(|s| s.strings.len() > 1);
    let mut names = vec!["plan.svg", "diagram.svg"];
    names.extend(shared.then_some("share.svg"));
    names
}

/// The templates of the stage, at true size; none without a bank.
#[must_use]
pub fn templates(study: &Study, fit: &Fit, tables: &Tables) -> Vec<Template> {
    Kit::of(subject(study), fit.vent.as_ref(), tables).templates()
}

//! The pictures of a book as scenes, chosen for the paper they stand on.

use super::book::{BookInput, Context};
use drawing::pictures::plan::{PlanPicture, plan as plan_picture};
use drawing::pictures::{Foot, Setting, Subject};
use drawing::scene::Scene;
use engine::plan::build::Page;
use engine::study::Study;

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

/// The small picture at the head of a page of steps.
pub(crate) fn step(_cx: &Context<'_>, _page: &Page, _width: f64) -> Option<Scene> {
    None
}

/// Every picture of the book as a file of its own: its name and its scene.
#[must_use]
pub fn standalone(input: &BookInput<'_>) -> Vec<(&'static str, Scene)> {
    let study = &input.report.study;
    if study.design.bank().is_none() {
        return Vec::new();
    }
    let share = study.discharge.as_ref().ok();
    let setting = Setting::landscape("plan");
    let picture = PlanPicture { subject: subject(study), share, setting: &setting };
    vec![("plan.svg", plan_picture(&picture))]
}

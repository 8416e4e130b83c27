//! The pictures of care and of the meter's tips, for the page they stand on.

use super::book::Context;
use super::pictures::{chart_setting, named, subject};
use super::words::capital;
use drawing::pictures::cell_map::{CellMap, cell_map};
use drawing::pictures::health::{HealthPicture, health};
use drawing::pictures::step_plan::{StepMarks, StepPlanPicture, step_plan};
use drawing::pictures::tips::Tips;
use drawing::pictures::trend::{Trend, trend};
use drawing::pictures::water_use::{WaterPicture, water_use};
use drawing::pictures::{Foot, Setting};
use drawing::scene::Scene;
use engine::care::cells::CellHistory;
use engine::evidence::readings::Readings;
use engine::prove::sheet::expected;
use engine::prove::{Expected, Point};
use engine::study::Study;
use engine::units::reading::Quantity;

/// The cells as they lie; with none given, to write in.
pub(crate) fn cells(cx: &Context<'_>, id: &str, cells: &[CellHistory]) -> Option<Scene> {
    let setting = &chart_setting(cx, id);
    cell_map(&CellMap { subject: subject(&cx.input.report.study), cells, setting })
}

/// Gravity over the years.
pub(crate) fn course(cx: &Context<'_>) -> Option<Scene> {
    let (care, log) = (cx.input.care, &cx.input.evidence.log);
    trend(&Trend { care, log, of: named(cx), setting: &chart_setting(cx, "trend") })
}

/// What is left of the capacity.
pub(crate) fn left(cx: &Context<'_>) -> Option<Scene> {
    let care = cx.input.care;
    let setting = &chart_setting(cx, "health");
    let picture =
        HealthPicture { health: care.health.as_ref()?, tests: &care.tests, of: named(cx), setting };
    health(&picture)
}

/// What each cell drinks.
pub(crate) fn water(cx: &Context<'_>) -> Option<Scene> {
    let setting = &chart_setting(cx, "water");
    water_use(&WaterPicture { water: &cx.input.care.water, of: named(cx), setting })
}

/// One test with the meter: its name, what is read, and the picture of where the tips go.
pub(crate) struct Test {
    /// Such as `blocks apart`.
    pub(crate) name: String,
    /// The reading that the picture shows.
    pub(crate) reading: Expected,
    /// Where the tips go.
    pub(crate) scene: Scene,
}

/// Width and height to keep each within [mm].
const PANEL: (f64, f64) = (86.0, 58.0);

/// One picture for each kind of test and of meter at this stage, in the order in which they are made.
pub(crate) fn tests(cx: &Context<'_>) -> Vec<Test> {
    let study = &cx.input.report.study;
    if study.design.bank().is_none() {
        return Vec::new();
    }
    let Ok(all) = expected(study, cx.input.tables, &Readings::default()) else { return Vec::new() };
    let mut seen: Vec<(engine::prove::Test, Quantity)> = Vec::new();
    let mut tests: Vec<Test> = Vec::new();
    for reading in all {
        // What is read while it charges is read where it is read under load.
        let kind = (reading.test, reading.quantity);
        let drawn = |t: &Test| t.reading.at == reading.at;
        let charging = reading.test == engine::prove::Test::Charging;
        if charging || seen.contains(&kind) || tests.iter().any(drawn) {
            continue;
        }
        if let Some(scene) = probes(study, &reading) {
            seen.push(kind);
            tests.push(Test { name: capital(reading.test.word()), reading, scene });
        }
    }
    tests
}

/// Where tips or jaw go for one reading; `None` where that is not on the bank's own posts and leads.
#[must_use]
pub fn probes(study: &Study, reading: &Expected) -> Option<Scene> {
    let tips = Tips::of(&reading.at)?;
    let drawn = |id: &String| {
        let lead = study.wiring.lead(id);
        lead.is_some_and(|l| l.from.block().is_some() && l.to.block().is_some())
    };
    let on_bank = |on: &Point| match on {
        Point::Terminal(post) => post.block().is_some(),
        Point::Lug { lead, .. } => drawn(lead),
    };
    let tips_on = [&tips.red, &tips.black].into_iter().flatten().all(on_bank);
    if !tips_on || !tips.jaw.iter().all(drawn) {
        return None;
    }
    let id = format!("tips-{}", reading.id.replace(|c: char| !c.is_ascii_alphanumeric(), "-"));
    let (width, height) = PANEL;
    let setting = Setting { id, width, height, foot: Foot::Bare, scale: None };
    let fitted = reading.state.leads.iter().cloned().collect();
    let marks = StepMarks { fitted, tips: Some(tips), ..StepMarks::default() };
    let picture = StepPlanPicture { subject: subject(study), marks: &marks, setting: &setting };
    let mut scene = step_plan(&picture);
    scene.title = format!("Where the tips go: {}", reading.id);
    Some(scene)
}

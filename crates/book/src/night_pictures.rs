//! The pictures of nights, volts, charge and frost, for the page they stand on.

use super::book::Context;
use drawing::pictures::charge_curve::{ChargeCurve, charge_curve};
use drawing::pictures::night_calendar::{NightCalendar, night_calendar};
use drawing::pictures::night_chances::{NightChances, night_chances};
use drawing::pictures::thermometer::{Thermometer, thermometer};
use drawing::pictures::voltage_ladder::{VoltageLadder, voltage_ladder};
use drawing::pictures::worst_week::{WorstWeek, worst_week};
use drawing::pictures::{Foot, Setting};
use drawing::scene::Scene;
use engine::draws::ladder::Ladder;
use engine::sim::chain::Chain;
use engine::sim::charge_course::ChargeCourse;
use engine::sim::frost::Frost;
use engine::sim::nights::Nights;

/// Widest that a chart is set [mm]: its lines would only grow longer.
const WIDEST: f64 = 180.0;

fn setting(cx: &Context<'_>, id: &str) -> Setting {
    let width = cx.width.min(WIDEST);
    Setting { id: id.to_owned(), width, height: cx.height, foot: Foot::Bare, scale: None }
}

fn of<'a>(cx: &'a Context<'_>) -> (&'a str, &'a str) {
    (&cx.input.report.study.design.rig.name, &cx.input.report.stage)
}

/// The year of nights.
pub(crate) fn calendar(cx: &Context<'_>, nights: &Nights) -> Scene {
    let setting = &setting(cx, "nights-calendar");
    night_calendar(&NightCalendar { nights, of: of(cx), setting })
}

/// Night by night.
pub(crate) fn chances(cx: &Context<'_>, nights: &Nights) -> Scene {
    let setting = &setting(cx, "nights-chances");
    night_chances(&NightChances { nights, of: of(cx), setting })
}

/// The worst week.
pub(crate) fn week(cx: &Context<'_>, nights: &Nights) -> Option<Scene> {
    let week = nights.worst_week.as_ref()?;
    let setting = &setting(cx, "nights-week");
    let begins_h = cx.input.tables.limits.value("nights-start-hour").value;
    Some(worst_week(&WorstWeek { nights, week, begins_h, of: of(cx), setting }))
}

/// The frost on a lead bank.
pub(crate) fn frost(cx: &Context<'_>, nights: &Nights) -> Option<Scene> {
    let frost = &Frost::of(nights, cx.input.tables)?;
    let setting = &setting(cx, "frost");
    Some(thermometer(&Thermometer {
        frost,
        log: cx.input.care.freeze.as_ref(),
        units: cx.units,
        of: of(cx),
        setting,
    }))
}

/// The ladder of volts on discharge.
pub(crate) fn ladder(cx: &Context<'_>) -> Option<Scene> {
    let study = &cx.input.report.study;
    let ladder = &Ladder::of(study, study.discharge.as_ref().ok()?)?;
    let setting = &setting(cx, "ladder");
    Some(voltage_ladder(&VoltageLadder { ladder, of: of(cx), setting }))
}

/// The charge curve of a source.
pub(crate) fn charge(cx: &Context<'_>, source: &str) -> Option<Scene> {
    let chain = Chain::of(&cx.input.report.study, cx.input.tables);
    let all = ChargeCourse::all(&chain, cx.input.tables);
    let at = all.iter().position(|c| c.source == source)?;
    let setting = &setting(cx, &format!("charge-{}", at + 1));
    Some(charge_curve(&ChargeCurve { course: &all[at], of: of(cx), setting }))
}

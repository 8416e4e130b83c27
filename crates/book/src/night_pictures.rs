//! The pictures of nights, volts, charge and frost, for the page they stand on.

use super::book::Context;
use super::pictures::{chart_setting, named};
use drawing::pictures::charge_curve::{ChargeCurve, charge_curve};
use drawing::pictures::night_calendar::{NightCalendar, night_calendar};
use drawing::pictures::night_chances::{NightChances, night_chances};
use drawing::pictures::thermometer::{Thermometer, thermometer};
use drawing::pictures::voltage_ladder::{VoltageLadder, voltage_ladder};
use drawing::pictures::worst_week::{WorstWeek, worst_week};
use drawing::scene::Scene;
use engine::draws::ladder::Ladder;
use engine::sim::chain::Chain;
use engine::sim::charge_course::ChargeCourse;
use engine::sim::frost::Frost;
use engine::sim::nights::Nights;

/// The year of nights.
pub(crate) fn calendar(cx: &Context<'_>, nights: &Nights) -> Scene {
    let setting = &chart_setting(cx, "nights-calendar");
    night_calendar(&NightCalendar { nights, of: named(cx), setting })
}

/// Night by night.
pub(crate) fn chances(cx: &Context<'_>, nights: &Nights) -> Scene {
    let setting = &chart_setting(cx, "nights-chances");
    night_chances(&NightChances { nights, of: named(cx), setting })
}

/// The worst week.
pub(crate) fn week(cx: &Context<'_>, nights: &Nights) -> Option<Scene> {
    let week = nights.worst_week.as_ref()?;
    let setting = &chart_setting(cx, "nights-week");
    let begins_h = cx.input.tables.limits.value("nights-start-hour").value;
    Some(worst_week(&WorstWeek { nights, week, begins_h, of: named(cx), setting }))
}

/// The frost on a lead bank.
pub(crate) fn frost(cx: &Context<'_>, nights: &Nights) -> Option<Scene> {
    let frost = &Frost::of(nights, cx.input.tables)?;
    let setting = &chart_setting(cx, "frost");
    Some(thermometer(&Thermometer {
        frost,
        log: cx.input.care.freeze.as_ref(),
        units: cx.units,
        of: named(cx),
        setting,
    }))
}

/// The ladder of volts on discharge.
pub(crate) fn ladder(cx: &Context<'_>) -> Option<Scene> {
    let study = &cx.input.report.study;
    let ladder = &Ladder::of(study, study.discharge.as_ref().ok()?)?;
    let setting = &chart_setting(cx, "ladder");
    Some(voltage_ladder(&VoltageLadder { ladder, of: named(cx), setting }))
}

/// The charge curve of a source.
pub(crate) fn charge(cx: &Context<'_>, source: &str) -> Option<Scene> {
    let chain = Chain::of(&cx.input.report.study, cx.input.tables);
    let all = ChargeCourse::all(&chain, cx.input.tables);
    let at = all.iter().position(|c| c.source == source)?;
    let setting = &chart_setting(cx, &format!("charge-{}", at + 1));
    Some(charge_curve(&ChargeCurve { course: &all[at], of: named(cx), setting }))
}

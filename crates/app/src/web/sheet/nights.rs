//! The strip of the nights: how long the rig stays unplugged, the month, and the hours of each load.
//!
//! While something moves it shows fifty fixed years of the month in hand and says that they are rough;
//! the script asks for the thousand as soon as the sheet is at rest. What is known already for the same
//! text is not worked out again.

use super::common::{cell, held, paper, picture, table, wish};
use crate::command::nights::recorded;
use crate::files;
use crate::web::session::Session;
use crate::web::work::Work;
use book::words::capital;
use drawing::pictures::night_chances::{NightChances, night_chances};
use engine::model::load::Load;
use engine::model::rig::Place;
use engine::sim::calendar::MONTH_NAMES;
use engine::sim::nights::{Ask, Nights};
use engine::sim::recorded::RecordedYear;
use engine::tables::climate::Climate;
use engine::units::show::{UnitSystem, decimal, fixed};
use maud::{Markup, html};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

/// Weather years while something moves: always the same fifty.
const ROUGH: usize = 50;
/// Weather years at rest, as `nights` takes them.
const FULL: usize = 1000;
/// The seed that `nights` takes when none is named.
const SEED: u64 = 1;
/// Widest paper of the picture [mm].
const WIDEST_MM: f64 = 150.0;

/// What the nights were worked out for.
#[derive(Clone, Debug, PartialEq)]
struct Of {
    text: String,
    stage: String,
    units: UnitSystem,
    month: Option<u32>,
    weather: Option<OwnWeather>,
}

/// The owner's own weather file: where it lies, and its length and day when it was read.
#[derive(Clone, Debug, PartialEq)]
struct OwnWeather {
    path: PathBuf,
    mark: Option<(u64, SystemTime)>,
}

/// The nights as they were told last.
#[derive(Debug)]
pub(in crate::web) struct NightsTold {
    of: Of,
    /// With every weather year.
    full: bool,
    place: Option<Place>,
    /// The owner's own weather, read once for as long as its file is the same.
    sky: Sky,
    found: Result<Nights, String>,
}

/// A recorded year, or why there is none; the built-in climate where the design names no file.
type Sky = Result<Option<Arc<RecordedYear>>, String>;

/// The strip.
pub(super) fn piece(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! {};
    };
    html! {
        (answer(session, work))
        (loads(work))
    }
}

/// Works the nights out where they are not known already for what is shown.
pub(super) fn prepare(session: &mut Session) {
    let full = session.full && !session.is_trying();
    let Ok(work) = session.shown() else { return };
    let of = Of {
        text: session.shown_text().to_owned(),
        stage: work.stage_name().to_owned(),
        units: work.units(),
        month: session.month,
        weather: own_weather(session, work),
    };
    let known = session.nights.as_ref().filter(|n| n.of == of && (n.full || !full));
    if known.is_some() {
        return;
    }
    let sky = sky(session, work, &of);
    let found = match &sky {
        Ok(recorded) => found(session, work, &of, (full, recorded.as_deref())),
        Err(says) => Err(says.clone()),
    };
    let place = work.report.study.design.place.clone();
    session.nights = Some(NightsTold { of, full, place, sky, found });
}

/// The weather file that the design names, as it lies on the disk now.
fn own_weather(session: &Session, work: &Work) -> Option<OwnWeather> {
    let name = work.whole.place.as_ref()?.weather.as_ref()?;
    let path = session.store.named().parent().unwrap_or_else(|| Path::new("")).join(name);
    let mark = files::mark(&path);
    Some(OwnWeather { path, mark })
}

fn sky(session: &Session, work: &Work, of: &Of) -> Sky {
    match session.nights.as_ref().filter(|last| last.of.weather == of.weather) {
        Some(last) => last.sky.clone(),
        None => recorded(&work.whole, session.store.named())
            .map(|year| year.map(Arc::new))
            .map_err(|failure| failure.one_line()),
    }
}

fn found(
    session: &Session,
    work: &Work,
    of: &Of,
    (full, recorded): (bool, Option<&RecordedYear>),
) -> Result<Nights, String> {
    let (study, tables) = (&work.report.study, &session.ground.tables);
    let years = if full { FULL } else { ROUGH };
    let ask = Ask { place: None, month: of.month, years, seed: SEED, recorded, progress: None };
    // The place and the month are those that were told last, as long as nobody chose others.
    let last = session.nights.as_ref().filter(|last| {
        let same = (last.of.stage.as_str(), last.of.month) == (of.stage.as_str(), of.month);
        same && last.place == study.design.place
    });
    let nights = match last.and_then(|last| last.found.as_ref().ok()).filter(|_| !full) {
        Some(last) => Nights::glance(study, tables, (&last.site, last.month), &ask),
        None => {
            let climate = Climate::embedded().map_err(|e| e.to_string())?;
            Nights::of(study, &work.whole, tables, &climate, &ask)
        }
    };
    nights.map_err(|e| capital(&e.to_string()))
}

fn answer(session: &Session, work: &Work) -> Markup {
    let Some(told) = &session.nights else {
        return html! {};
    };
    let nights = match &told.found {
        Ok(nights) => nights,
        Err(says) => return html! { p { (says) } },
    };
    let full = told.full;
    let paper = paper("nights-picture", session.window, WIDEST_MM);
    let of = (work.whole.rig.name.as_str(), work.stage_name());
    let scene = night_chances(&NightChances { nights, of, setting: &paper });
    let then = (!full && !session.is_trying()).then(|| wish(&[("do", "full")]));
    html! {
        p.big data-then=[then] { @if !full { b { "rough: " } } (nights.says()) }
        p.small { (nights.years) @if nights.recorded { " starts in your recorded year" } @else { " weather years" } ", seed " (nights.seed) @if !full { "; the full answer follows when nothing moves" } "." }
        p { (month_choice(session, nights)) }
        div.columns {
            div { (picture(&scene)) }
            div {
                @if !nights.limits.is_empty() { h3 { "What limits it" } ul { @for line in &nights.limits { li { (line) } } } }
                @if !full { p.small { "One change more: follows when nothing moves." } }
                @else if !nights.one_more.is_empty() { (more(nights)) }
            }
        }
    }
}

fn month_choice(session: &Session, nights: &Nights) -> Markup {
    html! {
        label { "Month "
            select data-key="month" data-value="month" data-kind="number" data-change=(wish(&[("do", "month")])) {
                option value="0" selected[session.month.is_none()] { (format!("{}: the trip's own, or the worst", nights.month_name())) }
                @for (n, name) in (1_u32..).zip(MONTH_NAMES) {
                    option value=(n) selected[session.month == Some(n)] { (name) }
                }
            }
        }
    }
}

fn more(nights: &Nights) -> Markup {
    let rows = nights.one_more.iter().map(|m| {
        let sign = if m.gain < 0.0 { "" } else { "+" };
        vec![
            cell(&m.change),
            cell(&nights.said(m.nights_sure_90)),
            cell(&format!("{sign}{}", fixed(m.gain, 1))),
        ]
    });
    let columns = [("one change more", false), ("nights, 90 in 100", true), ("change", true)];
    table("One change more", &columns, &rows.collect::<Vec<_>>())
}

/// The loads with the hours that can be changed.
fn loads(work: &Work) -> Markup {
    let rows = work.report.study.design.loads.iter().map(|load| {
        let power = match (load.power, load.current) {
            (Some(power), _) => format!("{} W", decimal(power.as_watts(), 1)),
            (None, Some(amps)) => format!("{} A", decimal(amps.as_amps(), 1)),
            (None, None) => "not said".to_owned(),
        };
        vec![cell(&load.part.name), cell(&held(&power)), hours(load)]
    });
    let columns = [("load", false), ("draws", true), ("hours a day", false)];
    table("Loads", &columns, &rows.collect::<Vec<_>>())
}

fn hours(load: &Load) -> Markup {
    let name = &load.part.name;
    let now = load.daily.map_or(String::new(), |d| decimal(d.as_hours(), 2));
    html! {
        input type="text" inputmode="decimal" size="6" value=(now) data-key=(format!("hours {name}"))
            data-value="hours" data-change=(wish(&[("do", "hours"), ("load", name)]))
            aria-label=(format!("Hours a day of {name}"));
    }
}

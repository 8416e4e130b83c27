//! Above the plan: the rig, its stages and what can be done; below it: the title block.

use super::common::{held, wish, wish_flag};
use crate::web::session::Session;
use crate::web::work::Work;
use engine::model::bank::Bank;
use engine::model::design::Design;
use engine::units::show::{UnitSystem, decimal};
use maud::{Markup, html};

/// The title of the window.
pub(super) fn title(session: &Session) -> String {
    let name = session
        .shown()
        .map_or_else(|_| session.store.file_name(), |work| work.whole.rig.name.clone());
    format!("{name}: Bankwright")
}

/// The rig, the stages, what can be done.
pub(super) fn piece(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! { h1 { (session.store.file_name()) } (tools(session)) };
    };
    html! {
        div.names {
            h1 { (work.whole.rig.name) }
            p.about { (about(&work.report.study.design)) }
        }
        (stages(work))
        (tools(session))
    }
}

fn about(design: &Design) -> String {
    let Some(bank) = design.bank() else {
        return "No bank stands at this stage.".to_owned();
    };
    let place = design.enclosure.as_ref().and_then(|e| e.place.as_ref());
    let place = place.map_or(String::new(), |p| format!(", {p}"));
    format!("{}{place}", bank_words(design, bank))
}

fn bank_words(design: &Design, bank: &Bank) -> String {
    let model = design.block_model(&bank.block);
    let kind = model.and_then(|m| m.chemistry).map_or("", |c| c.word());
    let volts = model
        .and_then(|m| m.volts)
        .map_or(String::new(), |v| held(&format!(", {} V each", decimal(v.as_volts(), 1))));
    let blocks = bank.count();
    let strings = match bank.parallel {
        1 => "one string".to_owned(),
        n => format!("{n} strings side by side"),
    };
    format!("{blocks} {kind} blocks{volts}, {} in series, {strings}", bank.series)
}

fn stages(work: &Work) -> Markup {
    html! {
        div.stages role="group" aria-label="Stages of the work" {
            @for stage in &work.whole.stages {
                @let here = stage.name == work.report.stage;
                button type="button" aria-pressed=(here) data-key=(format!("stage {}", stage.name))
                    data-do=(wish(&[("do", "stage"), ("name", &stage.name)]))
                    title=[stage.note.as_ref()] { (stage.name) @if stage.done { " (done)" } }
            }
        }
    }
}

fn tools(session: &Session) -> Markup {
    let button = |key: &str, words: &str, wish: String, off: bool| {
        html! {
            button type="button" data-key=(key) data-do=(wish) aria-disabled=[off.then_some("true")] { (words) }
        }
    };
    let (back, forth) = (session.draft.past.len(), session.draft.future.len());
    let units = session.shown().map_or(UnitSystem::Metric, Work::units);
    let other = if units == UnitSystem::Metric { "inches" } else { "millimetres" };
    let kept = session.kept.is_some();
    html! {
        div.tools role="group" aria-label="What can be done" {
            (button("undo", &counted("Undo", back), wish(&[("do", "undo")]), back == 0))
            (button("redo", &counted("Redo", forth), wish(&[("do", "redo")]), forth == 0))
            @if session.store.is_read_only() {
                span.state { "read only: nothing is written" }
            } @else {
                (button("save", "Save", wish(&[("do", "save")]), !session.is_unsaved()))
                span.state { (if session.is_unsaved() { "not saved" } else { "saved" }) }
            }
            (button("units", &format!("In {other}"), wish(&[("do", "units")]), false))
            @if kept {
                (button("swap", if session.kept_shown { "Show as you would have it" } else { "Show as it is" }, wish(&[("do", "swap")]), false))
                (button("copy", "Stop comparing", wish_flag("copy", ("keep", false)), false))
            } @else {
                (button("copy", "What if", wish_flag("copy", ("keep", true)), false))
            }
        }
    }
}

fn counted(word: &str, count: usize) -> String {
    if count == 0 { word.to_owned() } else { format!("{word} ({count})") }
}

/// What a drawn sheet says of itself.
pub(super) fn title_block(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return standing();
    };
    let rig = &work.whole.rig;
    let enclosure = work.report.study.design.enclosure.as_ref();
    let side = enclosure.and_then(|e| e.seen_from.as_deref()).unwrap_or("near side");
    let scale = session.sheet.map(|s| format!("1 : {}", decimal(1.0 / s.view.scale, 1)));
    let scale = scale.unwrap_or_else(|| "none".to_owned());
    let revision = rig.revision.as_deref().unwrap_or("not given");
    let saved = if session.is_unsaved() { ", not saved" } else { "" };
    let draft = match (session.kept.is_some(), session.kept_shown) {
        (false, _) => "plan of the box",
        (true, true) => "plan of the box, as it is",
        (true, false) => "plan of the box, as you would have it",
    };
    let rows = [
        ("rig", rig.name.clone()),
        ("sheet", draft.to_owned()),
        ("scale", scale),
        ("as seen from", side.to_owned()),
        ("stage", work.stage_name().to_owned()),
        ("revision", format!("{revision}{saved}")),
        ("rules", rig.practice.word().to_owned()),
        ("file", session.store.file_name()),
    ];
    html! {
        dl.titles {
            @for (name, says) in rows {
                div { dt { (name) } dd {
                    @if name == "scale" { span.scaled { (says) } span.fitted { "fitted to the paper" } }
                    @else { (says) }
                } }
            }
        }
        (standing())
    }
}

/// Stands under everything that is drawn here.
fn standing() -> Markup {
    html! { p.standing { "Local code and the makers' sheets win over this page. Mains work: licensed electrician only." } }
}

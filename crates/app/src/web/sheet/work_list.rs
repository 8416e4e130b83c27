//! The strips of the work itself: what to buy, and the steps in the order of hands.

use super::common::{cell, table};
use crate::web::session::Session;
use crate::web::work::Work;
use engine::fit::weight::Weight;
use engine::plan::build::{GateBar, Page, Step};
use engine::plan::job::Job;
use engine::plan::shopping::later::Later;
use engine::plan::shopping::{Item, Shopping};
use engine::plan::steps::write;
use engine::study::Study;
use engine::units::show::{decimal, fixed};
use maud::{Markup, html};

/// A stage beside the one that is shown.
fn study(session: &Session, work: &Work, stage: usize) -> Option<Study> {
    Study::of(&work.whole, stage, &session.ground.tables, work.report.study.ambient).ok()
}

/// The stage before the one that is shown.
fn before(session: &Session, work: &Work) -> Option<Study> {
    work.report.study.stage.checked_sub(1).and_then(|stage| study(session, work, stage))
}

/// What to buy for the stage.
pub(super) fn shopping(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! {};
    };
    let now = &work.report.study;
    let before = before(session, work);
    let job = Job::of(now, before.as_ref(), &session.ground.tables);
    let later: Vec<Study> = (now.stage + 1..work.whole.stages.len())
        .filter_map(|stage| study(session, work, stage))
        .collect();
    let later: Vec<Later<'_>> = later.iter().map(Later::of).collect();
    let list = Shopping::of(&job, &later);
    let columns = [
        ("what to ask for", false),
        ("how many", true),
        ("price", true),
        ("used again at", false),
        ("know before you buy", false),
    ];
    let rows: Vec<Vec<Markup>> = list.items.iter().map(item).collect();
    html! {
        @if rows.is_empty() { p { "Nothing is bought for this stage." } }
        @else { (table("Shopping", &columns, &rows)) }
        p { (list.sum_says()) }
        @if !list.in_hand.is_empty() { p { b { "In hand already: " } (list.in_hand.join(", ")) "." } }
        @if !list.find_out.is_empty() {
            h3 { "Find out before you go" }
            ul { @for line in &list.find_out { li { (line) } } }
        }
    }
}

fn item(item: &Item) -> Vec<Markup> {
    let notes: Vec<String> =
        [item.note.clone(), item.too_small.clone()].into_iter().flatten().collect();
    vec![
        cell(&item.what),
        cell(&format!("{} {}", decimal(item.quantity, 2), item.unit)),
        cell(&item.price.map_or_else(|| "not given".to_owned(), |p| fixed(p, 0))),
        cell(&item.used_again.join(", ")),
        cell(&notes.join(". ")),
    ]
}

/// The steps of the stage.
pub(super) fn steps(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! {};
    };
    let before = before(session, work);
    let weight = Weight::of(&work.report.study, &work.whole, &session.ground.tables);
    let job = Job::of(&work.report.study, before.as_ref(), &session.ground.tables).weighed(weight);
    let build = match write(&job) {
        Ok(build) => build,
        Err(error) => return html! { p { (error) } },
    };
    html! {
        p { "To read before you begin. Print the book for the driveway: it has the pictures, and lines to write on." }
        @for page in &build.pages { (pages(page)) }
    }
}

fn pages(page: &Page) -> Markup {
    html! {
        section.job {
            h3 { (page.number) ". " (page.title) }
            @for caution in &page.cautions { p.caution { b { (caution.danger) } " " (caution.so) } }
            @if !page.intro.is_empty() { p { (page.intro) } }
            ol {
                @for (n, step) in page.steps.iter().enumerate() {
                    @if let Some(gate) = page.gate.as_ref().filter(|g| g.after == n) { li.bar { (bar(gate)) } }
                    li { (line(step)) }
                }
                @if let Some(gate) = page.gate.as_ref().filter(|g| page.steps.len() <= g.after) { li.bar { (bar(gate)) } }
            }
        }
    }
}

fn line(step: &Step) -> Markup {
    html! {
        b { (step.verb) } " " (step.text)
        @for detail in &step.detail { br; span.small { (detail) } }
        @for reading in &step.readings {
            br; "expect " b { (reading.shown()) } " at " (reading.probes)
            @if let Some(note) = &reading.note { "; " (note) }
        }
    }
}

fn bar(gate: &GateBar) -> Markup {
    html! {
        div.gates {
            b { "DO NOT GO ON UNLESS " } (gate.unless)
            @if let Some(reading) = &gate.reading { " Expect " b { (reading.shown()) } ", " (reading.probes) "." }
            @for meaning in &gate.meanings { br; (meaning.says) }
        }
    }
}

//! The strip of what was proved: a file of readings read in, judged as `prove` judges it.

use super::common::{cell, held, table, wish};
use crate::command::prove::shown::{expectation, figure, verdict};
use crate::proving::Proving;
use crate::web::brought::Brought;
use crate::web::session::Session;
use crate::web::work::Work;
use book::words::{capital, counted};
use engine::model::as_built::PostRecord;
use engine::prove::{Expected, Found, Judged, Next, Suspect};
use engine::units::show::{self, UnitSystem, fixed};
use maud::{Markup, html};

/// Less likely than this is left to `prove --json`.
const LEAST: f64 = 0.01;
/// Most suspects told.
const MOST: usize = 6;

/// The strip.
pub(super) fn piece(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! { p { "The design must be understood before readings can be judged." } };
    };
    let proving = match session.proving(work) {
        Ok(proving) => proving,
        Err(failure) => return html! { (field()) p { (failure.one_line()) } },
    };
    html! {
        (field())
        @if let Some(brought) = &session.brought { (of_file(session, brought, &proving)) }
        @if proving.readings.taken.is_empty() && session.brought.is_none() { (before_any(&proving)) }
        @else { (answer(&proving)) }
        (day(work, &proving))
    }
}

/// Where a file comes in.
fn field() -> Markup {
    html! {
        div.drop {
            label { "A file of readings " input type="file" accept=".toml,.csv,.txt,text/plain,text/csv" data-readings data-key="readings"; }
            p.small { "What the copy for the phone hands back, or a sheet of your own (TOML or CSV). Choose it, or drop it anywhere on this sheet. It is judged as " code { "bankwright prove" } " judges it." }
        }
    }
}

/// Which file it is, where it is kept, what was not understood of it.
fn of_file(session: &Session, brought: &Brought, proving: &Proving) -> Markup {
    // A copy for the driveway says in its first line which rig and stage it was made for.
    let head = brought.text.lines().next().and_then(|l| l.trim().strip_prefix('#'));
    html! {
        p { b { (brought.name) } @if let Some(head) = head { ": " (head.trim().trim_end_matches('.')) }
            @match &brought.kept {
                Some(kept) => { ". Kept as " b { (kept) } ", beside the design." }
                None => { ". It is not kept here: the file stays where it came from." }
            } }
        p.do {
            @if brought.kept.is_none() && !session.store.is_read_only() {
                button type="button" data-key="keep-readings" data-do=(wish(&[("do", "keep-readings")])) { "Keep it beside the design" }
            }
            button type="button" data-key="drop-readings" data-do=(wish(&[("do", "drop-readings")])) { "Put it away" }
        }
        @if !proving.faults.is_empty() {
            h3 { "Not understood in it" }
            ul.faults { @for fault in &proving.faults { li { (fault.one_line()) } } }
        }
    }
}

fn before_any(proving: &Proving) -> Markup {
    html! {
        p { "No reading was read in yet. " (proving.expected.len()) " may be taken at this stage; the steps and the copy for the phone ask for them in their order." }
        @if let Some(next) = &proving.proof.next { h3 { "Read first" } (read_next(next)) }
    }
}

fn answer(proving: &Proving) -> Markup {
    let proof = &proving.proof;
    let suspects = proof.suspects.iter().filter(|s| LEAST <= s.probability).take(MOST);
    let rows: Vec<Vec<Markup>> = proof.readings.iter().map(|j| judged(proving, j)).collect();
    let columns = [
        ("reading", false),
        ("expect", true),
        ("measured", true),
        ("judged", false),
        ("what it says", false),
    ];
    html! {
        @if !rows.is_empty() {
            p.big { (verdict(proof)) }
            @if proof.suspects.iter().any(|s| LEAST <= s.probability) {
                h3 { "What may be wrong, the likeliest first" }
                ol.suspects { @for suspect in suspects { (one(suspect)) } }
            }
        }
        @if let Some(next) = &proof.next { h3 { "Read next" } (read_next(next)) }
        @if !rows.is_empty() { (table("Readings", &columns, &rows)) }
        @if 0 < proving.from_design { p.small { (proving.from_design) " of them stand under as_built in the design file." } }
        @if !proving.aside.is_empty() {
            h3 { "Kept, not judged here" }
            ul { @for t in &proving.aside { li { (t.what) ": " (held(&figure(t.quantity, Some(t.value)))) } } }
        }
        @if !rows.is_empty() && !proof.rests_on.is_empty() {
            details { summary { "What the odds rest on" } ul { @for line in &proof.rests_on { li { (line) } } } }
        }
    }
}

fn judged(proving: &Proving, judged: &Judged) -> Vec<Markup> {
    let asked: Option<&Expected> = proving.expected.iter().find(|e| e.id == judged.id);
    let within = judged.verdict == Found::Within;
    vec![
        cell(&judged.id),
        cell(&held(&asked.map_or_else(|| "-".to_owned(), expectation))),
        cell(&held(&figure(judged.quantity, Some(judged.measured)))),
        html! { @if within { (judged.verdict.word()) } @else { b { (judged.verdict.word()) } } },
        cell(if within { "" } else { &judged.says }),
    ]
}

fn one(suspect: &Suspect) -> Markup {
    html! {
        li {
            b { (capital(suspect.kind.word())) ", " (suspect.named()) } ", " (held(&format!("{} %", fixed(suspect.probability * 100.0, 0)))) ", " (show::sure(suspect.probability)) ". "
            (capital(&suspect.says)) " " b { (suspect.do_) }
        }
    }
}

fn read_next(next: &Next) -> Markup {
    html! {
        p { b { (next.id) } ": " (next.probes) "; " (next.range) "." @if !next.why.is_empty() { " Why: " (next.why) "." } }
        @if !next.expect_if.is_empty() {
            ul { @for shows in &next.expect_if { li { b { (held(&figure(next.quantity, Some(shows.value)))) } ": " (shows.says) } } }
        }
    }
}

/// What was written besides: torque and stacks, ticks, notes.
fn day(work: &Work, proving: &Proving) -> Markup {
    let day = &proving.readings;
    let units = work.units();
    let rows: Vec<Vec<Markup>> = day.posts.iter().map(|p| post(p, units)).collect();
    let columns = [("post or stud", false), ("torque", true), ("stack", false), ("boot", false)];
    html! {
        @if !rows.is_empty() { h3 { "Torque and stacks" } (table("Torque and stacks", &columns, &rows)) }
        @if !day.ticks.is_empty() {
            details { summary { (counted(day.ticks.len(), "line", "lines")) " ticked" } ul { @for tick in &day.ticks { li { (tick) } } } }
        }
        @if !day.notes.is_empty() { h3 { "Notes" } ul { @for note in &day.notes { li { (note) } } } }
    }
}

fn post(post: &PostRecord, units: UnitSystem) -> Vec<Markup> {
    vec![
        cell(&post.terminal.to_string()),
        cell(&post.torque.map_or_else(|| "-".to_owned(), |t| held(&show::torque(t, units)))),
        cell(&post.stack.join(", ")),
        cell(match post.boot {
            Some(true) => "yes",
            Some(false) => "no",
            None => "-",
        }),
    ]
}

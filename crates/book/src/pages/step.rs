//! A page of steps: one job, its cautions, lines to tick, what to read, and the gate.

use super::cautions::small;
use super::gates::holding;
use crate::book::Context;
use crate::figure::{figure, picture};
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Part, Piece};
use crate::words::{sign, text};
use engine::finding::{Finding, Severity};
use engine::plan::build::{GateBar, Page, Reading, Step};
use engine::units::show::fixed;
use maud::{Markup, html};

/// Width of the number and the tick box in front of a step [mm].
const MARKS: f64 = 18.0;
/// Width of the column to read and write in [mm].
const READ: f64 = 64.0;
/// Width of its labels, with the air before them [mm].
const LABEL: f64 = 20.0;
/// Height of the line to write on [mm].
const WRITE: f64 = 8.0;
/// Air of a step and its line [mm].
const STEP_AIR: f64 = 3.6;
/// Widest picture that leaves room for words beside it [mm].
const BESIDE_MOST: f64 = 100.0;

/// The anchor of a page of the build by its big number.
pub(super) fn anchor(number: u32) -> String {
    format!("build-{number}")
}

pub(super) fn chapters(cx: &Context<'_>) -> Vec<Chapter> {
    cx.input.build.pages.iter().map(|page| chapter(cx, page)).collect()
}

fn chapter(cx: &Context<'_>, page: &Page) -> Chapter {
    let mut parts: Vec<Part> = Vec::new();
    parts.extend(head(cx, page).into_iter().map(Part::from));
    for (index, step) in page.steps.iter().enumerate() {
        if let Some(gate) = page.gate.as_ref().filter(|g| g.after == index) {
            parts.push(gate_piece(cx, gate).into());
        }
        let before_gate = page.gate.as_ref().is_some_and(|g| g.after == index + 1);
        let piece = step_piece(cx, step);
        // The last step takes the one before it along, so that none stands alone on a further side.
        let pair = index + 2 == page.steps.len();
        parts.push(if before_gate || pair { piece.with_next() } else { piece }.into());
    }
    if let Some(gate) = page.gate.as_ref().filter(|g| g.after >= page.steps.len()) {
        parts.push(gate_piece(cx, gate).into());
    }
    Chapter {
        anchor: anchor(page.number),
        number: Some(page.number),
        title: page.title.clone(),
        kind: "steps",
        corner: people(page.people),
        over: over(cx, page),
        parts,
    }
}

fn people(count: u32) -> String {
    match count {
        0 | 1 => "one person".to_owned(),
        2 => "two people".to_owned(),
        more => format!("{more} people"),
    }
}

/// Where to turn when a reading is not as it should be.
fn not_this(cx: &Context<'_>, page: &Page) -> Option<String> {
    let to = page.steps.iter().filter(|s| !s.readings.is_empty()).find_map(|s| s.if_not.as_ref());
    let side = turn(cx, to?.page)?;
    Some(format!("A reading that is not as expected: stop and turn to page {side}."))
}

/// What stands again at the head of each further side of a job: the dangers, and where to turn.
fn over(cx: &Context<'_>, page: &Page) -> Option<Piece> {
    let mut said: Vec<String> = page.cautions.iter().map(|c| c.danger.clone()).collect();
    said.extend(not_this(cx, page));
    if said.is_empty() {
        return None;
    }
    let words = said.join(" ");
    let height = Size::Small.height(&words, cx.width - 5.0) + 2.5;
    Some(Piece::new(html! { div.over { b { (text(&words)) } } }, height))
}

/// Cautions and the sentence before the steps, with the picture beside them, or under them where it
/// is wide.
fn head(cx: &Context<'_>, page: &Page) -> Vec<Piece> {
    let scene = cx.small.get(&page.number);
    let beside = scene.filter(|s| s.width <= BESIDE_MOST);
    let column = beside.map_or(cx.width, |s| cx.width - s.width - 5.0);
    let mut height = 0.0;
    let mut all: Vec<Markup> = Vec::new();
    for caution in &page.cautions {
        let (html, tall) = small(caution, column);
        height += tall;
        all.push(html);
    }
    let said = [(page.intro.clone(), false), (not_this(cx, page).unwrap_or_default(), true)];
    for (words, bold) in said.iter().filter(|(w, _)| !w.is_empty()) {
        height += Size::Body.height(words, column) + 2.0;
        all.push(html! { p { @if *bold { b { (text(words)) } } @else { (text(words)) } } });
    }
    let mut pieces = Vec::new();
    if let Some(scene) = beside {
        let html = html! {
            div.lead-in {
                div { @for one in &all { (one) } }
                div.small-picture style=(format!("--w:{:.2}mm", scene.width)) { (picture(scene)) }
            }
        };
        pieces.push(Piece::new(html, height.max(scene.height) + 2.0).with_next());
    } else if !all.is_empty() {
        pieces.push(Piece::new(html! { div { @for one in &all { (one) } } }, height).with_next());
    }
    if let Some(scene) = scene.filter(|_| beside.is_none()) {
        pieces.push(figure(scene, cx.width).with_next());
    }
    pieces
}

fn turn(cx: &Context<'_>, page: u32) -> Option<usize> {
    cx.page(&anchor(page))
}

fn step_piece(cx: &Context<'_>, step: &Step) -> Piece {
    let one = step.readings.len() == 1;
    let column = if one { cx.width - MARKS - READ } else { cx.width - MARKS };
    let words = format!("{} {}", step.verb, step.text);
    let mut height = Size::Step.height(&words, column);
    let mut remarks: Vec<String> = step.detail.clone();
    if let [reading] = step.readings.as_slice() {
        remarks.push(format!("meter on {}: {}", reading.range, reading.probes));
        remarks.extend(reading.note.clone());
    }
    height += remarks.iter().map(|r| Size::Small.height(r, column)).sum::<f64>();
    if let Some(sign) = &step.sign {
        height += Size::Small.height(sign, column) + 28.0;
    }
    let several = step.readings.len() > 1;
    if several {
        height += step.readings.iter().map(|r| row_height(r, column)).sum::<f64>();
    }
    let beside = if one { step.readings.first().map_or(0.0, read_height) } else { 0.0 };
    let class = if one { "step" } else { "step wide" };
    let html = html! {
        div class=(class) {
            span.nr { (step.number) }
            span.tick {}
            div.body {
                div.do { b { (text(&step.verb)) } " " (text(&step.text)) }
                @for remark in &remarks { div.small { (text(remark)) } }
                @if several { (rows(&step.readings)) }
                @if let Some(sign) = &step.sign { div.signbox { (text(sign)) } }
            }
            @if one { @for reading in &step.readings { (read(reading)) } }
        }
    };
    Piece::new(html, height.max(beside) + STEP_AIR)
}

/// Expect above write.
fn read(reading: &Reading) -> Markup {
    html! {
        div.read data-reading=(reading.id) {
            span.lab { "expect" }
            span.val { (reading.shown()) }
            span.lab.low { "write" }
            span.rule {}
        }
    }
}

fn read_height(reading: &Reading) -> f64 {
    Size::Reading.height(&reading.shown(), READ - LABEL).max(5.6) + WRITE
}

/// Widths of the expectation and of the line beside it, where a step has several readings [mm].
const BESIDE: f64 = 44.0 + 26.0 + 6.0;

fn row_height(reading: &Reading, column: f64) -> f64 {
    let left = Size::Small.height(&row_words(reading), column - BESIDE);
    let expect = Size::Body.height(&reading.shown(), 44.0);
    left.max(expect).max(9.0) + 0.6
}

fn row_words(reading: &Reading) -> String {
    let note = reading.note.as_ref().map_or_else(String::new, |n| format!(". {n}"));
    format!("{}: {}{note}", reading.id, reading.probes)
}

fn rows(readings: &[Reading]) -> Markup {
    html! {
        div.reads {
            @for reading in readings {
                div.one data-reading=(reading.id) {
                    span.small { (text(&row_words(reading))) }
                    span.val { (reading.shown()) }
                    span.rule { "write" }
                }
            }
        }
    }
}

/// A dark bar.
pub(super) struct Bar<'a> {
    /// Its name.
    pub(super) name: String,
    /// Its first words.
    pub(super) do_not: &'static str,
    /// What must be so.
    pub(super) unless: String,
    /// What other readings mean.
    pub(super) meanings: Vec<String>,
    /// The reading that opens it.
    pub(super) reading: Option<&'a Reading>,
    /// The findings that hold it shut.
    pub(super) held: &'a [&'a Finding],
    /// Where to turn.
    pub(super) turn: Option<String>,
}

fn gate_piece(cx: &Context<'_>, gate: &GateBar) -> Piece {
    let held = holding(cx, &gate.held_by);
    let meanings = gate
        .meanings
        .iter()
        .map(|m| format!("about {} V: {}", fixed(m.about_v, 1), m.says))
        .collect();
    let to = gate.if_not.as_ref().and_then(|n| turn(cx, n.page));
    bar(
        &Bar {
            name: format!("gate {}", gate.mark.code()),
            do_not: "DO NOT GO ON UNLESS",
            unless: gate.unless.clone(),
            meanings,
            reading: gate.reading.as_ref(),
            held: &held,
            turn: to.map(|p| format!("If it is not so: stop and turn to page {p}.")),
        },
        cx.width,
    )
}

/// Air inside the bar, left and right together [mm].
const BAR_SIDES: f64 = 8.0;

/// The dark bar; with findings that hold it, each has a box to tick when it is settled.
pub(super) fn bar(bar: &Bar<'_>, width: f64) -> Piece {
    let inner = width - BAR_SIDES;
    let column = if bar.reading.is_some() { inner - READ } else { inner };
    let left = Size::Step.line_mm()
        + Size::Reading.height(&bar.unless, column)
        + bar.meanings.iter().map(|m| Size::Small.height(m, column)).sum::<f64>()
        + bar.turn.as_ref().map_or(0.0, |t| Size::Small.height(t, column))
        + 0.8 * 2.0;
    let right = bar.reading.map_or(0.0, read_height);
    let shut: Vec<String> = bar
        .held
        .iter()
        .map(|f| format!("STOP {} {}: {}", f.code, f.part, "settled how, by whom ____________"))
        .collect();
    let shut_mm = if shut.is_empty() {
        0.0
    } else {
        3.4 + Size::Reading.line_mm()
            + shut.iter().map(|s| Size::Small.height(s, inner - 12.0).max(6.0)).sum::<f64>()
    };
    let height = left.max(right) + shut_mm + 6.2 + 6.8 + 4.8;
    let html = html! {
        div.gate {
            div class=(if bar.reading.is_some() { "grid reads-one" } else { "grid" }) {
                div {
                    div.say { (bar.do_not) }
                    div.body { (text(&bar.unless)) }
                    @for meaning in &bar.meanings { div.small { (text(meaning)) } }
                    @if let Some(turn) = &bar.turn { div.small { (text(turn)) } }
                }
                @if let Some(reading) = bar.reading { (read(reading)) }
            }
            @if !bar.held.is_empty() {
                div.shut {
                    div.body { b { "This gate is shut: " } "settle each of these first." }
                    @for finding in bar.held {
                        div.small style="min-height:6mm" {
                            span.tick {} " " (sign(Severity::Stop)) " " (finding.code) " "
                            (text(&finding.part)) ": settled how, by whom " span.blank {}
                        }
                    }
                }
            }
            div.small.passed { (bar.name) ", passed: date " span.blank {} " initials " span.blank {} }
        }
    };
    Piece::new(html, height)
}

//! The steps as lists to tick, with a place to type each reading, and the gates between them.

use crate::book::BookInput;
use crate::words::text;
use engine::finding::{Finding, Severity};
use engine::plan::build::{GateBar, Page, Reading, Step};
use engine::units::reading::Quantity;
use engine::units::show::fixed;
use maud::{Markup, html};

pub(super) fn all(input: &BookInput<'_>) -> Markup {
    html! {
        section #steps aria-labelledby="steps-title" {
            h2 #steps-title { "Steps" }
            p { "Open one, do its lines in order, tick each. Where a dark bar stands, do not go on until it is so." }
            @for page in &input.build.pages { (job(input, page)) }
        }
    }
}

/// One job: cautions stand above its first line, as in the book.
fn job(input: &BookInput<'_>, page: &Page) -> Markup {
    let gate = page.gate.as_ref();
    let after = gate.map_or(page.steps.len(), |g| g.after.min(page.steps.len()));
    let (above, below) = page.steps.split_at(after);
    html! {
        details.job data-job=(page.number) {
            summary { span.big { (page.number) } " " span.title { (text(&page.title)) } " " span.done {} }
            @if page.people > 1 { p.small { "This takes " (page.people) " people." } }
            @for caution in &page.cautions {
                p.caution { b { (text(&caution.danger)) } " " (text(&caution.so)) }
            }
            @if !page.intro.is_empty() { p { (text(&page.intro)) } }
            @for step in above { (line(page, step)) }
            @if let Some(gate) = gate { (bar(input, page, gate)) }
            @for step in below { (line(page, step)) }
        }
    }
}

fn line(page: &Page, step: &Step) -> Markup {
    let key = format!("{}.{}", page.number, step.number);
    let name = format!("{} {}", step.verb, step.text);
    html! {
        div.step {
            label.tick-line {
                input type="checkbox" data-tick=(format!("{key} {name}"));
                span { b { (text(&step.verb)) } " " (text(&step.text)) }
            }
            @for remark in &step.detail { p.small { (text(remark)) } }
            @for (index, remark) in step.detail.iter().filter(|d| d.contains("______")).enumerate() {
                label.blank-line {
                    span { "write it here" }
                    input type="text" data-blank=(format!("{key}{} {remark}", "'".repeat(index)));
                }
            }
            @for one in &step.readings { (reading(one)) }
            @if let Some(sign) = &step.sign {
                label.blank-line { span { (text(sign)) } input type="text" data-blank=(format!("{key} {sign}")); }
            }
            @if let Some(to) = step.if_not.as_ref().filter(|_| !step.readings.is_empty()) {
                p.small { (to.says()) }
            }
        }
    }
}

/// A reading with its expectation above the place to type it. Joints are judged by their own amps,
/// so these may be typed beside.
fn reading(reading: &Reading) -> Markup {
    let figure = |v: Option<f64>| v.map(|v| fixed(v, 6));
    let unit = reading.quantity.unit();
    html! {
        div.reading {
            p.small { b { (reading.id) } ": meter on " (reading.range) "; " (text(&reading.probes))
                @if let Some(note) = &reading.note { ". " (text(note)) } }
            label {
                span { "expect " b { (reading.shown()) } }
                span.typed {
                    input type="text" inputmode="text" autocomplete="off" data-reading=(reading.id)
                        data-unit=(unit) data-low=[figure(reading.low)] data-high=[figure(reading.high)]
                        aria-label={ (reading.id) ", " (unit) };
                    span { (unit) }
                }
            }
            @if reading.quantity == Quantity::Millivolts {
                label {
                    span { "its own amps, if you clamped them" }
                    span.typed {
                        input type="text" inputmode="text" autocomplete="off" data-amps=(reading.id)
                            aria-label={ (reading.id) ", its own amps" };
                        span { "A" }
                    }
                }
            }
            output.verdict {}
        }
    }
}

fn bar(input: &BookInput<'_>, page: &Page, gate: &GateBar) -> Markup {
    let holds = |f: &&Finding| {
        f.severity == Severity::Stop && gate.held_by.iter().any(|g| f.blocks.contains(g))
    };
    let held: Vec<&Finding> = input.report.findings.iter().filter(holds).collect();
    html! {
        div.gate {
            p.say { "DO NOT GO ON UNLESS" }
            p { (text(&gate.unless)) }
            @for meaning in &gate.meanings {
                p.small { "about " (fixed(meaning.about_v, 1)) " V: " (text(&meaning.says)) }
            }
            @if let Some(one) = &gate.reading { (reading(one)) }
            @if !held.is_empty() {
                p { b { "This gate is shut." } " Settle each of these first:" }
                ul { @for finding in held { li { "STOP " (finding.code) " " (text(&finding.part)) } } }
            }
            @if let Some(to) = &gate.if_not { p.small { (to.says()) } }
            label.tick-line {
                input type="checkbox" data-tick=(format!("gate {} on {}", gate.mark.code(), page.number));
                span { "It is so: gate " (gate.mark.code()) " passed" }
            }
        }
    }
}

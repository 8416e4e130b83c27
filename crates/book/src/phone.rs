//! The copy for the driveway: one HTML file that needs no server and no network.
//!
//! It shows the plan, the findings and the steps of a stage on a phone. It ticks, takes readings and
//! torque, keeps them in itself, and hands them back as a readings file that `prove` reads. Every
//! figure and band in it is the engine's; the script only holds what was typed against the band that
//! stands beside it.

mod steps;
mod written;

use super::book::BookInput;
use super::pictures::subject;
use super::sheet::STANDING;
use super::words::{counted, listed, sign, text};
use drawing::pictures::plan::{PlanPicture, plan};
use drawing::pictures::{Foot, Setting};
use drawing::style::tones_css;
use drawing::svg::{Setting as Svg, svg};
use drawing::text::font_face_css;
use engine::finding::{Finding, Severity};
use engine::plan::card::Card;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const PHONE_CSS: &str = include_str!("phone/phone.css");
const PHONE_JS: &str = include_str!("phone/phone.js");

/// Nothing is fetched and nothing is sent: the file may run its own script and style, no other.
const POLICY: &str = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; \
     img-src data:; font-src data:; base-uri 'none'; form-action 'none'";

/// The whole file. The same input gives the same bytes.
#[must_use]
pub fn write_phone(input: &BookInput<'_>) -> String {
    let design = &input.report.study.design;
    let rig = &design.rig.name;
    let stage = &input.report.stage;
    let revision = design.rig.revision.clone().unwrap_or_else(|| "not given".to_owned());
    let markup = html! {
        (DOCTYPE)
        html lang="en" data-rig=(rig) data-stage=(stage) data-revision=(revision) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (rig) ", stage " (stage) ": the copy for the driveway" }
                style { (PreEscaped(font_face_css())) (PreEscaped(tones_css())) (PreEscaped(PHONE_CSS)) }
            }
            body {
                header.top {
                    h1 { (rig) }
                    p { "stage " (stage) ", revision " (revision) }
                    nav aria-label="Parts of this sheet" { (parts(input)) }
                }
                noscript { p.warn { "This browser runs no script here: nothing typed is kept. Write on paper instead." } }
                p.warn #unkept hidden { "This browser keeps nothing when it is closed. Press \"Save a copy\" before you leave." }
                main {
                    (drawn(input))
                    (findings(&input.report.findings))
                    (written::day())
                    (steps::all(input))
                    (written::torque(input))
                    (dead(input))
                    (written::hand_back())
                }
                footer { p { (STANDING) } }
                script type="application/json" id="kept" { (PreEscaped("{}")) }
                script { (PreEscaped(PHONE_JS)) }
            }
        }
    };
    markup.into_string()
}

/// The list of parts at the head.
fn parts(input: &BookInput<'_>) -> Markup {
    let bank = input.report.study.design.bank().is_some();
    let torque = !input.report.study.wiring.leads.is_empty();
    let all = [
        ("plan", "plan", bank),
        ("findings", "findings", !input.report.findings.is_empty()),
        ("day", "day and meter", true),
        ("steps", "steps", true),
        ("torque", "torque", torque),
        ("dead", "make it dead", true),
        ("back", "hand back", true),
    ];
    html! {
        @for (id, words, there) in all { @if there { a href={ "#" (id) } { (words) } } }
    }
}

fn drawn(input: &BookInput<'_>) -> Markup {
    let study = &input.report.study;
    if study.design.bank().is_none() {
        return html! {};
    }
    let setting = Setting { foot: Foot::Bare, ..Setting::phone("phone-plan") };
    let share = study.discharge.as_ref().ok();
    let scene = plan(&PlanPicture { subject: subject(study), share, setting: &setting });
    let least = (scene.width * Setting::PIXELS_PER_MM).ceil();
    html! {
        section #plan aria-labelledby="plan-title" {
            h2 #plan-title { "The plan" }
            p.small { "Wider than the screen: slide it sideways." }
            div.picture tabindex="0" role="region" aria-label="The plan; it may be wider than the screen" style=(format!("--least:{least:.0}px")) {
                (PreEscaped(svg(&scene, Svg::Inline)))
            }
        }
    }
}

fn findings(all: &[Finding]) -> Markup {
    if all.is_empty() {
        return html! {};
    }
    let (stops, rest): (Vec<&Finding>, Vec<&Finding>) =
        all.iter().partition(|f| f.severity == Severity::Stop);
    html! {
        section #findings aria-labelledby="findings-title" {
            h2 #findings-title { "What the checks found" }
            @for finding in &stops { (said(finding)) }
            @if !rest.is_empty() {
                details {
                    summary { span.title { (counted(rest.len(), "thing", "things")) " besides: FIX and NOTE" } }
                    @for finding in &rest { (said(finding)) }
                }
            }
        }
    }
}

fn said(finding: &Finding) -> Markup {
    let gates: Vec<String> = finding.blocks.iter().map(|g| g.word().to_owned()).collect();
    html! {
        article.said {
            p.mark { (sign(finding.severity)) " " span.small { (finding.code) } }
            p { (text(&finding.says)) }
            p { b { (text(&finding.remedy)) } }
            @if !gates.is_empty() { p.small { "It holds the gate to " (listed(&gates)) "." } }
        }
    }
}

fn dead(input: &BookInput<'_>) -> Markup {
    let study = &input.report.study;
    let card = Card::of(&study.design, &study.wiring);
    html! {
        section #dead aria-labelledby="dead-title" {
            h2 #dead-title { "How to make it dead" }
            @if card.off.is_empty() { p { "This stage has nothing that a hand can switch off." } }
            ol.off { @for off in &card.off { li { b { (off.verb) } " " (off.what) } } }
            h3 { "Still live after \"off\"" }
            ul { @for live in &card.live { li { b { (live.name) } ": " (live.why) "." } } }
            h3 { "First aid and fire" }
            ul { @for aid in &card.first_aid { li { (aid) } } }
            h3 { "Gas" }
            ul { @for gas in &card.gas { li { (gas) } } }
        }
    }
}

//! Findings as margin notes: what is, what to do, and a line to the thing.

use super::common::{bound, wish};
use crate::web::route::Node;
use crate::web::session::Session;
use book::words::sign;
use engine::checks::things::{Thing, spoken_of};
use engine::finding::{Finding, Gate, Severity};
use maud::{Markup, html};
use std::collections::BTreeMap;

/// Every finding of the stage, worst first.
pub(super) fn piece(session: &Session) -> Node {
    let mut node = Node { id: "notes".to_owned(), ..Node::default() };
    let Ok(work) = session.shown() else {
        return node;
    };
    let findings = &work.report.findings;
    let read_in = session.brought.as_ref();
    let mut html = html! {
        h2 { (head(findings.len())) }
        @if 1 < findings.len() { p.small { (counts(findings)) } }
        @if let Some(brought) = read_in { p.small { "With the readings of " (brought.name) ": " a href="#proved" { "what the meter showed" } "." } }
        (gates(work.whole.rig.kind, findings))
    }
    .into_string();
    let mut named = BTreeMap::new();
    for finding in findings {
        let (id, begins) = (note_id(finding, &mut named), html.len());
        let things = spoken_of(&work.report.study, &finding.path);
        html.push_str(&note(&id, finding, &things).into_string());
        node.parts.push((id, begins..html.len()));
    }
    if !findings.is_empty() {
        html.push_str(&where_to_write(&session.store.file_name()).into_string());
    }
    Node { html, ..node }
}

/// A note keeps its name as long as it speaks of the same thing, wherever it stands among the others.
fn note_id(finding: &Finding, named: &mut BTreeMap<String, u32>) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
    let path: String = finding.path.chars().map(plain).collect();
    let id = format!("note-{}-{path}", finding.code);
    let times = named.entry(id.clone()).or_default();
    *times += 1;
    if *times == 1 { id } else { format!("{id}--{times}") }
}

/// How many there are of each kind, worst first.
fn counts(findings: &[Finding]) -> String {
    let of = |severity: Severity| findings.iter().filter(|f| f.severity == severity).count();
    let all = [Severity::Stop, Severity::Fix, Severity::Note].map(|s| (of(s), s.word()));
    let says = all.iter().filter(|a| 0 < a.0).map(|(n, word)| format!("{n} {word}"));
    says.collect::<Vec<_>>().join(", ")
}

/// What the words of the file in the notes are, for somebody who never saw it.
fn where_to_write(file: &str) -> Markup {
    html! {
        p.small.written {
            "Words with a point or a line in them, such as " code { "rig.permit" } " or " code { "[as_built.volts]" }
            ", name a line of the design file " b { (file) } ", a plain text: write it there with any editor and open the page again. "
            "Volts and torque are also read in under " a href="#proved" { "what the meter showed" } "."
        }
    }
}

fn head(count: usize) -> String {
    match count {
        0 => "Nothing is found at this stage".to_owned(),
        1 => "One thing is found".to_owned(),
        n => format!("{n} things are found"),
    }
}

/// The things that a note speaks of, as the script finds them on the plan: pairs of kind and name.
fn at(things: &[Thing]) -> Option<String> {
    let pair = |thing: &Thing| match thing {
        Thing::Block(id) => ["block".to_owned(), id.to_string()],
        Thing::Post(post) => ["post".to_owned(), post.to_string()],
        Thing::Lead(name) => ["lead".to_owned(), name.clone()],
        Thing::Device(name) => ["device".to_owned(), name.clone()],
    };
    let pairs: Vec<[String; 2]> = things.iter().map(pair).collect();
    (!pairs.is_empty()).then(|| serde_json::json!(pairs).to_string())
}

fn note(place: &str, finding: &Finding, things: &[Thing]) -> Markup {
    let id = format!("{} {}", finding.code, finding.path);
    html! {
        article.note.(finding.severity.word().to_lowercase()) id=(place) data-at=[at(things)] {
            h3 { (sign(finding.severity)) " " span.part { (finding.part) } " "
                button.rule type="button" data-key=(format!("finding {id}"))
                    aria-label=(format!("Why: rule {} on {}", finding.code, finding.part))
                    data-do=(wish(&[("do", "touch"), ("kind", "finding"), ("id", &id)])) { (finding.code) ", why" }
            }
            p { (bound(&finding.says)) }
            p.remedy { (bound(&finding.remedy)) }
        }
    }
}

/// Which gates stay shut, and by what.
fn gates(kind: engine::model::rig::RigKind, findings: &[Finding]) -> Markup {
    let shut: Vec<(Gate, Vec<String>)> = Gate::ALL
        .into_iter()
        .filter(|g| kind.meets(*g))
        .filter_map(|gate| {
            let mut by: Vec<String> = findings
                .iter()
                .filter(|f| f.blocks.contains(&gate))
                .map(|f| f.code.to_string())
                .collect();
            by.sort();
            by.dedup();
            (!by.is_empty()).then_some((gate, by))
        })
        .collect();
    html! {
        @if !shut.is_empty() {
            div.gates {
                @for (gate, by) in shut {
                    p { b { "DO NOT " (gate.word().to_uppercase()) } " until " (crate::failure::listed(&by)) @if by.len() == 1 { " is mended." } @else { " are mended." } }
                }
            }
        }
    }
}

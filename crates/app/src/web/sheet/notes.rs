//! Findings as margin notes: what is, what to do, and a line to the thing.

use super::common::{bound, wish};
use crate::web::route::Node;
use crate::web::session::Session;
use book::words::sign;
use engine::finding::{Finding, Gate, Severity};
use maud::{Markup, html};

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
    for (n, finding) in findings.iter().enumerate() {
        let (id, begins) = (format!("note-{n}"), html.len());
        html.push_str(&note(&id, finding).into_string());
        node.parts.push((id, begins..html.len()));
    }
    if !findings.is_empty() {
        html.push_str(&where_to_write(&session.store.file_name()).into_string());
    }
    Node { html, ..node }
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

fn note(place: &str, finding: &Finding) -> Markup {
    let id = format!("{} {}", finding.code, finding.path);
    html! {
        article.note.(finding.severity.word().to_lowercase()) id=(place) data-at=[thing(&finding.path)] {
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

/// The thing on the plan that a path of the design file speaks of, as `kind|name`.
pub(super) fn thing(path: &str) -> Option<String> {
    let pieces = pieces(path);
    let name = pieces.get(1)?;
    match pieces.first().map(String::as_str) {
        Some("lead" | "joint") => Some(format!("lead|{name}")),
        Some("device") => Some(format!("device|{name}")),
        Some("bank") => {
            let block = pieces
                .iter()
                .skip(1)
                .find(|p| engine::model::bank::BlockId::from_text(p).is_some());
            block.map(|b| format!("block|{b}"))
        }
        Some("as_built") => {
            // A post has a pole behind its block; a column of the table has none.
            let post = pieces.get(2).filter(|p| name == "post" && p.contains(' '))?;
            Some(format!("post|{}", post.replace(' ', "\u{a0}").replace('-', "−")))
        }
        _ => None,
    }
}

/// The pieces of a dotted path; a piece in quotes may hold dots.
fn pieces(path: &str) -> Vec<String> {
    let (mut all, mut quoted) = (vec![String::new()], false);
    for c in path.chars() {
        match c {
            '"' => quoted = !quoted,
            '.' if !quoted => all.push(String::new()),
            c => {
                if let Some(last) = all.last_mut() {
                    last.push(c);
                }
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::thing;

    #[test]
    fn a_path_names_the_thing_on_the_plan() {
        for (path, want) in [
            ("lead.8.size", Some("lead|8")),
            ("lead.plus 2.size", Some("lead|plus 2")),
            ("lead.\"a.b\".size", Some("lead|a.b")),
            ("bank.1.A2.age", Some("block|A2")),
            ("bank.B1", Some("block|B1")),
            ("device.main.rating", Some("device|main")),
            ("as_built.post.\"A1 -\".boot", Some("post|A1\u{a0}−")),
            ("as_built.post.stack", None),
            ("bank.takeoff", None),
            ("vehicle.hitch_max", None),
            ("", None),
        ] {
            assert_eq!(thing(path).as_deref(), want, "{path}");
        }
    }
}

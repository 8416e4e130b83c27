//! Findings as margin notes: what is, what to do in bold, why, and how far the source goes.

use super::style::Style;
use super::wrap::hanging;
use crate::failure::listed;
use engine::cite::Cite;
use engine::finding::{Assumed, Finding, Gate, Severity};
use engine::model::rig::RigKind;
use engine::tables::Tables;
use std::fmt::Write;

/// The key under which the engine cites the owner.
const OWNER: &str = "owner";

/// Keys under which nothing was read.
const NO_TEXTS: [&str; 2] = ["practice", "memory"];

/// Indent under the word of the severity.
const INDENT: &str = "       ";

/// One finding.
pub(crate) fn finding(finding: &Finding, line: usize, tables: &Tables, style: Style) -> String {
    let mut text = format!("{}  {}", style.severity(finding.severity), style.bold(&finding.part));
    let mut about = vec![finding.code.to_string(), format!("line {line}")];
    if !finding.blocks.is_empty() {
        about.push(format!("holds {}", words_of(&finding.blocks)));
    }
    text.push_str(&style.faint(&format!("  {}", about.join(" · "))));
    text.push('\n');
    text.push_str(&hanging(INDENT, &finding.says));
    let remedy = hanging(&format!("{INDENT}do   "), &finding.remedy);
    for line in remedy.lines() {
        text.push_str(&style.bold(line));
        text.push('\n');
    }
    text.push_str(&hanging(&format!("{INDENT}why  "), &finding.why));
    if !finding.sources.is_empty() {
        text.push_str(&hanging(&format!("{INDENT}from "), &sources(&finding.sources, tables)));
    }
    text
}

/// Sources with their place and how they were read, such as "33 CFR 183.455, (b) (read in ...)".
pub(crate) fn sources(cites: &[Cite], tables: &Tables) -> String {
    let mut shown: Vec<String> = Vec::new();
    for cite in cites {
        if cite.key == OWNER {
            push_once(&mut shown, format!("your own word, {}", cite.place));
            continue;
        }
        let place = if cite.place.is_empty() { String::new() } else { format!(", {}", cite.place) };
        // Common practice and memory are no texts: what they are is said once.
        if NO_TEXTS.contains(&cite.key.as_str()) {
            push_once(&mut shown, format!("{}{}", cite.status.says(), place.replacen(',', ":", 1)));
            continue;
        }
        let source = tables.sources.get(&cite.key);
        let title = source.map_or_else(|| cite.key.clone(), |s| s.inside());
        push_once(&mut shown, format!("{title}{place} ({})", cite.status.says()));
    }
    shown.join("; ")
}

fn push_once(shown: &mut Vec<String>, one: String) {
    if !shown.contains(&one) {
        shown.push(one);
    }
}

/// What was assumed, how to measure it, and what it changes.
pub(crate) fn assumed(assumed: &[&Assumed], style: Style) -> String {
    if assumed.is_empty() {
        return String::new();
    }
    let mut text = style.bold("Assumed, because the design does not say");
    text.push('\n');
    for item in assumed {
        let what = format!("{} = {} ({})", item.path, item.value, item.cite.status.says());
        text.push_str(&hanging("  ", &what));
        text.push_str(&hanging("      measure  ", &item.how_to_measure));
        text.push_str(&hanging("      matters  ", &item.matters));
    }
    text
}

/// The last lines of every answer of `check`: the count, and which gates are held by what.
pub(crate) fn closing(findings: &[&Finding], kind: RigKind, style: Style) -> String {
    let count = |s: Severity| findings.iter().filter(|f| f.severity == s).count();
    let (stop, fix, note) = (count(Severity::Stop), count(Severity::Fix), count(Severity::Note));
    let mut text = style.bold(&format!("{stop} STOP, {fix} FIX, {note} NOTE."));
    text.push('\n');
    for gate in Gate::ALL.into_iter().filter(|g| kind.meets(*g)) {
        let mut holding: Vec<String> = findings
            .iter()
            .filter(|f| f.blocks.contains(&gate))
            .map(|f| f.code.to_string())
            .collect();
        holding.sort();
        holding.dedup();
        if !holding.is_empty() {
            let held = format!("Held by {}.", listed(&holding));
            text.push_str(&hanging(&format!("Do not {:<9} ", gate.word()), &held));
        }
    }
    text
}

/// The line under the other words: how many STOP findings stand.
pub(crate) fn stop_line(stops: usize, stage: &str) -> String {
    let mut text = String::new();
    let written = match stops {
        0 => writeln!(text, "No STOP finding stands at stage \"{stage}\"."),
        1 => writeln!(text, "1 STOP finding stands at stage \"{stage}\": see `bankwright check`."),
        n => {
            writeln!(text, "{n} STOP findings stand at stage \"{stage}\": see `bankwright check`.")
        }
    };
    debug_assert!(written.is_ok(), "a string takes every line");
    text
}

fn words_of(gates: &[Gate]) -> String {
    if gates.len() == Gate::ALL.len() {
        return "every gate".to_owned();
    }
    let words: Vec<String> = gates.iter().map(|g| g.word().to_owned()).collect();
    listed(&words)
}

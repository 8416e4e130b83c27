//! `explain`: the page of a rule, the meaning of a word, or the list of all rules.

use crate::args::ExplainArgs;
use crate::failure::Failure;
use crate::glossary::{self, Term};
use crate::json;
use crate::json::explain::{Page, Rules, Terms};
use crate::terminal::say;
use crate::terminal::style::Style;
use crate::terminal::wrap::hanging;
use engine::checks::registry::{LAST, NOT_THERE_YET, RULES, Rule, rule};
use engine::finding::Code;
use std::process::ExitCode;

pub(crate) fn run(args: &ExplainArgs) -> Result<ExitCode, Failure> {
    let subject = args.subject.join(" ");
    let text = if subject.trim().is_empty() {
        if args.json { json::text(&Rules::all()) } else { list(Style::for_output()) }
    } else if let Some(code) = code(&subject) {
        one_rule(code, &subject, args.json)?
    } else {
        words(&subject, args.json)?
    };
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

/// `R14`, `r14` or `14`; `None` for anything that is no rule's number.
fn code(subject: &str) -> Option<Code> {
    let digits = subject.trim().trim_start_matches(['R', 'r']);
    let number: u8 = digits.parse().ok()?;
    (1..=LAST).contains(&number).then_some(Code(number))
}

fn one_rule(code: Code, subject: &str, as_json: bool) -> Result<String, Failure> {
    match rule(code) {
        Some(rule) if as_json => Ok(json::text(&Page::of(rule))),
        Some(rule) => Ok(page(rule, Style::for_output())),
        None if NOT_THERE_YET.contains(&code.0) && as_json => Ok(json::text(&Rules::all())),
        None if NOT_THERE_YET.contains(&code.0) => {
            Ok(format!("{code} is not there yet: `check` does not look for it.\n"))
        }
        None => Err(Failure::no_subject(subject, &[])),
    }
}

/// Where the worked examples of a page begin: whole design files, that the tests run.
const EXAMPLES: &str = "## Example";

/// The page of a rule as it was written, its headings in bold, up to its examples.
fn page(rule: &Rule, style: Style) -> String {
    let mut text = String::new();
    for line in rule.page.lines().take_while(|line| !line.starts_with(EXAMPLES)) {
        let shown = if line.starts_with('#') { style.bold(line) } else { line.to_owned() };
        text.push_str(&shown);
        text.push('\n');
    }
    text.push_str(&hanging(
        "",
        &format!(
            "`bankwright explain {} --json` adds designs that break it and keep it.",
            rule.code
        ),
    ));
    text
}

fn list(style: Style) -> String {
    let mut text = String::new();
    for rule in RULES {
        text.push_str(&format!("{}  {}\n", style.bold(&rule.code.to_string()), rule.name));
    }
    if !NOT_THERE_YET.is_empty() {
        let codes: Vec<String> = NOT_THERE_YET.iter().map(|c| Code(*c).to_string()).collect();
        text.push('\n');
        text.push_str(&hanging("Not there yet: ", &codes.join(", ")));
    }
    text.push_str("\n`bankwright explain R14` prints the page of a rule.\n");
    text
}

fn words(subject: &str, as_json: bool) -> Result<String, Failure> {
    let found = glossary::explained(subject);
    if found.is_empty() {
        return Err(Failure::no_subject(subject, &glossary::near(subject)));
    }
    if as_json {
        return Ok(json::text(&Terms::of(found)));
    }
    let style = Style::for_output();
    Ok(found.iter().map(|term| meaning(term, style)).collect())
}

fn meaning(term: &Term, style: Style) -> String {
    let mut text = style.bold(&term.term);
    text.push('\n');
    text.push_str(&hanging("  ", &format!("{}.", term.meaning)));
    for (head, words) in [
        ("  unit    ", &term.unit),
        ("  symbol  ", &term.symbol),
        ("  US      ", &term.us),
        ("  UK      ", &term.uk),
    ] {
        if !words.is_empty() {
            text.push_str(&hanging(head, words));
        }
    }
    text
}

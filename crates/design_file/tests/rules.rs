//! Every rule's page is run as it stands: the failing design must make the rule speak in the words
//! the page promises, the mended one must make it silent, and no other rule may speak unless the
//! page says so.

use design_file::log_text;
use design_file::read::read;
use engine::checks::context::Context;
use engine::checks::r01_take_off_at_one_end::best_move;
use engine::checks::registry::{RULES, Rule, ask, rule};
use engine::checks::run;
use engine::evidence::Evidence;
use engine::facts::Ambient;
use engine::finding::{Code, Finding, Severity};
use engine::model::bank::TakeOff;
use engine::model::design::Design;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;
use std::collections::BTreeSet;

/// One fenced design of a page with what stands below it.
struct Example {
    design: String,
    /// Entries of its log, one a line, and `# today 2026-06-20`.
    log: String,
    mended: bool,
    /// Severity and words that a finding of the rule must have, in one finding or several.
    says: Vec<(Severity, String)>,
}

/// The examples of a page and the other codes its failing designs may raise.
fn examples(rule: &Rule) -> (Vec<Example>, BTreeSet<String>) {
    let mut all: Vec<Example> = Vec::new();
    let mut also = BTreeSet::new();
    let mut open = false;
    let mut in_log = false;
    for line in rule.page.lines() {
        if open {
            match (line, all.last_mut()) {
                ("```", _) => (open, in_log) = (false, false),
                (_, Some(example)) => {
                    let into = if in_log { &mut example.log } else { &mut example.design };
                    into.push_str(line);
                    into.push('\n');
                }
                _ => {}
            }
        } else if line == "```log" {
            (open, in_log) = (true, true);
        } else if let Some(kind) = line.strip_prefix("```toml ") {
            let mended = match kind {
                "mended" => true,
                "fails" => false,
                other => panic!("{}: a fence marked {other}", rule.code),
            };
            let (design, log) = (String::new(), String::new());
            all.push(Example { design, log, mended, says: Vec::new() });
            open = true;
        } else if let Some(promise) = line.strip_prefix("> ") {
            let (word, words) = promise.split_once(' ').expect("severity and words");
            let example = all.last_mut().expect("a promise stands below its example");
            example.says.push((severity(word), words.to_owned()));
        } else if let Some(codes) = line.strip_prefix("Also: ") {
            also.extend(codes.split(", ").map(str::to_owned));
        }
    }
    (all, also)
}

fn severity(word: &str) -> Severity {
    [Severity::Stop, Severity::Fix, Severity::Note]
        .into_iter()
        .find(|s| s.word() == word)
        .unwrap_or_else(|| panic!("\"{word}\" is no severity"))
}

fn ambient() -> Ambient {
    Ambient { soc: None, temperature: Temperature::celsius(25.0) }
}

fn design_of(text: &str, whose: &str) -> Design {
    let result = read(text);
    let faults: Vec<String> = result.faults.iter().map(|f| f.one_line()).collect();
    assert!(faults.is_empty(), "{whose}: the example is read without a fault: {faults:#?}");
    result.design.unwrap_or_else(|| panic!("{whose}: the example holds a design"))
}

/// The log of an example.
fn evidence(example: &Example, whose: &str) -> Evidence {
    let (log, faults) = log_text::log(&example.log);
    assert!(faults.is_empty(), "{whose}: the log is read without a fault: {faults:?}");
    let today = example.log.lines().find_map(|l| l.strip_prefix("# today "));
    let today = today.map(|t| t.trim().parse().expect("a day"));
    assert!(example.log.is_empty() || today.is_some(), "{whose}: the log names its day");
    Evidence { log, readings: Vec::new(), today }
}

fn findings(design: &Design, tables: &Tables, evidence: &Evidence) -> Vec<Finding> {
    let stage = design.present_stage();
    let study = Study::of(design, stage, tables, ambient()).expect("the tables are whole");
    run(&Context { study: &study, tables, whole: design, evidence })
}

fn list(findings: &[Finding]) -> String {
    let lines: Vec<String> = findings
        .iter()
        .map(|f| format!("{} {} {} | {}", f.code, f.severity.word(), f.says, f.remedy))
        .collect();
    lines.join("\n")
}

fn run_page(rule: &Rule, tables: &Tables) {
    let (examples, also) = examples(rule);
    assert!(examples.iter().any(|e| e.mended), "{} shows a mended design", rule.code);
    for example in &examples {
        let whose = format!("{} {}", rule.code, if example.mended { "mended" } else { "fails" });
        let evidence = evidence(example, &whose);
        let found = findings(&design_of(&example.design, &whose), tables, &evidence);
        let said = list(&found);
        let own: Vec<&Finding> = found.iter().filter(|f| f.code == rule.code).collect();
        assert_eq!(own.is_empty(), example.mended, "{whose}: the rule speaks or not:\n{said}");
        for (severity, words) in &example.says {
            let kept =
                own.iter().any(|f| f.severity == *severity && f.says.contains(words.as_str()));
            assert!(kept, "{whose}: nothing of {} says \"{words}\":\n{said}", severity.word());
        }
        assert!(example.mended || !example.says.is_empty(), "{whose} promises words");
        for finding in &found {
            traceable(finding, tables);
            let code = finding.code.to_string();
            let expected = finding.code == rule.code || also.contains(&code);
            assert!(expected, "{whose}: {code} speaks and the page does not say so:\n{said}");
        }
    }
}

/// What a finding says can be traced to a source and acted on.
fn traceable(f: &Finding, tables: &Tables) {
    let shown = list(std::slice::from_ref(f));
    assert!(!f.sources.is_empty(), "a source: {shown}");
    for cite in &f.sources {
        let known = cite.key == "owner" || tables.sources.get(&cite.key).is_some();
        assert!(known, "{} is in the bibliography: {shown}", cite.key);
    }
    assert_eq!(f.severity == Severity::Stop, !f.blocks.is_empty(), "gates: {shown}");
    assert!(f.remedy.starts_with(char::is_uppercase), "a sentence to act on: {shown}");
    assert!(f.says.ends_with('.') && f.remedy.ends_with('.'), "whole sentences: {shown}");
}

#[test]
fn every_page_is_true() {
    let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
    for rule in RULES {
        run_page(rule, &tables);
    }
}

#[test]
fn the_page_of_a_rule_is_found_by_its_code() {
    let page = rule(Code(14)).map_or("", |r| r.page);
    assert!(page.starts_with("# R14 No fuse at the battery\n"), "{page}");
}

/// A bank of equal 12 V blocks: resistance 5 mohm, links about a twentieth of that, as owners have.
fn bank_of(strings: u32, takeoff: &str) -> String {
    format!(
        "format = 1\n[rig]\nname = \"Hut\"\nkind = \"cabin\"\npractice = \"eu-cabin\"\n\
         [block.solo]\nchemistry = \"AGM\"\nvolts = \"12 V\"\nrating = \"100 Ah at 20 h\"\n\
         resistance = \"5 mohm\"\n[bank]\nblock = \"solo\"\nseries = 1\nparallel = {strings}\n\
         takeoff = \"{takeoff}\"\nlink = \"35 mm2\"\nlink_length = \"300 mm\"\njoint = \"0.1 mohm\"\n"
    )
}

/// The study of a design and what R01 says of it.
fn first_of(design: &Design, tables: &Tables) -> (Study, Option<Finding>) {
    let study = Study::of(design, 0, tables, ambient()).expect("the tables are whole");
    let take_off = rule(Code(1)).expect("R01 is there");
    let said = ask(
        &Context { study: &study, tables, whole: design, evidence: &engine::evidence::NONE },
        take_off,
    );
    (study, said.into_iter().next())
}

/// Follows R01's advice until it is silent: the advice must clear it in one step.
#[test]
fn following_the_take_off_advice_clears_it_for_2_to_12_strings() {
    let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
    let mut fired = 0;
    for strings in 2..=12 {
        for takeoff in ["same end", "opposite corners"] {
            let text = bank_of(strings, takeoff);
            let mut design = design_of(&text, takeoff);
            let (study, first) = first_of(&design, &tables);
            let Some(first) = first else {
                continue;
            };
            fired += 1;
            let cx = Context {
                study: &study,
                tables: &tables,
                whole: &design,
                evidence: &engine::evidence::NONE,
            };
            let bank = study.design.bank().expect("a bank");
            let (advice, clears) = best_move(&cx, bank, 100.0).expect("a solved move");
            assert!(clears, "{strings} strings, {takeoff}: {}", first.remedy);
            let words = match &advice.takeoff {
                TakeOff::Posts { .. } => "Move the",
                _ => "busbar",
            };
            assert!(first.remedy.contains(words), "the words tell the move: {}", first.remedy);
            for bank in &mut design.banks {
                bank.takeoff = advice.takeoff.clone();
            }
            let after = first_of(&design, &tables).1.map(|f| f.says);
            assert_eq!(after, None, "{strings} strings, {takeoff}, after: {}", first.remedy);
        }
    }
    // Two strings on one end are within 5 % here; every larger bank on one end is not.
    assert!(10 <= fired, "the advice was put to the test {fired} times");
}

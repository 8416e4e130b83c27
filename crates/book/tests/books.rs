//! The books of the demo rigs: nothing is lost between the engine and the paper.

mod plain;
mod rigs;

use book::book::{page_titles, write_book, write_hand_over};
use book::paper::Paper;
use engine::finding::Severity;
use engine::hand_over::HandOver;
use engine::plan::build::{Build, Reading};
use expect_test::expect_file;
use plain::plain;
use rigs::{DEMOS, Worked, design};
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// A stage of a demo with its books.
struct Printed {
    name: String,
    worked: Worked,
    letter: String,
    a4: String,
    /// Its hand-over folder, on letter.
    folder: String,
}

/// Every stage of every demo, worked through and printed once for all tests.
static ALL: LazyLock<Vec<Printed>> = LazyLock::new(|| {
    let mut all = Vec::new();
    for (name, _) in DEMOS {
        for (stage, worked) in Worked::all(&design(name)).into_iter().enumerate() {
            let letter = worked.with(Paper::Letter, write_book);
            let a4 = worked.with(Paper::A4, write_book);
            let folder = worked.with(Paper::Letter, write_hand_over);
            all.push(Printed {
                name: format!("{name}, stage {stage}"),
                worked,
                letter,
                a4,
                folder,
            });
        }
    }
    all
});

fn every(then: impl Fn(&str, &Printed)) {
    for printed in ALL.iter() {
        then(&printed.name, printed);
    }
}

fn readings(build: &Build) -> Vec<&Reading> {
    let steps = build.pages.iter().flat_map(|p| &p.steps).flat_map(|s| &s.readings);
    let gates = build.gates().filter_map(|(_, g)| g.reading.as_ref());
    steps.chain(gates).collect()
}

/// The expectation printed where a reading is written down, by the reading's name.
fn printed(html: &str, id: &str) -> Option<String> {
    let mark = format!("data-reading=\"{}\"", id.replace('"', "&quot;"));
    let from = html.find(&mark)?;
    let value = html[from..].split_once("class=\"val\">")?.1;
    Some(plain(value.split_once("</span>")?.0))
}

#[test]
fn every_expected_figure_on_paper_is_the_engines() {
    every(|name, Printed { worked, letter: html, .. }| {
        for reading in readings(&worked.build) {
            let shown = printed(html, &reading.id);
            assert_eq!(shown.as_deref(), Some(&*reading.shown()), "{name}: {}", reading.id);
        }
    });
}

#[test]
fn every_step_and_gate_is_printed_once() {
    every(|name, Printed { worked, a4: html, .. }| {
        let steps: usize = worked.build.pages.iter().map(|p| p.steps.len()).sum();
        assert_eq!(html.matches("<span class=\"nr\">").count(), steps, "{name}: steps");
        // The gate to buy stands before the shopping list.
        let gates = worked.build.gates().count() + 1;
        assert_eq!(html.matches("<div class=\"gate\">").count(), gates, "{name}: gates");
    });
}

#[test]
fn every_stop_holds_a_gate_on_paper() {
    every(|name, Printed { worked, letter: html, .. }| {
        let gates: String = html
            .split("<section ")
            .filter(|s| s.contains("class=\"gate\"") || s.starts_with("class=\"page gates"))
            .collect();
        let text = plain(&gates);
        for finding in worked.report.findings.iter().filter(|f| f.severity == Severity::Stop) {
            let mark = format!("{} {}", finding.code, finding.part);
            assert!(text.contains(&mark), "{name}: {mark} holds no gate on paper");
            let kind = worked.report.study.design.rig.kind;
            for gate in finding.blocks.iter().filter(|g| kind.meets(**g)) {
                let row = format!("Do not {}", gate.word());
                assert!(html.contains(&row), "{name}: the cover says {row}");
            }
        }
    });
}

#[test]
fn every_finding_assumption_and_lead_is_told() {
    every(|name, Printed { worked, a4, .. }| {
        let text = plain(a4);
        for finding in &worked.report.findings {
            assert!(text.contains(&finding.says), "{name}: {} says", finding.code);
            assert!(text.contains(&finding.remedy), "{name}: {} remedy", finding.code);
        }
        for assumed in &worked.report.assumed {
            assert!(text.contains(&assumed.how_to_measure), "{name}: {}", assumed.path);
        }
        for lead in &worked.report.study.leads {
            assert!(text.contains(&format!("lead {}", lead.id)), "{name}: label of {}", lead.id);
        }
    });
}

#[test]
fn the_same_book_twice_and_nothing_from_outside() {
    let first = &ALL[1];
    let again = first.worked.with(Paper::Letter, write_book);
    assert!(again == first.letter, "{}: not the same bytes", first.name);
    every(|name, Printed { letter, a4, folder, .. }| {
        for html in [letter, a4, folder] {
            // The name space of SVG is a name, not an address that is opened.
            let without = html.replace("http://www.w3.org/2000/svg", "");
            for outside in ["http:", "https:", "//", "<script", "<link", "<iframe", "@import"] {
                let found =
                    without.find(outside).map(|at| &without[at.saturating_sub(40)..at + 20]);
                let in_face = found.is_some_and(|f| !f.contains(' ') && outside == "//");
                assert!(found.is_none() || in_face, "{name}: {outside} in {found:?}");
            }
        }
    });
}

#[test]
fn tags_are_closed_and_ids_are_unique() {
    every(|name, Printed { letter, folder, .. }| {
        for html in [letter, folder] {
            closed_and_unique(name, html);
        }
    });
}

fn closed_and_unique(name: &str, html: &str) {
    const VOID: [&str; 6] = ["meta", "br", "col", "wbr", "!DOCTYPE", "hr"];
    let body = html.split_once("</style>").expect("a style ends").1;
    let mut open: Vec<&str> = vec!["html", "head"];
    for piece in body.split('<').skip(1) {
        let tag = piece.split_once('>').unwrap_or_else(|| panic!("{name}: <{piece} is open")).0;
        let word = tag.split([' ', '\n']).next().unwrap_or_default();
        if let Some(closed) = word.strip_prefix('/') {
            assert_eq!(open.pop(), Some(closed), "{name}: closed in order");
        } else if !tag.ends_with('/') && !VOID.contains(&word) {
            open.push(word);
        }
    }
    assert!(open.is_empty(), "{name}: left open: {open:?}");
    let ids: Vec<&str> = html.split(" id=\"").skip(1).filter_map(|s| s.split('"').next()).collect();
    let unique: BTreeSet<&&str> = ids.iter().collect();
    assert_eq!(unique.len(), ids.len(), "{name}: an id stands twice");
}

#[test]
fn every_page_is_numbered_and_every_turn_leads_to_a_page() {
    every(|name, Printed { worked, letter: html, .. }| {
        let count = worked.with(Paper::Letter, page_titles).len();
        for number in 1..=count {
            let mark = format!("page {number} of {count}<");
            assert!(html.contains(&mark), "{name}: {mark}");
        }
        let text = plain(html);
        for turn in text.split("stop and turn to page ").skip(1) {
            let digits: String = turn.chars().take_while(char::is_ascii_digit).collect();
            let to: usize = digits.parse().expect("a page number");
            let section = html.split(&format!("id=\"p{to}\"")).nth(1).expect("the page is there");
            let title = section.split("<h1").nth(1).and_then(|h| h.split("</h1>").next());
            let title = title.unwrap_or_default();
            assert!(title.contains("When a reading is wrong"), "{name}: page {to} is {title}");
        }
    });
}

#[test]
fn no_page_is_fuller_than_its_paper() {
    every(|name, Printed { letter, a4, folder, .. }| {
        let folders = [(folder, Paper::Letter)];
        for (html, paper) in [(letter, Paper::Letter), (a4, Paper::A4)].into_iter().chain(folders) {
            assert!(!html.contains(" tall\""), "{name}: a piece is taller than {paper:?}");
        }
    });
}

/// The structure of three books, one per rig: which page follows which. A page that moves is seen
/// here first.
#[test]
fn the_pages_follow_each_other() {
    for (at, name) in [(1, "alder-fen"), (7, "withy-reach"), (13, "rime-hollow")] {
        let printed = &ALL[at];
        assert!(printed.name.starts_with(name), "{} is not {name}", printed.name);
        let usual = Paper::usual(printed.worked.report.study.design.rig.practice);
        let titles = printed.worked.with(usual, page_titles).join("\n") + "\n";
        expect_file![format!("golden/{name}.titles.txt")].assert_eq(&titles);
    }
}

/// A surveyor's reading of the first books: a main lead told as guarded by a small breaker far
/// behind it, one thing counted in the plural, and a word told twice.
#[test]
fn a_label_names_what_truly_guards_the_lead_and_words_agree_with_counts() {
    every(|name, printed| {
        let text = plain(&printed.letter);
        assert!(!printed.letter.contains(">1 pieces<"), "{name}: one piece is no plural");
        for wrong in ["boat cable cable", "at most ±", "fuse fuse", "15 A class-t"] {
            assert!(!text.contains(wrong), "{name}: {wrong}");
        }
        if name.starts_with("rime") {
            let isolator = printed.worked.with(Paper::Letter, |input| {
                let leads = &input.report.study.leads;
                leads.iter().find(|l| l.id == "to isolator").and_then(|l| l.fuse.clone())
            });
            // Hand worked: the main fuse stands on the bar, between the modules and this lead.
            let guard = isolator.map(|f| f.id);
            assert!(guard.is_none_or(|g| g == "main"), "{name}");
        }
    });
}

/// The folder of each rig tells every STOP and FIX, every fuse with what it breaks, who signs, and
/// that it approves nothing.
#[test]
fn a_folder_hides_nothing() {
    every(|name, Printed { worked, folder, .. }| {
        let text = plain(folder);
        for finding in &worked.report.findings {
            let to_do = finding.severity == Severity::Note || text.contains(&finding.remedy);
            assert!(to_do && text.contains(&finding.says), "{name}: {}", finding.code);
        }
        for fuse in worked.report.study.leads.iter().filter_map(|l| l.fuse.as_ref()) {
            assert!(text.contains(&fuse.why), "{name}: why {}", fuse.id);
        }
        let lists = HandOver::of(&worked.report, &rigs::TABLES);
        for line in &lists.signs {
            assert!(text.contains(&line.what), "{name}: {:?} signs", line.who);
        }
        for item in &lists.items {
            assert!(text.contains(&item.looked.what), "{name}: line {}", item.looked.number);
        }
        assert!(text.contains("no certificate and no approval"), "{name}: it claims nothing");
        assert!(text.contains("licensed electrician"), "{name}: who does the mains work");
        // Every "page N" of the list of what is looked for is a page of the folder.
        let count = text.matches("page 1 of ").count();
        assert_eq!(count, 1, "{name}: its pages are numbered");
    });
}

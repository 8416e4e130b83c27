//! `log due`: what the demos ask for, and the calendar file from outside.

mod bankwright;

use bankwright::{Run, demo_rig, log_on, text};
use ical::parser::ical::component::{IcalCalendar, IcalEvent};
use std::collections::{BTreeMap, BTreeSet};
use tempfile::TempDir;

fn log(folder: &TempDir, day: &str, words: &[&str]) -> Run {
    let ran = log_on(folder, day, words);
    assert_eq!(ran.code, 0, "{words:?}: {}", ran.err);
    ran
}

fn calendar(folder: &TempDir, day: &str) -> IcalCalendar {
    log(folder, day, &["due", "--ics", "care.ics"]);
    let text = text(folder, "care.ics");
    for line in text.split_terminator("\r\n") {
        // RFC 5545, 3.1.
        assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "a line of its own: {line}");
    }
    let mut all: Vec<IcalCalendar> = ical::IcalParser::new(text.as_bytes())
        .collect::<Result<_, _>>()
        .expect("an outside parser takes it");
    assert_eq!(all.len(), 1, "one calendar");
    all.remove(0)
}

fn value<'a>(event: &'a IcalEvent, name: &str) -> &'a str {
    let found = event.properties.iter().find(|p| p.name == name);
    found.and_then(|p| p.value.as_deref()).unwrap_or_else(|| panic!("it has {name}"))
}

/// What a calendar keeps: by name, of the larger number.
fn take(kept: &mut BTreeMap<String, (i64, String)>, calendar: &IcalCalendar) {
    for event in &calendar.events {
        let number: i64 = value(event, "SEQUENCE").parse().expect("a number");
        let day = match value(event, "STATUS") {
            "CANCELLED" => String::new(),
            _ => value(event, "DTSTART").to_owned(),
        };
        let old = kept.entry(value(event, "UID").to_owned()).or_insert((-1, String::new()));
        if old.0 < number {
            *old = (number, day);
        }
    }
}

#[test]
fn every_demo_has_a_calendar_and_taking_it_in_again_doubles_nothing() {
    for demo in ["alder-fen", "withy-reach", "rime-hollow"] {
        let folder = demo_rig(demo);
        let mut kept = BTreeMap::new();
        let first = calendar(&folder, "2026-05-03");
        let names: BTreeSet<&str> = first.events.iter().map(|e| value(e, "UID")).collect();
        assert!(!names.is_empty(), "{demo}: something is due");
        assert_eq!(names.len(), first.events.len(), "{demo}: each has its own name");
        take(&mut kept, &first);
        let count = kept.len();
        take(&mut kept, &calendar(&folder, "2026-05-03"));
        take(&mut kept, &calendar(&folder, "2026-05-20"));
        assert_eq!(kept.len(), count, "{demo}: no new names: {kept:?}");
        let listed: serde_json::Value =
            serde_json::from_str(&log(&folder, "2026-05-20", &["due", "--json"]).out)
                .expect("it prints JSON");
        let listed = listed["due"].as_array().expect("a list");
        let dated = listed.iter().filter(|d| d["due"].is_string()).count();
        assert_eq!(dated, count, "{demo}: the list and the calendar tell the same");
    }
}

#[test]
fn what_was_done_moves_its_date() {
    let folder = demo_rig("alder-fen");
    let mut kept = BTreeMap::new();
    take(&mut kept, &calendar(&folder, "2026-05-03"));
    // Three strings of 190 Ah at 20 h: 28.5 A for nearly twenty hours is a bank that is well.
    log(&folder, "2026-05-03", &["add", "capacity", "bank", "28.5 A", "19.5 h", "10.5 V", "25 C"]);
    let before = kept.clone();
    take(&mut kept, &calendar(&folder, "2026-05-03"));
    let moved: Vec<&String> = kept
        .iter()
        .filter(|(id, t)| before.get(*id).map(|b| &b.1) != Some(&t.1))
        .map(|k| k.0)
        .collect();
    assert!(moved.iter().any(|id| id.starts_with("capacity")), "the test moved: {moved:?}");
    let tests = kept.keys().filter(|id| id.starts_with("capacity")).count();
    assert_eq!(tests, 1, "it did not double: {kept:?}");
    assert!(before.keys().all(|id| kept.contains_key(id)), "and no other got a new name");
}

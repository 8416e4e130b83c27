//! The copy for the driveway: it holds what the book holds, and asks for nothing from outside.

mod rigs;

use book::paper::Paper;
use book::phone::write_phone;
use rigs::{DEMOS, Worked, design};
use std::sync::LazyLock;

/// Every stage of every demo, worked through once.
static SHEETS: LazyLock<Vec<(String, Worked, String)>> = LazyLock::new(|| {
    let mut all = Vec::new();
    for (name, _) in DEMOS {
        for worked in Worked::all(&design(name)) {
            let sheet = worked.with(Paper::A4, write_phone);
            all.push((format!("{name}, {}", worked.report.stage), worked, sheet));
        }
    }
    all
});

/// An attribute as it stands in the file.
fn attribute(name: &str, value: &str) -> String {
    let value = value.replace('&', "&amp;").replace('"', "&quot;").replace('<', "&lt;");
    format!("{name}=\"{}\"", value.replace('>', "&gt;"))
}

#[test]
fn every_reading_line_and_gate_of_the_build_has_its_place() {
    for (name, worked, sheet) in SHEETS.iter() {
        for (page, reading) in worked.build.readings() {
            let place = attribute("data-reading", &reading.id);
            assert!(sheet.contains(&place), "{name}, page {}: {}", page.number, reading.id);
        }
        let lines: usize = worked.build.pages.iter().map(|p| p.steps.len()).sum();
        let gates = worked.build.gates().count();
        let ticks = sheet.matches("data-tick=").count();
        // The script's own text speaks of the word once in its selector list, never as an attribute.
        assert_eq!(ticks, lines + gates, "{name}: a box for each line and each gate");
        for finding in &worked.report.findings {
            let says = finding.says.split('"').next().unwrap_or_default().replace('&', "&amp;");
            let head: String = says.chars().take_while(|c| *c != '<' && *c != '_').collect();
            assert!(sheet.contains(&head), "{name}: {} is told", finding.code);
        }
    }
}

#[test]
fn the_band_beside_a_reading_is_the_engines() {
    for (name, worked, sheet) in SHEETS.iter() {
        for (_, reading) in worked.build.readings() {
            let at = sheet
                .find(&attribute("data-reading", &reading.id))
                .unwrap_or_else(|| panic!("{name}: {} stands there", reading.id));
            let tag = &sheet[at..sheet[at..].find('>').map_or(sheet.len(), |end| at + end)];
            for (word, value) in [("data-low", reading.low), ("data-high", reading.high)] {
                let typed =
                    tag.split(&format!("{word}=\"")).nth(1).and_then(|t| t.split('"').next());
                let typed: Option<f64> = typed.and_then(|t| t.parse().ok());
                match (typed, value) {
                    (Some(typed), Some(value)) => {
                        // Six decimals are written.
                        assert!(
                            (typed - value).abs() <= 0.5e-6 + 1e-9,
                            "{name}: {} {word}",
                            reading.id
                        );
                    }
                    (typed, value) => assert_eq!(typed, value, "{name}: {} {word}", reading.id),
                }
            }
        }
    }
}

#[test]
fn it_asks_for_nothing_from_outside_and_is_the_same_every_time() {
    for (name, worked, sheet) in SHEETS.iter() {
        assert!(sheet.contains("default-src 'none'"), "{name}: it may fetch nothing");
        for forbidden in ["http://", "https://", "src=\"", "<link", "fetch(", "XMLHttpRequest"] {
            let found = sheet.replace("http://www.w3.org/2000/svg", "");
            assert!(!found.contains(forbidden), "{name}: {forbidden}");
        }
        assert_eq!(*sheet, worked.with(Paper::A4, write_phone), "{name}: the same bytes");
    }
}

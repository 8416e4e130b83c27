//! The pages of care: what a log says stands on paper as the engine has it, and nothing is printed
//! where there is nothing to say.

mod plain;
mod rigs;

use book::book::{page_titles, write_book, write_hand_over};
use book::paper::Paper;
use engine::care::Care;
use engine::care::capacity::Health;
use engine::care::cells::{CellHistory, CellState, GravityPoint, Range};
use engine::care::diagnose::{Diagnosis, DiagnosisKind};
use engine::care::due::Due;
use engine::cite::Cite;
use engine::evidence::Evidence;
use engine::evidence::log::{CellId, Entry, Event, Log, Subject};
use jiff::civil::date;
use plain::plain;
use rigs::{TABLES, Worked, design};

fn stage(name: &str, stage: usize) -> Worked {
    Worked::all(&design(name)).into_iter().nth(stage).expect("a stage with a bank")
}

/// An invented log of two sittings.
fn evidence() -> Evidence {
    let entry = |id, year| Entry {
        id,
        at: date(year, 5, 3).at(9, 0, 0, 0),
        subject: Subject::Bank,
        event: Event::Note,
        note: "read".to_owned(),
        corrects: None,
    };
    Evidence {
        log: Log { entries: vec![entry(1, 2025), entry(2, 2026)] },
        readings: Vec::new(),
        today: Some(date(2026, 6, 1)),
    }
}

fn read(cell: CellId, n: u32) -> CellHistory {
    let own = f64::from(n) * 0.001;
    let point = |year: i16, entry: i64| GravityPoint {
        at: date(year, 5, 3).at(9, 0, 0, 0),
        read: 1.250 + own,
        fluid: None,
        corrected: 1.250 + own,
        soc: Some(0.9),
        doubted: None,
        entry,
    };
    let failing = n == 4;
    CellHistory {
        cell,
        points: vec![point(2025, 1), point(2026, 2)],
        since: None,
        trend_per_year: None,
        offset: Some(Range { now: own - 0.008, low: own - 0.012, high: own - 0.004 }),
        state: if failing { CellState::Failing } else { CellState::Sound },
    }
}

/// What such a log might say, made by hand: the pages are tested here, not the reading of the log.
fn care(worked: &Worked) -> Care {
    let study = &worked.report.study;
    let bank = study.design.bank().expect("a bank");
    let cells = bank
        .block_ids()
        .into_iter()
        .flat_map(|block| (0..3).map(move |cell| CellId { block, cell }));
    let range = |now: f64| Range { now, low: now - 0.03, high: now + 0.03 };
    Care {
        cells: cells.zip(0..).map(|(cell, n)| read(cell, n)).collect(),
        health: Some(Health {
            now: range(0.84),
            per_year: range(-0.04),
            tests: 2,
            below_80: Some(date(2027, 8, 1)),
            below_80_early: Some(date(2026, 12, 1)),
            below_80_late: Some(date(2028, 9, 1)),
            line: [2024, 2026, 2028].map(|y| (date(y, 1, 1), range(0.9))).to_vec(),
            cites: Vec::new(),
        }),
        diagnoses: vec![Diagnosis {
            kind: DiagnosisKind::FailingCell,
            part: "B1.2".to_owned(),
            cells: Vec::new(),
            says: "B1.2 lies 0.041 under its neighbours.".to_owned(),
            remedy: "Equalise once, then read again.".to_owned(),
            why: "One weak cell drags its string.",
            entries: vec![1, 2],
            cites: vec![Cite::practice("a sign")],
        }],
        due: vec![Due {
            id: "water.bank".to_owned(),
            what: "Look at the fluid of every cell".to_owned(),
            how_often: "each month".to_owned(),
            last: Some(date(2026, 4, 1)),
            due: Some(date(2026, 5, 1)),
            late_days: Some(31),
            why: "Bare plates are lost.".to_owned(),
            part: "the bank".to_owned(),
            source: Cite::practice("monthly"),
        }],
        ..Care::of(study, &study.design, &TABLES, &worked.evidence)
    }
}

#[test]
fn what_the_log_says_stands_in_book_and_folder() {
    let mut worked = stage("alder-fen", 1);
    worked.evidence = evidence();
    let care = care(&worked);
    for paper in Paper::ALL {
        let book = worked.with_care(paper, &care, write_book);
        let folder = worked.with_care(paper, &care, write_hand_over);
        for (what, html) in [("book", &book), ("folder", &folder)] {
            assert!(!html.contains(" tall\""), "{what} on {paper:?}: a page is too full");
            let text = plain(html);
            for words in [
                "2 entries from 2025-05-03 to 2026-05-03",
                "B1.2 lies 0.041 under its neighbours.",
                "Equalise once, then read again.",
                "2026-05-01, 31 days late",
                "2027-08",
                "Look at the fluid of every cell",
            ] {
                assert!(text.contains(words), "{what} on {paper:?}: {words}");
            }
            for cell in &care.cells {
                let last = cell.points.last().expect("a reading").corrected;
                let shown = engine::units::show::fixed(last, 3);
                assert!(text.contains(&shown), "{what}: {} {shown}", cell.cell);
            }
        }
    }
}

#[test]
fn nothing_is_printed_where_there_is_nothing_to_say() {
    let titles = |name, n| stage(name, n).with(Paper::A4, page_titles);
    let flooded = titles("alder-fen", 1);
    assert!(flooded.iter().any(|t| t == "Cell map to write in"), "flooded cells are read");
    for titles in [titles("withy-reach", 1), titles("rime-hollow", 1)] {
        assert!(titles.iter().all(|t| !t.contains("Cell map")), "sealed cells are not");
    }
    assert!(flooded.iter().all(|t| !t.contains("log says")), "no log, no page");
}

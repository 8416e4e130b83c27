//! What the log says: what it shows and what to do, then the pictures it is seen in.

use super::plain;
use crate::book::Context;
use crate::care_pictures;
use crate::figure::figure;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece, Table, words};
use crate::words::{capital, counted, text};
use engine::care::Care;
use engine::care::diagnose::Diagnosis;
use engine::care::equalise::Verdict;
use engine::units::show::{fixed, temperature};
use maud::html;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let standing = cx.input.evidence.log.standing();
    let (first, last) = (standing.first()?.at.date(), standing.last()?.at.date());
    let care = cx.input.care;
    let mut parts = Parts::new(cx.width);
    parts.paragraph(&format!(
        "{} from {first} to {last}, {} of them left out as doubtful.",
        counted(standing.len(), "entry", "entries"),
        care.doubts.len()
    ));
    if care.diagnoses.is_empty() {
        parts.paragraph("The log shows nothing that asks for a hand.");
    }
    for diagnosis in &care.diagnoses {
        parts.push(said(diagnosis, cx.width));
    }
    let read = care.cells.iter().any(|c| !c.points.is_empty());
    let map = if read { care_pictures::cells(cx, "cells-read", &care.cells) } else { None };
    let charts =
        [care_pictures::course(cx), map, care_pictures::left(cx), care_pictures::water(cx)];
    for scene in charts.iter().flatten() {
        parts.push(figure(scene, cx.width));
    }
    upkeep(cx, care, &mut parts);
    doubts(care, &mut parts);
    Some(Chapter { parts: parts.all, ..plain("log", "What the log says", "log") })
}

/// Charging, equalising, frost: a sentence each.
fn upkeep(cx: &Context<'_>, care: &Care, parts: &mut Parts) {
    parts.heading("Charging, equalising, frost");
    let charging = &care.charging;
    if let Some(day) = charging.last_full {
        let since =
            charging.days_since_full.map_or_else(String::new, |d| format!(", {d} days ago"));
        parts.paragraph(&format!(
            "Last full on {day}{since}. In the last year {} charges ended full, {} by a clock, {} broke \
             off.",
            charging.ended_full, charging.ended_clock, charging.ended_broken
        ));
    }
    parts.paragraph(&care.equalise.says);
    if care.equalise.verdict == Verdict::Now {
        for step in &care.equalise.how {
            parts.tick(step);
        }
    }
    if let Some(freeze) = &care.freeze {
        let holds = if freeze.holds {
            "It stays liquid"
        } else {
            "Charge it or take it in: it may freeze. Never charge a frozen one"
        };
        parts.paragraph(&format!(
            "{}: gravity {} on {}, it freezes at {}; the coldest of the month to come is {}. {holds}.",
            capital(&freeze.part),
            fixed(freeze.gravity, 3),
            freeze.on,
            temperature(freeze.freezes, cx.units),
            temperature(freeze.coldest, cx.units)
        ));
    }
}

/// Most entries that are named one by one; a folder is no list of slips.
const NAMED: usize = 12;

fn doubts(care: &Care, parts: &mut Parts) {
    if care.doubts.is_empty() {
        return;
    }
    parts.heading("Entries left out");
    let mut table = Table::new(vec![
        words("entry", 0.7),
        words("of", 1.1),
        words("part", 1.0),
        words("why", 3.6),
        words("what to do", 2.6),
    ]);
    for doubt in care.doubts.iter().take(NAMED) {
        table.row(vec![
            doubt.entry.to_string().into(),
            doubt.at.date().to_string().into(),
            doubt.part.as_str().into(),
            doubt.says.as_str().into(),
            doubt.remedy.as_str().into(),
        ]);
    }
    parts.push(table);
    let more = care.doubts.len().saturating_sub(NAMED);
    if 0 < more {
        parts.paragraph(&format!("And {more} more: `bankwright log show` names each."));
    }
}

/// Width of the column with the part [mm].
const MARGIN: f64 = 34.0;
/// Blank between that column and what is said [mm].
const GAP: f64 = 3.0;

fn said(diagnosis: &Diagnosis, width: f64) -> Piece {
    let column = width - MARGIN;
    let mut from: Vec<String> = Vec::new();
    for cite in &diagnosis.cites {
        let line = format!("{}, {} ({})", cite.key, cite.place, cite.status.says());
        if !from.contains(&line) {
            from.push(line);
        }
    }
    let sources =
        if from.is_empty() { String::new() } else { format!("From: {}.", from.join("; ")) };
    let head = capital(diagnosis.kind.words());
    let beside =
        Size::Body.height(&head, MARGIN - GAP) + Size::Small.height(&diagnosis.part, MARGIN - GAP);
    let height = Size::Body.height(&diagnosis.says, column)
        + Size::Body.height(&diagnosis.remedy, column)
        + Size::Body.height(diagnosis.why, column)
        + Size::Small.height(&sources, column);
    let columns = format!("grid-template-columns:{}mm 1fr;column-gap:{GAP}mm", MARGIN - GAP);
    let html = html! {
        div.finding.log-says style=(columns) {
            div { b { (head) } br; span.small { (diagnosis.part) } }
            div {
                p { (text(&diagnosis.says)) }
                p.remedy { (text(&diagnosis.remedy)) }
                p { (text(diagnosis.why)) }
                @if !sources.is_empty() { p.small { (text(&sources)) } }
            }
        }
    };
    Piece::new(html, height.max(beside) + 5.0)
}

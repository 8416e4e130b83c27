//! A better layout in words, and as edits of the design file.

use super::Standing;
use crate::finding::Assumed;
use crate::layout::arrange::Arrangement;
use crate::layout::plan::PlacedBlock;
use crate::model::bank::{Bank, BlockId, TakeOff};
use crate::model::part::{PlanPoint, Turn};
use crate::tables::limits::Limit;
use crate::units::show::{self, UnitSystem};
use crate::units::{Length, show as shown};

/// What a layout gains over the present one.
pub(super) fn gains(present: &Standing, now: &Standing, units: UnitSystem) -> String {
    let cable = now.copper - present.copper;
    let by = |length: Length| shown::route(length, units);
    let cable = if by(cable.abs()) == by(Length::ZERO) {
        "as much cable".to_owned()
    } else if Length::ZERO < cable {
        format!("{} more cable", by(cable))
    } else {
        format!("{} less cable", by(Length::ZERO - cable))
    };
    let percent = |p: f64| show::decimal(p, 1);
    let (before, after) = (percent(present.spread_percent), percent(now.spread_percent));
    if before == after {
        format!("{cable}, the spread between the strings stays at {after} %")
    } else {
        format!("{cable}, spread between the strings {before} % to {after} %")
    }
}

/// `turn blocks A2 and B2 half round`.
pub(super) fn turned(names: &[String]) -> Vec<String> {
    match names {
        [] => Vec::new(),
        [one] => vec![format!("turn block {one} half round")],
        more => vec![format!("turn blocks {} half round", more.join(", "))],
    }
}

/// Which block stands where, row by row from the far side, as the owner sees it.
pub(super) fn stood(placed: &[&PlacedBlock], arrangement: &Arrangement) -> String {
    let pattern = arrangement.pattern;
    let mut rows: Vec<String> = Vec::new();
    for row in (0..pattern.rows).rev() {
        let names: Vec<String> = (0..pattern.columns)
            .filter_map(|column| {
                let cell = row * pattern.columns + column;
                let block = arrangement.cells.iter().position(|c| *c == cell)?;
                let turned = if arrangement.halves[block] { " (turned)" } else { "" };
                Some(format!("{}{turned}", placed[block].id))
            })
            .collect();
        let which = match (pattern.rows, row) {
            (1, _) => "in one row",
            (rows, row) if row + 1 == rows => "far row",
            (_, 0) => "near row",
            _ => "next row",
        };
        rows.push(format!("{which} {}", names.join(", ")));
    }
    let way = if pattern.quarter { "across the box" } else { "along the box" };
    format!("stand the blocks with their length {way}, {}", rows.join(", "))
}

/// The turn of one block as an edit.
pub(super) fn turn_edit(bank: &Bank, id: BlockId, turn: Turn) -> (String, String) {
    (format!("{}.{id}.turn", bank.path), format!("\"{} deg\"", turn.degrees()))
}

/// The place of one block as an edit.
pub(super) fn place_edit(bank: &Bank, id: BlockId, at: PlanPoint) -> (String, String) {
    let side = |l: Length| format!("\"{} mm\"", show::fixed(l.as_mm(), 0));
    (format!("{}.{id}.at", bank.path), format!("[{}, {}]", side(at.x), side(at.y)))
}

/// The take-off as an edit.
pub(super) fn take_off_edit(bank: &Bank) -> (String, String) {
    let value = match &bank.takeoff {
        TakeOff::SameEnd => "\"same end\"".to_owned(),
        TakeOff::OppositeCorners => "\"opposite corners\"".to_owned(),
        TakeOff::Busbars { plus, minus } => {
            format!("{{ plus = \"{plus}\", minus = \"{minus}\" }}")
        }
        TakeOff::Posts { plus, minus } => {
            let plain = |t: &dyn std::fmt::Display| {
                t.to_string().replace('\u{a0}', " ").replace('\u{2212}', "-")
            };
            format!("{{ plus = \"{}\", minus = \"{}\" }}", plain(plus), plain(minus))
        }
    };
    (format!("{}.takeoff", bank.path), value)
}

/// How cable was weighed against spread.
pub(super) fn exchange(worth: &Limit, units: UnitSystem) -> Assumed {
    let cable = shown::route(Length::m(worth.value), units);
    Assumed {
        path: "bank".to_owned(),
        value: format!("one percent of spread between strings is worth {cable} of cable"),
        how_to_measure: "Nothing to measure: it is how the search weighs cable against sharing."
            .to_owned(),
        matters: "Which of two better layouts is named first; the figures of each are given."
            .to_owned(),
        cite: worth.cite.clone(),
    }
}

//! The cut list as a table for a spreadsheet or a shop.
//!
//! One row a piece to cut, a length to buy and a rest, told apart in the first column. Lengths in whole
//! millimetres add up to those of `leads --json`; beside them stands the same in the rig's own units.

use crate::json::leads::origin;
use crate::json::share::plain;
use engine::model::design::Design;
use engine::plan::cut_list::{CableGroup, cut_list, whole_mm_up};
use engine::sizing::answer::{LeadAnswer, LugChoice, Reuse};
use engine::units::Length;
use engine::units::show::{self, UnitSystem};

/// The names of the columns.
const COLUMNS: [&str; 12] = [
    "what",
    "lead",
    "from",
    "to",
    "size",
    "colour",
    "count",
    "length_mm",
    "length",
    "stud_from_mm",
    "stud_to_mm",
    "note",
];

type Row = [String; COLUMNS.len()];

/// The whole table.
pub(super) fn text(design: &Design, leads: &[LeadAnswer]) -> String {
    let units = design.rig.units;
    let mut rows: Vec<Row> = vec![COLUMNS.map(str::to_owned)];
    for group in &cut_list(design, leads) {
        rows.extend(pieces(group, leads, units));
        rows.extend(bought(group, units));
        rows.extend(rests(group, units));
    }
    rows.extend(leads.iter().filter(|l| matches!(l.reuse, Reuse::Fits { .. })).map(|l| {
        let length = whole_mm_up(l.length.cut);
        let words = ["in hand", "fits as it is; nothing is cut"];
        of_lead(words, l, (&l.colour, length), units)
    }));
    written(&rows)
}

fn written(rows: &[Row]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let all = rows.iter().try_for_each(|row| writer.write_record(row));
    // Into memory, and every row as long as the first: neither can fail.
    let bytes = all.ok().and_then(|()| writer.into_inner().ok()).unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// The pieces of a cable, each with what it is cut from.
fn pieces<'a>(
    group: &'a CableGroup,
    leads: &'a [LeadAnswer],
    units: UnitSystem,
) -> impl Iterator<Item = Row> + 'a {
    group.pieces.iter().filter_map(move |piece| {
        let lead = leads.iter().find(|l| l.id == piece.id)?;
        let note = match &group.plan {
            Ok(plan) => {
                let from = plan.lengths.iter().find(|l| l.pieces.iter().any(|p| p.id == piece.id));
                from.map_or(String::new(), |l| format!("from {}", origin(&l.origin)))
            }
            Err(why) => why.says(units),
        };
        Some(of_lead(["piece", &note], lead, (&lead.colour, piece.length_mm), units))
    })
}

fn bought(group: &CableGroup, units: UnitSystem) -> Vec<Row> {
    let Ok(plan) = &group.plan else { return Vec::new() };
    let row = |b: &engine::plan::cutting::Bought| {
        of_cable(("buy", &b.label), group, (b.count, b.length_mm), units)
    };
    plan.bought.iter().map(row).collect()
}

fn rests(group: &CableGroup, units: UnitSystem) -> Vec<Row> {
    let Ok(plan) = &group.plan else { return Vec::new() };
    let rest = plan.lengths.iter().filter(|l| l.remainder_mm > 0);
    let row = |l: &engine::plan::cutting::CutLength| {
        let note = format!("of {}", origin(&l.origin));
        of_cable(("left", &note), group, (1, l.remainder_mm), units)
    };
    rest.map(row).collect()
}

fn of_lead(
    [what, note]: [&str; 2],
    lead: &LeadAnswer,
    (colour, length_mm): (&str, u32),
    units: UnitSystem,
) -> Row {
    let stud = |lug: &LugChoice| lug.stud.map_or(String::new(), |s| show::decimal(s.as_mm(), 2));
    [
        what.to_owned(),
        lead.id.clone(),
        plain(&lead.from),
        plain(&lead.to),
        lead.size.to_string(),
        colour.to_owned(),
        "1".to_owned(),
        length_mm.to_string(),
        show::length(Length::mm(f64::from(length_mm)), units),
        stud(&lead.lug_from),
        stud(&lead.lug_to),
        note.to_owned(),
    ]
}

fn of_cable(
    (what, note): (&str, &str),
    group: &CableGroup,
    (count, length_mm): (u32, u32),
    units: UnitSystem,
) -> Row {
    let none = String::new;
    [
        what.to_owned(),
        none(),
        none(),
        none(),
        group.size.to_string(),
        group.colour.clone().unwrap_or_default(),
        count.to_string(),
        length_mm.to_string(),
        show::length(Length::mm(f64::from(length_mm)), units),
        none(),
        none(),
        note.to_owned(),
    ]
}

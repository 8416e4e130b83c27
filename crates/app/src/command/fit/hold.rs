//! What holds the box and what lets the gas out, in words.

use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use engine::cite::{Cite, Status};
use engine::fit::hold_down::cases::Direction;
use engine::fit::hold_down::{HoldDown, HoldRow, HoldStatus};
use engine::fit::vent::{ChargeStage, Vent, VentStatus};
use engine::units::show::{self, UnitSystem};
use engine::units::{Area, Force, Length};

pub(super) fn down(hold: &HoldDown, units: UnitSystem) -> String {
    let columns = [
        ("held", Lean::Left),
        ("", Lean::Left),
        ("pulls", Lean::Right),
        ("bears", Lean::Right),
        ("", Lean::Left),
        ("by", Lean::Left),
    ];
    let row = |(h, ways): (&HoldRow, String)| {
        vec![
            h.held.word().to_owned(),
            ways,
            show::force(h.demand, units),
            h.capacity.map_or("-".to_owned(), |c| show::force(c, units)),
            h.status.word().to_owned(),
            by(h),
        ]
    };
    let mut text = String::new();
    for case in cases(hold) {
        let of_case = |r: &&HoldRow| r.case == case;
        // What the practice asks and the harsher road are shown in full, the rest in one line.
        if hold.rows.iter().filter(of_case).any(|r| r.binding || r.road) {
            text.push_str(&hanging("  ", &format!("{case}:")));
            let rows = folded(hold.rows.iter().filter(of_case), units);
            text.push_str(&table(&columns, rows.into_iter().map(row).collect()));
        } else {
            let most = hold.rows.iter().filter(of_case).map(|r| r.demand);
            let most = most.fold(Force::ZERO, Force::max);
            let words = format!("{case}: asks {} at most.", show::force(most, units));
            text.push_str(&hanging("  also  ", &words));
        }
    }
    for unknown in &hold.unknown {
        let words = format!("{}; write {}.", unknown.what, unknown.path);
        text.push_str(&hanging("  not known  ", &words));
    }
    for would in &hold.would {
        text.push_str(&hanging("  would hold  ", &format!("{}.", would.words)));
    }
    if let Some((most, now)) = hold.travel {
        let now = now.map_or_else(String::new, |n| format!("; now {}", show::length(n, units)));
        let words = format!("A block may move {} at most{now}.", show::length(most, units));
        text.push_str(&hanging("  travel  ", &words));
    }
    if hold.rows.iter().any(|r| r.binding && r.status == HoldStatus::Fails) {
        let words = "What the design has does not hold: change it before you buy or drill.";
        text.push_str(&hanging("  stop  ", words));
    }
    for fastener in &hold.fasteners {
        let buy: Vec<String> =
            fastener.buy.iter().map(|(what, count)| format!("{count} x {what}")).collect();
        let mut words = format!("{}: {}", fastener.name, buy.join(", "));
        if !fastener.drills.is_empty() {
            words.push_str(&format!("; holes: {}", fastener.drills.join(", ")));
        }
        if let Some(socket) = &fastener.socket {
            words.push_str(&format!("; turn with {socket}"));
        }
        text.push_str(&hanging("  buy  ", &format!("{words}.")));
    }
    for note in &hold.notes {
        text.push_str(&hanging("  note  ", note));
    }
    text
}

/// What gives way first, how it is counted and whether it is from memory.
fn by(row: &HoldRow) -> String {
    let mut words = row.governed_by.clone().unwrap_or_default();
    if let (Some(margin), Some(_)) = (row.margin, row.capacity) {
        words.push_str(&format!(" ({}", margin.words()));
        if row.from_memory() {
            words.push_str(&format!("; {}", Status::Recalled.says()));
        }
        words.push(')');
    }
    words
}

/// Rows that ask and meet the same in more than one direction, once.
fn folded<'a>(
    rows: impl Iterator<Item = &'a HoldRow>,
    units: UnitSystem,
) -> Vec<(&'a HoldRow, String)> {
    let mut all: Vec<(&HoldRow, String)> = Vec::new();
    for row in rows {
        let says =
            |r: &HoldRow| (show::force(r.demand, units), r.capacity.map(|c| show::force(c, units)));
        let same = |other: &HoldRow| {
            (other.held, other.status) == (row.held, row.status)
                && other.governed_by == row.governed_by
                && says(other) == says(row)
        };
        match all.iter_mut().find(|(first, _)| same(first)) {
            Some((_, ways)) => *ways = format!("{ways}, {}", row.direction.word()),
            None => all.push((row, row.direction.word().to_owned())),
        }
    }
    // All three ways along the floor in words that keep the table narrow.
    let floor = [Direction::Forward, Direction::Rearward, Direction::Side].map(Direction::word);
    for (_, ways) in &mut all {
        if *ways == floor.join(", ") {
            "along and across".clone_into(ways);
        }
    }
    all
}

/// The load cases in their order.
fn cases(hold: &HoldDown) -> Vec<&str> {
    let mut cases: Vec<&str> = Vec::new();
    for row in &hold.rows {
        if !cases.contains(&row.case.as_str()) {
            cases.push(&row.case);
        }
    }
    cases
}

pub(super) fn vents(vent: &Vent, units: UnitSystem) -> String {
    let mut text = String::new();
    for row in &vent.rows {
        let while_charging = row.stage.map_or("", ChargeStage::words);
        let air = row.flow.map_or_else(String::new, |q| {
            format!("{} m³/h, ", show::fixed(q.as_cubic_metres_an_hour(), 2))
        });
        let decides = match row.stage {
            _ if row.governs => " This one decides.",
            Some(ChargeStage::Equalise) => " Only to equalise in this box.",
            _ => "",
        };
        let holes = if row.holes == 1 { "hole" } else { "holes" };
        let words = format!(
            "{}{}{while_charging}: {air}{} for each of two openings, as {} {holes} of {}{}.{decides}",
            row.rule,
            if while_charging.is_empty() { "" } else { ", " },
            show::opening(row.area, units),
            row.holes,
            show::length(row.drill, units),
            memory(&row.cite)
        );
        text.push_str(&hanging("  ", &words));
    }
    let there = |a: Option<Area>| a.map_or("not known".to_owned(), |a| show::opening(a, units));
    let verdict = match vent.status {
        VentStatus::Open => "large enough",
        VentStatus::TooSmall => "too small: make the openings larger",
        VentStatus::Unknown => "measure the openings and write box.vent_low and box.vent_high",
    };
    let words = format!(
        "Low {}, high {}: {verdict}. Both straight to outside, within {} of top and bottom; no spark \
         within {} of a block{}.",
        there(vent.low),
        there(vent.high),
        show::length(vent.edge, units),
        show::length(within(vent.spark), units),
        memory(&vent.spark_cite)
    );
    text.push_str(&hanging("  openings  ", &words));
    if vent.never_equalise {
        let words = format!(
            "Never equalise in this box: that would ask {} of each opening.",
            show::opening(vent.to_equalise, units)
        );
        text.push_str(&hanging("  note  ", &words));
    }
    text
}

/// What stands behind a figure that nobody could look up.
fn memory(cite: &Cite) -> String {
    if cite.status == Status::Recalled {
        format!(" ({})", cite.status.says())
    } else {
        String::new()
    }
}

/// A distance to keep, never rounded down.
fn within(distance: Length) -> Length {
    Length::mm(distance.as_mm().ceil())
}

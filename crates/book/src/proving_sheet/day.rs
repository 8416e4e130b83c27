//! What was done at each post, what else was written down, and where the photographs go.

use super::ProvingSheet;
use crate::part::{Cell, Part, Parts, Piece, Table, words};
use engine::model::as_built::PostRecord;
use engine::model::lead::Terminal;
use engine::units::show;
use maud::{Markup, html};

pub(super) fn parts(input: &ProvingSheet<'_>, width: f64) -> Vec<Part> {
    let mut parts = Parts::new(width);
    parts.heading("Torque and stacks");
    parts.paragraph(
        "The maker's figure wins. A nut that gave way under the wrench is undone, looked at and \
         done again; measure the joint after it.",
    );
    parts.push(posts(input));
    let day = input.readings;
    if !day.ticks.is_empty() || !day.notes.is_empty() {
        parts.heading("Done and noted");
        for tick in &day.ticks {
            parts.paragraph(&format!("Done: {tick}"));
        }
        for note in &day.notes {
            parts.paragraph(note);
        }
    }
    parts.heading("Photographs");
    for pair in [
        ["the meter at the last gap, tips in sight", "the clamp at each string, display readable"],
        ["every post with its stack, before the boot", "the bank whole, boots on, leads tied"],
    ] {
        parts.push(photos(pair));
    }
    parts.all
}

/// The posts written down on the day, then those of the design file; without any, every post of the
/// bank with room to write.
fn posts(input: &ProvingSheet<'_>) -> Table {
    let mut table = Table::new(vec![
        words("post or stud", 1.3),
        words("torque", 1.0),
        words("stack, from the contact face outwards", 3.0),
        words("boot on", 0.6),
    ]);
    let built = &input.design().as_built.posts;
    let of_day = &input.readings.posts;
    let older = built.iter().filter(|p| !of_day.iter().any(|d| d.terminal == p.terminal));
    let written: Vec<&PostRecord> = of_day.iter().chain(older).collect();
    for post in &written {
        table.row(record(input, post));
    }
    for terminal in bank_posts(input) {
        if !written.iter().any(|p| p.terminal == terminal) {
            let name = Cell::Bold(terminal.to_string());
            table.row(vec![name, Cell::Write, Cell::Write, Cell::Tick]);
        }
    }
    table
}

fn record(input: &ProvingSheet<'_>, post: &PostRecord) -> Vec<Cell> {
    let units = input.design().rig.units;
    let torque = post.torque.map(|t| show::torque(t, units));
    let stack = if post.stack.is_empty() { Cell::Write } else { post.stack.join(", ").into() };
    let boot = match post.boot {
        Some(true) => "yes".into(),
        Some(false) => Cell::Bold("no".to_owned()),
        None => Cell::Tick,
    };
    let name = Cell::Bold(post.terminal.to_string());
    vec![name, torque.map_or(Cell::Write, Cell::Text), stack, boot]
}

fn bank_posts(input: &ProvingSheet<'_>) -> Vec<Terminal> {
    let blocks = input.design().bank().map(|b| b.block_ids()).unwrap_or_default();
    blocks.into_iter().flat_map(|id| [Terminal::plus(id), Terminal::minus(id)]).collect()
}

fn photos(pair: [&str; 2]) -> Piece {
    let slot = |words: &str| -> Markup {
        html! { div style="height:38mm" { (words) br; "stick a print here, or write its number: " span.blank {} } }
    };
    Piece::new(html! { div.photo { (slot(pair[0])) (slot(pair[1])) } }, 42.0)
}

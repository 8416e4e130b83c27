//! What the figures of the sheet rest on, and what it does not know.

use super::ProvingSheet;
use crate::part::{Cell, Part, Parts, Table, words};

pub(super) fn parts(input: &ProvingSheet<'_>, width: f64) -> Vec<Part> {
    let mut parts = Parts::new(width);
    parts.paragraph(
        "Every expected figure is the answer of the network as drawn: blocks, leads, joints, \
         fuses. Rests on common practice, without a source:",
    );
    for line in &input.proof.rests_on {
        parts.paragraph(line);
    }
    let blocks = blocks(input);
    if !blocks.rows.is_empty() {
        parts.heading("Rest volts and resistance of the blocks");
        parts.push(blocks);
    }
    parts.heading("What this sheet does not know");
    parts.paragraph(
        "Two things wrong at once, a joint that is loose only when shaken, insulation that fails \
         under heat, and anything on the house-voltage side, which a licensed electrician tests.",
    );
    parts.all
}

/// Where each kind of figure of the blocks comes from, each source once.
fn blocks(input: &ProvingSheet<'_>) -> Table {
    let mut table =
        Table::new(vec![words("block", 0.8), words("from", 2.6), words("how it was read", 2.0)]);
    let mut told: Vec<(String, Vec<String>)> = Vec::new();
    for block in &input.study.facts.blocks {
        let cite = &block.cite;
        let key = format!("{}, {}|{}", cite.key, cite.place, cite.status.says());
        match told.iter_mut().find(|t| t.0 == key) {
            Some(same) => same.1.push(block.id.to_string()),
            None => told.push((key, vec![block.id.to_string()])),
        }
    }
    for (key, ids) in told {
        let (from, how) = key.split_once('|').unwrap_or((&key, ""));
        table.row(vec![Cell::Bold(ids.join(", ")), from.into(), how.into()]);
    }
    table
}

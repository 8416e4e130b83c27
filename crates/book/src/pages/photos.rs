//! What to photograph for the folder that an insurer or a surveyor asks for.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    parts.paragraph("Photograph as you go and write the number the camera gave it.");
    let mut table = Table::new(vec![
        words("picture", 4.0),
        words("number", 1.4),
        words("date", 1.4),
        words("taken", 0.6),
    ]);
    for what in [
        "as found, from where you stand",
        "as found, from the other side",
        "old leads with their labels",
        "the box empty: fixings, liner, vents",
        "the blocks in place before any lead, signs of the posts readable",
        "the meter at each gate with its two tips",
        "rating of every fuse, close up",
        "the clamp at each string, display readable",
        "posts and studs with boots on and nuts striped",
        "leads tied along their way",
        "rating plates and serial numbers of blocks and devices",
        "the isolator and its label; the card where anyone sees it",
    ] {
        table.row(vec![what.into(), Cell::Write, Cell::Write, Cell::Tick]);
    }
    parts.push(table);
    if let Some(bank) = cx.input.report.study.design.bank() {
        parts.heading("Blocks as fitted");
        let mut blocks = Table::new(vec![
            words("block", 0.7),
            words("serial number", 2.0),
            words("date code", 1.4),
            words("volts at rest", 1.2),
            words("torque +", 1.0),
            words("torque −", 1.0),
        ]);
        for id in bank.block_ids() {
            blocks.row(vec![
                Cell::Bold(id.to_string()),
                Cell::Write,
                Cell::Write,
                Cell::Write,
                Cell::Write,
                Cell::Write,
            ]);
        }
        parts.push(blocks);
    }
    Chapter { parts: parts.all, ..plain("photos", "Photographs and serial numbers", "photos") }
}

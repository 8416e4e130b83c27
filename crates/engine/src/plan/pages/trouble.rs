//! Where a wrong reading sends the reader.

use crate::plan::build::{GateMark, Step};
use crate::plan::fit::Hands;
use crate::plan::readings;
use crate::plan::writer::Head;

/// Title of the page.
pub const TITLE: &str = "When a reading is wrong";

fn at(mark: GateMark) -> String {
    match mark {
        GateMark::Fuse => "At the fuse".to_owned(),
        GateMark::Charge => "On charge".to_owned(),
        other => format!("At {}", other.code()),
    }
}

/// The page: one line for each gate, what to look for first.
pub fn page(hands: &mut Hands<'_>) {
    hands.writer.page(Head::new(
        TITLE,
        "Take your hands off. Cover the posts. Measure again with the meter proved on a live block. \
         Only then look for the cause.",
    ));
    let lines = [
        (GateMark::Dead, "something still feeds: follow the wire that is live back to its source."),
        (
            GateMark::Blocks,
            "minus sign: turn the block round. Too low: charge it alone, rest it, measure again; still low, it is not fitted.",
        ),
        (
            GateMark::Strings,
            "short by two blocks: one is reversed. Nothing at all: a link is loose or on the wrong post.",
        ),
        (
            GateMark::Fuse,
            "lamp bright: pull the main minus, then look for a load that is on or two leads swapped.",
        ),
        (
            GateMark::Standby,
            "take out branch fuses one by one until it falls: that branch is the one.",
        ),
        (
            GateMark::Load,
            "the string that carries least has the bad joint or the weak block: go to its joints.",
        ),
        (
            GateMark::Joints,
            "load off, lug off, both faces bright, flat, right hole; torque; again. Still high: the crimp is bad, make the lead new.",
        ),
        (GateMark::Charge, "stop the charger, write down what it did, read its own sheet."),
    ];
    for (mark, text) in lines {
        hands.step(Step::new(&at(mark), text));
        if mark == GateMark::Strings {
            let told: Vec<String> =
                readings::gap_meanings(hands.job).iter().map(readings::meaning_line).collect();
            let text = format!("{}.", told.join("; "));
            hands.step(Step::new(&at(GateMark::Loop), &text));
        }
    }
    hands.step(Step::new(
        "Otherwise",
        "leave it open and dead, and ask somebody who has done it before.",
    ));
}

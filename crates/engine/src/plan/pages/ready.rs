//! Before anything is touched: what is there, what is in hand, how the rig stands.

use crate::plan::build::{GateMark, Step};
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::tools::Tool;
use crate::plan::writer::Head;
use crate::units::show::decimal;

/// The survey: as found.
pub fn survey(hands: &mut Hands<'_>) {
    let job = hands.job;
    hands.writer.page(Head::new(
        "Write down what is there",
        "Nothing is loosened on this page. What is not written down now cannot be put back later.",
    ));
    hands.step(
        Step::new("Photograph", "the bank and its wires twice, from where you will stand.")
            .tools(&[Tool::Camera]),
    );
    hands.step(
        Step::new("Label", "both ends of every wire on the bank.")
            .detail("lead, colour, size printed on the jacket, lug hole, fuse, where it goes")
            .tools(&[Tool::Labels]),
    );
    hands.step(
        Step::new("Mark", "each wire keep, move or remove.")
            .detail("a wire this book does not name: find out what it feeds before it comes off"),
    );
    hands.step(
        Step::new("List", "what still lives when the switch is off.")
            .detail("brakes, alarms, pumps, clocks: compare with the back page of this book"),
    );
    if job.bank_is_new() {
        let rest = decimal(job.figures.rest_h, 0);
        let text = format!("every new block full, each by itself, then rest it {rest} hours.");
        hands.step(
            Step::new("Charge", &text)
                .detail("the day before; write the date code of each block: they must be one batch")
                .tools(&[Tool::Thermometer]),
        );
        hands.step(
            Step::new("Measure", "box, blocks and posts once more against the plan.")
                .detail("if a case, a post or a wall differs, change the design and print again")
                .tools(&[Tool::TapeMeasure]),
        );
    }
    hands.step(
        Step::new("Lay out", "every tool and part and tick it on the list at the back.")
            .detail("what is missing now stops the work half way"),
    );
}

/// G0: level, chocked, supported.
pub fn stand(hands: &mut Hands<'_>) {
    let words = hands.job.words();
    let mut head = Head::new("Make it stand safely", "");
    if words.has_wheels() || words.floats() {
        head = head.caution(cautions::moving(words));
    }
    hands.writer.page(head);
    if words.has_wheels() {
        hands.step(Step::new("Park", "on level ground, brake on.").tools(&[Tool::Level]));
        hands.step(Step::new("Chock", "one wheel on both sides.").tools(&[Tool::Chocks]));
    }
    if words.is_towed() {
        let text = format!("it coupled, or on its jack with {} front and rear.", words.stands());
        hands.step(Step::new("Keep", &text).tools(&[Tool::Stands]));
    }
    if words.floats() {
        hands.step(Step::new("Moor", "her fore and aft; bilge dry, pump working by hand."));
    }
    let shut = format!(
        "the {} cylinder and air the space; nothing burns while the box is open.",
        words.gas()
    );
    hands.step(Step::new("Shut", &shut));
    hands.step(Step::new("Set", "water, soda, glasses and gloves within reach.").tools(&[
        Tool::Water,
        Tool::Soda,
        Tool::Glasses,
        Tool::Gloves,
    ]));
    let unless = if words.has_wheels() {
        "the ground is level, wheels are chocked both ways, it is coupled or held front and rear, and nobody is inside."
    } else if words.floats() {
        "she lies still and level, and nobody steps aboard while blocks are carried."
    } else {
        "the floor carries the bank and the way to it is clear."
    };
    hands.gate(GateMark::Level, unless);
}

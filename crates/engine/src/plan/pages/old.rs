//! Taking the old batteries out: minus and chassis first.

use crate::circuit::wiring::{LeadRole, Polarity, WiredLead};
use crate::plan::build::{PartRef, Step};
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::tools::Tool;
use crate::plan::words::Words;
use crate::plan::writer::Head;

/// The page, when the bank is new.
pub fn take_out(hands: &mut Hands<'_>) {
    let job = hands.job;
    if !job.bank_is_new() {
        return;
    }
    let words = job.words();
    let head = Head::new(
        "Take the old batteries out",
        "Minus and chassis first, so that a tool that touches metal finds no way back. If there \
         are none, strike this page out.",
    )
    .caution(cautions::bridging(words))
    .caution(cautions::acid());
    hands.writer.page(head);
    let before = job.before.filter(|b| b.design.bank().is_some());
    match before {
        Some(before) => {
            for lead in off_in_order(&before.wiring.leads) {
                let text = format!("lead {} at {}, then at {}.", lead.id, lead.from, lead.to);
                let stays = !lead.role.is_link()
                    && job.wiring.lead(&lead.id).is_some_and(|new| !new.role.is_link());
                let fate = if stays {
                    "it is used again: tape both lugs"
                } else {
                    "it goes: tape both lugs"
                };
                hands.step(
                    Step::new("Take off", &text).detail(fate).tools(&[Tool::Spanner, Tool::Tape]),
                );
            }
        }
        None => unknown_bank(hands, words),
    }
    let blocks = before.and_then(|b| b.design.bank()).map_or_else(
        || "the old batteries out, upright.".to_owned(),
        |bank| format!("the {} old blocks out, upright.", bank.count()),
    );
    hands.step(
        Step::new("Lift", &blocks)
            .detail("two people; by the handles or a strap, never by a post")
            .tools(&[Tool::Strap])
            .two_people(),
    );
    hands.step(
        Step::new("Wipe", "the place with soda and water, then clean water, and dry it.")
            .tools(&[Tool::Soda, Tool::Brush]),
    );
    hands.step(Step::new(
        "Take",
        "the old batteries away to where they are taken back; cover their posts for the way.",
    ));
}

fn unknown_bank(hands: &mut Hands<'_>, words: Words) {
    let first = format!("the minus lead and the lead to {}.", words.chassis());
    for (text, tape) in [
        (first.as_str(), "tape each lug as it comes off"),
        ("the links between strings, minus side first.", "tape each lug"),
        ("the plus lead.", "tape its lug and tie it away"),
        ("the links between the blocks of a string.", "tape each lug"),
    ] {
        hands.step(Step::new("Take off", text).detail(tape).tools(&[Tool::Spanner, Tool::Tape]));
    }
}

/// Leads of the old bank in the order in which they come off.
fn off_in_order(leads: &[WiredLead]) -> Vec<&WiredLead> {
    let at_post = |l: &&WiredLead| l.from.block().is_some() || l.to.block().is_some();
    let rank = |l: &&WiredLead| match (l.role, l.polarity) {
        (LeadRole::Feed, Polarity::Minus) => 0,
        (LeadRole::Feed, _) => 1,
        (LeadRole::MinusLink | LeadRole::StringMinus, _) => 2,
        (LeadRole::PlusLink | LeadRole::StringPlus, _) => 3,
        (LeadRole::SeriesLink, _) => 4,
    };
    let mut list: Vec<&WiredLead> = leads.iter().filter(at_post).collect();
    list.sort_by_key(rank);
    list
}

/// Parts that leave the rig at this stage though the bank stays.
pub fn take_out_parts(hands: &mut Hands<'_>) {
    let job = hands.job;
    let Some(before) = job.before else {
        return;
    };
    let gone: Vec<String> = before
        .design
        .devices
        .iter()
        .filter(|d| job.design.device(&d.part.name).is_none())
        .map(|d| d.part.name.clone())
        .collect();
    let off: Vec<&WiredLead> = before
        .wiring
        .leads
        .iter()
        .filter(|old| {
            !job.bank_is_new() || (old.from.block().is_none() && old.to.block().is_none())
        })
        .filter(|old| {
            job.wiring.lead(&old.id).is_none_or(|new| new.from != old.from || new.to != old.to)
        })
        .collect();
    if gone.is_empty() && off.is_empty() {
        return;
    }
    let words = job.words();
    let head = Head::new("Take out what goes", "Minus first.").caution(cautions::bridging(words));
    hands.writer.page(head);
    let mut off = off;
    off.sort_by_key(|l| l.polarity != Polarity::Minus);
    for lead in off {
        let text =
            format!("lead {} at {}, then at {}; tape both lugs.", lead.id, lead.from, lead.to);
        hands.step(Step::new("Take off", &text).tools(&[Tool::Spanner, Tool::Tape]));
    }
    for name in gone {
        hands.step(Step::new("Take out", &format!("{name}.")).part(PartRef::Device(name.clone())));
    }
}

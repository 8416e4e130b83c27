//! The box, the bars, the blocks.

use crate::fit::hold_down::cases::Direction;
use crate::model::block::Chemistry;
use crate::model::device::DeviceKind;
use crate::model::hold::Held;
use crate::plan::build::{GateMark, PartRef, Step};
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::readings;
use crate::plan::tools::Tool;
use crate::plan::writer::Head;
use crate::units::show;

/// Box in, bars fixed.
pub fn box_in(hands: &mut Hands<'_>) {
    let job = hands.job;
    let bars: Vec<_> = job.new_of(DeviceKind::Busbar).collect();
    let enclosure = job.design.enclosure.as_ref().filter(|_| job.bank_is_new());
    if enclosure.is_none() && bars.is_empty() && !job.bank_is_new() {
        return;
    }
    let head = Head::new(
        "Box and fixings",
        "What the box stands on, what holds it and where it breathes is a design of its own: where \
         this page says find out, do not guess.",
    );
    hands.writer.page(head.caution(cautions::drilling()));
    if job.bank_is_new() {
        if enclosure.is_some_and(|e| e.part.have) {
            hands.step(Step::new(
                "Check",
                "the box: dry, no crack, drain open at its lowest point.",
            ));
        } else {
            hands.step(
                Step::new(
                    "Set",
                    "the box in its place; scribe its holes, then lift it out and drill.",
                )
                .tools(&[Tool::Drill])
                .two_people(),
            );
        }
        hold(hands, Held::Box);
        vents(hands);
    }
    for bar in bars {
        let text = format!("{} on its base; cover it.", bar.part.name);
        hands.step(
            Step::new("Fix", &text)
                .part(PartRef::Device(bar.part.name.clone()))
                .tools(&[Tool::Drill]),
        );
    }
}

/// Blocks in, then G2.
pub fn blocks_in(hands: &mut Hands<'_>) {
    let job = hands.job;
    if !job.bank_is_new() {
        return;
    }
    lift(hands);
    hands.writer.page(block_head(hands));
    if job.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Lfp) {
        hands.step(
            Step::new("Switch on", "each module at its own switch, if it has one.")
                .detail("a module that is off shows nothing here and hides a fault at every gap"),
        );
    }
    for block in &job.facts.blocks {
        let id = block.id;
        let step = Step::new("Measure", &format!("block {id}."))
            .tools(&[Tool::Meter])
            .part(PartRef::Block(id))
            .reading(readings::block(job, id));
        hands.step(step);
    }
    hands.gate(
        GateMark::Blocks,
        "every block reads inside its band, with the sign the meter shows as plus. A minus sign, or \
         a sign on the case that is not the sign on the plan: the block is turned round.",
    );
}

fn block_head(hands: &Hands<'_>) -> Head {
    let rest = show::decimal(hands.job.figures.rest_h, 0);
    let intro = format!(
        "Rested {rest} hours, nothing on the posts. Put red where the PLAN shows plus, not where \
         the case does: then look whether the case agrees."
    );
    Head::new("Measure every block", &intro).caution(cautions::bridging(hands.job.words()))
}

fn lift(hands: &mut Hands<'_>) {
    let job = hands.job;
    let masses = job.facts.blocks.iter().filter_map(|b| job.model_of(b.id)?.mass);
    let heaviest = masses.max_by(|a, b| a.as_kg().total_cmp(&b.as_kg()));
    let over_rail = job.design.enclosure.as_ref().and_then(|e| e.over_rail) == Some(true);
    let heavy = over_rail || heaviest.is_none_or(|m| m.as_kg() > job.figures.lift_kg);
    let shown = heaviest.filter(|_| heavy).map(|m| show::mass(m, job.design.rig.units));
    let mut head = Head::new(
        "Blocks in",
        "Place each block exactly as the plan shows, with its plus post where the plan has plus.",
    );
    if heavy {
        head = head.caution(cautions::lifting(shown.as_deref()));
    }
    if job.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Flooded) {
        head = head.caution(cautions::acid());
    }
    if job.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Lfp) {
        head = head.caution(cautions::lithium());
    }
    hands.writer.page(head);
    hands.step(
        Step::new("Brush", "every post bright; no grease under a lug.").tools(&[Tool::Brush]),
    );
    for block in &job.facts.blocks {
        let id = block.id;
        let mut step = Step::new("Set", &format!("block {id} in its place."))
            .part(PartRef::Block(id))
            .tools(&[Tool::Strap]);
        if heavy {
            step = step.two_people();
        }
        hands.step(step);
    }
    hold(hands, Held::Blocks);
    let play = hands.job.hold.as_ref().and_then(|h| h.travel);
    if let Some((most, _)) = play {
        let most = show::length(most, hands.job.design.rig.units);
        hands.step(
            Step::new("Push", "each block by hand, both ways.")
                .detail(format!("it shifts no more than {most}; write what it shifts ______")),
        );
    }
    hands.step(
        Step::new("Cover", "every post with tape or a boot until its lead goes on.")
            .tools(&[Tool::Tape]),
    );
}

/// The fasteners of the box or of the blocks, with drill and socket at the line.
fn hold(hands: &mut Hands<'_>, held: Held) {
    let job = hands.job;
    let (verb, text) = match held {
        Held::Box => ("Bolt", "the box down"),
        Held::Blocks => ("Hold", "the blocks down"),
    };
    let sets: Vec<_> = job.design.holds.iter().filter(|h| h.held == held).collect();
    if sets.is_empty() {
        let text =
            format!("{text}: through-bolts with plates, or straps; no screws in thin metal.");
        hands.step(
            Step::new(verb, &text)
                .detail("number, size and pull of the fasteners: find out, write it here ______")
                .tools(&[Tool::Spanner]),
        );
        return;
    }
    for set in sets {
        let lists = job.hold.as_ref().map_or(&[][..], |h| &h.fasteners);
        let list = lists.iter().find(|f| f.name == set.part.name);
        let mut detail: Vec<String> = Vec::new();
        for (what, count) in list.map_or(&[][..], |f| &f.buy) {
            detail.push(format!("{count} x {what}"));
        }
        detail.extend(list.map_or_else(Vec::new, |f| f.drills.clone()));
        detail.extend(list.and_then(|f| f.socket.clone()));
        let row = job
            .hold
            .iter()
            .flat_map(|h| &h.rows)
            .find(|r| r.held == held && r.binding && r.direction == Direction::Up);
        if let Some(row) = row {
            let pull = show::force(row.demand, job.design.rig.units);
            detail.push(format!("all of them together must hold {pull} up"));
        }
        let text = format!("{text} with the {} {}.", set.kind.word(), set.part.name);
        hands.step(
            Step::new(verb, &text).detail(detail.join("; ")).tools(&[Tool::Drill, Tool::Spanner]),
        );
    }
}

/// The openings as holes of a drill, and what the box may never see.
fn vents(hands: &mut Hands<'_>) {
    let job = hands.job;
    let units = job.design.rig.units;
    let Some(vent) = &job.vent else {
        return;
    };
    let stated = vent.low.zip(vent.high).map(|(low, high)| {
        format!("low {}, high {}", show::opening(low, units), show::opening(high, units))
    });
    let holes = vent.governing().map(|r| {
        format!(
            "at least {} each: {} of {}",
            show::opening(r.area, units),
            if r.holes == 1 { "1 hole".to_owned() } else { format!("{} holes", r.holes) },
            show::length(r.drill, units)
        )
    });
    let edge = show::length(vent.edge, units);
    let detail: Vec<String> = [
        Some(stated.unwrap_or_else(|| "free area: write it here ______ and ______".to_owned())),
        holes,
        Some(format!("within {edge} of the bottom and of the top, straight to outside")),
    ]
    .into_iter()
    .flatten()
    .collect();
    // In the open there is nothing to cut.
    let boxed = job.design.enclosure.is_some();
    let tools = if boxed { &[Tool::HoleSaw, Tool::Drill][..] } else { &[][..] };
    hands.step(
        Step::new("Open", "the vents: one low, one high, outside air, no spark source inside.")
            .detail(detail.join("; "))
            .tools(tools),
    );
    if vent.never_equalise {
        let needs = show::opening(vent.to_equalise, units);
        hands.step(
            Step::new("Write", "on the lid: never equalise in this box.")
                .detail(format!("to equalise in place each opening must be {needs}"))
                .tools(&[Tool::Labels]),
        );
    }
}

//! The box, the bars, the blocks.

use crate::model::block::Chemistry;
use crate::model::device::DeviceKind;
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
    hands.writer.page(Head::new(
        "Box and fixings",
        "What the box stands on, what holds it and where it breathes is a design of its own: where \
         this page says find out, do not guess.",
    ));
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
        hands.step(
            Step::new("Bolt", "the box down: machine screws and a plate behind thin metal.")
                .detail("number, size and pull of the fasteners: find out, write it here ______")
                .tools(&[Tool::Spanner]),
        );
        let vents = enclosure.and_then(|e| e.vent_low.zip(e.vent_high)).map_or_else(
            || "free area low and high: find out, write it here ______ and ______".to_owned(),
            |(low, high)| {
                format!(
                    "low {} cm², high {} cm², both straight to outside",
                    show::decimal(low.as_cm2(), 0),
                    show::decimal(high.as_cm2(), 0)
                )
            },
        );
        if job.facts.blocks.iter().any(|b| b.chemistry.is_lead()) {
            hands.step(
                Step::new(
                    "Open",
                    "the vents: one low, one high, outside air, no spark source inside.",
                )
                .detail(vents),
            );
        }
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
    let heavy = heaviest.is_none_or(|m| m.as_kg() > job.figures.lift_kg);
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
    hands.step(
        Step::new("Hold", "the blocks down: bar or strap, no more play than the rule allows.")
            .detail("force and fastener: find out, write it here ______")
            .tools(&[Tool::Spanner]),
    );
    hands.step(
        Step::new("Cover", "every post with tape or a boot until its lead goes on.")
            .tools(&[Tool::Tape]),
    );
}

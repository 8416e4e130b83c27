//! Cutting and crimping the leads, at the bench.

use crate::plan::build::{PartRef, Step};
use crate::plan::fit::Hands;
use crate::plan::job::Job;
use crate::plan::tools::Tool;
use crate::plan::writer::Head;
use crate::sizing::answer::{LeadAnswer, LugChoice, Reuse};
use crate::units::show;

/// The page, when any lead is cut at this stage.
pub fn leads(hands: &mut Hands<'_>) {
    let job = hands.job;
    let fitted = job.wiring.leads.iter().filter(|l| job.lead_is_fitted(l));
    let cut: Vec<&LeadAnswer> = fitted
        .filter(|l| l.stated.part.price.is_none())
        .filter_map(|l| job.answer(&l.id))
        .filter(|a| !matches!(a.reuse, Reuse::Fits { .. } | Reuse::Unmeasured))
        .collect();
    if cut.is_empty() {
        return;
    }
    hands.writer.page(Head::new(
        "Make the leads",
        "At the bench, in the order of the cut list. Lay a string along each route first: a lead \
         that is short is scrap, and the layout may have moved.",
    ));
    hands.step(
        Step::new("Try", "the lug, the die and the sleeve on an offcut, and pull on it.")
            .detail("strands fill the barrel, no copper shows, no gap to the jacket")
            .tools(&[Tool::Cutter, Tool::Crimper, Tool::HeatGun]),
    );
    for answer in cut {
        hands.step(one(job, answer));
    }
    hands.step(
        Step::new("Label", "both ends of every lead before it leaves the bench.")
            .tools(&[Tool::Labels]),
    );
}

fn one(job: &Job<'_>, answer: &LeadAnswer) -> Step {
    let units = job.design.rig.units;
    let cut = show::length(answer.length.cut, units);
    let slip = show::length(answer.length.tolerance, units);
    let text = format!("lead {} from {}, {}: {cut}.", answer.id, answer.size, answer.colour);
    let lugs = format!("lugs {} and {}", stud(job, &answer.lug_from), stud(job, &answer.lug_to));
    let angle = answer.lug_angle.map_or_else(String::new, |a| {
        format!(", turned {}° to each other", show::decimal(a.as_degrees(), 0))
    });
    let sleeve = answer.shrink.as_ref().map_or_else(String::new, |s| {
        format!("; sleeve {} over each barrel, {}", s.sold_as, show::length(s.length, units))
    });
    Step::new("Cut", &text)
        .detail(format!("{lugs}{angle}{sleeve}; the route may be out by {slip}"))
        .tools(&[Tool::TapeMeasure, Tool::Cutter, Tool::Crimper, Tool::HeatGun])
        .part(PartRef::Lead(answer.id.clone()))
}

fn stud(job: &Job<'_>, lug: &LugChoice) -> String {
    lug.stud.map_or_else(
        || "for a stud still to be measured".to_owned(),
        |stud| format!("for {}", job.studs.name(stud)),
    )
}

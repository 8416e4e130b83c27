//! G5 to G7: standby, test load, every joint.

use crate::plan::build::{GateMark, PartRef, Reading, Step};
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::proving::{JointProof, Proving};
use crate::plan::tools::Tool;
use crate::plan::writer::Head;
use crate::units::reading::Quantity;
use crate::units::show::decimal;

/// The pages.
pub fn prove(hands: &mut Hands<'_>, proving: &Proving) {
    standby(hands, proving);
    test_load(hands, proving);
    joints(hands, proving);
}

fn standby(hands: &mut Hands<'_>, proving: &Proving) {
    hands.writer.page(Head::new(
        "Standby",
        "Everything off that a switch turns off. What still flows empties the bank while you are \
         away.",
    ));
    hands.step(Step::new("Zero", "the clamp with nothing in its jaw.").tools(&[Tool::Clamp]));
    hands.step(
        Step::new("Read", "the current with everything off.")
            .tools(&[Tool::Clamp, Tool::Meter])
            .reading(proving.standby.clone()),
    );
    hands.gate(
        GateMark::Standby,
        "the standby current is no more than the load list says. More: something is on, or current \
         leaks.",
    );
}

fn test_load(hands: &mut Hands<'_>, proving: &Proving) {
    let amps = decimal(proving.test_a, 0);
    let watts = decimal(proving.test_w, 0);
    let intro = format!(
        "{amps} A is about {watts} W at {}: {}. If your load is another one, every figure here goes \
         up or down with it.",
        proving.consumer, proving.test_why
    );
    let head = Head::new("Test load", &intro).caution(cautions::hydrogen());
    hands.writer.page(head);
    hands.step(Step::new("Zero", "the clamp with nothing in its jaw.").tools(&[Tool::Clamp]));
    let load = Reading {
        id: "test load".to_owned(),
        quantity: Quantity::Amps,
        expect: Some(proving.test_a),
        low: None,
        high: None,
        range: "DC amps, zeroed".to_owned(),
        probes: "clamp the main minus lead".to_owned(),
        between: None,
        note: None,
    };
    hands.step(
        Step::new("Load", &format!("the bank with about {amps} A for a minute."))
            .tools(&[Tool::TestLoad, Tool::Clamp])
            .reading(load),
    );
    let volts = Reading {
        id: "bank under load".to_owned(),
        quantity: Quantity::Volts,
        expect: Some(proving.bank_volts),
        low: None,
        high: None,
        range: crate::plan::readings::range_for(proving.bank_volts * 1.05),
        probes: "where the main leads leave the bank".to_owned(),
        between: None,
        note: Some(
            "computed from the blocks' resistance; an old or cold block sags more".to_owned(),
        ),
    };
    hands.step(
        Step::new("Measure", "the bank while the load runs.").tools(&[Tool::Meter]).reading(volts),
    );
    for clamp in &proving.clamps {
        let string = clamp.id.trim_start_matches("clamp ");
        hands.step(
            Step::new("Clamp", &format!("string {string} while the load runs."))
                .tools(&[Tool::Clamp])
                .reading(clamp.clone()),
        );
    }
    hands.step(Step::new(
        "Touch",
        "each lug and fuse after the load is off: none may be warmer than its lead.",
    ));
    let spread = decimal(hands.job.figures.clamp_spread * 100.0, 0);
    hands.gate(
        GateMark::Load,
        &format!("each string's amps are within {spread} % of the mean of all strings, clamp error allowed."),
    );
}

fn joints(hands: &mut Hands<'_>, proving: &Proving) {
    let job = hands.job;
    let fitted: Vec<_> = job.wiring.leads.iter().filter(|l| job.lead_is_fitted(l)).collect();
    let carrying =
        |l: &&&crate::circuit::wiring::WiredLead| proving.of_lead(l).any(JointProof::carries);
    let leads: Vec<_> = fitted.iter().filter(carrying).collect();
    if leads.is_empty() {
        return;
    }
    let amps = decimal(proving.test_a, 0);
    let intro = format!(
        "With {amps} A running, one tip on the post itself, one on the copper at the end of the \
         lug's barrel. A joint is judged by millivolts over its OWN amps: each line says how many \
         flow in it."
    );
    hands.writer.page(Head::new("Every joint", &intro).caution(cautions::bridging(job.words())));
    for lead in leads {
        let mut step = Step::new("Measure", &format!("both joints of lead {}.", lead.id))
            .tools(&[Tool::Meter, Tool::TestLoad])
            .part(PartRef::Lead(lead.id.clone()));
        for joint in proving.of_lead(lead) {
            step.parts.push(PartRef::Terminal(joint.terminal.clone()));
            step.readings.push(joint.reading(proving.test_a));
        }
        hands.step(step);
    }
    let over = decimal(job.figures.joint_over * 100.0, 0);
    let least = decimal(job.figures.meter_mv, 1);
    hands.gate(
        GateMark::Joints,
        &format!(
            "no joint is above its own limit, and none is more than {over} % over joints like it, \
             both in microohms: millivolts over its own amps, times a thousand. A joint with less \
             than {least} mV expected is not judged by this load."
        ),
    );
}

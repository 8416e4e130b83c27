//! Boots, labels, paint; set points; what must hold before the rig moves; the electrician's page.

use crate::fit::weight::confirm::SAFELY;
use crate::model::device::{Device, DeviceKind};
use crate::plan::build::{GateMark, PartRef, Reading, Step};
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::job::Job;
use crate::plan::labels::set_points;
use crate::plan::tools::Tool;
use crate::plan::writer::Head;
use crate::units::Mass;
use crate::units::reading::Quantity;
use crate::units::show::{self, UnitSystem};

/// Boots, labels, paint.
pub fn cover_up(hands: &mut Hands<'_>) {
    hands
        .writer
        .page(Head::new("Cover and mark", "What is not marked today is a riddle next year."));
    for (verb, text, tools) in [
        (
            "Check",
            "the torque of every nut once more and write it down.",
            &[Tool::TorqueWrench][..],
        ),
        (
            "Stripe",
            "nut and post with the paint pen: a broken line shows a nut that moved.",
            &[Tool::PaintPen][..],
        ),
        ("Boot", "every post and stud; nothing bare is left in the box.", &[][..]),
        (
            "Label",
            "both ends of every lead: its number, from, to, size, fuse.",
            &[Tool::Labels][..],
        ),
        ("Tie", "every lead to something that does not move, clear of edges.", &[][..]),
        (
            "Photograph",
            "posts with boots, fuse ratings close up, the whole box.",
            &[Tool::Camera][..],
        ),
        (
            "Put",
            "this book, the plan and the card in the lid; the card where anyone sees it.",
            &[][..],
        ),
    ] {
        hands.step(Step::new(verb, text).tools(tools));
    }
}

/// Set points, then the first full charge.
pub fn charging(hands: &mut Hands<'_>) {
    let job = hands.job;
    let points = set_points(job);
    if points.is_empty() {
        return;
    }
    let mut head = Head::new("Set points and first charge", "Before any source may charge.");
    head = head.caution(cautions::hydrogen());
    hands.writer.page(head);
    for charger in points {
        let rows: Vec<String> =
            charger.rows.iter().map(|(what, value)| format!("{what}: {value}")).collect();
        hands.step(
            Step::new("Set", &format!("{} and write what it shows.", charger.device))
                .detail(rows.join("; "))
                .part(PartRef::Device(charger.device.clone())),
        );
    }
    hands.gate(
        GateMark::Charge,
        "every charger's set points are written down, the vents are open, and no STOP stands \
         against charging.",
    );
    for array in &job.design.arrays {
        let text = format!(
            "the panels of {} last: battery side first, then their switch, then uncover.",
            array.part.name
        );
        hands.step(Step::new("Join", &text));
    }
    hands.step(
        Step::new("Charge", "the bank full once, somebody near it.")
            .detail("write volts at the charger and at the posts in the same minute; warm lugs or a hissing block: stop")
            .tools(&[Tool::Meter, Tool::Thermometer]),
    );
}

/// Before it moves: brakes and ball, or the boat.
pub fn away(hands: &mut Hands<'_>) {
    let words = hands.job.words();
    if words.is_towed() {
        tow(hands);
    }
    if words.floats() {
        hands.writer.page(Head::new("Before you sail", ""));
        hands.step(Step::new("Run", "the bilge pump from its float with the main switch off."));
        hands.step(Step::new("Read", "trim and list against a mark at the waterline; write both."));
        hands.step(Step::new("Shake", "each block and each lead by hand: nothing moves."));
        hands.gate(
            GateMark::Sail,
            "no STOP stands against sailing, the pump runs, and nothing moves.",
        );
    }
}

fn tow(hands: &mut Hands<'_>) {
    let job = hands.job;
    let words = job.words();
    let breakaway = job.design.devices_of(DeviceKind::Breakaway).next();
    let braked = breakaway.is_some() || job.design.rig.electric_brakes == Some(true);
    hands
        .writer
        .page(Head::new("Before you tow: brakes and lights", "").caution(cautions::moving(words)));
    if braked {
        hands.step(
            Step::new(
                "Pull",
                &format!("the {}, tow plug out: the wheels must lock.", words.breakaway()),
            )
            .detail("put it back at once: it empties the bank and heats the magnets")
            .two_people(),
        );
    } else {
        let text = format!(
            "the {} and its cable: find out what it works, and test it by its own sheet.",
            words.breakaway()
        );
        hands.step(Step::new("Check", &text));
    }
    hands.step(Step::new("Run", "the jack up and down."));
    hands.step(Step::new("Check", "every light with the tow plug in.").two_people());
    hands.step(Step::new("Shake", "the box and each block by hand: nothing moves."));
    hands.gate(
        GateMark::Breakaway,
        "the brakes lock on the pull, jack and lights work, and the box does not move.",
    );
    weigh(hands);
}

fn weigh(hands: &mut Hands<'_>) {
    let job = hands.job;
    let words = job.words();
    let units = job.design.rig.units;
    let expected = job.weight.as_ref().and_then(|w| w.confirm.as_ref());
    hands.writer.page(Head::new("Before you tow: weight", "").caution(cautions::moving(words)));
    let mut safely = Step::new("Stand", "beside the frame, never under it.").two_people();
    for line in SAFELY {
        safely = safely.detail(line);
    }
    hands.step(safely.tools(&[Tool::Chocks, Tool::Level]));
    let mut step = Step::new(
        "Weigh",
        &format!("the {}: this is the {}.", words.coupling(), words.ball_load()),
    )
    .tools(&[Tool::Scale])
    .two_people()
    .reading(ball_reading(job));
    if let Some(confirm) = expected {
        let [shown, least, most] = confirm.beam.map(|m| show::weight(m, units));
        step = step.detail(format!(
            "a beam on round bars: {} from the fixed bar to the {}, {} on to the scale; it shows \
             {shown} ({least} to {most}) more than under the beam alone; times {}",
            show::length(confirm.bar_to_ball, units),
            words.coupling(),
            show::length(confirm.ball_to_scale, units),
            show::decimal(confirm.factor, 1)
        ));
    }
    hands.step(step);
    hands.gate(
        GateMark::Ball,
        &format!("the {} lies inside its band and under the smallest limit.", words.ball_load()),
    );
}

/// The load on the ball: what the sums expect, never above the smallest limit that is stated.
fn ball_reading(job: &Job<'_>) -> Reading {
    let words = job.words();
    let units = job.design.rig.units;
    let (quantity, in_unit): (Quantity, fn(Mass) -> f64) = match units {
        UnitSystem::Us => (Quantity::Pounds, Mass::as_pounds),
        UnitSystem::Metric => (Quantity::Kilograms, Mass::as_kg),
    };
    let most = job.design.vehicle.as_ref().and_then(|v| {
        let limits = [v.hitch_max, v.ball_max, v.coupler_max, v.towbar_max];
        limits.into_iter().flatten().reduce(Mass::min)
    });
    let expected = job.weight.as_ref().and_then(|w| w.confirm.as_ref()).map(|c| c.ball);
    let high = match (expected, most) {
        (Some([_, _, high]), Some(most)) => Some(high.min(most)),
        (expected, most) => expected.map(|e| e[2]).or(most),
    };
    let limit = most.map_or_else(
        || {
            "limits of hitch, ball, coupling and tow vehicle: find out, the smallest rules"
                .to_owned()
        },
        |m| format!("smallest stated limit {}", show::weight(m, units)),
    );
    let note = if expected.is_some() {
        limit
    } else {
        format!(
            "{limit}; write what it weighs and where the box is, and the sheet says what to expect"
        )
    };
    Reading {
        id: "ball".to_owned(),
        quantity,
        expect: expected.map(|e| in_unit(e[0])),
        low: expected.map(|e| in_unit(e[1])),
        high: high.map(in_unit),
        range: "bathroom scale, with a beam where it is too small".to_owned(),
        probes: format!("under the {}, level, loaded as you travel", words.coupling()),
        between: None,
        note: Some(note),
    }
}

/// House voltage: made ready by the owner, done and signed by somebody licensed.
pub fn mains(hands: &mut Hands<'_>) {
    let job = hands.job;
    let touches = |d: &Device| {
        matches!(d.kind, DeviceKind::Inverter | DeviceKind::Charger | DeviceKind::Generator)
    };
    let has_new = job.new_devices().any(touches);
    // A stage that brings nothing of the low-voltage side is there for the electrician alone.
    let nothing_else = job.new_devices().next().is_none() && !job.bank_is_new();
    let only_mains = job.design.mains.is_some() && nothing_else;
    if !has_new && !only_mains {
        return;
    }
    let words = job.words();
    let title = format!("{}: licensed electrician only", cautions::capital(words.mains()));
    let head = Head::new(&title, "You clear the way and stand back. This page is theirs.")
        .caution(cautions::mains(words));
    hands.writer.page(head);
    hands.step(Step::new("Show", "the electrician the drawing, the maker's sheets and this page."));
    for (verb, text) in [
        (
            "Done",
            format!(
                "wiring, enclosure, {} and neutral: one bond in every state of supply.",
                words.earth()
            ),
        ),
        ("Tested", format!("continuity of {}, insulation, polarity.", words.earth())),
        ("Tested", format!("the {} trips.", words.residual_device())),
        ("Shown", "two sources can never meet; what is dead in each state.".to_owned()),
    ] {
        hands.step(Step::new(verb, &text));
    }
    let mut sign = Step::new("Sign", "name, licence number, date.");
    sign.sign = Some("licensed electrician: name, licence number, date, signature".to_owned());
    hands.step(sign);
    hands.gate(GateMark::Mains, "a licensed electrician has signed this page.");
}

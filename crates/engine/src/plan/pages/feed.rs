//! Everything between the bank and what it feeds: devices fixed, then leads, minus last.

use crate::circuit::error::SolveError;
use crate::model::device::{Device, DeviceKind};
use crate::plan::bench::Gap;
use crate::plan::build::{PartRef, Step};
use crate::plan::card::switch_name;
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::order::Phase;
use crate::plan::tools::Tool;
use crate::plan::words::with_kind;
use crate::plan::writer::Head;

use super::join::of_phase;

/// Devices that the strings themselves join to, such as a fuse in each string's lead to the bar:
/// they must hang on the wall before those leads go on.
pub fn string_devices(hands: &mut Hands<'_>) {
    let wanted: Vec<&Device> = hands.job.new_devices().filter(|d| in_a_string(hands, d)).collect();
    fix(hands, "Fix what the strings join to", &wanted);
}

/// All other devices: holders without fuses, switches open.
pub fn devices(hands: &mut Hands<'_>) {
    let wanted: Vec<&Device> = hands.job.new_devices().filter(|d| !in_a_string(hands, d)).collect();
    fix(hands, "Fix the devices", &wanted);
}

/// A device on which a lead of a string ends, or that is bolted onto a post.
fn in_a_string(hands: &Hands<'_>, device: &Device) -> bool {
    let name = Some(device.part.name.as_str());
    let links = hands.job.wiring.leads.iter().filter(|l| l.role.is_link());
    let on_post = device.mounted_on.as_ref().is_some_and(|on| on.block().is_some());
    on_post || links.flat_map(|l| [&l.from, &l.to]).any(|t| t.device() == name)
}

fn fix(hands: &mut Hands<'_>, title: &str, wanted: &[&Device]) {
    let fixed: Vec<&&Device> = wanted
        .iter()
        .filter(|d| !matches!(d.kind, DeviceKind::Busbar | DeviceKind::Generator))
        .collect();
    if fixed.is_empty() {
        return;
    }
    let intro = "Nothing is joined on this page. Fuse holders stay empty, switches stay off.";
    hands.writer.page(Head::new(title, intro));
    for device in fixed {
        let step = fixing(hands, device);
        hands.step(step);
    }
}

fn fixing(hands: &Hands<'_>, device: &Device) -> Step {
    let name = &device.part.name;
    let place = device.mounted_on.as_ref().map_or_else(String::new, |on| format!(" on {on}"));
    let (text, detail) = match device.kind {
        DeviceKind::Fuse => (
            format!("the holder of {}{place}, empty.", with_kind(device)),
            "the fuse stays in your pocket",
        ),
        DeviceKind::Breaker => {
            (format!("{name}{place}, off."), "direct current, right way round if it is marked")
        }
        DeviceKind::Isolator => (
            format!("{}{place}, off.", switch_name(name, hands.job.words())),
            "where a hand finds it at once; mark it",
        ),
        DeviceKind::Shunt => (
            format!("{name}{place}: every minus lead on its load side."),
            "only the bank's minus on its battery side",
        ),
        DeviceKind::Inverter => (
            format!("{name}{place}, off, air around it."),
            "not in the battery space; case to earth by its own sheet",
        ),
        DeviceKind::SolarController => {
            (format!("{name}{place}."), "battery side first, panels last; panels covered")
        }
        DeviceKind::Breakaway => {
            (format!("{name}{place}."), "it stays live when the switch is off")
        }
        DeviceKind::Bond => (
            format!("{name}{place}: the one place where minus meets the frame."),
            "clean metal, one place only",
        ),
        _ => (format!("{name}{place}, off."), "by its own sheet"),
    };
    Step::new("Fix", &text)
        .detail(detail)
        .part(PartRef::Device(name.clone()))
        .tools(&[Tool::Drill, Tool::Spanner])
}

/// Leads beyond the bank: far end first, plus, then the rest, then minus; the bank's minus last.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn leads(hands: &mut Hands<'_>) -> Result<(), SolveError> {
    for (wanted, title) in [
        (Phase::FeedPlus, "Main leads, plus"),
        (Phase::FeedOther, "Other leads"),
        (Phase::FeedMinus, "Main leads, minus"),
    ] {
        let leads = of_phase(hands, wanted);
        if leads.is_empty() {
            continue;
        }
        let intro = "From the far end inwards. Every fuse is out and every switch is off, so a lead \
                     comes alive only when its last lug touches the bank.";
        let head = Head::new(title, intro).caution(cautions::bridging(hands.job.words()));
        hands.writer.page(head.clone());
        let mut on_own_page = false;
        for lead in leads {
            let closes = matches!(hands.gap(lead)?, Gap::Loop(_));
            if on_own_page && !closes {
                hands.writer.page(head.clone());
            }
            on_own_page = closes;
            hands.fit(lead, None)?;
        }
    }
    for lead in of_phase(hands, Phase::Short) {
        hands.to_come.retain(|l| l.id != lead.id);
        let text = format!("lead {}: it would join plus to minus.", lead.id);
        hands.step(Step::new("Leave off", &text).part(PartRef::Lead(lead.id.clone())));
    }
    Ok(())
}

/// Every lead by eye and hand before anything is switched on.
pub fn trace(hands: &mut Hands<'_>) {
    hands.step(
        Step::new(
            "Trace",
            "every plus lead by hand from end to end: plus to plus, through its fuse.",
        )
        .detail("a helper reads the label out, you follow the lead")
        .two_people(),
    );
}

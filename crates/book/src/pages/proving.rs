//! The proving sheet: what the finished bank must show beside what it shows, to sign and to keep.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Piece, Table, figures, words};
use engine::plan::build::Reading;
use engine::plan::proving::{JointProof, Proving};
use engine::units::show::fixed;
use maud::html;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let proving = cx.proving.as_ref()?;
    let mut parts = Parts::new(cx.width);
    parts.paragraph(&format!(
        "Test load {} A, about {} W, taken at {}: {}. The bank then shows {} V where the main leads \
         leave. If your load is another one, every figure goes up or down with it.",
        fixed(proving.test_a, 1),
        fixed(proving.test_w, 0),
        proving.consumer,
        proving.test_why,
        fixed(proving.bank_volts, 2)
    ));
    parts.push(who());
    let mut table = Table::new(vec![
        words("reading", 1.2),
        words("where", 3.4),
        words("expect", 2.0),
        words("measured", 1.2),
        words("good", 0.5),
    ]);
    for reading in before_load(cx) {
        table.row(row(reading));
    }
    for reading in proving.clamps.iter().chain([&proving.standby]) {
        table.row(row(reading));
    }
    parts.heading("Volts and amps");
    parts.push(table);
    parts.heading("Every joint, by its own amps");
    parts.push(joints(proving));
    parts.paragraph(
        "At most: a joint above it is remade. Microohms are millivolts over its own amps, times a \
         thousand; a joint more than a fifth over joints like it is remade too.",
    );
    Some(Chapter { parts: parts.all, ..plain("proving", "Proving sheet", "proving") })
}

/// The readings of the build up to the power-up: blocks, strings, gaps, devices.
fn before_load<'a>(cx: &'a Context<'_>) -> Vec<&'a Reading> {
    let mut all: Vec<&Reading> = Vec::new();
    for page in &cx.input.build.pages {
        let steps = page.steps.iter().flat_map(|s| &s.readings);
        let gate = page.gate.iter().filter_map(|g| g.reading.as_ref());
        for reading in steps.chain(gate) {
            let of_volts = reading.between.is_some() && !reading.id.starts_with("proof");
            if of_volts && !all.iter().any(|r| r.id == reading.id) {
                all.push(reading);
            }
        }
    }
    all
}

fn row(reading: &Reading) -> Vec<Cell> {
    vec![
        Cell::Bold(reading.id.clone()),
        reading.probes.as_str().into(),
        Cell::Bold(reading.shown()),
        Cell::Write,
        Cell::Tick,
    ]
}

fn joints(proving: &Proving) -> Table {
    let mut table = Table::new(vec![
        words("joint", 1.4),
        words("on", 1.5),
        figures("its amps", 0.9),
        figures("expect", 0.9),
        figures("at most", 1.0),
        figures("microohms", 1.0),
        words("measured, mV", 1.2),
        words("good", 0.5),
    ]);
    for joint in proving.joints.iter().filter(|j| j.carries()) {
        table.row(joint_row(joint, proving.test_a));
    }
    table
}

fn joint_row(joint: &JointProof, test_a: f64) -> Vec<Cell> {
    let reading = joint.reading(test_a);
    let most = reading
        .high
        .map_or_else(|| "too small to judge".to_owned(), |h| format!("{} mV", fixed(h, 1)));
    vec![
        Cell::Bold(joint.id.clone()),
        joint.terminal.to_string().into(),
        format!("{} A", fixed(joint.amps, 1)).into(),
        Cell::Bold(format!("{} mV", fixed(joint.expect_mv, 1))),
        most.into(),
        fixed(joint.micro_ohm, 0).into(),
        Cell::Write,
        Cell::Tick,
    ]
}

fn who() -> Piece {
    let html = html! {
        div.signbox style="height:18mm" {
            "proved by, date, temperature of the bank, meter and clamp used, signature"
        }
    };
    Piece::new(html, 22.0)
}

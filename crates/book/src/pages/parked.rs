//! Parked and cold: what drains the bank while nobody is there, by when to charge it again, and where
//! it freezes.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::night_pictures;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use crate::words::listed;
use engine::model::block::Chemistry;
use engine::sim::calendar::month_name;
use engine::sim::frost::{basis, months_under};
use engine::sim::nights::Nights;
use engine::sim::storage::StorageDrain;
use engine::units::Temperature;
use engine::units::show::{self, fixed};

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    if let Ok(nights) = cx.input.nights {
        days(nights, &mut parts);
    } else {
        parts.paragraph(
            "How long it may stand is told once place, loads and the rating of the blocks are \
             written; see the page on nights. What drains it stands here.",
        );
    }
    drains(cx, &mut parts);
    if let Ok(nights) = cx.input.nights {
        cold(cx, nights, &mut parts);
    }
    Chapter { parts: parts.all, ..plain("parked", "Parked and cold", "parked") }
}

/// Days from which "more than two years" is said: nobody parks by the day then.
const LONG_DAYS: f64 = 730.0;

fn days(nights: &Nights, parts: &mut Parts) {
    let days = |d: f64| {
        if d < LONG_DAYS {
            format!("{} days", fixed(d, 0))
        } else {
            "more than two years".to_owned()
        }
    };
    let floor = fixed(100.0 * nights.floor, 0);
    parts.paragraph(&format!(
        "From full to {floor} % charge it takes {} with the isolator on, {} with it off.",
        days(nights.parked.to_floor_on_days),
        days(nights.parked.to_floor_off_days)
    ));
    parts.tick("Charge it full, then open the isolator. Parked on: ______");
    let off = nights.parked.to_floor_off_days;
    parts.tick(&if off < LONG_DAYS {
        format!("Charge again within {}, or sooner if the rest volts fall. By: ______", days(off))
    } else {
        "Look at the rest volts now and then, and charge again when they fall. Next: ______"
            .to_owned()
    });
}

fn drains(cx: &Context<'_>, parts: &mut Parts) {
    let study = &cx.input.report.study;
    let drain = StorageDrain::of(study, cx.input.tables);
    parts.heading("What drains it");
    let mut table = Table::new(vec![
        words("what", 2.4),
        figures("mean amps", 1.2),
        figures("Ah a month", 1.2),
        words("with the isolator off", 2.0),
    ]);
    for item in &drain.drains {
        table.row(vec![
            Cell::Bold(item.name.clone()),
            format!("{} A", show::decimal(item.amps, 3)).into(),
            format!("{} Ah", fixed(item.amps * 24.0 * 30.0, 0)).into(),
            if item.always { "goes on" } else { "stops" }.into(),
        ]);
    }
    if drain.drains.is_empty() {
        parts.paragraph("Nothing that the design file names draws while it is parked.");
    } else {
        parts.push(table);
    }
    for share in &drain.self_per_day {
        parts.paragraph(&format!(
            "By itself it loses {} % a month ({}).",
            fixed(share.value * 100.0 * 30.0, 0),
            share.cite.status.says()
        ));
    }
    if drain.self_per_day.len() > 1 {
        parts.paragraph("The figures disagree; the days above are counted by the fastest.");
    }
}

fn cold(cx: &Context<'_>, nights: &Nights, parts: &mut Parts) {
    parts.heading("Frost");
    let shown = |c: f64| show::temperature(Temperature::celsius(c.round()), cx.units);
    let months = |under: f64| -> String {
        let all = months_under(&nights.site, under);
        let names: Vec<String> = all.iter().map(|m| month_name(*m).to_owned()).collect();
        match names.len() {
            0 => "in no month".to_owned(),
            12 => "in every month".to_owned(),
            _ => format!("in {}", listed(&names)),
        }
    };
    parts.paragraph(&format!(
        "Nights come under {} here {} (computed from the climate's monthly means and spread); \
         prepare for {}.",
        shown(0.0),
        months(0.0),
        shown(nights.parked.freeze_warning_c)
    ));
    let lithium = cx.input.report.study.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Lfp);
    if lithium {
        parts.paragraph(
            "Lithium does not freeze here, but a cell under freezing must not be charged: open the \
             charge sources before the frost, or warm the box. The maker's sheet decides.",
        );
    }
    if let Some(freezes) = nights.parked.freezes_at_floor_c {
        parts.paragraph(&format!(
            "At {} % charge the acid freezes at {}, {}; nights come that cold {}. Never charge a frozen \
             battery: it can burst.",
            fixed(100.0 * nights.floor, 0),
            shown(freezes),
            basis(nights.parked.flooded),
            months(freezes)
        ));
    }
    if let Some(scene) = night_pictures::frost(cx, nights) {
        parts.push(figure(&scene, cx.width));
    }
}

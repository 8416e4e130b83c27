//! What each string and block carries, on discharge and on charge, and with a better take-off.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::night_pictures;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, figures, words};
use crate::pictures;
use crate::pictures::Better;
use drawing::pictures::Foot;
use engine::circuit::share::Share;
use engine::units::show::fixed;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let study = &cx.input.report.study;
    study.design.bank()?;
    let mut parts = Parts::new(cx.width);
    let discharge = match &study.discharge {
        Ok(share) => share,
        Err(error) => {
            parts.paragraph(&format!("The current share has no answer: {error}. Mend that first; nothing in this book can be expected of the bank until then."));
            return Some(Chapter { parts: parts.all, ..plain("share", "Current share", "share") });
        }
    };
    let charge = study.charge.as_ref().and_then(|c| c.as_ref().ok());
    parts.paragraph(&format!(
        "On discharge: {} A leave the bank at {} V. {}",
        fixed(discharge.total_amps, 1),
        fixed(discharge.bank_volts, 2),
        discharge.says
    ));
    if let Some(charge) = charge {
        parts.paragraph(&format!(
            "On charge: {} A go in at {} V.",
            fixed(charge.total_amps.abs(), 1),
            fixed(charge.bank_volts, 2)
        ));
    }
    let better = cx.better.as_ref();
    if let Some(scene) = pictures::share(cx.input, better, Foot::Bare) {
        parts.push(figure(&scene, cx.width));
    }
    if let Some(scene) = night_pictures::ladder(cx) {
        parts.heading("Where the volts go");
        parts.push(figure(&scene, cx.width));
    }
    parts.heading("Strings");
    parts.push(strings(discharge, charge, better));
    if let Some(better) = better {
        parts.paragraph(&format!("The better take-off: {}. Its amps are for the same current, drawn where the main leads leave.", better.says));
    }
    parts.paragraph(&format!(
        "Largest less smallest string is {} % of their mean. A dead short across the take-off would \
         give about {} kA through the links and joints as drawn; a fuse is chosen for what the blocks \
         could drive without them.",
        fixed(discharge.spread_percent, 1),
        fixed(discharge.short_circuit_amps / 1000.0, 1)
    ));
    parts.heading("Blocks");
    parts.push(blocks(discharge, charge));
    parts.heading("Leads, joint to joint");
    parts.push(leads(discharge, charge));
    Some(Chapter { parts: parts.all, ..plain("share", "Current share", "share") })
}

fn strings(discharge: &Share, charge: Option<&Share>, better: Option<&Better>) -> Table {
    let mut columns = vec![
        words("string", 1.0),
        figures("on discharge", 1.0),
        figures("of the mean", 1.0),
        figures("on charge", 1.0),
    ];
    if better.is_some() {
        columns.push(figures("with the better take-off", 1.4));
    }
    let count = f64::from(u32::try_from(discharge.strings.len()).unwrap_or(1).max(1));
    let mean = discharge.strings.iter().map(|s| s.amps).sum::<f64>() / count;
    let mut table = Table::new(columns);
    for (index, string) in discharge.strings.iter().enumerate() {
        let of_mean = if mean.abs() > 1e-9 {
            format!("{} %", fixed(string.amps / mean * 100.0, 0))
        } else {
            "no current".to_owned()
        };
        let mut row = vec![
            Cell::Bold(string.id.clone()),
            amps(string.amps).into(),
            of_mean.into(),
            charge
                .and_then(|c| c.strings.get(index))
                .map_or_else(|| "no source".to_owned(), |s| amps(s.amps))
                .into(),
        ];
        if let Some(better) = better {
            row.push(
                better.share.strings.get(index).map_or_else(String::new, |s| amps(s.amps)).into(),
            );
        }
        table.row(row);
    }
    table
}

fn blocks(discharge: &Share, charge: Option<&Share>) -> Table {
    let mut table = Table::new(vec![
        words("block", 1.0),
        figures("on discharge", 1.0),
        figures("volts then", 1.0),
        figures("on charge", 1.0),
        figures("volts then", 1.0),
    ]);
    for (index, block) in discharge.blocks.iter().enumerate() {
        let then = charge.and_then(|c| c.blocks.get(index));
        table.row(vec![
            Cell::Bold(block.id.to_string()),
            amps(block.amps).into(),
            format!("{} V", fixed(block.volts, 2)).into(),
            then.map_or_else(|| "no source".to_owned(), |b| amps(b.amps)).into(),
            then.map_or_else(|| "no source".to_owned(), |b| format!("{} V", fixed(b.volts, 2)))
                .into(),
        ]);
    }
    table
}

fn leads(discharge: &Share, charge: Option<&Share>) -> Table {
    let mut table = Table::new(vec![
        words("lead", 1.2),
        figures("on discharge", 1.0),
        figures("lost in it", 1.0),
        figures("on charge", 1.0),
        figures("lost in it", 1.0),
    ]);
    for (index, lead) in discharge.leads.iter().enumerate() {
        let then = charge.and_then(|c| c.leads.get(index));
        let lost = |mv: f64| format!("{} mV", fixed(mv.abs(), 1));
        table.row(vec![
            Cell::Bold(lead.id.clone()),
            amps(lead.amps.abs()).into(),
            lost(lead.drop_mv).into(),
            then.map_or_else(|| "no source".to_owned(), |l| amps(l.amps.abs())).into(),
            then.map_or_else(|| "no source".to_owned(), |l| lost(l.drop_mv)).into(),
        ]);
    }
    table
}

/// Amps with a real minus sign; out of the bank is plus.
fn amps(value: f64) -> String {
    format!("{} A", fixed(value, 1).replace('-', "−"))
}

//! How long the rig stays unplugged: the answer first, then the year, the worst week, what one change
//! more would bring, what limits it, the rules beside it, and what it all rests on.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::lettering::Size;
use crate::night_pictures;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Piece, Table, figures, words};
use crate::words::{path, text};
use engine::sim::compare::{Beside, beside};
use engine::sim::nights::{Nights, NightsError};
use engine::sim::place::SiteError;
use engine::units::show::{decimal, fixed};
use maud::html;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    match cx.input.nights {
        Ok(nights) => answer(cx, nights, &mut parts),
        Err(error) => nobody_can_say(error, &mut parts),
    }
    Chapter { parts: parts.all, ..plain("nights", "Nights", "nights") }
}

/// Why there is no answer, and what to write so that there is one.
fn nobody_can_say(error: &NightsError, parts: &mut Parts) {
    parts.paragraph(&format!("How many nights the rig stays unplugged is not known: {error}"));
    if matches!(error, NightsError::Site(SiteError::NoPlace)) {
        parts.paragraph(
            "Write under [place] the latitude and longitude in degrees, north and east positive: \
             latitude = 43.4 and longitude = -89.6. Write each load with its power and its hours a \
             day under [load.NAME]. Then print again.",
        );
    }
}

fn answer(cx: &Context<'_>, nights: &Nights, parts: &mut Parts) {
    parts.push(said_large(&nights.says(), cx.width));
    let years = if nights.recorded { "starts in your recorded year" } else { "weather years" };
    let trip = nights
        .trip
        .as_ref()
        .map_or_else(String::new, |t| format!(" Loads as on the trip \"{t}\"."));
    parts.paragraph(&format!(
        "From a full bank in the evening to {} % charge or to the cut-off of the loads, whichever \
         comes first; {} {years}, seed {}.{trip}",
        fixed(100.0 * nights.floor, 0),
        nights.years,
        nights.seed
    ));
    parts.push(figure(&night_pictures::calendar(cx, nights), cx.width));
    parts.heading("What limits it");
    for line in &nights.limits {
        parts.paragraph(line);
    }
    one_more(nights, parts);
    parts.push(figure(&night_pictures::chances(cx, nights), cx.width));
    if let Some(scene) = night_pictures::week(cx, nights) {
        parts.push(figure(&scene, cx.width));
    }
    parts.heading("The bank on the way");
    for line in bank(nights) {
        parts.paragraph(&line);
    }
    rules(nights, parts);
    parts.heading("What the climate rests on");
    for line in &nights.rests_on {
        parts.paragraph(line);
    }
    assumed(nights, parts);
}

/// The answer in the size of a step.
fn said_large(words: &str, width: f64) -> Piece {
    let height = Size::Step.height(words, width) + 2.0;
    Piece::new(html! { div.made { b { (text(words)) } } }, height)
}

fn one_more(nights: &Nights, parts: &mut Parts) {
    if nights.one_more.is_empty() {
        return;
    }
    parts.heading("One change more");
    let mut table = Table::new(vec![
        words("with", 4.0),
        figures("nights in 90 of 100 years", 2.0),
        figures("change", 1.0),
    ]);
    for more in &nights.one_more {
        let sign = if more.gain < 0.0 { "−" } else { "+" };
        table.row(vec![
            more.change.as_str().into(),
            Cell::Bold(nights.said(more.nights_sure_90)),
            format!("{sign}{}", fixed(more.gain.abs(), 1)).into(),
        ]);
    }
    parts.push(table);
}

fn bank(nights: &Nights) -> Vec<String> {
    let percent = |v: f64| format!("{} %", fixed(100.0 * v, 0));
    let mut all = Vec::new();
    if let Some(asked) = nights.trip_nights {
        all.push(format!(
            "After the trip's {} nights {} of the bank is gone in half of the years; in 90 of 100 no \
             more than {}.",
            decimal(asked, 1),
            percent(nights.trip_depth[0]),
            percent(nights.trip_depth[1])
        ));
    }
    match nights.generator_hours {
        Some(hours) if hours < 0.05 => {
            all.push("No generator is needed for the trip in 90 of 100 years.".to_owned());
        }
        Some(hours) => all.push(format!(
            "{} h of generator on the charger keep the trip above the floor in 90 of 100 years.",
            fixed(hours, 1)
        )),
        None => {}
    }
    all.push(format!(
        "In a stay of a month it goes {} days without being truly full, or fewer, in 90 of 100 years.",
        fixed(nights.days_since_full, 0)
    ));
    if let Some(water) = nights.water_cm3_cell {
        all.push(format!("A month takes {} cm3 of water from a cell.", fixed(water, 0)));
    }
    all
}

/// The common rule and the handbooks beside the answer.
fn rules(nights: &Nights, parts: &mut Parts) {
    parts.heading("Beside the rules");
    let usable = &nights.usable;
    parts.paragraph(&format!(
        "{} Ah can be taken out at the mean of {} A; the common rule says {} Ah (common practice, no \
         source).",
        fixed(usable.at_current, 0),
        fixed(usable.amps, 1),
        fixed(usable.rule_of_thumb, 0)
    ));
    if nights.handbook.is_empty() {
        return;
    }
    parts.paragraph(
        "The handbooks size a bank for nights without any sun, with margins for age and cold. Under \
         each method stands what it takes for granted and what the weather years say instead.",
    );
    let mut table = Table::new(vec![
        words("method", 1.6),
        words("steps", 4.4),
        figures("it says", 1.2),
        words("from", 1.4),
    ]);
    for Beside { answer, difference, .. } in beside(nights) {
        let says = [
            answer.ah.map(|ah| format!("{} Ah", fixed(ah, 0))),
            answer.modules.map(|n| format!("{} strings of panels", fixed(n, 0))),
            answer.depth.map(|d| format!("{} % gone", fixed(100.0 * d, 0))),
        ];
        let says: Vec<String> = says.into_iter().flatten().collect();
        table.row(vec![
            Cell::Bold(answer.method.clone()),
            format!("{} {difference}", answer.steps.join(" ")).into(),
            says.join(", ").into(),
            answer.cite.status.says().into(),
        ]);
    }
    parts.push(table);
}

/// Everything that was taken because nobody said, with its status.
fn assumed(nights: &Nights, parts: &mut Parts) {
    parts.heading("Assumed for the nights");
    let mut table = Table::new(vec![
        words("of", 1.5),
        words("taken as", 1.9),
        words("how to measure it", 2.6),
        words("what it changes", 2.2),
        words("from", 1.3),
    ]);
    for item in &nights.assumed {
        table.row(vec![
            Cell::Made(html! { b { (path(&item.path)) } }, item.path.replace('.', ". ")),
            item.value.as_str().into(),
            item.how_to_measure.as_str().into(),
            item.matters.as_str().into(),
            item.cite.status.says().into(),
        ]);
    }
    parts.push(table);
}

//! Night by night: in how many of a hundred years the rig gets through it.

use super::Setting;
use super::chart::{EDGE, LEADING, Names, Plot, sheet, step, words};
use crate::geometry::{Point, at};
use crate::marks::sheet::Area;
use crate::scene::{Path, Scene, Stroke};
use crate::style::{Tone, line};
use engine::sim::nights::Nights;
use engine::units::show;

/// What the chances are drawn from.
#[derive(Clone, Copy, Debug)]
pub struct NightChances<'a> {
    /// The nights.
    pub nights: &'a Nights,
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of the plot [mm].
const TALL: f64 = 44.0;

/// Draws the chances.
#[must_use]
pub fn night_chances(picture: &NightChances<'_>) -> Scene {
    let (nights, setting) = (picture.nights, picture.setting);
    let title = format!("How sure each night is, {}", nights.month_name());
    let (mut items, low) = words(at(EDGE, EDGE), setting.width - 2.0 * EDGE, &title, true);
    let left = EDGE + 12.0;
    let area = Area {
        corner: at(left, low + 3.0),
        width: setting.width - left - EDGE - 2.0,
        height: TALL,
    };
    let last = nights.chances.last().map_or(1, |c| c.night).max(1);
    let plot = Plot { area, across: (0.5, f64::from(last) + 0.5), up: (0.0, 1.0) };
    items.push(plot.ground());
    let mut outline: Vec<Point> = Vec::with_capacity(2 * nights.chances.len());
    for chance in &nights.chances {
        let night = f64::from(chance.night);
        outline.push(plot.place(night - 0.5, chance.p));
        outline.push(plot.place(night + 0.5, chance.p));
    }
    items.extend(plot.wash(&outline));
    let pencil = Stroke::dashed(Tone::Pencil, line::THIN, 1.4);
    for percent in [90.0, 50.0] {
        items.push(plot.level(percent / 100.0, pencil));
    }
    items.push(Path::line(&outline, Stroke::solid(Tone::Ink, line::NORMAL)).into());
    items.push(plot.axes());
    for percent in [100.0, 90.0, 50.0, 0.0] {
        // At this height "100 %" and "90 %" keep a hair between them.
        let up = if percent > 95.0 { percent / 100.0 + 0.02 } else { percent / 100.0 };
        items.push(plot.beside(up, &format!("{}\u{a0}%", show::fixed(percent, 0))));
    }
    let apart = step(f64::from(last), (area.width / 9.0).max(2.0)).max(1.0);
    let mut night = if apart > 1.5 { apart } else { 1.0 };
    while night <= f64::from(last) {
        items.push(plot.under(night, &show::decimal(night, 0)));
        night += apart;
    }
    let mut says = String::from("Night, counted from the evening of arrival with a full bank.");
    if let Some(asked) = nights.trip_nights {
        let chance = nights.chances.iter().rev().find(|c| f64::from(c.night) <= asked);
        if let Some(chance) = chance {
            let x = plot.x(f64::from(chance.night));
            let top = plot.y(chance.p);
            let stroke = Stroke::solid(Tone::Ink, line::HEAVY);
            items.push(Path::line(&[at(x, plot.low()), at(x, top)], stroke).into());
            says.push_str(&format!(
                " The heavy stroke is the trip's last night, {}: {} of 100 years get through it.",
                chance.night,
                show::fixed(100.0 * chance.p, 0)
            ));
        }
    }
    let under = plot.low() + LEADING + 1.5;
    let (more, low) = words(at(EDGE, under), setting.width - 2.0 * EDGE, &says, false);
    items.extend(more);
    let list: Vec<String> = nights
        .chances
        .iter()
        .map(|c| format!("{}: {} %", c.night, show::fixed(100.0 * c.p, 0)))
        .collect();
    let names = Names {
        rig: picture.of.0,
        stage: picture.of.1,
        sheet: "night by night",
        description: format!("Share of years that get through night {}.", list.join(", ")),
    };
    sheet(setting, &names, items, low)
}

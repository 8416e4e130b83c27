//! The worst week of ten years: what the bank holds hour by hour, the floor, and what charged it.

use super::Setting;
use super::chart::{EDGE, LEADING, Names, Plot, faint, sheet, words};
use crate::geometry::{Point, at};
use crate::marks::sheet::Area;
use crate::scene::{Anchor, Fill, Group, Item, Label, Path, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::sim::calendar::day_words;
use engine::sim::nights::Nights;
use engine::sim::outcome::Week;
use engine::units::show;

/// What the week is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct WorstWeek<'a> {
    /// The nights.
    pub nights: &'a Nights,
    /// Their worst week.
    pub week: &'a Week,
    /// Hour of the evening at which it begins.
    pub begins_h: f64,
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of the plot of charge [mm].
const TALL: f64 = 52.0;

/// Height of the strip of sun and other sources [mm].
const STRIP: f64 = 14.0;

/// Draws the week.
#[must_use]
pub fn worst_week(picture: &WorstWeek<'_>) -> Scene {
    let (nights, week, setting) = (picture.nights, picture.week, picture.setting);
    let wide = setting.width - 2.0 * EDGE;
    let title = format!("The worst week of ten years, from {}", day_words(week.start_day));
    let (mut items, low) = words(at(EDGE, EDGE), wide, &title, true);
    let left = EDGE + 12.0;
    let area = Area {
        corner: at(left, low + 3.0),
        width: setting.width - left - EDGE - 2.0,
        height: TALL,
    };
    let hours = f64::from(u16::try_from(week.soc.len()).unwrap_or(168)).max(1.0);
    let plot = Plot { area, across: (0.0, hours), up: (0.0, 1.0) };
    items.push(charge(&plot, week, nights).into());
    for percent in [100.0, 50.0, 0.0] {
        items.push(plot.beside(percent / 100.0, &format!("{}\u{a0}%", show::fixed(percent, 0))));
    }
    let mut low = plot.low();
    if week.sun_w.iter().chain(&week.other_w).any(|w| 0.0 < *w) {
        let area = Area { corner: at(left, low + 5.0), height: STRIP, ..area };
        let most = most_w(week);
        let strip = Plot { area, across: plot.across, up: (0.0, most) };
        items.extend(sources(&strip, week));
        items.push(strip.beside(most, &format!("{}\u{a0}W", show::fixed(most, 0))));
        items.push(strip.beside(0.0, "0"));
        low = strip.low();
    }
    items.extend(days(&plot, picture, low));
    let lowest = week.soc.iter().copied().fold(1.0, f64::min);
    let says = format!(
        "Charge left, hour by hour; lowest {} %. {}",
        show::fixed(100.0 * lowest, 0),
        charged(week)
    );
    let under = low + LEADING + 1.5;
    let (more, low) = words(at(EDGE, under), wide, &says, false);
    items.extend(more);
    let names = Names {
        rig: picture.of.0,
        stage: picture.of.1,
        sheet: "worst week",
        description: format!(
            "From {} the bank falls to {} %; the floor is {} %.",
            day_words(week.start_day),
            show::fixed(100.0 * lowest, 0),
            show::fixed(100.0 * nights.floor, 0)
        ),
    };
    sheet(setting, &names, items, low)
}

/// The line of charge with its wash, and the floor.
fn charge(plot: &Plot, week: &Week, nights: &Nights) -> Group {
    let mut group = Group::of("charge", vec![plot.ground()]);
    for quarter in [0.25, 0.5, 0.75] {
        group.items.push(plot.level(quarter, faint()));
    }
    let mut points: Vec<Point> = vec![plot.place(0.0, 1.0)];
    for (hour, soc) in (1_u16..).zip(&week.soc) {
        points.push(plot.place(f64::from(hour), soc.clamp(0.0, 1.0)));
    }
    group.items.extend(plot.wash(&points));
    let stroke = Stroke::solid(Tone::Ink, line::THIN);
    group.items.push(plot.level(nights.floor, stroke));
    group.items.push(Path::line(&points, Stroke::solid(Tone::Ink, line::HEAVY)).into());
    group.items.push(plot.axes());
    let text = format!("floor {}\u{a0}%", show::fixed(100.0 * nights.floor, 0));
    // The word stands where the line of charge is far from the floor: at the start of the week.
    let place = at(plot.area.corner.x + 1.5, plot.y(nights.floor) + size::SMALL * 1.0);
    group.items.push(Label::new(place, &text, size::SMALL).rimmed(Tone::Wash).into());
    group
}

fn most_w(week: &Week) -> f64 {
    let all = week.sun_w.iter().zip(&week.other_w).map(|(sun, other)| sun + other);
    all.fold(0.0, f64::max)
}

/// Sun as steps in wash, the other sources hatched on top of it.
fn sources(strip: &Plot, week: &Week) -> Vec<Item> {
    let mut items = vec![strip.ground()];
    let steps = |of: &dyn Fn(usize) -> f64| -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        for (hour, index) in (0_u16..).zip(0..week.sun_w.len()) {
            let up = of(index);
            let level = points.last().is_some_and(|p| (p.y - strip.y(up)).abs() < 1e-9);
            if level {
                points.pop();
            } else {
                points.push(strip.place(f64::from(hour), up));
            }
            points.push(strip.place(f64::from(hour) + 1.0, up));
        }
        points
    };
    let thin = Stroke::solid(Tone::Ink, line::THIN);
    if week.other_w.iter().any(|w| 0.0 < *w) {
        let both = steps(&|i| week.sun_w[i] + week.other_w[i]);
        if let (Some(first), Some(last)) = (both.first().copied(), both.last().copied()) {
            let mut shape = vec![at(first.x, strip.low())];
            shape.extend_from_slice(&both);
            shape.push(at(last.x, strip.low()));
            items.push(Path::shape(&shape, Some(thin), Fill::Hatch(Tone::Pencil, 1.2)).into());
        }
    }
    if week.sun_w.iter().any(|w| 0.0 < *w) {
        let sun = steps(&|i| week.sun_w[i]);
        items.extend(strip.wash(&sun));
        items.push(Path::line(&sun, thin).into());
    }
    items.push(strip.axes());
    items
}

fn charged(week: &Week) -> String {
    let wh = |list: &[f64]| list.iter().sum::<f64>();
    let (sun, other) = (wh(&week.sun_w), wh(&week.other_w));
    let kwh = |wh: f64| format!("{}\u{a0}kWh", show::fixed(wh / 1000.0, 1));
    match (0.0 < sun, 0.0 < other) {
        (false, false) => "Nothing charges it in this week.".to_owned(),
        (true, false) => format!("Under it the sun that was taken: {} in the week.", kwh(sun)),
        (false, true) => {
            format!("Under it, hatched, generator or engine: {} in the week.", kwh(other))
        }
        (true, true) => format!(
            "Under it the sun that was taken, {}, and hatched on top generator or engine, {}.",
            kwh(sun),
            kwh(other)
        ),
    }
}

/// A stroke at each midnight and the date under the day.
fn days(plot: &Plot, picture: &WorstWeek<'_>, low: f64) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    let hours = plot.across.1;
    let mut midnight = 24.0 - picture.begins_h;
    let mut day = picture.week.start_day + 1;
    // On a narrow sheet every other day is named.
    let each = if plot.area.width / 7.0 < 14.0 { 2 } else { 1 };
    let mut count = 0;
    while midnight < hours {
        let x = plot.x(midnight);
        let stroke = Stroke::solid(Tone::Pencil, line::THIN);
        items.push(Path::line(&[at(x, low), at(x, low + 1.2)], stroke).into());
        let noon = midnight + 12.0;
        if count % each == 0 && noon < hours {
            let place = at(plot.x(noon), low + size::SMALL * 1.1);
            let label = Label::new(place, &day_words(day), size::SMALL).tone(Tone::Pencil);
            items.push(label.anchored(Anchor::Middle).into());
        }
        midnight += 24.0;
        day += 1;
        count += 1;
    }
    items
}

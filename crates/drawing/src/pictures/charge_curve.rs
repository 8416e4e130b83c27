//! The course of a charge from half to full: the volts at the source and at the posts, the amps, and
//! where absorption, the tail and full really are.

use super::Setting;
use super::chart::{EDGE, LEADING, Names, Plot, faint, sheet, step, steps, words};
use crate::geometry::{Point, at};
use crate::marks::lead::ring;
use crate::marks::sheet::Area;
use crate::scene::{Group, Item, Path, Scene, Stroke};
use crate::style::{Tone, line};
use engine::sim::charge_course::{ChargeCourse, ChargeMoment};
use engine::units::show;

/// What the card is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct ChargeCurve<'a> {
    /// The course.
    pub course: &'a ChargeCourse,
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Heights of the two plots [mm].
const VOLTS: f64 = 34.0;
const AMPS: f64 = 26.0;

/// Room over the plots for the numbers of the moments: one row each [mm].
const RINGS: f64 = 6.4;

/// Moments closer than this are one [h].
const SAME_H: f64 = 0.1;

/// Draws the card.
#[must_use]
pub fn charge_curve(picture: &ChargeCurve<'_>) -> Scene {
    let (course, setting) = (picture.course, picture.setting);
    let wide = setting.width - 2.0 * EDGE;
    let title = format!("From half to full with the {}", course.source);
    let (mut items, low) = words(at(EDGE, EDGE), wide, &title, true);
    let marks = moments(course);
    let rows = f64::from(u8::try_from(marks.len()).unwrap_or(0));
    let left = EDGE + 13.0;
    let corner = at(left, low + 2.0 + rows * RINGS);
    let area = Area { corner, width: setting.width - left - EDGE - 2.0, height: VOLTS };
    let hours = course.moments.last().map_or(1.0, |m| m.hours).max(0.5);
    let volts = Plot { area, across: (0.0, hours), up: volt_range(course) };
    let lower = Area { corner: at(left, volts.low() + 4.0), height: AMPS, ..area };
    let most = course.moments.iter().map(|m| m.amps).fold(0.0, f64::max);
    let amps = Plot { area: lower, across: volts.across, up: (0.0, most * 1.1) };
    items.extend(volt_items(&volts, course));
    items.extend(amp_items(&amps, course));
    for hour in steps(0.0, hours, step(hours, area.width / 12.0)) {
        items.push(amps.under(hour, &show::decimal(hour, 1)));
    }
    for (row, (n, (moment, _))) in (1_u8..).zip(&marks).enumerate() {
        let row = f64::from(u8::try_from(row).unwrap_or(0));
        let x = volts.x(moment.hours);
        let y = low + 2.0 + (row + 0.5) * RINGS;
        let stroke = Stroke::dashed(Tone::Pencil, line::THIN, 1.2);
        items.push(Path::line(&[at(x, y), at(x, amps.low())], stroke).into());
        items.push(ring(at(x, y), &n.to_string(), Tone::Ink).into());
    }
    let mut under = amps.low() + LEADING + 1.5;
    let mut say = |text: &str, items: &mut Vec<Item>| {
        let (more, low) = words(at(EDGE, under), wide, text, false);
        items.extend(more);
        under = low + 0.8;
    };
    say(
        "Hours of charging, nothing running. Above volts, heavy at the posts, thin at the source; below amps.",
        &mut items,
    );
    for (n, (_, text)) in (1_u8..).zip(&marks) {
        say(&format!("{n}\u{a0}\u{a0}{text}"), &mut items);
    }
    for text in ends(course) {
        say(&text, &mut items);
    }
    let names = Names {
        rig: picture.of.0,
        stage: picture.of.1,
        sheet: "charge curve",
        description: marks.iter().map(|m| m.1.clone()).collect::<Vec<_>>().join(" "),
    };
    sheet(setting, &names, items, under)
}

/// The moments worth a number, in order, with what they mean.
fn moments(course: &ChargeCourse) -> Vec<(ChargeMoment, String)> {
    let at = |m: &ChargeMoment| {
        format!(
            "{}\u{a0}h, {}\u{a0}% charge, {}\u{a0}A",
            show::fixed(m.hours, 1),
            show::fixed(100.0 * m.soc, 0),
            show::fixed(m.amps, 1)
        )
    };
    let mut all: Vec<(ChargeMoment, String)> = Vec::new();
    let volts = |v: f64| format!("{}\u{a0}V", show::fixed(v, 2));
    if let Some(m) = course.absorbs {
        let posts = m.posts_v.map_or_else(String::new, |v| {
            format!(" {} on the source, {} at the posts.", volts(course.set_v), volts(v))
        });
        all.push((m, format!("Absorption begins: {}.{posts}", at(&m))));
    }
    if let Some(m) = course.tail.filter(|m| course.absorbs.is_some_and(|a| a.hours <= m.hours)) {
        all.push((m, format!("The tail is reached: {}.", at(&m))));
    }
    if let Some(m) = course.lets_go {
        all.push((m, format!("The source lets go before the bank is full: {}.", at(&m))));
    }
    if let Some(m) = course.full {
        all.push((m, format!("Counted as full: {}.", at(&m))));
    }
    all.sort_by(|a, b| a.0.hours.total_cmp(&b.0.hours));
    // What falls on the same moment has one number.
    let mut apart: Vec<(ChargeMoment, String)> = Vec::new();
    for (moment, text) in all {
        match apart.last_mut() {
            Some(last) if moment.hours - last.0.hours < SAME_H => {
                last.1.push(' ');
                last.1.push_str(&text);
            }
            _ => apart.push((moment, text)),
        }
    }
    apart
}

fn ends(course: &ChargeCourse) -> Vec<String> {
    let mut all = Vec::new();
    if course.full.is_none() && course.lets_go.is_none() {
        let last = course.moments.last().map_or(0.0, |m| m.soc);
        all.push(format!(
            "It never gets there: {}\u{a0}% after two days.",
            show::fixed(100.0 * last, 0)
        ));
    }
    if course.lead {
        all.push(
            "How the amps fall rests on a formula from memory, not verified; the dashed volts are \
             not followed."
                .to_owned(),
        );
    }
    all
}

fn volt_range(course: &ChargeCourse) -> (f64, f64) {
    let posts = course.moments.iter().filter_map(|m| m.posts_v);
    let low = posts.chain(course.rest_v).fold(course.set_v, f64::min);
    let span = (course.set_v - low).max(0.02 * course.set_v);
    (low - 0.08 * span, course.set_v + 0.12 * span)
}

fn volt_items(plot: &Plot, course: &ChargeCourse) -> Vec<Item> {
    let mut items = vec![plot.ground()];
    let (low, high) = plot.up;
    for volts in steps(low, high, step(high - low, 4.0)) {
        items.push(plot.level(volts, faint()));
        items.push(plot.beside(volts, &format!("{}\u{a0}V", show::decimal(volts, 1))));
    }
    let posts: Vec<Point> =
        course.moments.iter().filter_map(|m| Some(plot.place(m.hours, m.posts_v?))).collect();
    let first = posts.first().copied();
    if let Some((rest, first)) = course.rest_v.zip(first) {
        let stroke = Stroke::dashed(Tone::Pencil, line::NORMAL, 1.6);
        items.push(Path::line(&[plot.place(0.0, rest), first], stroke).into());
        let set = [at(first.x, plot.y(course.set_v)), at(plot.right(), plot.y(course.set_v))];
        items.push(Path::line(&set, Stroke::solid(Tone::Ink, line::THIN)).into());
    }
    items.push(Path::line(&posts, Stroke::solid(Tone::Ink, line::HEAVY)).into());
    items.push(plot.axes());
    vec![Group::of("volts", items).into()]
}

fn amp_items(plot: &Plot, course: &ChargeCourse) -> Vec<Item> {
    let mut items = vec![plot.ground()];
    let high = plot.up.1;
    let points: Vec<Point> = course.moments.iter().map(|m| plot.place(m.hours, m.amps)).collect();
    items.extend(plot.wash(&points));
    for amps in steps(0.0, high, step(high, 3.0)) {
        items.push(plot.beside(amps, &format!("{}\u{a0}A", show::decimal(amps, 0))));
    }
    items.push(Path::line(&points, Stroke::solid(Tone::Ink, line::NORMAL)).into());
    items.push(plot.axes());
    vec![Group::of("amps", items).into()]
}

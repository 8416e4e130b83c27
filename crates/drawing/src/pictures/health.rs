//! What is left of the capacity: the tests with their errors, the line and its band, the mark of 80 %, and
//! when it is crossed.

use super::Setting;
use super::chart::{EDGE, Names, Plot, faint, sheet, steps, words};
use super::years::{axis, span};
use crate::geometry::{Point, at};
use crate::marks::sheet::Area;
use crate::scene::{Circle, Fill, Group, Item, Label, Path, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::care::capacity::{CapacityResult, Health};
use engine::care::cells::Range;
use engine::care::course::{month, years};
use engine::units::show::fixed;

/// What the picture is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct HealthPicture<'a> {
    /// What is left.
    pub health: &'a Health,
    /// The tests, oldest first.
    pub tests: &'a [CapacityResult],
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of the plot [mm].
const TALL: f64 = 60.0;
/// The end of service life, as the rule on it has it [%].
const END: f64 = 80.0;

/// Draws what is left; `None` where there is neither a line nor a test.
#[must_use]
pub fn health(picture: &HealthPicture<'_>) -> Option<Scene> {
    let (health, setting) = (picture.health, picture.setting);
    let days = health.line.iter().map(|l| l.0).chain(picture.tests.iter().map(|t| t.on));
    let late = health.below_80.or(health.below_80_early);
    let days: Vec<f64> = days.chain(late).chain(health.below_80_late).map(years).collect();
    let first = days.iter().copied().min_by(f64::total_cmp)?;
    let last = days.iter().copied().max_by(f64::total_cmp)?;
    let wide = setting.width - 2.0 * EDGE;
    let (mut items, low) = words(at(EDGE, EDGE), wide, "What is left of the capacity", true);
    let left = EDGE + 14.0;
    let area = Area {
        corner: at(left, low + 3.0),
        width: setting.width - left - EDGE - 6.0,
        height: TALL,
    };
    let plot = Plot { area, across: span(first, last.max(first + 0.2)), up: up(picture) };
    items.push(plot.ground());
    items.extend(axis(&plot));
    for mark in steps(plot.up.0, plot.up.1, 10.0) {
        items.push(plot.level(mark, faint()));
        items.push(plot.beside(mark, &format!("{}\u{a0}%", fixed(mark, 0))));
    }
    items.extend(line_and_band(&plot, health));
    items.push(plot.level(END, Stroke::solid(Tone::Ink, line::NORMAL)));
    items.extend(crossing(&plot, health));
    items.extend(picture.tests.iter().map(|t| test(&plot, t).into()));
    items.push(plot.axes());
    let under = plot.low() + size::SMALL * 2.2;
    let says = says(picture);
    let (more, low) = words(at(EDGE, under), wide, &says, false);
    items.extend(more);
    let names =
        Names { rig: picture.of.0, stage: picture.of.1, sheet: "capacity left", description: says };
    Some(sheet(setting, &names, items, low))
}

/// Down to the lowest thing that is drawn, and up to the highest.
fn up(picture: &HealthPicture<'_>) -> (f64, f64) {
    let of = |r: &Range| [r.low, r.high];
    let line = picture.health.line.iter().flat_map(|l| of(&l.1));
    let all = line.chain(picture.tests.iter().flat_map(|t| of(&t.share))).map(|v| v * 100.0);
    let (low, high) = all.fold((END - 10.0, 105.0_f64), |(l, h), v| (l.min(v), h.max(v)));
    (((low / 10.0).floor() * 10.0).max(0.0), ((high / 10.0).ceil() * 10.0).min(140.0))
}

fn line_and_band(plot: &Plot, health: &Health) -> Vec<Item> {
    if health.line.len() < 2 {
        return Vec::new();
    }
    let clip = |v: f64| (100.0 * v).clamp(plot.up.0, plot.up.1);
    let place = |day, v: f64| plot.place(years(day), clip(v));
    let mut shape: Vec<Point> = health.line.iter().map(|(d, r)| place(*d, r.high)).collect();
    shape.extend(health.line.iter().rev().map(|(d, r)| place(*d, r.low)));
    let middle: Vec<Point> = health.line.iter().map(|(d, r)| place(*d, r.now)).collect();
    vec![
        Path::shape(&shape, None, Fill::Flat(Tone::Wash)).into(),
        Path::line(&middle, Stroke::solid(Tone::Pencil, line::HEAVY)).into(),
    ]
}

/// When 80 % is crossed: a bar from early to late on the line of 80 %, a dot at the likeliest.
fn crossing(plot: &Plot, health: &Health) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    let x = |day| plot.x(years(day)).clamp(plot.area.corner.x, plot.right());
    let y = plot.y(END);
    if let (Some(early), Some(_)) = (health.below_80_early, health.below_80) {
        let late = health.below_80_late.map_or_else(|| plot.right(), x);
        let bar = [at(x(early), y), at(late, y)];
        items.push(Path::line(&bar, Stroke::solid(Tone::Ink, 1.6)).into());
    }
    if let Some(day) = health.below_80 {
        let dot = Circle {
            centre: at(x(day), y),
            radius: 1.7,
            stroke: Some(Stroke::solid(Tone::Ink, line::NORMAL)),
            fill: Fill::Flat(Tone::Light),
        };
        items.push(dot.into());
    }
    let label =
        Label::new(at(plot.area.corner.x + 1.5, y - 1.4), "end of service: 80\u{a0}%", size::SMALL);
    items.push(label.rimmed(Tone::Light).into());
    items
}

/// A test: a dot with its error as an upright bar with feet.
fn test(plot: &Plot, test: &CapacityResult) -> Group {
    let ink = Stroke::solid(Tone::Ink, line::NORMAL);
    let x = plot.x(years(test.on));
    let y = |v: f64| plot.y((100.0 * v).clamp(plot.up.0, plot.up.1));
    let (low, high) = (y(test.share.low), y(test.share.high));
    let foot = |at_y: f64| Path::line(&[at(x - 1.2, at_y), at(x + 1.2, at_y)], ink).into();
    let dot = Circle {
        centre: at(x, y(test.share.now)),
        radius: 1.2,
        stroke: None,
        fill: Fill::Flat(Tone::Ink),
    };
    let bar = Path::line(&[at(x, low), at(x, high)], ink).into();
    Group {
        title: Some(format!("{}: {} %", test.on, fixed(100.0 * test.share.now, 0))),
        ..Group::of("test", vec![bar, foot(low), foot(high), dot.into()])
    }
}

fn says(picture: &HealthPicture<'_>) -> String {
    let health = picture.health;
    let percent = |v: f64| format!("{}\u{a0}%", fixed(100.0 * v, 0));
    let rests = match health.tests {
        0 => "no test was made: it rests on age and use alone".to_owned(),
        1 => "it rests on one test".to_owned(),
        n => format!("it rests on {n} tests"),
    };
    let now = format!(
        "About {} are left, {} to {}; {rests}.",
        percent(health.now.now),
        percent(health.now.low),
        percent(health.now.high)
    );
    let when = match (health.below_80, health.below_80_early, health.below_80_late) {
        // The course begins below it: there is no day to be told.
        (Some(_), Some(early), Some(late)) if month(early) == month(late) => {
            format!(" It is under 80\u{a0}%, and was by {} at the latest.", month(late))
        }
        (Some(likely), Some(early), Some(late)) => format!(
            " As likely as not under 80\u{a0}% by {}; hardly before {}, almost surely by {}.",
            month(likely),
            month(early),
            month(late)
        ),
        (Some(likely), Some(early), None) => format!(
            " As likely as not under 80\u{a0}% by {}; hardly before {}. How late it may be nobody can \
             say yet.",
            month(likely),
            month(early)
        ),
        _ => String::new(),
    };
    format!("{now}{when}")
}

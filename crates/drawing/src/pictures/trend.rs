//! The trend: every cell's corrected gravity over the years. The sound ones are a band, their middle is
//! pencil, a cell that stands out is ink with its name at the end; what was done stands under it.

use super::Setting;
use super::chart::{EDGE, Names, Plot, faint, sheet, step, steps, words};
use super::years::{axis, row, span};
use crate::geometry::{Point, at};
use crate::marks::sheet::Area;
use crate::scene::{Circle, Dash, Fill, Group, Item, Label, Path, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::care::Care;
use engine::care::cells::{CellHistory, CellState};
use engine::care::course::{Done, counts, done, ends, middles, years};
use engine::evidence::log::Log;
use engine::units::show::fixed;

/// What the trend is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct Trend<'a> {
    /// What the log says.
    pub care: &'a Care,
    /// The log, for what was done.
    pub log: &'a Log,
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of the plot [mm].
const TALL: f64 = 72.0;
/// Room at the right for the names of cells [mm].
const NAMES: f64 = 12.0;
/// At most so many cells are drawn by themselves; more would be a tangle.
const MOST: usize = 6;

/// Draws the trend; `None` before two days with readings.
#[must_use]
pub fn trend(picture: &Trend<'_>) -> Option<Scene> {
    let cells = &picture.care.cells;
    let middle: Vec<(f64, f64)> = middles(cells).iter().map(|m| (years(m.0), m.1)).collect();
    let (first, last) = (middle.first()?.0, middle.last()?.0);
    if last <= first {
        return None;
    }
    let setting = picture.setting;
    let wide = setting.width - 2.0 * EDGE;
    let (mut items, low) = words(at(EDGE, EDGE), wide, "Gravity of each cell", true);
    let left = EDGE + 24.0;
    let area = Area {
        corner: at(left, low + 3.0),
        width: setting.width - left - EDGE - NAMES,
        height: TALL,
    };
    let plot = Plot { area, across: span(first, last), up: up(cells) };
    let odd = standing_out(cells);
    items.push(plot.ground());
    items.extend(axis(&plot));
    for mark in steps(plot.up.0, plot.up.1, step(plot.up.1 - plot.up.0, 7.0)) {
        items.push(plot.level(mark, faint()));
        items.push(plot.beside(mark, &fixed(mark, 3)));
    }
    items.extend(band(&plot, cells, &odd));
    items.push(course(&plot, &middle).into());
    items.extend(lines(&plot, &odd));
    items.push(plot.axes());
    let marks: Vec<(f64, Done)> =
        done(picture.log).into_iter().map(|(day, what)| (years(day), what)).collect();
    let low = doings(&plot, &marks, &mut items);
    let (more, low) = words(at(EDGE, low), wide, &says(&odd, cells.len()), false);
    items.extend(more);
    let names = Names {
        rig: picture.of.0,
        stage: picture.of.1,
        sheet: "gravity over the years",
        description: says(&odd, cells.len()),
    };
    Some(sheet(setting, &names, items, low))
}

/// From a little under the lowest reading to a little over the highest.
fn up(cells: &[CellHistory]) -> (f64, f64) {
    let read = cells.iter().flat_map(|c| &c.points).filter(|p| counts(p)).map(|p| p.corrected);
    let (low, high) =
        read.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    (((low - 0.005) * 50.0).floor() / 50.0, ((high + 0.005) * 50.0).ceil() / 50.0)
}

/// The cells that stand out, the worst first.
fn standing_out(cells: &[CellHistory]) -> Vec<&CellHistory> {
    let mut odd: Vec<&CellHistory> = cells
        .iter()
        .filter(|c| matches!(c.state, CellState::Watch | CellState::Behind | CellState::Failing))
        .collect();
    odd.sort_by(|a, b| b.state.cmp(&a.state).then(a.cell.cmp(&b.cell)));
    odd.truncate(MOST);
    odd
}

/// From the lowest to the highest of the other cells on each day.
fn band(plot: &Plot, cells: &[CellHistory], odd: &[&CellHistory]) -> Option<Item> {
    let sound = cells.iter().filter(|c| odd.iter().all(|o| o.cell != c.cell));
    let days = ends(sound);
    if days.len() < 2 {
        return None;
    }
    let mut shape: Vec<Point> = days.iter().map(|d| plot.place(years(d.0), d.2)).collect();
    shape.extend(days.iter().rev().map(|d| plot.place(years(d.0), d.1)));
    Some(Path::shape(&shape, None, Fill::Flat(Tone::Wash)).into())
}

fn course(plot: &Plot, middle: &[(f64, f64)]) -> Group {
    let points: Vec<Point> = middle.iter().map(|(d, v)| plot.place(*d, *v)).collect();
    let pencil = Stroke::solid(Tone::Pencil, line::NORMAL);
    Group {
        title: Some("Middle of all cells".to_owned()),
        ..Group::of("middle", vec![Path::line(&points, pencil).into()])
    }
}

/// The cells that stand out: whole, dashed or dotted lines, and their names at the right, one under the other
/// where they would touch.
fn lines(plot: &Plot, odd: &[&CellHistory]) -> Vec<Item> {
    let dashes = [Dash::Solid, Dash::Dashed(2.4), Dash::Dashed(0.9)];
    let mut items = Vec::new();
    let mut ends: Vec<(f64, String, bool)> = Vec::new();
    for (n, cell) in odd.iter().enumerate() {
        let read = cell.points.iter().filter(|p| counts(p));
        let points: Vec<Point> =
            read.map(|p| plot.place(years(p.at.date()), p.corrected)).collect();
        let stroke = Stroke { tone: Tone::Ink, width: line::HEAVY, dash: dashes[n % 3] };
        let mut group = Group {
            title: Some(format!("{}: {}", cell.cell, cell.state.word())),
            ..Group::of("cell", Vec::new())
        };
        group.items.push(Path::line(&points, stroke).into());
        if let Some(end) = points.last() {
            let dot =
                Circle { centre: *end, radius: 0.9, stroke: None, fill: Fill::Flat(Tone::Ink) };
            group.items.push(dot.into());
            ends.push((end.y, cell.cell.to_string(), cell.state == CellState::Failing));
        }
        items.push(group.into());
    }
    items.extend(names(plot, ends));
    items
}

fn names(plot: &Plot, mut ends: Vec<(f64, String, bool)>) -> Vec<Item> {
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (apart, top, low) = (size::SMALL * 1.25, plot.area.corner.y + 2.0, plot.low() - 1.0);
    let count = f64::from(u32::try_from(ends.len()).unwrap_or(0));
    let mut y = f64::NEG_INFINITY;
    let mut items = Vec::new();
    for (n, (at_y, name, bold)) in ends.into_iter().enumerate() {
        let after = count - 1.0 - f64::from(u32::try_from(n).unwrap_or(0));
        y = at_y.clamp(top, low - after * apart).max(y + apart);
        let label = Label::new(at(plot.right() + 1.6, y), &name, size::SMALL).levelled();
        items.push(if bold { label.bold() } else { label }.into());
    }
    items
}

/// How one kind of doing is marked.
type Mark = fn(Point, Stroke) -> Item;

/// What was done, a line for each kind; where the words under it begin.
fn doings(plot: &Plot, done: &[(f64, Done)], items: &mut Vec<Item>) -> f64 {
    let mut y = plot.low() + size::SMALL * 2.4;
    let of = |wanted: fn(&Done) -> bool| -> Vec<f64> {
        let marks = done.iter().filter(|d| wanted(&d.1)).map(|d| d.0);
        marks.filter(|d| plot.across.0 <= *d && *d <= plot.across.1).collect()
    };
    let ink = Stroke::solid(Tone::Ink, line::NORMAL);
    let kinds: [(&str, Vec<f64>, Mark); 3] = [
        ("equalised", of(|d| *d == Done::Equalised), |p, ink| {
            let shape = [p.moved(0.0, -1.5), p.moved(1.4, 1.1), p.moved(-1.4, 1.1)];
            Path::shape(&shape, Some(ink), Fill::Flat(Tone::Light)).into()
        }),
        ("watered", of(|d| *d == Done::Watered), |p, ink| {
            let fill = Fill::Flat(Tone::Light);
            Circle { centre: p, radius: 0.9, stroke: Some(ink), fill }.into()
        }),
        ("replaced", of(|d| matches!(d, Done::Replaced(_))), |p, _| {
            let shape =
                [p.moved(0.0, -1.7), p.moved(1.7, 0.0), p.moved(0.0, 1.7), p.moved(-1.7, 0.0)];
            Path::shape(&shape, None, Fill::Flat(Tone::Ink)).into()
        }),
    ];
    for (word, days, mark) in kinds {
        if !days.is_empty() {
            items.extend(row(plot, y, word, &days, |p| mark(p, ink)));
            y += 5.2;
        }
    }
    y - 1.5
}

fn says(odd: &[&CellHistory], all: usize) -> String {
    let named: Vec<String> = odd.iter().map(|c| format!("{} {}", c.cell, c.state.word())).collect();
    let first = if named.is_empty() {
        format!("None of {all} cells stands out.")
    } else {
        format!("{}.", named.join(", "))
    };
    format!(
        "{first} The shaded band holds the other cells, the grey line is the middle of all. Corrected \
         for temperature; readings that are doubted are left out."
    )
}

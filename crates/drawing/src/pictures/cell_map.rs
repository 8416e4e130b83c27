//! The cell map: every cell in the order in which it lies in the box as one stands before it, with its
//! gravity or a blank to write it in, how far it lies from the middle, and which one fails.

use super::chart::{EDGE, words};
use super::{Foot, Setting, Subject};
use crate::geometry::{Point, at};
use crate::marks::finding::sign;
use crate::marks::sheet::{Area, frame, ground, title_block};
use crate::scene::{Anchor, Circle, Fill, Group, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::care::cells::{CellHistory, CellState, GravityPoint};
use engine::care::course::counts;
use engine::evidence::log::CellId;
use engine::finding::Severity;
use engine::layout::plan::PlacedBlock;
use engine::units::show::fixed;

/// What the cell map is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct CellMap<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// What the log says of each cell; empty for a map to write in.
    pub cells: &'a [CellHistory],
    /// The paper.
    pub setting: &'a Setting,
}

/// A cell on the sheet: room for `1.265`, `−0.031` and a word in two lines [mm].
const CELL: (f64, f64) = (16.5, 26.0);
/// From the case to its cells, with the name above them [mm].
const CASE: f64 = 2.0;
const NAME: f64 = 6.5;
/// Between two cases [mm].
const GAP: f64 = 3.0;
/// The offset at which the small scale ends; a cell beyond lies at its end.
const MOST: f64 = 0.050;

/// Draws the cell map; `None` where no block has cells that can be opened.
#[must_use]
pub fn cell_map(picture: &CellMap<'_>) -> Option<Scene> {
    let blocks: Vec<Drawn<'_>> =
        picture.subject.layout.plan.blocks.iter().filter_map(Drawn::of).collect();
    if blocks.is_empty() {
        return None;
    }
    let columns = ranks(&blocks, |b| b.block.corner.x.as_mm() + b.block.length.as_mm() / 2.0);
    // What is further from the owner lies higher on the sheet.
    let rows = ranks(&blocks, |b| -b.block.corner.y.as_mm() - b.block.width.as_mm() / 2.0);
    let wide = starts(&blocks, &columns, |b| b.size().0);
    let tall = starts(&blocks, &rows, |b| b.size().1);
    let left = EDGE + 2.0;
    let mut items: Vec<Item> = Vec::new();
    for (n, block) in blocks.iter().enumerate() {
        let corner = at(left + wide.0[columns[n]], EDGE + 2.0 + tall.0[rows[n]]);
        items.push(block.draw(corner, picture.cells).into());
    }
    let width = (2.0 * left + wide.1).max(picture.setting.width.min(90.0));
    let stand = at(left, EDGE + 2.0 + tall.1 + 2.4);
    let (more, mut low) = words(stand, width - 2.0 * left, &foot(picture), false);
    items.extend(more);
    low += EDGE;
    if picture.setting.foot == Foot::TitleBlock {
        let wide = (width - 2.0 * EDGE).min(97.0);
        let rig = &picture.subject.design.rig;
        let cells = [
            ("rig", rig.name.as_str()),
            ("sheet", "cell map"),
            ("stage", picture.subject.stage_name()),
        ];
        let (block, high) = title_block(at(width - EDGE - wide, low), wide, &cells);
        items.push(block.into());
        low += high + EDGE;
    }
    let whole = Area { corner: at(0.0, 0.0), width, height: low };
    let inner = Area { corner: at(1.0, 1.0), width: width - 2.0, height: low - 2.0 };
    items.splice(0..0, [ground(whole), frame(inner)]);
    Some(Scene {
        id: picture.setting.id.clone(),
        title: format!("Cell map, {}", picture.subject.design.rig.name),
        description: description(picture),
        width,
        height: low,
        view: None,
        items,
    })
}

fn foot(picture: &CellMap<'_>) -> String {
    let seen = picture.subject.design.enclosure.as_ref().and_then(|e| e.seen_from.clone());
    let from = seen.map_or_else(|| "where you stand".to_owned(), |s| format!("the {s}"));
    if picture.cells.is_empty() {
        return format!(
            "You stand here, at {from}. Cell 1 of a block is the one at its plus post."
        );
    }
    format!(
        "You stand here, at {from}. Corrected gravity of the last reading that counts; under it how \
         far the cell lies from the middle of its neighbours, and the same as a dot beside the line."
    )
}

/// A block with its cells in the order in which they lie.
struct Drawn<'a> {
    block: &'a PlacedBlock,
    /// Numbers of its cells from 0 at the plus post, from left to right or from far to near.
    order: Vec<u32>,
    /// They lie one behind the other rather than side by side.
    behind: bool,
}

impl<'a> Drawn<'a> {
    fn of(block: &'a PlacedBlock) -> Option<Self> {
        let (first, last) = (block.caps.first()?, block.caps.last()?);
        let (across, deep) = (last.x.as_mm() - first.x.as_mm(), last.y.as_mm() - first.y.as_mm());
        let behind = across.abs() < deep.abs();
        // Cell 0 is at the plus post: the caps are counted from the end nearer to it.
        let plus = |at: &engine::model::part::PlanPoint| {
            let (dx, dy) = (at.x - block.plus.at.x, at.y - block.plus.at.y);
            dx.as_mm() * dx.as_mm() + dy.as_mm() * dy.as_mm()
        };
        let count = u32::try_from(block.caps.len()).ok()?;
        let from_plus = plus(first) <= plus(last);
        let mut order: Vec<u32> = (0..count).collect();
        if !from_plus {
            order.reverse();
        }
        // From left to right, and from far to near; y grows away from the owner.
        let turned = if behind { 0.0 < deep } else { across < 0.0 };
        if turned {
            order.reverse();
        }
        Some(Self { block, order, behind })
    }

    fn size(&self) -> (f64, f64) {
        let count = f64::from(u32::try_from(self.order.len()).unwrap_or(1));
        let (across, down) = if self.behind { (1.0, count) } else { (count, 1.0) };
        (across * CELL.0 + 2.0 * CASE, down * CELL.1 + CASE + NAME)
    }

    fn draw(&self, corner: Point, cells: &[CellHistory]) -> Group {
        let (width, height) = self.size();
        let name = self.block.id.to_string();
        let mut group = Group::named(&format!("map-{name}"), "block", &format!("Block {name}"));
        let ink = Some(Stroke::solid(Tone::Ink, line::HEAVY));
        let case =
            Rect { corner, width, height, round: 1.2, stroke: ink, fill: Fill::Flat(Tone::Light) };
        group.items.push(case.into());
        let title = Label::new(corner.moved(CASE + 0.5, NAME / 2.0), &name, size::NAME);
        group.items.push(title.bold().levelled().into());
        let plus_first = self.order.first() == Some(&0);
        group.items.extend(self.signs(corner, plus_first));
        for (n, cell) in self.order.iter().enumerate() {
            let step = f64::from(u32::try_from(n).unwrap_or(0));
            let (x, y) = if self.behind { (0.0, step * CELL.1) } else { (step * CELL.0, 0.0) };
            let place = corner.moved(CASE + x, NAME + y);
            let id = CellId { block: self.block.id, cell: *cell };
            let history = cells.iter().find(|c| c.cell == id);
            group.items.push(cell_box(place, id, history, !cells.is_empty()).into());
        }
        group
    }

    /// The signs of the posts in the head of the case, at the ends where they are.
    fn signs(&self, corner: Point, plus_first: bool) -> Vec<Item> {
        let right = corner.x + self.size().0 - CASE - 0.5;
        let sign = |x: f64, plus: bool| -> Item {
            let (text, tone) = if plus { ("+", Tone::Red) } else { ("−", Tone::Ink) };
            let label = Label::new(at(x, corner.y + NAME / 2.0), text, size::NAME).bold();
            label.tone(tone).anchored(Anchor::End).levelled().into()
        };
        if self.behind {
            // The far end is the upper one: only its sign has room in the head.
            return vec![sign(right, plus_first)];
        }
        let left = right - self.size().0 + 2.0 * CASE + 1.0 + 14.0;
        vec![sign(left, plus_first), sign(right, !plus_first)]
    }
}

/// Which rank each block has along one direction: blocks that lie level share one.
fn ranks(blocks: &[Drawn<'_>], place: impl Fn(&Drawn<'_>) -> f64) -> Vec<usize> {
    let places: Vec<f64> = blocks.iter().map(place).collect();
    let mut sorted = places.clone();
    sorted.sort_by(f64::total_cmp);
    // Blocks less than a hand's breadth apart lie level.
    sorted.dedup_by(|b, a| *b - *a < LEVEL_MM);
    places.iter().map(|p| sorted.iter().filter(|s| **s + LEVEL_MM <= *p).count()).collect()
}

/// Middles closer than this lie level [mm of the rig].
const LEVEL_MM: f64 = 60.0;

/// Where each rank begins, and how long all are.
fn starts(
    blocks: &[Drawn<'_>],
    ranks: &[usize],
    size: impl Fn(&Drawn<'_>) -> f64,
) -> (Vec<f64>, f64) {
    let count = ranks.iter().max().map_or(0, |m| m + 1);
    let mut begins = Vec::with_capacity(count);
    let mut sum = 0.0;
    for rank in 0..count {
        begins.push(sum);
        let here = blocks.iter().zip(ranks).filter(|(_, r)| **r == rank);
        sum += here.map(|(b, _)| size(b)).fold(0.0, f64::max) + GAP;
    }
    (begins, (sum - GAP).max(0.0))
}

/// The last reading of a cell that counts.
fn last(history: &CellHistory) -> Option<&GravityPoint> {
    history.points.iter().rev().find(|p| counts(p))
}

fn cell_box(corner: Point, id: CellId, history: Option<&CellHistory>, read: bool) -> Group {
    let mut group = Group { title: Some(format!("Cell {id}")), ..Group::default() };
    let (width, height) = (CELL.0 - 0.8, CELL.1 - 0.8);
    let state = history.map_or(CellState::Unknown, |h| h.state);
    let odd = matches!(state, CellState::Watch | CellState::Behind | CellState::Failing);
    let weight = if odd { line::HEAVY * 1.6 } else { line::THIN };
    let stroke = Some(Stroke::solid(Tone::Ink, weight));
    group.items.push(
        Rect { corner, width, height, round: 0.8, stroke, fill: Fill::Flat(Tone::Paper) }.into(),
    );
    let text = |x: f64, y: f64, text: &str, size: f64| {
        Label::new(corner.moved(x, y), text, size).levelled()
    };
    let name = text(1.2, 3.0, &id.to_string(), size::SMALL).tone(Tone::Pencil);
    group.items.push(name.into());
    let Some(point) = history.and_then(last) else {
        let y = 12.0;
        let rule = [corner.moved(1.4, y), corner.moved(width - 1.4, y)];
        group.items.push(Path::line(&rule, Stroke::solid(Tone::Ink, line::NORMAL)).into());
        if read {
            group.items.push(text(1.2, 16.5, "not read", size::SMALL).tone(Tone::Pencil).into());
        }
        return group;
    };
    group.items.push(text(1.2, 8.4, &fixed(point.corrected, 3), size::LABEL).bold().into());
    if let Some(offset) = history.and_then(|h| h.offset) {
        let sign = if offset.now < 0.0 { "−" } else { "+" };
        let says = format!("{sign}{}", fixed(offset.now.abs(), 3));
        group.items.push(text(1.2, 13.0, &says, size::SMALL).into());
        group.items.extend(scale(corner.moved(width - 1.5, 13.0), offset.now));
    }
    if odd {
        group.items.extend(word(corner, state, width));
    }
    group
}

/// A short upright scale with the middle as a tick and the cell as a dot.
fn scale(middle: Point, offset: f64) -> Vec<Item> {
    let half = 4.0;
    let pencil = Stroke::solid(Tone::Pencil, line::THIN);
    let up = (offset / MOST).clamp(-1.0, 1.0) * half;
    let dot = Circle {
        centre: middle.moved(0.0, -up),
        radius: 0.8,
        stroke: None,
        fill: Fill::Flat(Tone::Ink),
    };
    vec![
        Path::line(&[middle.moved(0.0, -half), middle.moved(0.0, half)], pencil).into(),
        Path::line(&[middle.moved(-0.8, 0.0), middle.moved(0.8, 0.0)], pencil).into(),
        dot.into(),
    ]
}

/// The state by sign and word, the word broken after its first part where it has two.
fn word(corner: Point, state: CellState, width: f64) -> Vec<Item> {
    let severity = match state {
        CellState::Failing => Severity::Stop,
        CellState::Behind => Severity::Fix,
        _ => Severity::Note,
    };
    let mut items: Vec<Item> = vec![sign(severity, corner.moved(width - 2.9, 3.1), 3.6).into()];
    for (n, part) in state.word().split(' ').enumerate() {
        let down = if n == 0 { 18.0 } else { 22.2 };
        let label = Label::new(corner.moved(1.2, down), part, size::SMALL).bold().levelled();
        items.push(label.into());
    }
    items
}

fn description(picture: &CellMap<'_>) -> String {
    let odd = picture
        .cells
        .iter()
        .filter(|c| matches!(c.state, CellState::Watch | CellState::Behind | CellState::Failing));
    let named: Vec<String> = odd.map(|c| format!("{} {}", c.cell, c.state.word())).collect();
    if picture.cells.is_empty() {
        "Every cell in the order in which it lies, with a line to write its gravity on.".to_owned()
    } else if named.is_empty() {
        "Every cell in the order in which it lies, with its gravity. None stands out.".to_owned()
    } else {
        format!("Every cell in the order in which it lies. {}.", named.join(", "))
    }
}

//! The plus side on the sheet: the trunk from the bank down the middle, sources to its left and loads to its
//! right.

use super::cells::{self, Cell, Line, height, lead_lines, lead_words};
use super::rows::{Entry, Spot, rows};
use super::tree::{Node, Tree};
use super::{EDGE, SingleLinePicture};
use crate::geometry::{Point, at};
use crate::pictures::Subject;
use crate::scene::{Anchor, Item, Label, Path, Stroke};
use crate::style::{Tone, line, size};
use engine::model::device::DeviceKind;

/// Width of the boxes of the trunk, on a narrow and on a wide sheet [mm].
const TRUNK: (f64, f64) = (36.0, 68.0);

/// A sheet this wide has room for wide trunk boxes, which makes it lower [mm].
const WIDE_SHEET: f64 = 230.0;

/// Least width of a column: a box with the lead before it [mm].
const COLUMN: f64 = 31.5;

/// Widest box beside the trunk [mm].
const WIDEST: f64 = 40.0;

/// From the top of a box to the wire at its side [mm].
const WIRE: f64 = 3.0;

/// Outside the last column, for a wire around a box [mm].
const OUTER: f64 = 3.0;

/// How the sheet is divided.
#[derive(Clone, Copy, Debug)]
pub(super) struct Columns {
    /// Middle of the trunk.
    centre: f64,
    /// Width of the trunk's boxes.
    trunk: f64,
    /// Width of a column.
    wide: f64,
    /// Width of a box beside the trunk.
    boxed: f64,
    count: usize,
}

impl Columns {
    pub(super) fn of(tree: &Tree<'_>, width: f64) -> Self {
        let trunk = if WIDE_SHEET <= width { TRUNK.1 } else { TRUNK.0 };
        let side = (width - trunk) / 2.0 - EDGE - OUTER;
        let deepest = tree.nodes.iter().skip(1).count().clamp(1, 2);
        let fit = (1..=deepest).rev().find(|n| {
            let count = u16::try_from(*n).unwrap_or(1);
            f64::from(count) * COLUMN <= side
        });
        let count = fit.unwrap_or(1);
        let wide = side / f64::from(u16::try_from(count).unwrap_or(1));
        Self { centre: width / 2.0, trunk, wide, boxed: (wide - 6.5).min(WIDEST), count }
    }

    fn along(column: usize) -> f64 {
        f64::from(u16::try_from(column).unwrap_or(0))
    }

    /// The edge of a column's boxes nearer to the trunk; the sign tells the side.
    fn inner(&self, sign: f64, column: usize) -> f64 {
        self.outer(sign, column) - sign * self.boxed
    }

    /// The edge of a column's boxes away from the trunk.
    fn outer(&self, sign: f64, column: usize) -> f64 {
        self.centre + sign * (self.trunk / 2.0 + (Self::along(column) + 1.0) * self.wide)
    }

    /// Where a column begins, as seen from the trunk.
    fn begin(&self, sign: f64, column: usize) -> f64 {
        self.centre + sign * (self.trunk / 2.0 + Self::along(column) * self.wide)
    }
}

/// The words over the two sides.
pub(super) fn heads(columns: &Columns, tree: &Tree<'_>) -> Vec<Item> {
    let base = EDGE + size::LABEL * 0.8;
    let head = |x: f64, text: &str, anchor: Anchor| -> Item {
        Label::new(at(x, base), text, size::LABEL).bold().anchored(anchor).into()
    };
    let right = columns.outer(1.0, columns.count - 1);
    let left = columns.outer(-1.0, columns.count - 1);
    let mut items = vec![head(right, "loads", Anchor::End)];
    if tree.charges(0) {
        items.push(head(left, "sources", Anchor::Start));
    }
    items
}

/// The plus side on its way to the sheet.
pub(super) struct Plus<'a> {
    pub(super) picture: &'a SingleLinePicture<'a>,
    pub(super) tree: &'a Tree<'a>,
    pub(super) columns: Columns,
    /// The trunk node that this sheet begins with.
    pub(super) first: usize,
    /// What of the last trunk node's branches stands on this sheet.
    pub(super) branches: &'a [usize],
}

/// A branch with its rows measured.
pub(super) struct Side {
    sign: f64,
    spots: Vec<Spot>,
    cells: Vec<Cell>,
    words: Vec<Vec<Line>>,
    /// Top of each row's boxes, from the top of the side.
    tops: Vec<f64>,
    height: f64,
}

impl Plus<'_> {
    fn subject(&self) -> &Subject<'_> {
        &self.picture.subject
    }

    /// Nodes of the same kind that stand beside a trunk node and meet the trunk behind it.
    fn twins(&self, place: usize) -> Vec<&Node<'_>> {
        let nodes = &self.tree.nodes;
        let Some(before) = place.checked_sub(1).map(|p| self.tree.trunk[p]) else {
            return Vec::new();
        };
        let own = &nodes[self.tree.trunk[place]];
        let alike = |n: &&Node<'_>| {
            n.joins.is_some()
                && n.children.is_empty()
                && n.name != own.name
                && n.device.zip(own.device).is_some_and(|(a, b)| {
                    a.kind == b.kind && a.rating == b.rating && a.family == b.family
                })
        };
        nodes[before].children.iter().map(|c| &nodes[*c]).filter(alike).collect()
    }

    /// All of it from the top down; also where it ends.
    pub(super) fn drawn(&self, top: f64) -> (Vec<Item>, f64) {
        let trunk = &self.tree.trunk;
        let centre = self.columns.centre;
        let (mut wires, mut boxes): (Vec<Item>, Vec<Item>) = (Vec::new(), Vec::new());
        let mut y = top;
        let mut below: Option<f64> = None;
        for place in self.first..trunk.len() {
            let cell = self.trunk_cell(place);
            let words = self.trunk_words(place);
            if let Some(from) = below {
                // The words of the lead stand just above the box it leads to.
                wires.push(self.wire(&[at(centre, from), at(centre, y)]));
                let place = at(centre + 1.6, y - 1.6);
                boxes.extend(lead_words(&words, place, Anchor::Start));
            }
            let corner = at(centre - self.columns.trunk / 2.0, y);
            let low = y + cell.height();
            boxes.push(cell.drawn(corner, &cell.name.clone()).into());
            let mut end = low;
            let last = place + 1 == trunk.len();
            let mut reach = low;
            for side in self.sides(place) {
                let contact = self.side(&side, (y, low), (&mut wires, &mut boxes));
                reach = reach.max(contact);
                end = end.max(y + side.height);
            }
            if last && low < reach {
                let bar = self.tree.nodes[trunk[place]]
                    .device
                    .is_some_and(|d| d.kind == DeviceKind::Busbar);
                let weight = if bar { 1.6 } else { line::HEAVY };
                let stroke = Stroke::solid(Tone::Ink, weight);
                wires.push(Path::line(&[at(centre, low), at(centre, reach)], stroke).into());
            }
            below = Some(low);
            let lines = if last { 0 } else { self.trunk_words(place + 1).len() };
            let gap = height(lines) + 3.0;
            y = if last { end } else { (low + gap).max(end + gap) };
        }
        wires.extend(boxes);
        (wires, y)
    }

    fn wire(&self, points: &[Point]) -> Item {
        Path::line(points, Stroke::solid(Tone::Ink, line::HEAVY)).into()
    }

    fn trunk_cell(&self, place: usize) -> Cell {
        let node = &self.tree.nodes[self.tree.trunk[place]];
        if place == 0 && self.first == 0 {
            return cells::bank(self.subject(), self.picture.share, self.columns.trunk);
        }
        let mut cell = cells::device(self.subject(), node, &self.twins(place), self.columns.trunk);
        if place == self.first {
            cell.continued();
        }
        cell
    }

    /// Names and size of the leads to a trunk node: one, or one from each of its like before it.
    fn trunk_words(&self, place: usize) -> Vec<Line> {
        let Some(before) = place.checked_sub(1) else {
            return Vec::new();
        };
        let own = self.tree.nodes[self.tree.trunk[place]].lead.as_deref();
        let beside = self.twins(place);
        let behind = self.twins(before);
        let more = beside.iter().map(|n| n.lead.as_deref());
        let joined = behind.iter().map(|n| n.joins.as_deref());
        let leads: Vec<&str> = [own].into_iter().chain(more).chain(joined).flatten().collect();
        lead_lines(self.subject(), &leads, self.columns.trunk / 2.0 + 1.0)
    }

    /// What hangs on a trunk node, sources and loads.
    fn sides(&self, place: usize) -> Vec<Side> {
        let node = &self.tree.nodes[self.tree.trunk[place]];
        let onwards = self.tree.trunk.get(place + 1);
        let twins: Vec<&str> = if onwards.is_some() {
            self.twins(place + 1).iter().map(|n| n.name.as_str()).collect()
        } else {
            Vec::new()
        };
        let branches = || {
            node.children
                .iter()
                .copied()
                .filter(|c| onwards.is_some() || self.branches.contains(c))
                .filter(|c| {
                    Some(c) != onwards && !twins.contains(&self.tree.nodes[*c].name.as_str())
                })
        };
        let left: Vec<usize> = branches().filter(|c| self.tree.charges(*c)).collect();
        let right: Vec<usize> = branches().filter(|c| !self.tree.charges(*c)).collect();
        [(-1.0, left), (1.0, right)]
            .into_iter()
            .filter(|(_, list)| !list.is_empty())
            .map(|(sign, list)| self.measured(sign, &list))
            .collect()
    }

    fn measured(&self, sign: f64, branches: &[usize]) -> Side {
        let spots = rows(self.tree, branches, self.columns.count);
        let nodes = &self.tree.nodes;
        let cell =
            |s: &Spot| cells::device(self.subject(), &nodes[s.node], &[], self.columns.boxed);
        let cells: Vec<Cell> = spots.iter().map(cell).collect();
        let words: Vec<Vec<Line>> = spots
            .iter()
            .map(|s| {
                let leads: Vec<&str> = nodes[s.node].lead.as_deref().into_iter().collect();
                lead_lines(self.subject(), &leads, self.words_place(sign, s, 0.0).1)
            })
            .collect();
        let count = spots.iter().map(|s| s.row + 1).max().unwrap_or(0);
        let (mut tops, mut y) = (Vec::new(), 0.0);
        for row in 0..count {
            let mut zone = 0.0_f64;
            let mut high = 0.0_f64;
            for ((spot, cell), words) in spots.iter().zip(&cells).zip(&words) {
                if spot.row == row {
                    zone = zone.max(height(words.len()) + 1.0);
                    high = high.max(cell.height());
                }
            }
            tops.push(y + zone);
            y += zone + high + 2.2;
        }
        Side { sign, spots, cells, words, tops, height: y }
    }

    /// Draws one side beside its trunk box; the lowest place at which it meets the trunk.
    fn side(
        &self,
        side: &Side,
        (top, low): (f64, f64),
        (wires, boxes): (&mut Vec<Item>, &mut Vec<Item>),
    ) -> f64 {
        let columns = &self.columns;
        let sign = side.sign;
        let mut reach = low;
        for ((spot, cell), words) in side.spots.iter().zip(&side.cells).zip(&side.words) {
            let box_top = top + side.tops[spot.row];
            let inner = columns.inner(sign, spot.column);
            let left = inner.min(columns.outer(sign, spot.column));
            let level = box_top + WIRE;
            if spot.entry == Entry::Trunk {
                let beyond = low - 1.0 < level;
                reach = if beyond { reach.max(level) } else { reach };
                let contact = if beyond {
                    columns.centre
                } else {
                    columns.centre + sign * columns.trunk / 2.0
                };
                wires.push(self.wire(&[at(contact, level), at(inner, level)]));
            } else {
                wires.push(self.wire(&self.joined(side, spot, top)));
            }
            let (place, _) = self.words_place(sign, spot, box_top);
            let anchor = if sign < 0.0 { Anchor::End } else { Anchor::Start };
            boxes.extend(lead_words(words, place, anchor));
            boxes.push(cell.drawn(at(left, box_top), &cell.name.clone()).into());
        }
        reach
    }

    /// The wire from the box that a box hangs on.
    fn joined(&self, side: &Side, spot: &Spot, top: f64) -> Vec<Point> {
        let columns = &self.columns;
        let sign = side.sign;
        let parent = side.spots.iter().position(|s| Some(s.node) == spot.parent);
        let Some(parent) = parent else {
            return Vec::new();
        };
        let (from, cell) = (&side.spots[parent], &side.cells[parent]);
        let level = top + side.tops[spot.row] + WIRE;
        let above = top + side.tops[from.row] + WIRE;
        let (inner, outer) = (columns.inner(sign, spot.column), columns.outer(sign, spot.column));
        let (start, end, out) = if spot.outwards {
            (columns.outer(sign, from.column), inner, sign)
        } else {
            (columns.inner(sign, from.column), outer, -sign)
        };
        match spot.entry {
            Entry::Trunk | Entry::Beside => vec![at(start, level), at(end, level)],
            Entry::Elbow => {
                let turn = start + out * 1.8;
                vec![at(start, above), at(turn, above), at(turn, level), at(end, level)]
            }
            Entry::Above => {
                let x = inner + sign * 3.0;
                let low = top + side.tops[from.row] + cell.height();
                vec![at(x, low), at(x, level - WIRE)]
            }
            Entry::Outer => {
                let turn = outer + sign * 2.0;
                let start = above + 2.0;
                vec![at(outer, start), at(turn, start), at(turn, level), at(outer, level)]
            }
        }
    }

    /// Where the words of the lead to a box stand, and the room for them.
    fn words_place(&self, sign: f64, spot: &Spot, box_top: f64) -> (Point, f64) {
        let columns = &self.columns;
        let inner = columns.inner(sign, spot.column);
        let base = box_top - 1.4;
        match spot.entry {
            Entry::Above => (at(inner + sign * 4.2, base), columns.boxed - 4.6),
            _ if !spot.outwards => (at(inner + sign * 0.3, base), columns.boxed - 0.6),
            _ => {
                let begin = columns.begin(sign, spot.column);
                (at(begin + sign * 2.8, base), columns.wide - 3.2)
            }
        }
    }
}

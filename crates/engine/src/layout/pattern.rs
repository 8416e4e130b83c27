//! The row pattern: where the blocks go when the file says nothing.
//!
//! Strings stand side by side, each running from the far side towards the owner, so that A1 is
//! drawn above A2. When that does not fit, a string folds like a snake into more columns, blocks
//! are turned a quarter, and strings stand in several bands, one behind the other. Within a string
//! every block is turned whichever way makes the series links shortest.

use super::case::CaseFacts;
use super::path::apart_mm;
use super::posts::{half_more, turned, turned_size};
use crate::circuit::wiring::bank_links;
use crate::model::bank::{Bank, BlockId};
use crate::model::block::PostAt;
use crate::model::lead::Terminal;
use crate::model::part::{PlanPoint, Turn};
use crate::units::Length;

/// Blocks one behind the other that a person still reaches over; a longer string is folded when
/// no box is given that asks for something else.
const ROWS_UNASKED: u32 = 4;

/// Two link lengths this close are the same, so that rounding never turns a block.
const SAME_MM: f64 = 1e-6;

/// A block to be placed.
#[derive(Clone, Debug)]
pub(super) struct Item {
    pub(super) id: BlockId,
    pub(super) case: CaseFacts,
    pub(super) at: Option<PlanPoint>,
    pub(super) turn: Option<Turn>,
}

/// The space the blocks go into.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    pub(super) length: Option<Length>,
    pub(super) width: Option<Length>,
    pub(super) gap: Length,
    pub(super) margin: Length,
    pub(super) columns: Option<u32>,
    /// Stud to stud of every link, where the owner has them: blocks stand so that they reach.
    pub(super) links: Option<Length>,
}

/// Where one block went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub(super) corner: PlanPoint,
    pub(super) turn: Turn,
}

/// Where every block went, in the order of the items, and the inside size that needs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placement {
    pub(super) spots: Vec<Spot>,
    pub(super) length: Length,
    pub(super) width: Length,
}

impl Placement {
    /// How much larger than the room it is, along x and along y.
    pub(super) fn short_by(&self, room: &Room) -> (Length, Length) {
        let short = |needed: Length, has: Option<Length>| {
            has.map_or(Length::ZERO, |has| (needed - has).max(Length::ZERO))
        };
        (short(self.length, room.length), short(self.width, room.width))
    }
}

/// One way of standing the strings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Pattern {
    /// Strings side by side.
    across: u32,
    /// Columns each string is folded into.
    fold: u32,
    /// How blocks stand before any of them is turned half round.
    base: Turn,
}

impl Pattern {
    /// Column from the left and row from the far side.
    fn cell(self, bank: &Bank, id: BlockId) -> (usize, usize) {
        let rows = bank.series.div_ceil(self.fold).max(1);
        let (strip, down) = (id.place / rows, id.place % rows);
        let row = if strip % 2 == 1 { rows - 1 - down } else { down };
        let (band, along) = (id.string / self.across, id.string % self.across);
        let column = along * self.fold + strip;
        let columns = self.across * self.fold;
        let column = if band % 2 == 1 { columns - 1 - column } else { column };
        (column as usize, (band * rows + row) as usize)
    }
}

/// Every way of standing the strings, the most usual first.
fn patterns(bank: &Bank, room: &Room) -> Vec<Pattern> {
    let mut all = Vec::new();
    for across in (1..=bank.parallel).rev() {
        for fold in 1..=bank.series {
            for base in [Turn::None, Turn::Quarter] {
                all.push(Pattern { across, fold, base });
            }
        }
    }
    let wanted = |p: &Pattern| match room.columns {
        Some(columns) => p.across * p.fold == columns,
        None if room.length.is_none() && room.width.is_none() => {
            bank.series.div_ceil(p.fold) <= ROWS_UNASKED
        }
        None => true,
    };
    // A number of columns that no pattern has would leave the owner without a drawing.
    if all.iter().any(wanted) {
        all.retain(wanted);
    }
    all
}

/// The first pattern that fits the room and that the links in hand can reach across, or the one
/// that lacks least.
pub(super) fn place(bank: &Bank, items: &[Item], room: &Room) -> Placement {
    let mut best: Option<([f64; 2], Placement)> = None;
    for pattern in patterns(bank, room) {
        let placement = lay(pattern, bank, items, room);
        let (x, y) = placement.short_by(room);
        let lacks = [(x + y).as_mm(), links_lack_mm(bank, items, &placement.spots, room)];
        if lacks.iter().all(|mm| *mm < SAME_MM) {
            return placement;
        }
        // A box that is too small is worse than a link that is too short.
        let is_less = best.as_ref().is_none_or(|(least, _)| {
            let same_box = (lacks[0] - least[0]).abs() < SAME_MM;
            if same_box { lacks[1] + SAME_MM < least[1] } else { lacks[0] < least[0] }
        });
        if is_less {
            best = Some((lacks, placement));
        }
    }
    best.map_or(
        Placement { spots: Vec::new(), length: Length::ZERO, width: Length::ZERO },
        |(_, placement)| placement,
    )
}

/// By how much the longest link of a placement is longer than the links in hand.
fn links_lack_mm(bank: &Bank, items: &[Item], spots: &[Spot], room: &Room) -> f64 {
    let Some(links) = room.links else {
        return 0.0;
    };
    let post = |terminal: &Terminal| {
        let n = items.iter().position(|item| Some(item.id) == terminal.block())?;
        let case = &items[n].case;
        let is_plus = matches!(terminal, Terminal::Post { plus: true, .. });
        let at = if is_plus { case.plus_at } else { case.minus_at };
        Some(turned(case, spots[n].turn, at, spots[n].corner))
    };
    bank_links(bank)
        .iter()
        .filter_map(|(_, from, to)| Some(apart_mm(post(from)?, post(to)?) - links.as_mm()))
        .fold(0.0, f64::max)
}

fn lay(pattern: Pattern, bank: &Bank, items: &[Item], room: &Room) -> Placement {
    let cells: Vec<(usize, usize)> = items.iter().map(|i| pattern.cell(bank, i.id)).collect();
    let sizes: Vec<(Length, Length)> =
        items.iter().map(|i| turned_size(&i.case, i.turn.unwrap_or(pattern.base))).collect();
    let free = |n: &usize| items[*n].at.is_none();
    let columns = (0..items.len()).filter(free).map(|n| (cells[n].0, sizes[n].0));
    let rows = (0..items.len()).filter(free).map(|n| (cells[n].1, sizes[n].1));
    let columns = Tracks::of(columns, room.gap);
    let rows = Tracks::of(rows, room.gap);
    let left = origin(columns.total, room.length, room.margin);
    let near = origin(rows.total, room.width, room.margin);
    let corners: Vec<PlanPoint> = (0..items.len())
        .map(|n| {
            items[n].at.unwrap_or_else(|| PlanPoint {
                x: left + columns.start(cells[n].0),
                // Rows count from the far side, the plan from the near side.
                y: near + rows.total - rows.start(cells[n].1) - sizes[n].1,
            })
        })
        .collect();
    let spots = turn_blocks(pattern.base, bank, items, &corners);
    let edge = |pattern: Length, own: &dyn Fn(usize) -> Length| {
        let start = if pattern <= Length::ZERO { pattern } else { pattern + room.margin * 2.0 };
        let placed = (0..items.len()).filter(|n| items[*n].at.is_some());
        placed.map(|n| own(n) + room.margin).fold(start, Length::max)
    };
    let length = edge(columns.total, &|n| corners[n].x + sizes[n].0);
    let width = edge(rows.total, &|n| corners[n].y + sizes[n].1);
    Placement { spots, length, width }
}

/// Where the pattern starts: in the middle of a box it fits, else at the margin.
fn origin(total: Length, inner: Option<Length>, margin: Length) -> Length {
    match inner {
        Some(inner) if total + margin * 2.0 <= inner => (inner - total) / 2.0,
        _ => margin,
    }
}

/// Columns or rows: where each starts, and how far all of them reach together.
struct Tracks {
    starts: Vec<Length>,
    total: Length,
}

impl Tracks {
    fn of(sizes: impl Iterator<Item = (usize, Length)>, gap: Length) -> Self {
        let mut widest: Vec<Length> = Vec::new();
        for (track, size) in sizes {
            if widest.len() <= track {
                widest.resize(track + 1, Length::ZERO);
            }
            widest[track] = widest[track].max(size);
        }
        let (mut starts, mut end, mut total) = (Vec::new(), Length::ZERO, Length::ZERO);
        for size in widest {
            starts.push(end);
            // A track whose blocks were all placed by the owner takes no room.
            if Length::ZERO < size {
                total = end + size;
                end = total + gap;
            }
        }
        Self { starts, total }
    }

    fn start(&self, track: usize) -> Length {
        self.starts.get(track).copied().unwrap_or(Length::ZERO)
    }
}

/// Turns every block half round or not, so that the series links of its string are shortest.
fn turn_blocks(base: Turn, bank: &Bank, items: &[Item], corners: &[PlanPoint]) -> Vec<Spot> {
    let mut spots: Vec<Spot> =
        corners.iter().map(|&corner| Spot { corner, turn: Turn::None }).collect();
    for string in 0..bank.parallel {
        let members: Vec<usize> =
            (0..items.len()).filter(|n| items[*n].id.string == string).collect();
        for (n, turn) in members.iter().zip(string_turns(base, &members, items, corners)) {
            spots[*n].turn = turn;
        }
    }
    spots
}

/// One way of turning the blocks of a string from its plus end to the block in hand.
#[derive(Clone, Debug)]
struct Way {
    links_mm: f64,
    turns: Vec<Turn>,
}

impl Way {
    /// Shorter links, or the same with an earlier block left unturned.
    fn beats(&self, other: &Self, base: Turn) -> bool {
        if (self.links_mm - other.links_mm).abs() > SAME_MM {
            return self.links_mm < other.links_mm;
        }
        let turned = |way: &Self| way.turns.iter().map(|t| *t != base).collect::<Vec<bool>>();
        turned(self) < turned(other)
    }
}

/// Going down a string, the best way to reach each of the two stands of a block follows from the
/// best ways to reach the two stands of the block before it.
fn string_turns(base: Turn, members: &[usize], items: &[Item], corners: &[PlanPoint]) -> Vec<Turn> {
    let post = |n: usize, turn: Turn, at: PostAt| turned(&items[n].case, turn, at, corners[n]);
    let mut ways = vec![Way { links_mm: 0.0, turns: Vec::new() }];
    for (step, &n) in members.iter().enumerate() {
        let own = items[n].turn;
        let stands = own.map_or_else(|| vec![base, half_more(base)], |turn| vec![turn]);
        let mut next: Vec<Way> = Vec::new();
        for turn in stands {
            let plus = post(n, turn, items[n].case.plus_at);
            let reached = ways.iter().map(|way| {
                let link_mm = way.turns.last().map_or(0.0, |stood| {
                    let before = members[step - 1];
                    let minus = post(before, *stood, items[before].case.minus_at);
                    ((plus.x - minus.x).abs() + (plus.y - minus.y).abs()).as_mm()
                });
                let turns = way.turns.iter().copied().chain([turn]).collect();
                Way { links_mm: way.links_mm + link_mm, turns }
            });
            next.extend(best_of(reached, base));
        }
        ways = next;
    }
    best_of(ways.into_iter(), base).map_or_else(Vec::new, |way| way.turns)
}

fn best_of(ways: impl Iterator<Item = Way>, base: Turn) -> Option<Way> {
    ways.reduce(|best, way| if way.beats(&best, base) { way } else { best })
}

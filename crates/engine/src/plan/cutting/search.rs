//! Exact branch and bound over ways to cut; knows counts and lengths, no names.
//!
//! Best-first: the most promising partial plan is opened next, and the first complete one is the best.
//! Lengths in hand are decided one after the other, longest first; then bought lengths, each holding
//! the longest piece that still waits. A second pass makes the largest single offcut as long as it can
//! be without buying or opening more.

use super::bound::{Measure, measures, total};
use super::patterns::{Patterns, is_tight};
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

/// Partial plans finished by hand-filling when the cap is met.
const RESCUES: usize = 200;

/// What a plan costs; compared in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Value {
    /// Money, or millimetres bought.
    pub cost: u64,
    /// Lengths opened.
    pub opened: u32,
}

impl Value {
    /// This and something more.
    #[must_use]
    pub const fn plus(self, cost: u64, opened: u32) -> Self {
        Self { cost: self.cost + cost, opened: self.opened + opened }
    }

    /// What is left of this after a part, or `None` when the part is larger.
    #[must_use]
    pub const fn minus(self, cost: u64, opened: u32) -> Option<Self> {
        match (self.cost.checked_sub(cost), self.opened.checked_sub(opened)) {
            (Some(cost), Some(opened)) => Some(Self { cost, opened }),
            _ => None,
        }
    }
}

/// Distinct lengths, longest first.
#[derive(Clone, Debug)]
pub struct Kinds {
    /// Lengths [mm].
    pub lengths_mm: Vec<u32>,
    /// Pieces of each.
    pub counts: Vec<usize>,
    /// Lost at each cut [mm].
    pub cut_mm: u32,
}

/// One length that can be bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offer {
    /// Index into the order's sold lengths.
    pub sold: usize,
    /// Steps bought; 1 for a ready length.
    pub steps: u32,
    /// Its length [mm].
    pub length_mm: u32,
    /// What it counts.
    pub cost: u64,
}

/// Where a pattern is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bin {
    /// Index into the lengths in hand.
    InHand(usize),
    /// Index into the problem's offers.
    Bought(usize),
}

/// The pieces and lengths in the form the search uses.
#[derive(Debug)]
pub struct Problem {
    /// Distinct lengths, longest first [mm].
    pub lengths_mm: Vec<u32>,
    /// Offers worth a thought: dearer ones are longer.
    pub offers: Vec<Offer>,
    weights: Vec<u64>,
    counts: Vec<u16>,
    cut: u64,
    /// Longest first.
    stock: Vec<Stock>,
    offer_rooms: Vec<u64>,
    /// Millimetres first.
    measures: Vec<Measure>,
}

#[derive(Clone, Copy, Debug)]
struct Stock {
    /// Place in the order.
    index: usize,
    /// Place in the problem's list and in the measures.
    rank: usize,
    room: u64,
}

impl Problem {
    /// Sorts and thins out what is given.
    #[must_use]
    pub fn new(kinds: &Kinds, stock_mm: &[u32], offers: Vec<Offer>) -> Self {
        let cut = u64::from(kinds.cut_mm);
        let weights: Vec<u64> = kinds.lengths_mm.iter().map(|&l| u64::from(l) + cut).collect();
        let most = kinds.counts.iter().copied().max().unwrap_or(0);
        assert!(
            u16::try_from(most).is_ok(),
            "{most} pieces of one length are not one bank's leads"
        );
        // The assertion above is the proof that nothing is cut off here.
        let counts: Vec<u16> =
            kinds.counts.iter().map(|&c| u16::try_from(c).unwrap_or(u16::MAX)).collect();
        let offers = worthwhile(offers);
        let offer_rooms: Vec<u64> = offers.iter().map(|o| u64::from(o.length_mm) + cut).collect();
        let shortest = weights.last().copied().unwrap_or(0);
        let mut stock: Vec<Stock> = stock_mm
            .iter()
            .enumerate()
            .map(|(index, &mm)| Stock { index, rank: 0, room: u64::from(mm) + cut })
            .filter(|s| shortest <= s.room)
            .collect();
        stock.sort_by_key(|s| (Reverse(s.room), s.index));
        for (rank, s) in stock.iter_mut().enumerate() {
            s.rank = rank;
        }
        let stock_rooms: Vec<u64> = stock.iter().map(|s| s.room).collect();
        let measures = measures(&weights, &counts, &stock_rooms, &offers, &offer_rooms);
        let lengths_mm = kinds.lengths_mm.clone();
        Self { lengths_mm, offers, weights, counts, cut, stock, offer_rooms, measures }
    }

    fn remainder(&self, bin: Bin, used: u64) -> u64 {
        let room = match bin {
            Bin::InHand(index) => {
                self.stock.iter().find(|s| s.index == index).map_or(0, |s| s.room)
            }
            Bin::Bought(index) => self.offer_rooms[index],
        };
        room.saturating_sub(used + self.cut)
    }
}

/// Drops every offer that another one beats in length for the same or less.
fn worthwhile(mut offers: Vec<Offer>) -> Vec<Offer> {
    offers.sort_by_key(|o| (o.cost, Reverse(o.length_mm), o.sold));
    let mut kept: Vec<Offer> = Vec::new();
    for offer in offers {
        if kept.last().map_or(0, |k| k.length_mm) < offer.length_mm {
            kept.push(offer);
        }
    }
    kept
}

/// Pieces of each kind in one length.
type Pattern = Vec<u16>;

/// Lengths with what is cut from each.
type Bins = Vec<(Bin, Pattern)>;

/// A complete plan in counts.
#[derive(Clone, Debug)]
pub struct Found {
    /// Each opened length with its pattern, those in hand first.
    pub bins: Bins,
    /// No plan has a smaller value.
    pub proven: bool,
    /// No plan of this value has a longer single offcut.
    pub offcut_proven: bool,
}

/// What the search says.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// A plan.
    Found(Found),
    /// Some pieces found no place.
    NoPlace {
        /// How many of each kind.
        left: Vec<u16>,
        /// False when the cap was met first.
        proven: bool,
    },
}

/// The best plan within a number of search steps.
#[must_use]
pub fn solve(problem: &Problem, node_cap: u64) -> Outcome {
    let mut budget = node_cap;
    let hand_filled = Search::new(problem, &problem.stock, None).filled(&problem.counts, 0);
    let limit = hand_filled.as_ref().ok().map(|bins| value_of(problem, bins));
    let first = Search::new(problem, &problem.stock, limit).run(&problem.counts, &mut budget);
    let bins = match (first, hand_filled) {
        (Ran::Best(bins), _) => bins,
        (Ran::Capped(Some(bins)), Err(_)) => return Outcome::Found(sorted(bins, false, false)),
        (Ran::Capped(other), Ok(bins)) => {
            let better = other.filter(|o| value_of(problem, o) < value_of(problem, &bins));
            return Outcome::Found(sorted(better.unwrap_or(bins), false, false));
        }
        (Ran::Capped(None), Err(left)) => return Outcome::NoPlace { left, proven: false },
        (Ran::Nothing, Err(left)) => return Outcome::NoPlace { left, proven: true },
        // The hand-filled plan itself lies within the limit, so the search cannot come back empty.
        (Ran::Nothing, Ok(bins)) => bins,
    };
    let (bins, offcut_proven) = longest_offcut(problem, bins, &mut budget);
    Outcome::Found(sorted(bins, true, offcut_proven))
}

fn sorted(mut bins: Bins, proven: bool, offcut_proven: bool) -> Found {
    bins.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| b.1.cmp(&a.1)));
    Found { bins, proven, offcut_proven }
}

fn value_of(problem: &Problem, bins: &[(Bin, Pattern)]) -> Value {
    bins.iter()
        .fold(Value { cost: 0, opened: 0 }, |sum, (bin, _)| sum.plus(cost_of(problem, *bin), 1))
}

fn cost_of(problem: &Problem, bin: Bin) -> u64 {
    match bin {
        Bin::InHand(_) => 0,
        Bin::Bought(index) => problem.offers[index].cost,
    }
}

/// Makes the largest offcut as long as the same value allows; says whether that is proven.
fn longest_offcut(problem: &Problem, bins: Bins, budget: &mut u64) -> (Bins, bool) {
    let target = value_of(problem, &bins);
    let have = bins
        .iter()
        .map(|(bin, p)| problem.remainder(*bin, total(&problem.weights, p)))
        .max()
        .unwrap_or(0);
    let Some(wishes) = remnant_wishes(problem, target, have, budget) else { return (bins, false) };
    for wish in wishes {
        let left: Vec<u16> =
            problem.counts.iter().zip(&wish.pattern).map(|(all, taken)| all - taken).collect();
        let stock: Vec<Stock> =
            problem.stock.iter().filter(|s| Bin::InHand(s.index) != wish.bin).copied().collect();
        let limit = target.minus(cost_of(problem, wish.bin), 1);
        match Search::new(problem, &stock, limit).run(&left, budget) {
            Ran::Best(mut rest) => {
                rest.push((wish.bin, wish.pattern));
                return (rest, true);
            }
            Ran::Capped(_) => return (bins, false),
            Ran::Nothing => {}
        }
    }
    (bins, true)
}

struct Wish {
    remainder: u64,
    bin: Bin,
    pattern: Vec<u16>,
}

/// Ways to cut one length that leave more than `have`, the longest offcut first.
///
/// `None` when there are more than the budget allows.
fn remnant_wishes(
    problem: &Problem,
    target: Value,
    have: u64,
    budget: &mut u64,
) -> Option<Vec<Wish>> {
    let all = total(&problem.weights, &problem.counts);
    let measure = &problem.measures[0];
    let in_hand: u64 = measure.stock.iter().sum();
    let mut candidates: Vec<(Bin, u64, u64)> = Vec::new();
    for (i, s) in problem.stock.iter().enumerate() {
        // Equal lengths in hand give equal offcuts; the first stands for all.
        if i == 0 || problem.stock[i - 1].room != s.room {
            candidates.push((Bin::InHand(s.index), s.room, in_hand - measure.stock[i]));
        }
    }
    let bought = problem.offer_rooms.iter().enumerate();
    candidates.extend(bought.map(|(i, &room)| (Bin::Bought(i), room, in_hand)));
    let mut wishes = Vec::new();
    for (bin, room, others) in candidates {
        let Some(rest) = target.minus(cost_of(problem, bin), 1) else { continue };
        let Some(room) = room.checked_sub(problem.cut + have + 1) else { continue };
        // Whatever the other lengths cannot hold must be in this one.
        let least = all.saturating_sub(measure.cover.most(rest) + others);
        let mut patterns = Patterns::all(&problem.weights, &problem.counts, room, least);
        while let Some((pattern, used)) = patterns.advance() {
            *budget = budget.checked_sub(1)?;
            if used >= least && used > 0 {
                let remainder = problem.remainder(bin, used);
                wishes.push(Wish { remainder, bin, pattern: pattern.to_vec() });
            }
        }
    }
    wishes.sort_by(|a, b| {
        b.remainder
            .cmp(&a.remainder)
            .then(a.bin.cmp(&b.bin))
            .then_with(|| b.pattern.cmp(&a.pattern))
    });
    Some(wishes)
}

enum Ran {
    Best(Bins),
    /// The cap was met; perhaps with a plan that is not proven.
    Capped(Option<Bins>),
    Nothing,
}

struct Node {
    counts: Vec<u16>,
    stage: usize,
    value: Value,
    parent: usize,
    bin: Option<Bin>,
}

/// Smallest bound first; among equals the one with least left to cut, then the oldest.
type Key = Reverse<(Value, u64, usize)>;

struct Search<'a> {
    problem: &'a Problem,
    stock: &'a [Stock],
    limit: Option<Value>,
    /// What the lengths in hand from a stage on can hold, in each measure.
    behind: Vec<Vec<u64>>,
    nodes: Vec<Node>,
    open: BinaryHeap<Key>,
    /// Cheapest way known to each state; looked up only, never walked, so its order cannot show.
    reached: HashMap<(usize, Vec<u16>), Value>,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, stock: &'a [Stock], limit: Option<Value>) -> Self {
        let behind = problem
            .measures
            .iter()
            .map(|m| {
                let mut sums = vec![0; stock.len() + 1];
                for (i, s) in stock.iter().enumerate().rev() {
                    sums[i] = sums[i + 1] + m.stock[s.rank];
                }
                sums
            })
            .collect();
        let (nodes, open, reached) = (Vec::new(), BinaryHeap::new(), HashMap::new());
        Self { problem, stock, limit, behind, nodes, open, reached }
    }

    fn run(&mut self, counts: &[u16], budget: &mut u64) -> Ran {
        let start = Value { cost: 0, opened: 0 };
        self.push(Node { counts: counts.to_vec(), stage: 0, value: start, parent: 0, bin: None });
        while let Some(Reverse((_, left, index))) = self.open.pop() {
            if left == 0 {
                return Ran::Best(self.bins(index));
            }
            let node = &self.nodes[index];
            let key = (node.stage, node.counts.clone());
            // A cheaper way to the same state has been found since this was put on the heap.
            if self.reached.get(&key).is_some_and(|&best| best < node.value) {
                continue;
            }
            let within = if node.stage < self.stock.len() {
                self.cut_in_hand(index, budget)
            } else {
                self.cut_bought(index, budget)
            };
            if !within {
                return Ran::Capped(self.rescue());
            }
        }
        Ran::Nothing
    }

    /// Adds a partial plan unless it is already beaten.
    fn push(&mut self, node: Node) {
        let left = total(&self.problem.weights, &node.counts);
        let Some(bound) = self.bound(&node.counts, node.stage) else { return };
        let bound = node.value.plus(bound.cost, bound.opened);
        if self.limit.is_some_and(|limit| limit < bound) {
            return;
        }
        let key = (node.stage, node.counts.clone());
        if self.reached.get(&key).is_some_and(|&best| best <= node.value) {
            return;
        }
        self.reached.insert(key, node.value);
        self.open.push(Reverse((bound, left, self.nodes.len())));
        self.nodes.push(node);
    }

    /// The least that the waiting pieces still cost from this stage on; `None` when there is no way.
    fn bound(&self, counts: &[u16], stage: usize) -> Option<Value> {
        let mut cost = Value { cost: 0, opened: 0 };
        let mut opened = 0;
        for (m, behind) in self.problem.measures.iter().zip(&self.behind) {
            let left = total(&m.values, counts);
            cost = cost.max(m.cover.least(left.saturating_sub(behind[stage]))?);
            opened = opened.max(self.opened_least(m, left, stage));
        }
        Some(Value { cost: cost.cost, opened: cost.opened.max(opened) })
    }

    /// The fewest lengths that hold this much, the largest ones first, in hand or bought.
    fn opened_least(&self, measure: &Measure, left: u64, stage: usize) -> u32 {
        let mut opened = 0;
        let mut covered = 0;
        for s in &self.stock[stage..] {
            if covered >= left {
                break;
            }
            covered += measure.stock[s.rank].max(measure.longest);
            opened += 1;
        }
        let rest = left.saturating_sub(covered).checked_div(measure.longest).unwrap_or(0);
        let partly = measure.longest > 0 && covered + rest * measure.longest < left;
        opened + u32::try_from(rest).unwrap_or(u32::MAX) + u32::from(partly)
    }

    fn cut_in_hand(&mut self, index: usize, budget: &mut u64) -> bool {
        let (counts, value, stage) = self.state(index);
        let here = self.stock[stage];
        // Leaving one of several equal lengths closed leaves the others closed too: they are the same.
        let equal = self.stock[stage..].iter().take_while(|s| s.room == here.room).count();
        let skip =
            Node { counts: counts.clone(), stage: stage + equal, value, parent: index, bin: None };
        self.push(skip);
        let problem = self.problem;
        let mut patterns = Patterns::full(&problem.weights, &counts, here.room, None);
        while let Some((pattern, used)) = patterns.advance() {
            let Some(left) = budget.checked_sub(1) else { return false };
            *budget = left;
            if used > 0 && is_tight(&problem.weights, &counts, pattern, here.room - used) {
                let counts = minus(&counts, pattern);
                let bin = Some(Bin::InHand(here.index));
                let value = value.plus(0, 1);
                self.push(Node { counts, stage: stage + 1, value, parent: index, bin });
            }
        }
        true
    }

    fn cut_bought(&mut self, index: usize, budget: &mut u64) -> bool {
        let (counts, value, stage) = self.state(index);
        let problem = self.problem;
        let waiting = total(&problem.weights, &counts);
        let longest = counts.iter().position(|&c| c > 0);
        let mut shorter = 0;
        for (i, offer) in problem.offers.iter().enumerate() {
            let room = problem.offer_rooms[i];
            let cheaper_room = std::mem::replace(&mut shorter, room);
            let value = value.plus(offer.cost, 1);
            let rest = problem.measures[0].cover.least(waiting.saturating_sub(room));
            let Some(rest) = rest.map(|r| value.plus(r.cost, r.opened)) else { continue };
            if self.limit.is_some_and(|limit| limit < rest) {
                continue;
            }
            let mut patterns = Patterns::full(&problem.weights, &counts, room, longest);
            while let Some((pattern, used)) = patterns.advance() {
                let Some(left) = budget.checked_sub(1) else { return false };
                *budget = left;
                // What fits into a cheaper offer is cut from that.
                if used > cheaper_room && is_tight(&problem.weights, &counts, pattern, room - used)
                {
                    let counts = minus(&counts, pattern);
                    self.push(Node {
                        counts,
                        stage,
                        value,
                        parent: index,
                        bin: Some(Bin::Bought(i)),
                    });
                }
            }
        }
        true
    }

    fn state(&self, index: usize) -> (Vec<u16>, Value, usize) {
        let node = &self.nodes[index];
        (node.counts.clone(), node.value, node.stage)
    }

    /// The lengths on the way to a node, read back from the differences of the counts.
    fn bins(&self, mut index: usize) -> Bins {
        let mut bins = Vec::new();
        while index > 0 {
            let node = &self.nodes[index];
            if let Some(bin) = node.bin {
                bins.push((bin, minus(&self.nodes[node.parent].counts, &node.counts)));
            }
            index = node.parent;
        }
        bins
    }

    /// Finishes the most promising partial plans by hand-filling and gives the best.
    fn rescue(&mut self) -> Option<Bins> {
        let mut best: Option<(Value, Bins)> = None;
        for _ in 0..RESCUES {
            let Some(Reverse((_, _, index))) = self.open.pop() else { break };
            let node = &self.nodes[index];
            let Ok(rest) = self.filled(&node.counts, node.stage) else { continue };
            let mut bins = self.bins(index);
            bins.extend(rest);
            let value = value_of(self.problem, &bins);
            if best.as_ref().is_none_or(|(b, _)| value < *b) {
                best = Some((value, bins));
            }
        }
        best.map(|(_, bins)| bins)
    }

    /// Fills lengths with the longest pieces that fit, in hand first; the pieces without a place if any.
    fn filled(&self, counts: &[u16], stage: usize) -> Result<Bins, Vec<u16>> {
        let problem = self.problem;
        let mut left = counts.to_vec();
        let mut start = Vec::new();
        for s in &self.stock[stage..] {
            take(problem, &mut left, s.room, Bin::InHand(s.index), &mut start);
        }
        if left.iter().all(|&c| c == 0) {
            return Ok(start);
        }
        let longest = left.iter().position(|&c| c > 0).unwrap_or(0);
        let mut best: Option<(Value, Bins)> = None;
        for &room in problem.offer_rooms.iter().filter(|&&r| problem.weights[longest] <= r) {
            let (mut left, mut bins) = (left.clone(), start.clone());
            while left.iter().any(|&c| c > 0) {
                take(problem, &mut left, room, Bin::Bought(0), &mut bins);
                let Some((bin, pattern)) = bins.last_mut() else { break };
                let used = total(&problem.weights, pattern);
                *bin = Bin::Bought(problem.offer_rooms.partition_point(|&r| r < used));
            }
            let value = value_of(problem, &bins);
            if best.as_ref().is_none_or(|(b, _)| value < *b) {
                best = Some((value, bins));
            }
        }
        best.map(|(_, bins)| bins).ok_or(left)
    }
}

fn take(problem: &Problem, left: &mut Vec<u16>, room: u64, bin: Bin, bins: &mut Bins) {
    let mut patterns = Patterns::full(&problem.weights, left, room, None);
    let Some((pattern, used)) = patterns.advance() else { return };
    if used == 0 {
        return;
    }
    let pattern = pattern.to_vec();
    *left = minus(left, &pattern);
    bins.push((bin, pattern));
}

fn minus(all: &[u16], part: &[u16]) -> Vec<u16> {
    all.iter().zip(part).map(|(a, b)| a - b).collect()
}

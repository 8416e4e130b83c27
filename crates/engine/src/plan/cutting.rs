//! Cutting pieces from the cable in hand and the lengths sold.
//!
//! Answers: what to buy, which piece is cut from which length, in which order, and what is left over.
//! Least cost first when every sold length has a price, else least millimetres bought; then the fewest
//! lengths opened; then the largest single offcut, because one long remnant is worth more than crumbs.
//! It does not answer which gauge or colour a lead has: call it once per cable.

pub mod bound;
pub mod patterns;
pub mod search;

use self::search::{Bin, Found, Kinds, Offer, Outcome, Problem};
use std::fmt;

/// Search steps before the answer is given as "not proven".
///
/// Forty pieces of six lengths need a few thousand as a rule; this bounds the odd hard case to about
/// a second in an optimised build.
pub const NODE_CAP: u64 = 400_000;

/// A piece that has to be cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The lead or strap it is for.
    pub id: String,
    /// Cut length [mm].
    pub length_mm: u32,
}

/// A length already in hand; it costs nothing and is used at most once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InHand {
    /// The owner's name for it.
    pub id: String,
    /// Its length [mm].
    pub length_mm: u32,
}

/// How a length is sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SoldAs {
    /// One ready length [mm].
    Length(u32),
    /// By the metre or foot: any whole number of steps.
    ///
    /// The step is in tenths of a millimetre because a foot is 304.8 mm; the length of several steps
    /// is rounded down to whole millimetres, so that the plan never counts on cable that is not there.
    Steps {
        /// One step [0.1 mm].
        step_tenths_mm: u32,
        /// Steps in the longest length that is sold in one run.
        steps_max: u32,
    },
}

/// A length that can be bought as often as needed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sold {
    /// What to ask for in the shop.
    pub label: String,
    /// How it is sold.
    pub sold_as: SoldAs,
    /// Price of the ready length, or of one step, in the smallest coin.
    pub price_minor: Option<u64>,
}

/// Everything the plan is made from.
#[derive(Clone, Copy, Debug)]
pub struct Order<'a> {
    /// What has to be cut.
    pub pieces: &'a [Piece],
    /// What is in hand.
    pub in_hand: &'a [InHand],
    /// What can be bought.
    pub sold: &'a [Sold],
    /// Lost at each cut: the saw's width or the squared-off end [mm].
    pub cut_mm: u32,
    /// Search steps before the answer is given as "not proven"; usually [`NODE_CAP`].
    pub node_cap: u64,
}

/// What the plan makes least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// Money: every sold length has a price.
    Cost,
    /// Millimetres bought: at least one price is not known.
    Length,
}

/// Where a cut length comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// In hand, by the owner's name.
    InHand(String),
    /// Bought: what to ask for, and which of the bought lengths it is, counted from 1.
    Bought {
        /// What to ask for in the shop.
        label: String,
        /// Counted from 1 over the whole plan.
        number: u32,
    },
}

/// One length and what is cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutLength {
    /// Where it comes from.
    pub origin: Origin,
    /// Its length before the first cut [mm].
    pub length_mm: u32,
    /// The pieces in the order of cutting: longest first, so that a slip can still serve as a shorter one.
    pub pieces: Vec<Piece>,
    /// Lost in the cuts [mm].
    pub cut_mm: u32,
    /// Left over [mm].
    pub remainder_mm: u32,
}

/// Equal lengths on the shopping list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bought {
    /// What to ask for in the shop.
    pub label: String,
    /// Length of each [mm].
    pub length_mm: u32,
    /// How many of this length.
    pub count: u32,
    /// Price of all of them together, where the price is known.
    pub price_minor: Option<u64>,
}

/// Sums over the plan: `bought_mm + in_hand_mm = used_mm + cut_mm + waste_mm`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Totals {
    /// Bought [mm].
    pub bought_mm: u64,
    /// Length of what was in hand and is now opened [mm].
    pub in_hand_mm: u64,
    /// In the pieces [mm].
    pub used_mm: u64,
    /// Lost in the cuts [mm].
    pub cut_mm: u64,
    /// Left over in all lengths together [mm].
    pub waste_mm: u64,
    /// Largest single remainder [mm].
    pub largest_offcut_mm: u32,
    /// Price of everything bought, where all prices are known.
    pub price_minor: Option<u64>,
}

/// The plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutPlan {
    /// What was made least.
    pub aim: Aim,
    /// The shopping list.
    pub bought: Vec<Bought>,
    /// Each opened length, those in hand first.
    pub lengths: Vec<CutLength>,
    /// Sums.
    pub totals: Totals,
    /// True when no plan buys less, nor opens fewer lengths for the same; false ("not proven") when the
    /// search met its cap.
    pub proven: bool,
    /// True when, besides, no such plan leaves a longer single offcut.
    pub offcut_proven: bool,
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CutError {
    /// A piece has no length.
    NoLength {
        /// Its name.
        piece: String,
    },
    /// A piece is longer than anything in hand or sold.
    TooLong {
        /// Its name.
        piece: String,
        /// Its length [mm].
        length_mm: u32,
        /// How much the longest length lacks [mm].
        missing_mm: u32,
    },
    /// Each piece alone fits somewhere, but not all together, and no sold length helps.
    NotEnough {
        /// Pieces that found no place.
        pieces: Vec<String>,
        /// Their length together [mm].
        missing_mm: u64,
        /// False when the search met its cap before it had tried every way to cut.
        proven: bool,
    },
}

impl fmt::Display for CutError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoLength { piece } => write!(f, "{piece} has no length; give its cut length."),
            Self::TooLong { piece, length_mm, missing_mm } => write!(
                f,
                "{piece} needs {length_mm} mm in one run; the longest length in hand or sold is \
                 {missing_mm} mm too short."
            ),
            Self::NotEnough { pieces, missing_mm, proven } => write!(
                f,
                "There is no length left to cut {} from ({missing_mm} mm); add a length that is \
                 sold.{}",
                pieces.join(", "),
                if *proven { "" } else { " Not proven: not every way to cut was tried." }
            ),
        }
    }
}

/// The plan with the least to buy.
///
/// # Errors
/// Names the piece that fits nowhere and by how many millimetres.
pub fn cut_plan(order: &Order<'_>) -> Result<CutPlan, CutError> {
    check_lengths(order)?;
    let aim = aim_of(order.sold);
    let problem = Problem::new(&kinds_of(order), &stock_of(order), offers_of(order, aim));
    match search::solve(&problem, order.node_cap) {
        Outcome::Found(found) => Ok(written(order, aim, &problem, &found)),
        Outcome::NoPlace { left, proven } => Err(not_enough(order, &problem, &left, proven)),
    }
}

fn aim_of(sold: &[Sold]) -> Aim {
    if !sold.is_empty() && sold.iter().all(|s| s.price_minor.is_some()) {
        Aim::Cost
    } else {
        Aim::Length
    }
}

fn steps_mm(step_tenths_mm: u32, steps: u32) -> u64 {
    u64::from(step_tenths_mm) * u64::from(steps) / 10
}

fn longest_mm(order: &Order<'_>) -> u64 {
    let sold = order.sold.iter().map(|s| match s.sold_as {
        SoldAs::Length(mm) => u64::from(mm),
        SoldAs::Steps { step_tenths_mm, steps_max } => steps_mm(step_tenths_mm, steps_max),
    });
    let in_hand = order.in_hand.iter().map(|s| u64::from(s.length_mm));
    sold.chain(in_hand).max().unwrap_or(0)
}

fn check_lengths(order: &Order<'_>) -> Result<(), CutError> {
    if let Some(p) = order.pieces.iter().find(|p| p.length_mm == 0) {
        return Err(CutError::NoLength { piece: p.id.clone() });
    }
    let longest = longest_mm(order);
    let Some(p) = order.pieces.iter().rev().max_by_key(|p| p.length_mm) else { return Ok(()) };
    let missing = u64::from(p.length_mm).saturating_sub(longest);
    if missing == 0 {
        return Ok(());
    }
    // The missing length is at most the piece's own length, which is a u32.
    let missing_mm = u32::try_from(missing).unwrap_or(u32::MAX);
    Err(CutError::TooLong { piece: p.id.clone(), length_mm: p.length_mm, missing_mm })
}

/// Distinct lengths, longest first, each with its number of pieces.
fn kinds_of(order: &Order<'_>) -> Kinds {
    let mut lengths: Vec<u32> = order.pieces.iter().map(|p| p.length_mm).collect();
    lengths.sort_unstable_by(|a, b| b.cmp(a));
    lengths.dedup();
    let counts =
        lengths.iter().map(|&l| order.pieces.iter().filter(|p| p.length_mm == l).count()).collect();
    Kinds { lengths_mm: lengths, counts, cut_mm: order.cut_mm }
}

fn stock_of(order: &Order<'_>) -> Vec<u32> {
    order.in_hand.iter().map(|s| s.length_mm).collect()
}

/// Every length that can be bought, with what the plan counts as its cost.
fn offers_of(order: &Order<'_>, aim: Aim) -> Vec<Offer> {
    let cost = |price: Option<u64>, steps: u32, length_mm: u32| match aim {
        Aim::Cost => price.unwrap_or(0) * u64::from(steps),
        Aim::Length => u64::from(length_mm),
    };
    let mut offers = Vec::new();
    for (sold, entry) in order.sold.iter().enumerate() {
        match entry.sold_as {
            SoldAs::Length(length_mm) => {
                let cost = cost(entry.price_minor, 1, length_mm);
                offers.push(Offer { sold, steps: 1, length_mm, cost });
            }
            SoldAs::Steps { step_tenths_mm, steps_max } => {
                for steps in 1..=steps_max {
                    // A run longer than a u32 of millimetres (4000 km) is not sold.
                    let Ok(length_mm) = u32::try_from(steps_mm(step_tenths_mm, steps)) else {
                        break;
                    };
                    let cost = cost(entry.price_minor, steps, length_mm);
                    offers.push(Offer { sold, steps, length_mm, cost });
                }
            }
        }
    }
    offers
}

fn not_enough(order: &Order<'_>, problem: &Problem, left: &[u16], proven: bool) -> CutError {
    let mut pieces = Vec::new();
    let mut missing_mm = 0;
    for (kind, &count) in left.iter().enumerate() {
        let length = problem.lengths_mm[kind];
        let names = order.pieces.iter().rev().filter(|p| p.length_mm == length);
        for p in names.take(usize::from(count)) {
            pieces.push(p.id.clone());
            missing_mm += u64::from(p.length_mm);
        }
    }
    CutError::NotEnough { pieces, missing_mm, proven }
}

/// Turns the search's counts back into named pieces.
fn written(order: &Order<'_>, aim: Aim, problem: &Problem, found: &Found) -> CutPlan {
    let mut waiting: Vec<Vec<&Piece>> = problem
        .lengths_mm
        .iter()
        .map(|&l| order.pieces.iter().rev().filter(|p| p.length_mm == l).collect())
        .collect();
    let mut lengths = Vec::new();
    let mut bought: Vec<Bought> = Vec::new();
    let mut number = 0;
    for (bin, pattern) in &found.bins {
        let (origin, length_mm) = match *bin {
            Bin::InHand(index) => {
                let stock = &order.in_hand[index];
                (Origin::InHand(stock.id.clone()), stock.length_mm)
            }
            Bin::Bought(index) => {
                let offer = &problem.offers[index];
                number += 1;
                add_to_list(&mut bought, &order.sold[offer.sold], offer);
                (
                    Origin::Bought { label: order.sold[offer.sold].label.clone(), number },
                    offer.length_mm,
                )
            }
        };
        let mut pieces = Vec::new();
        for (kind, &count) in pattern.iter().enumerate() {
            for _ in 0..count {
                pieces.extend(waiting[kind].pop().cloned());
            }
        }
        lengths.push(cut_length(origin, length_mm, pieces, order.cut_mm));
    }
    let totals = totals(&lengths, &bought);
    CutPlan {
        aim,
        bought,
        lengths,
        totals,
        proven: found.proven,
        offcut_proven: found.offcut_proven,
    }
}

fn add_to_list(bought: &mut Vec<Bought>, sold: &Sold, offer: &Offer) {
    let price = sold.price_minor.map(|p| p * u64::from(offer.steps));
    let same = bought.iter_mut().find(|b| b.label == sold.label && b.length_mm == offer.length_mm);
    match same {
        Some(entry) => {
            entry.count += 1;
            entry.price_minor = entry.price_minor.zip(price).map(|(a, b)| a + b);
        }
        None => bought.push(Bought {
            label: sold.label.clone(),
            length_mm: offer.length_mm,
            count: 1,
            price_minor: price,
        }),
    }
}

/// One length with its pieces: what the cuts take and what is left.
///
/// The last cut is not needed when the pieces end exactly at the end, and takes what is there when
/// less than a cut's width is left.
fn cut_length(origin: Origin, length_mm: u32, pieces: Vec<Piece>, cut_mm: u32) -> CutLength {
    let mut left = length_mm;
    let mut lost = 0;
    for p in &pieces {
        left -= p.length_mm;
        let cut = cut_mm.min(left);
        lost += cut;
        left -= cut;
    }
    CutLength { origin, length_mm, pieces, cut_mm: lost, remainder_mm: left }
}

fn totals(lengths: &[CutLength], bought: &[Bought]) -> Totals {
    let sum = |f: fn(&CutLength) -> u64| lengths.iter().map(f).sum();
    let price = bought.iter().try_fold(0, |sum, b| b.price_minor.map(|p| sum + p));
    Totals {
        bought_mm: bought.iter().map(|b| u64::from(b.length_mm) * u64::from(b.count)).sum(),
        in_hand_mm: lengths
            .iter()
            .filter(|l| matches!(l.origin, Origin::InHand(_)))
            .map(|l| u64::from(l.length_mm))
            .sum(),
        used_mm: sum(|l| l.pieces.iter().map(|p| u64::from(p.length_mm)).sum()),
        cut_mm: sum(|l| u64::from(l.cut_mm)),
        waste_mm: sum(|l| u64::from(l.remainder_mm)),
        largest_offcut_mm: lengths.iter().map(|l| l.remainder_mm).max().unwrap_or(0),
        price_minor: price,
    }
}

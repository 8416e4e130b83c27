//! Which pieces of cable to cut, and from what: the leads of a stage grouped by cable, each group
//! with its cut plan.
//!
//! Two leads share a cable when they are of one size and, where the owner's stock tells colours
//! apart, of one colour. A lead in hand that fits is not cut again.

use super::cutting::{CutError, CutPlan, InHand, NODE_CAP, Order, Piece, Sold, SoldAs, cut_plan};
use crate::model::design::Design;
use crate::model::stock::{CableInHand, CableSold};
use crate::sizing::answer::{LeadAnswer, Reuse};
use crate::units::Length;
use crate::units::conductor::ConductorSize;
use crate::units::show::{self, UnitSystem};

/// One cable: what is cut from it and how.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CableGroup {
    /// Its size.
    pub size: ConductorSize,
    /// Its colour, where the stock tells colours apart; `None` is cut for both poles.
    pub colour: Option<String>,
    /// The pieces, in the order of the leads.
    pub pieces: Vec<Piece>,
    /// How to cut them, or why they cannot be cut from what is in hand or sold.
    pub plan: Result<CutPlan, NoPlan>,
}

/// Why a group has no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoPlan {
    /// The design lists no cable of this size and colour, in hand or sold.
    NotListed {
        /// How many pieces are needed.
        pieces: usize,
        /// Their length together [mm].
        needed_mm: u64,
    },
    /// What is listed does not do.
    Cut(CutError),
}

impl NoPlan {
    /// The reason in a sentence, its length in the units of the reader.
    #[must_use]
    pub fn says(&self, units: UnitSystem) -> String {
        match self {
            Self::NotListed { pieces, needed_mm } => {
                let word = if *pieces == 1 { "piece" } else { "pieces" };
                let needed = Length::mm(f64::from(u32::try_from(*needed_mm).unwrap_or(u32::MAX)));
                format!(
                    "{} in {pieces} {word}; the design lists no such cable in hand or sold.",
                    show::route(needed, units)
                )
            }
            Self::Cut(error) => error.to_string(),
        }
    }
}

impl CableGroup {
    /// Cable in the pieces [mm].
    #[must_use]
    pub fn needed_mm(&self) -> u64 {
        self.pieces.iter().map(|p| u64::from(p.length_mm)).sum()
    }
}

/// Sums over all groups that have a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct CutTotals {
    /// Bought [mm].
    pub bought_mm: u64,
    /// In the pieces [mm].
    pub used_mm: u64,
    /// Left over [mm].
    pub waste_mm: u64,
}

/// A price of a cut plan in the owner's money; the plan counts in hundredths of it.
#[must_use]
pub fn price(minor: u64) -> f64 {
    // Prices are held below 4e9 hundredths by `whole`; times a count they stay exact in an f64.
    #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
    let minor = minor as f64;
    minor / 100.0
}

/// Sums over the groups.
#[must_use]
pub fn totals(groups: &[CableGroup]) -> CutTotals {
    let mut all = CutTotals::default();
    for plan in groups.iter().filter_map(|g| g.plan.as_ref().ok()) {
        all.bought_mm += plan.totals.bought_mm;
        all.used_mm += plan.totals.used_mm;
        all.waste_mm += plan.totals.waste_mm;
    }
    all
}

/// The groups of a stage, in the order in which the leads first name their cable.
#[must_use]
pub fn cut_list(design: &Design, leads: &[LeadAnswer]) -> Vec<CableGroup> {
    let mut cables: Vec<(ConductorSize, Option<String>, Vec<Piece>)> = Vec::new();
    for lead in leads.iter().filter(|l| !matches!(l.reuse, Reuse::Fits { .. })) {
        let colour = tells_colours_apart(design, lead.size).then(|| lead.colour.clone());
        let piece = Piece { id: lead.id.clone(), length_mm: whole_mm_up(lead.length.cut) };
        match cables.iter_mut().find(|c| c.0 == lead.size && c.1 == colour) {
            Some((_, _, pieces)) => pieces.push(piece),
            None => cables.push((lead.size, colour, vec![piece])),
        }
    }
    let mut opened: Vec<ConductorSize> = Vec::new();
    let mut groups = Vec::with_capacity(cables.len());
    for (size, colour, pieces) in cables {
        // A length in hand without a colour serves the first group that may use it, and only that.
        let first = !opened.contains(&size);
        opened.push(size);
        let plan = planned(design, &Cable { size, colour: colour.as_deref(), first }, &pieces);
        groups.push(CableGroup { size, colour, pieces, plan });
    }
    groups
}

/// What a group is cut from.
struct Cable<'a> {
    size: ConductorSize,
    colour: Option<&'a str>,
    first: bool,
}

/// Whether any cable of this size in hand or on sale has a colour of its own.
fn tells_colours_apart(design: &Design, size: ConductorSize) -> bool {
    let stock = &design.stock;
    stock.cable.iter().any(|c| c.size == size && c.colour.is_some())
        || stock.sold.iter().any(|s| s.size == size && s.colour.is_some())
}

fn planned(design: &Design, cable: &Cable<'_>, pieces: &[Piece]) -> Result<CutPlan, NoPlan> {
    let suits = |own: &Option<String>| match (own.as_deref(), cable.colour) {
        (Some(own), Some(wanted)) => own == wanted,
        (None, _) | (_, None) => true,
    };
    let stock = &design.stock;
    let free = |c: &&CableInHand| suits(&c.colour) && (c.colour.is_some() || cable.first);
    let hand = stock.cable.iter().filter(|c| c.size == cable.size).filter(free);
    let in_hand: Vec<InHand> = hand.map(in_hand).collect();
    let shop = stock.sold.iter().filter(|s| s.size == cable.size && suits(&s.colour));
    let sold: Vec<Sold> = shop.map(sold).collect();
    if in_hand.is_empty() && sold.is_empty() {
        let needed_mm = pieces.iter().map(|p| u64::from(p.length_mm)).sum();
        return Err(NoPlan::NotListed { pieces: pieces.len(), needed_mm });
    }
    let order = Order { pieces, in_hand: &in_hand, sold: &sold, cut_mm: 0, node_cap: NODE_CAP };
    cut_plan(&order).map_err(NoPlan::Cut)
}

fn in_hand(cable: &CableInHand) -> InHand {
    InHand { id: cable.name.clone(), length_mm: whole_mm_down(cable.length) }
}

fn sold(cable: &CableSold) -> Sold {
    let sold_as = match cable.up_to {
        None => SoldAs::Length(whole_mm_down(cable.length)),
        Some(most) => {
            let steps = whole(most / cable.length.max(Length::mm(0.1)) + 1e-9);
            SoldAs::Steps {
                step_tenths_mm: whole(cable.length.as_mm() * 10.0),
                steps_max: steps.max(1),
            }
        }
    };
    let price_minor = cable.price.map(|price| u64::from(whole((price * 100.0).round())));
    Sold { label: cable.name.clone(), sold_as, price_minor }
}

/// A piece may not come out short, so it is cut to the next whole millimetre.
#[must_use]
pub fn whole_mm_up(length: Length) -> u32 {
    whole(length.as_mm().ceil())
}

/// A length in hand is not counted for more than it is.
fn whole_mm_down(length: Length) -> u32 {
    whole(length.as_mm())
}

fn whole(value: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to what a u32 holds; lengths of cable are far below"
    )]
    let whole = value.clamp(0.0, 4e9) as u32;
    whole
}

#[cfg(test)]
mod tests {
    use super::{sold, whole_mm_down, whole_mm_up};
    use crate::model::stock::CableSold;
    use crate::plan::cutting::SoldAs;
    use crate::units::Length;
    use crate::units::conductor::{ConductorSize, Gauge};

    #[test]
    fn cable_by_the_foot_is_counted_in_feet() {
        let gauge = Gauge::from_text("2/0").expect("a real gauge");
        let mut cable = CableSold {
            name: "2/0 by the foot".to_owned(),
            size: ConductorSize::Awg(gauge),
            length: Length::feet(1.0),
            up_to: Some(Length::feet(50.0)),
            price: Some(9.5),
            colour: None,
        };
        // 1 ft = 304.8 mm = 3 048 tenths by the yard agreement of 1959; 50 ft / 1 ft = 50.
        let by_foot = sold(&cable);
        let want = SoldAs::Steps { step_tenths_mm: 3048, steps_max: 50 };
        assert_eq!(by_foot.sold_as, want, "fifty feet in one run");
        assert_eq!(by_foot.price_minor, Some(950), "9.50 a foot");
        cable.up_to = None;
        assert_eq!(sold(&cable).sold_as, SoldAs::Length(304), "a ready length, never rounded up");
    }

    #[test]
    fn a_piece_is_never_short_and_stock_never_long() {
        assert_eq!(whole_mm_up(Length::mm(358.2)), 359, "a piece");
        assert_eq!(whole_mm_down(Length::mm(358.9)), 358, "stock");
    }
}

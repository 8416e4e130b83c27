//! What to buy for one stage: what is new, what is in hand, what it costs, what comes in useful
//! again, and what is too small for a later stage.

pub mod leads;
pub mod later;
pub mod parts;

use self::later::Later;
use self::leads::{LeadItem, lead_items};
use super::job::Job;
use crate::units::show::fixed;

/// The kind of a thing on the list, in the order of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ItemKind {
    /// Blocks.
    Block,
    /// The box.
    Enclosure,
    /// What holds it down.
    Hold,
    /// Fuses and breakers.
    Fuse,
    /// One spare of each fuse.
    Spare,
    /// Other devices.
    Device,
    /// Panels.
    Array,
    /// Cable by the length.
    Cable,
    /// A lead bought made up.
    MadeUpLead,
    /// Lugs.
    Lug,
    /// Heat-shrink.
    Shrink,
    /// Boots.
    Boot,
    /// Labels, water, soda, brush and such.
    Consumable,
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its kind.
    pub kind: ItemKind,
    /// Path of the part in the design file; empty for what the tool derives.
    pub path: String,
    /// What to ask for in the shop.
    pub what: String,
    /// How many, or how much.
    pub quantity: f64,
    /// Pieces, or metres.
    pub unit: &'static str,
    /// Price of the whole line in the owner's own money; `None` when it was not given.
    pub price: Option<f64>,
    /// Later stages in which it is used again.
    pub used_again: Vec<String>,
    /// What a buyer must know.
    pub note: Option<String>,
    /// It is too small for a later stage, with what that stage needs.
    pub too_small: Option<String>,
}

/// The list of one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Shopping {
    /// The stage.
    pub stage: String,
    /// What to buy.
    pub items: Vec<Item>,
    /// Every lead of the stage's work: new, reused, too short.
    pub leads: Vec<LeadItem>,
    /// What is in hand already.
    pub in_hand: Vec<String>,
    /// What no calculation here covers yet, and how to find it out.
    pub find_out: Vec<String>,
    /// Sum of the prices that were given.
    pub total: f64,
    /// Lines without a price.
    pub without_price: Vec<String>,
    /// Money the owner set for the stage.
    pub budget: Option<f64>,
}

impl Shopping {
    /// The list of a stage; `later` holds the stages after it in order.
    #[must_use]
    pub fn of(job: &Job<'_>, later: &[Later<'_>]) -> Self {
        let leads = lead_items(job, later);
        let mut items = parts::items(job, later);
        items.extend(leads::bought(job, &leads));
        items.extend(parts::consumables(job));
        items.sort_by_key(|i| i.kind);
        let total = items.iter().filter_map(|i| i.price).sum();
        let without_price =
            items.iter().filter(|i| i.price.is_none()).map(|i| i.what.clone()).collect();
        let budget = job.design.stages.iter().find(|s| s.name == job.stage).and_then(|s| s.budget);
        Self {
            stage: job.stage.clone(),
            items,
            leads,
            in_hand: parts::in_hand(job),
            find_out: parts::find_out(job),
            total,
            without_price,
            budget,
        }
    }

    /// What is over the stage's budget by the prices that were given; nothing when it is not.
    #[must_use]
    pub fn over_budget(&self) -> Option<f64> {
        self.budget.map(|b| self.total - b).filter(|over| *over > 0.0)
    }

    /// The sum in words: what the prices come to, the budget, and how many lines have no price.
    #[must_use]
    pub fn sum_says(&self) -> String {
        let mut says = format!("Sum of the prices given: {}.", fixed(self.total, 0));
        if let Some(budget) = self.budget {
            says.push_str(&format!(" Set for this stage: {}.", fixed(budget, 0)));
        }
        if let Some(over) = self.over_budget() {
            says.push_str(&format!(" Over by {}.", fixed(over, 0)));
        }
        let without = self.without_price.len();
        if without > 0 {
            says.push_str(&format!(" Lines without a price: {without}; the sum grows by them."));
        }
        says
    }
}

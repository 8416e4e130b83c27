//! Leads on the list: what is cut new, what in hand is used again, what is too short, and the
//! lugs, sleeves and boots they take.

use super::later::{Later, too_thin, with_lead};
use super::{Item, ItemKind};
use crate::circuit::wiring::WiredLead;
use crate::model::lead::Terminal;
use crate::plan::cut_list::{self, cut_list};
use crate::plan::cutting::Bought;
use crate::plan::job::Job;
use crate::sizing::answer::{LeadAnswer, LugChoice, Reuse};
use crate::units::Length;
use crate::units::show;
use std::collections::{BTreeMap, BTreeSet};

/// Where a lead comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Comes {
    /// It is cut and crimped.
    Cut,
    /// It is bought made up, at the owner's price.
    MadeUp(f64),
    /// The one in hand does, with this much over.
    InHand(Length),
    /// The one in hand may do: measure it.
    Measure,
    /// The one in hand is too short by this much; a new one is cut.
    TooShort(Length),
    /// The one in hand does not do for another reason; a new one is cut.
    Unfit(String),
    /// The tool has no size for it.
    Unknown,
}

/// A lead of the stage's work.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadItem {
    /// Its name.
    pub lead: String,
    /// From and to.
    pub way: String,
    /// Size and colour.
    pub size: String,
    /// Length to cut.
    pub cut: Option<Length>,
    /// Where it comes from.
    pub comes: Comes,
    /// Later stages in which it stays.
    pub used_again: Vec<String>,
    /// It is too thin for a later stage.
    pub too_thin: Option<String>,
}

impl LeadItem {
    /// Whether cable and lugs must be bought for it.
    #[must_use]
    pub const fn is_cut(&self) -> bool {
        matches!(self.comes, Comes::Cut | Comes::TooShort(_) | Comes::Unfit(_))
    }
}

/// Every lead that is bolted on at the stage.
#[must_use]
pub fn lead_items(job: &Job<'_>, later: &[Later<'_>]) -> Vec<LeadItem> {
    let fitted = job.wiring.leads.iter().filter(|l| job.lead_is_fitted(l));
    fitted.map(|lead| lead_item(job, later, lead)).collect()
}

fn lead_item(job: &Job<'_>, later: &[Later<'_>], lead: &WiredLead) -> LeadItem {
    let answer = job.answer(&lead.id);
    LeadItem {
        lead: lead.id.clone(),
        way: format!("{} to {}", lead.from, lead.to),
        size: answer.map_or_else(String::new, |a| format!("{} {}", a.size, a.colour)),
        cut: answer.map(|a| a.length.cut),
        comes: answer.map_or(Comes::Unknown, |a| comes(job, lead, a)),
        used_again: with_lead(later, lead),
        too_thin: answer.and_then(|a| too_thin(later, lead, a)),
    }
}

fn comes(job: &Job<'_>, lead: &WiredLead, answer: &LeadAnswer) -> Comes {
    let stood = job.before.and_then(|b| b.wiring.lead(&lead.id).cloned());
    match &answer.reuse {
        Reuse::Fits { over } => Comes::InHand(*over),
        Reuse::Unmeasured => Comes::Measure,
        Reuse::TooShort { missing } => Comes::TooShort(*missing),
        Reuse::WrongLug { hole, stud, at } => Comes::Unfit(format!(
            "its lug has a {} mm hole, the stud at {at} is {}",
            show::decimal(hole.as_mm(), 1),
            job.studs.name(*stud)
        )),
        Reuse::TooThin { needed } => Comes::Unfit(format!("it is too thin: {needed} is needed")),
        // The same lead stood before the blocks under it were changed: it only goes back on.
        Reuse::New
            if !lead.role.is_link()
                && stood.is_some_and(|s| s.from == lead.from && s.to == lead.to) =>
        {
            Comes::InHand(Length::ZERO)
        }
        Reuse::New => lead.stated.part.price.map_or(Comes::Cut, Comes::MadeUp),
    }
}

/// Cable, made-up leads, lugs, sleeves and boots.
#[must_use]
pub fn bought(job: &Job<'_>, leads: &[LeadItem]) -> Vec<Item> {
    let cut: Vec<&LeadAnswer> =
        leads.iter().filter(|l| l.is_cut()).filter_map(|l| job.answer(&l.lead)).collect();
    let mut items = made_up(leads);
    items.extend(cable(job, &cut));
    items.extend(lugs(job, &cut));
    items.extend(shrink(job, &cut));
    items.extend(boots(job, leads));
    items
}

fn plain(kind: ItemKind, what: String, quantity: f64, unit: &'static str) -> Item {
    Item {
        kind,
        path: String::new(),
        what,
        quantity,
        unit,
        price: None,
        used_again: Vec::new(),
        note: None,
        too_small: None,
    }
}

fn made_up(leads: &[LeadItem]) -> Vec<Item> {
    leads
        .iter()
        .filter_map(|lead| {
            let Comes::MadeUp(price) = lead.comes else {
                return None;
            };
            let what = format!("lead {} made up, {}, {}", lead.lead, lead.size, lead.way);
            let mut item = plain(ItemKind::MadeUpLead, what, 1.0, "piece");
            item.path = format!("lead.{}", lead.lead);
            item.price = Some(price);
            item.used_again.clone_from(&lead.used_again);
            item.too_small.clone_from(&lead.too_thin);
            Some(item)
        })
        .collect()
}

/// Cable as the cut list buys it; where nothing in hand or on sale does, the metres it takes.
fn cable(job: &Job<'_>, cut: &[&LeadAnswer]) -> Vec<Item> {
    let cut: Vec<LeadAnswer> = cut.iter().map(|l| (*l).clone()).collect();
    let mut items = Vec::new();
    for group in cut_list(job.design, &cut) {
        let colour = group.colour.as_ref().map_or_else(String::new, |c| format!(", {c}"));
        // A boat cable's size already ends in the word.
        let size = group.size.to_string();
        let size = size.strip_suffix(" cable").unwrap_or(&size);
        let what = format!("{size} cable{colour}");
        let needed = Length::mm(f64::from(u32::try_from(group.needed_mm()).unwrap_or(u32::MAX)));
        match &group.plan {
            Ok(plan) => items.extend(plan.bought.iter().map(|b| bought_cable(job, &what, b))),
            Err(why) => {
                let mut item = plain(ItemKind::Cable, what, needed.as_m(), "m");
                item.note = Some(why.says(job.design.rig.units));
                items.push(item);
            }
        }
    }
    items
}

fn bought_cable(job: &Job<'_>, what: &str, bought: &Bought) -> Item {
    let length = show::route(Length::mm(f64::from(bought.length_mm)), job.design.rig.units);
    let what = format!("{what}, {}, {length}", bought.label);
    let unit = if bought.count == 1 { "piece" } else { "pieces" };
    let mut item = plain(ItemKind::Cable, what, f64::from(bought.count), unit);
    item.price = bought.price_minor.map(cut_list::price);
    item.note = Some("the cut list says which lead is cut from it".to_owned());
    item
}

fn lugs(job: &Job<'_>, cut: &[&LeadAnswer]) -> Vec<Item> {
    let mut counts: BTreeMap<String, u32> = BTreeMap::new();
    for lug in cut.iter().flat_map(|l| [&l.lug_from, &l.lug_to]) {
        *counts.entry(lug_name(job, lug)).or_default() += 1;
    }
    let item = |(what, count): (String, u32)| {
        let unit = if count == 1 { "piece" } else { "pieces" };
        plain(ItemKind::Lug, what, f64::from(count), unit)
    };
    counts.into_iter().map(item).collect()
}

fn lug_name(job: &Job<'_>, lug: &LugChoice) -> String {
    let stud = lug.stud.map_or_else(
        || "for a stud still to be measured".to_owned(),
        |stud| format!("for {} stud", job.studs.name(stud)),
    );
    format!("lug, barrel {}, {stud}", lug.named())
}

fn shrink(job: &Job<'_>, cut: &[&LeadAnswer]) -> Vec<Item> {
    let mut sums: BTreeMap<(String, String), (u32, Length)> = BTreeMap::new();
    for (lead, choice) in cut.iter().filter_map(|l| Some((l, l.shrink.as_ref()?))) {
        let sum =
            sums.entry((choice.sold_as.clone(), lead.colour.clone())).or_insert((0, Length::ZERO));
        sum.0 += 2;
        sum.1 = sum.1 + choice.length * 2.0;
    }
    sums.into_iter()
        .map(|((sold_as, colour), (pieces, length))| {
            let what = format!("heat-shrink {sold_as}, {colour}");
            let mut item = plain(ItemKind::Shrink, what, length.as_m(), "m");
            let each = show::length(length * (1.0 / f64::from(pieces)), job.design.rig.units);
            item.note = Some(format!("{pieces} pieces of about {each}"));
            item
        })
        .collect()
}

/// One boot for each post or stud that needs one, however many lugs lie on it.
fn boots(job: &Job<'_>, leads: &[LeadItem]) -> Vec<Item> {
    let mut posts: BTreeSet<Terminal> = BTreeSet::new();
    for answer in leads.iter().filter_map(|l| job.answer(&l.lead)) {
        let ends = [(&answer.from, &answer.lug_from), (&answer.to, &answer.lug_to)];
        posts.extend(ends.into_iter().filter(|e| e.1.boot).map(|e| e.0.clone()));
    }
    if posts.is_empty() {
        return Vec::new();
    }
    let count = f64::from(u32::try_from(posts.len()).unwrap_or(u32::MAX));
    vec![plain(ItemKind::Boot, "boot over post or stud".to_owned(), count, "pieces")]
}

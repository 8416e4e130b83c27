//! The overcurrent device of a lead: rating window, family, interrupt rating, place, distance.

use super::rules::{Ceiling, Rules};
use crate::calc::fuse_window::fuse_window;
use crate::calc::interrupt::{FaultFacts, InterruptNeeded, interrupt_needed};
use crate::cite::{Cite, Status};
use crate::facts::Facts;
use crate::model::design::Design;
use crate::model::device::{Device, DeviceKind};
use crate::tables::Tables;
use crate::units::{Current, Interrupt, Voltage};

/// The current a dead short at the bank's own terminals drives, and how that is known.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Prospective {
    /// What a main device must be able to break [A].
    pub(super) main_a: f64,
    /// What a device behind another must be able to break [A].
    pub(super) branch_a: f64,
    /// How `main_a` comes about, in words.
    pub(super) main_says: &'static str,
    /// How `branch_a` comes about, in words.
    pub(super) branch_says: &'static str,
    pub(super) cite: Cite,
}

/// More than the rig itself could drive, whose links, joints and leads hold it back.
const BY_BLOCKS: &str =
    "what the blocks by themselves drive into a short, links and joints not counted";
const OF_UNKNOWN: &str = "what is asked of a bank whose short-circuit current stands on no sheet";
const BY_CRANKING: &str = "by the table of cranking amps";
/// Of a device behind another.
pub(super) const THROUGH_LEADS: &str = "what a short drives through the leads up to it";

/// What a device must be able to break: the sum over the strings of what each drives.
///
/// A string drives no more than its strongest block; blocks in series do not add. Without a
/// maker's figure the main device goes by the older table of cranking amps where it reaches, and
/// beyond it by what rule R16 asks of an unknown bank; what stands behind it by EMF over
/// resistance.
pub(super) fn prospective(design: &Design, tables: &Tables, facts: &Facts) -> Prospective {
    let strings = facts.blocks.iter().map(|b| b.id.string).max().map_or(0, |s| s + 1);
    let known = facts.blocks.iter().all(|b| b.short_circuit.is_some());
    if !known && let Some(found) = by_cranking(design, tables, facts) {
        return found;
    }
    let mut sum_a = 0.0;
    for string in 0..strings {
        let of_string = facts.blocks.iter().filter(|b| b.id.string == string);
        let most = of_string.map(|b| b.prospective_short().as_amps()).fold(0.0, f64::max);
        sum_a += most;
    }
    let cite = if known {
        Cite::new("owner", "short-circuit current of the block's sheet", Status::Read)
    } else {
        let weakest = facts.blocks.iter().map(|b| b.cite.clone()).max_by_key(|c| c.status);
        weakest.unwrap_or_else(|| Cite::physics("EMF over resistance"))
    };
    let high = tables.limits.value("aic-short-circuit-high");
    let least = tables.limits.value("aic-high-interrupt-min");
    let enough = known && sum_a <= high.value;
    let (main_a, main_says) =
        if enough || least.value <= sum_a { (sum_a, BY_BLOCKS) } else { (least.value, OF_UNKNOWN) };
    Prospective { main_a, branch_a: sum_a, main_says, branch_says: BY_BLOCKS, cite }
}

/// The older table by the bank's cranking amps, inside the limits it was printed for.
fn by_cranking(design: &Design, tables: &Tables, facts: &Facts) -> Option<Prospective> {
    let bank = design.bank()?;
    let model = design.block_model(&bank.block)?;
    let total = model.cranking? * f64::from(bank.parallel);
    let capacity = model.rating.and_then(crate::units::capacity::Rating::capacity);
    let asked = FaultFacts {
        block: None,
        cranking: model.cranking,
        strings: bank.parallel,
        // A bank whose amp-hours are not known is taken as too large for the table.
        capacity_ah: capacity.map_or(f64::MAX, |c| c.in_parallel(bank.parallel).as_amp_hours()),
        nominal: facts.blocks.first()?.nominal.in_series(bank.series).voltage(),
    };
    let InterruptNeeded::AtLeast(main) = interrupt_needed(tables, &asked) else {
        return None;
    };
    let (_, branch) = tables.overcurrent.interrupt_by_cranking(total)?;
    let (main_a, branch_a) = (main.value.as_amps(), branch.as_amps());
    let (main_says, branch_says) = (BY_CRANKING, BY_CRANKING);
    Some(Prospective { main_a, branch_a, main_says, branch_says, cite: main.cite })
}

/// The largest rating a device may have over a lead of this ampacity, among these stock ratings.
///
/// With the next size up allowed, the stock rating that first reaches the ceiling counts as within
/// it.
pub(super) fn largest_allowed(stock_a: &[f64], ampacity_a: f64, ceiling: &Ceiling) -> f64 {
    let most = ampacity_a * ceiling.share;
    if !ceiling.next_size_up {
        return most;
    }
    stock_a.iter().copied().find(|r| most <= *r + 1e-9).unwrap_or(most).max(most)
}

/// The least rating that carries a continuous load: so much over it that the fuse never ages.
pub(super) fn least_rating(tables: &Tables, amps: f64) -> f64 {
    amps * tables.limits.value("fuse-over-load-min").value
}

/// The smallest stock rating not under the least.
pub(super) fn smallest_rating(stock_a: &[f64], least_a: f64) -> Option<f64> {
    stock_a.iter().copied().find(|r| least_a <= *r + 1e-9)
}

/// The rating to buy: the middle of those between the least and the ampacity of the thinnest lead
/// guarded, or the smallest not under the least where none lies between.
pub(super) fn preferred_rating(
    stock_a: &[f64],
    load: Current,
    thinnest: Current,
    rules: &Rules<'_>,
    tables: &Tables,
) -> Option<f64> {
    let window = fuse_window(load, thinnest, rules.ceiling.share * 100.0, &tables.limits);
    let stock: Vec<Current> = stock_a.iter().map(|a| Current::amps(*a)).collect();
    let middle = window.preferred(&stock).map(Current::as_amps);
    middle.or_else(|| smallest_rating(stock_a, window.lowest.as_amps()))
}

/// A device that would do.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Picked {
    /// The family's word in the data.
    pub(super) family: String,
    /// The family in full.
    pub(super) name: String,
    pub(super) rating_a: f64,
    pub(super) interrupt_a: f64,
    pub(super) rated_volts: Option<Voltage>,
    /// It breaks what it must; otherwise it is the strongest there is.
    pub(super) holds: bool,
    pub(super) cites: Vec<Cite>,
}

/// What is asked of a device.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Asked {
    /// The largest volts the bank is charged to: both the voltage mark and the interrupt rating
    /// must hold there.
    pub(super) charged: Voltage,
    pub(super) break_a: f64,
    /// How that comes about, in words.
    pub(super) break_says: &'static str,
    pub(super) least_a: f64,
    /// On the post itself, where a terminal fuse can sit.
    pub(super) on_post: bool,
}

/// The first family, weakest first, that is marked for the volts, breaks the fault and has a stock
/// rating above the load; the strongest of all where none breaks it.
pub(super) fn pick(tables: &Tables, asked: &Asked) -> Option<Picked> {
    let mut best: Option<Picked> = None;
    for family in tables.overcurrent.families() {
        // A new lead is guarded by a fuse: a breaker is the owner's choice, never a default.
        let is_breaker = family.word.starts_with("breaker");
        let elsewhere = family.mounting == "battery post" && !asked.on_post;
        let volts_fit = asked.charged.as_volts() <= family.voltage_max.value.as_volts();
        if is_breaker || elsewhere || !volts_fit {
            continue;
        }
        let Some(interrupt) = tables.overcurrent.interrupt(&family.word, asked.charged) else {
            continue;
        };
        let stock = stock(tables, &family.word);
        let Some(rating_a) = smallest_rating(&stock, asked.least_a) else {
            continue;
        };
        let picked = Picked {
            family: family.word.clone(),
            name: family.name.clone(),
            rating_a,
            interrupt_a: interrupt.value.as_amps(),
            rated_volts: Some(family.voltage_max.value),
            holds: asked.break_a <= interrupt.value.as_amps(),
            cites: vec![family.voltage_max.cite.clone(), interrupt.cite],
        };
        if picked.holds {
            return Some(picked);
        }
        if best.as_ref().is_none_or(|b| b.interrupt_a < picked.interrupt_a) {
            best = Some(picked);
        }
    }
    best
}

/// Stock ratings of a family, smallest first.
pub(super) fn stock(tables: &Tables, family: &str) -> Vec<f64> {
    let mut all: Vec<f64> =
        tables.overcurrent.ratings(family).iter().map(|r| r.value.as_amps()).collect();
    all.sort_by(f64::total_cmp);
    all
}

/// The family's word in the data for what the owner wrote: `class T`, `MIDI`, `maxi blade`.
pub(super) fn family_word<'a>(tables: &'a Tables, written: &str) -> Option<&'a str> {
    let plain = |text: &str| text.to_ascii_lowercase().replace([' ', '_'], "-");
    let wanted = plain(written);
    let families = tables.overcurrent.families();
    families
        .iter()
        .find(|f| f.word == wanted || plain(&f.trade) == wanted)
        .or_else(|| families.iter().find(|f| plain(&f.name).contains(&wanted)))
        .map(|f| f.word.as_str())
}

/// A device of the design, with what is missing of it filled in from its family.
pub(super) fn of_device(tables: &Tables, device: &Device, asked: &Asked) -> Option<Picked> {
    let family = device.family.as_deref().and_then(|f| family_word(tables, f));
    let plain_breaker = family.is_none() && device.kind == DeviceKind::Breaker;
    let picked = if family.is_none() { pick(tables, asked) } else { None };
    let word = family.map(str::to_owned).or_else(|| picked.as_ref().map(|p| p.family.clone()))?;
    let row = tables.overcurrent.family(&word)?;
    let stock = stock(tables, &word);
    let chosen = smallest_rating(&stock, asked.least_a).or(stock.last().copied());
    let rating_a = device.rating.map(Current::as_amps).or(chosen)?;
    let of_family = tables.overcurrent.interrupt(&word, asked.charged);
    let interrupt = device.interrupt.or(of_family.as_ref().map(|i| i.value));
    let interrupt_a = interrupt.map_or(0.0, Interrupt::as_amps);
    let mut cites = Vec::new();
    if device.rating.is_some() {
        cites.push(Cite::new("owner", "the design file", Status::Read));
    }
    if device.interrupt.is_none() {
        cites.extend(of_family.map(|i| i.cite));
    }
    if device.volts_max.is_none() {
        cites.push(row.voltage_max.cite.clone());
    }
    Some(Picked {
        family: word.clone(),
        // A breaker whose kind nobody stated is never told as a fuse.
        name: match &device.family {
            Some(stated) => stated.clone(),
            None if plain_breaker => "breaker".to_owned(),
            None => row.name.clone(),
        },
        rating_a,
        interrupt_a,
        rated_volts: device.volts_max.or(Some(row.voltage_max.value)),
        holds: asked.break_a <= interrupt_a,
        cites,
    })
}

/// Number of the smallest size that a rating may guard; `None` when none may be so guarded.
pub(super) fn smallest(
    rules: &Rules<'_>,
    stock_a: &[f64],
    rating_a: f64,
    ampacity: impl Fn(usize) -> Option<f64>,
) -> Option<usize> {
    (0..rules.sizes.len()).find(|n| {
        ampacity(*n).is_some_and(|a| rating_a <= largest_allowed(stock_a, a, &rules.ceiling) + 1e-9)
    })
}

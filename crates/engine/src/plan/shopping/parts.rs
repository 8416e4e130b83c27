//! Blocks, box, devices, panels and small stuff on the list.

use super::later::{Later, too_small, with_device};
use super::{Item, ItemKind};
use crate::model::block::Chemistry;
use crate::model::device::{Device, DeviceKind};
use crate::model::part::Part;
use crate::plan::job::Job;
use crate::plan::words::with_kind;
use crate::units::show::{self, decimal};
use std::collections::{BTreeMap, BTreeSet};

/// Blocks, box, devices with spares, panels.
#[must_use]
pub fn items(job: &Job<'_>, later: &[Later<'_>]) -> Vec<Item> {
    let mut items = blocks(job, later);
    items.extend(enclosure(job, later));
    items.extend(holds(job, later));
    let bought: Vec<&Device> = job.new_devices().filter(|d| !d.part.have).collect();
    items.extend(bought.iter().map(|d| device(d, later)));
    items.extend(spares(&bought));
    items.extend(arrays(job, later));
    items
}

fn blocks(job: &Job<'_>, later: &[Later<'_>]) -> Vec<Item> {
    let Some(bank) = job.design.bank().filter(|b| job.bank_is_new() && !b.have) else {
        return Vec::new();
    };
    let mut counts: BTreeMap<String, u32> = BTreeMap::new();
    for id in bank.block_ids() {
        let state = bank.state_of(id);
        if state.have != Some(true) {
            *counts.entry(state.model.unwrap_or_else(|| bank.block.clone())).or_default() += 1;
        }
    }
    counts
        .into_iter()
        .map(|(model, count)| {
            let price = job.design.block_model(&model).and_then(|m| m.price);
            let stays = |l: &&Later<'_>| {
                l.design.bank().is_some_and(|b| b.stage == bank.stage && b.block == bank.block)
            };
            Item {
                kind: ItemKind::Block,
                path: format!("block.{model}"),
                what: format!("block {model}, all of one batch"),
                quantity: f64::from(count),
                unit: "pieces",
                price: price.map(|p| p * f64::from(count)),
                used_again: later.iter().filter(stays).map(|l| l.stage.to_owned()).collect(),
                note: Some("read the date code of each before you pay".to_owned()),
                too_small: None,
            }
        })
        .collect()
}

fn enclosure(job: &Job<'_>, later: &[Later<'_>]) -> Option<Item> {
    let own = job.design.enclosure.as_ref().filter(|e| !e.part.have)?;
    let stood = job.before.is_some_and(|b| b.design.enclosure.is_some());
    (!stood).then(|| Item {
        kind: ItemKind::Enclosure,
        path: "box".to_owned(),
        what: "box".to_owned(),
        quantity: 1.0,
        unit: "piece",
        price: own.part.price,
        used_again: later
            .iter()
            .filter(|l| l.design.enclosure.is_some())
            .map(|l| l.stage.to_owned())
            .collect(),
        note: own.place.clone(),
        too_small: None,
    })
}

/// Bolts, nuts, plates, straps; the price of a set stands on its first line.
fn holds(job: &Job<'_>, later: &[Later<'_>]) -> Vec<Item> {
    let mut items = Vec::new();
    for list in job.new_holds() {
        let set = job.design.holds.iter().find(|h| h.part.name == list.name);
        let Some(set) = set.filter(|s| !s.part.have) else {
            continue;
        };
        let stays = |l: &&Later<'_>| l.design.holds.iter().any(|h| h.part.name == list.name);
        let again: Vec<String> = later.iter().filter(stays).map(|l| l.stage.to_owned()).collect();
        for (n, (what, count)) in list.buy.iter().enumerate() {
            let of_set = format!("price with {}", list.buy[0].0);
            items.push(Item {
                kind: ItemKind::Hold,
                path: format!("hold.{}", list.name),
                what: what.clone(),
                quantity: f64::from(*count),
                unit: if *count == 1 { "piece" } else { "pieces" },
                price: if n == 0 { set.part.price } else { set.part.price.map(|_| 0.0) },
                used_again: again.clone(),
                note: (n > 0 && set.part.price.is_some()).then_some(of_set),
                too_small: None,
            });
        }
    }
    items
}

fn device(device: &Device, later: &[Later<'_>]) -> Item {
    let used_again = with_device(later, &device.part.name);
    let gone = device.part.until.as_ref().map(|u| format!("taken out again at stage {u}"));
    Item {
        kind: if device.kind.is_overcurrent() { ItemKind::Fuse } else { ItemKind::Device },
        path: format!("device.{}", device.part.name),
        what: device_name(device),
        quantity: 1.0,
        unit: "piece",
        price: device.part.price,
        used_again,
        note: gone.or_else(|| device.part.note.clone()),
        too_small: too_small(later, device),
    }
}

/// What to ask for: kind, name, family, amps; a fuse comes with its holder.
fn device_name(device: &Device) -> String {
    let mut words = vec![with_kind(device)];
    words.extend(device.family.clone());
    words.extend(device.rating.map(|a| format!("{} A", decimal(a.as_amps(), 0))));
    words.extend(device.power.map(|p| format!("{} W", decimal(p.as_watts(), 0))));
    if device.kind == DeviceKind::Fuse {
        words.push("with its holder".to_owned());
    }
    words.join(", ")
}

/// One spare of each family and rating; its price is not that of fuse and holder together.
fn spares(bought: &[&Device]) -> Vec<Item> {
    let mut kinds: BTreeSet<(String, String)> = BTreeSet::new();
    for fuse in bought.iter().filter(|d| d.kind == DeviceKind::Fuse) {
        let rating = fuse.rating.map_or_else(String::new, |a| decimal(a.as_amps(), 0));
        kinds.insert((fuse.family.clone().unwrap_or_else(|| "fuse".to_owned()), rating));
    }
    kinds
        .into_iter()
        .map(|(family, rating)| Item {
            kind: ItemKind::Spare,
            path: String::new(),
            what: format!("spare {family} {rating} A, the fuse alone"),
            quantity: 1.0,
            unit: "piece",
            price: None,
            used_again: Vec::new(),
            note: Some("kept in the lid; no other kind may take its place".to_owned()),
            too_small: None,
        })
        .collect()
}

fn arrays(job: &Job<'_>, later: &[Later<'_>]) -> Vec<Item> {
    let stood = |part: &Part| {
        job.before.is_some_and(|b| b.design.arrays.iter().any(|a| a.part.name == part.name))
    };
    let fresh = job.design.arrays.iter().filter(|a| !a.part.have && !stood(&a.part));
    fresh
        .map(|array| {
            let name = &array.part.name;
            let power = array.panel.map_or_else(
                || "power not given".to_owned(),
                |p| format!("{} W each", decimal(p.as_watts(), 0)),
            );
            let stays = |l: &&Later<'_>| l.design.arrays.iter().any(|a| a.part.name == *name);
            Item {
                kind: ItemKind::Array,
                path: format!("array.{name}"),
                what: format!("panels for {name}, {power}"),
                quantity: f64::from(array.series * array.parallel),
                unit: "pieces",
                price: array.part.price,
                used_again: later.iter().filter(stays).map(|l| l.stage.to_owned()).collect(),
                note: array.part.note.clone(),
                too_small: None,
            }
        })
        .collect()
}

/// Small stuff that is used up.
#[must_use]
pub fn consumables(job: &Job<'_>) -> Vec<Item> {
    let flooded = job.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Flooded);
    let lead = job.facts.blocks.iter().any(|b| b.chemistry.is_lead());
    let mut names = vec!["masking tape and pen for labels", "insulating tape", "ties and clips"];
    if job.bank_is_new() && flooded {
        names.push("pure water for topping up, never from a tap");
    }
    if job.bank_is_new() && lead {
        names.push("baking soda");
    }
    names
        .into_iter()
        .map(|what| Item {
            kind: ItemKind::Consumable,
            path: String::new(),
            what: what.to_owned(),
            quantity: 1.0,
            unit: "piece",
            price: None,
            used_again: Vec::new(),
            note: None,
            too_small: None,
        })
        .collect()
}

/// What is in hand already and comes in useful at this stage.
#[must_use]
pub fn in_hand(job: &Job<'_>) -> Vec<String> {
    let mut list: Vec<String> =
        job.design.devices.iter().filter(|d| d.part.have).map(device_name).collect();
    let bank = job.design.bank();
    if let Some(bank) = bank.filter(|b| b.have) {
        list.push(format!("{} blocks {}", bank.count(), bank.block));
    }
    for cable in &job.design.stock.cable {
        let length = show::route(cable.length, job.design.rig.units);
        list.push(format!("cable {}: {length} of {}", cable.name, cable.size));
    }
    list
}

/// What this list does not cover, said plainly.
#[must_use]
pub fn find_out(job: &Job<'_>) -> Vec<String> {
    let mut list = Vec::new();
    if job.bank_is_new() {
        if job.hold.is_some() && job.design.holds.is_empty() {
            list.push(
                "Box and hold-down fasteners are not on this list: write them under [hold.NAME] and \
                 they come with their drills and sockets."
                    .to_owned(),
            );
        }
        if job.vent.is_some() {
            list.push(
                "Hoses, grilles and mesh for the vents are not on this list: their free area must be \
                 as large as the openings."
                    .to_owned(),
            );
        }
    }
    let torque_missing = job.new_devices().any(|d| d.stud.is_some() && d.torque.is_none());
    if torque_missing {
        list.push("Ask for the sheet of each device: its torque is not in the file.".to_owned());
    }
    if job.design.mains.is_some() {
        list.push("What the electrician brings is not on this list: ask for a quote.".to_owned());
    }
    list
}

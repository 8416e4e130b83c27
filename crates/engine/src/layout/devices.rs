//! Where the devices are drawn: where the owner put them, on the post they are mounted on, or in
//! pencil beside the box, in the order in which the current passes them.

use super::plan::Plan;
use crate::circuit::wiring::{Polarity, WiredLead, Wiring, resolved};
use crate::model::design::Design;
use crate::model::lead::{Pole, Terminal};
use crate::model::part::PlanPoint;
use crate::units::Length;
use std::collections::BTreeMap;

/// Between the two studs of a device, where only the first is placed: the drawing needs a second
/// point, and no length depends on it unless the owner placed the device.
const STUD_SPAN_MM: f64 = 50.0;

/// From the box to the first pencil device: room for the leads that come out of the box.
const AWAY_MM: f64 = 120.0;

/// From one pencil device to the next along a chain: its two studs and a lead one can see.
const CHAIN_PITCH_MM: f64 = 120.0;

/// From one chain of pencil devices to the next: room for a name under each.
const ROW_PITCH_MM: f64 = 80.0;

/// A device in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedDevice {
    /// Its name.
    pub name: String,
    /// Its stud, or the first of two: in or plus.
    pub first: PlanPoint,
    /// The second stud: out or minus.
    pub second: PlanPoint,
    /// The owner said where it is. A device that is not decided is drawn in pencil, and no length
    /// may rest on its place.
    pub decided: bool,
    /// Every lead on it belongs to the minus side.
    pub minus_side: bool,
}

impl PlacedDevice {
    /// Where a stud of it is.
    #[must_use]
    pub const fn stud(&self, pole: Pole) -> PlanPoint {
        match pole {
            Pole::Plus | Pole::In | Pole::Bar => self.first,
            Pole::Minus | Pole::Out => self.second,
        }
    }
}

/// Places every device that a lead reaches or that the owner placed, in file order.
pub(super) fn place(design: &Design, wiring: &Wiring, plan: &Plan) -> Vec<PlacedDevice> {
    let names = names(design, wiring);
    let slots = Slots::of(design, wiring, &names);
    let mut placed: BTreeMap<String, PlacedDevice> = BTreeMap::new();
    for (name, slot) in &slots.in_order {
        let minus_side = is_minus(wiring, name);
        let device = design.device(name);
        let mounted = device
            .and_then(|d| d.mounted_on.as_ref())
            .and_then(|on| stands_on(plan, &placed, &resolved(design.bank(), on)));
        let found = device.and_then(|d| d.at).map(|at| (at, true)).or(mounted);
        let (first, decided) = found.unwrap_or_else(|| (slot.point(plan), false));
        let second = second_stud(wiring, plan, name, first);
        let device = PlacedDevice { name: name.clone(), first, second, decided, minus_side };
        placed.insert(name.clone(), device);
    }
    names.iter().filter_map(|name| placed.remove(name)).collect()
}

/// Devices in file order, then anything else that a lead names.
fn names(design: &Design, wiring: &Wiring) -> Vec<String> {
    let ends = || wiring.leads.iter().flat_map(|l| [&l.from, &l.to]).filter_map(Terminal::device);
    let mut names: Vec<String> = Vec::new();
    for device in &design.devices {
        let name = &device.part.name;
        if device.at.is_some() || device.mounted_on.is_some() || ends().any(|end| end == name) {
            names.push(name.clone());
        }
    }
    for end in ends() {
        if !names.iter().any(|name| name == end) {
            names.push(end.to_owned());
        }
    }
    names
}

fn touches(lead: &WiredLead, name: &str) -> bool {
    lead.from.device() == Some(name) || lead.to.device() == Some(name)
}

fn is_minus(wiring: &Wiring, name: &str) -> bool {
    let mut leads = wiring.leads.iter().filter(|l| touches(l, name)).peekable();
    leads.peek().is_some() && leads.all(|l| l.polarity == Polarity::Minus)
}

/// The second stud lies beside the first, away from the box for a device left of its middle.
fn second_stud(wiring: &Wiring, plan: &Plan, name: &str, first: PlanPoint) -> PlanPoint {
    let span = Length::mm(STUD_SPAN_MM);
    let minus = Terminal::stud(name, Pole::Minus);
    if wiring.leads.iter().any(|lead| lead.from == minus || lead.to == minus) {
        return PlanPoint { x: first.x, y: first.y - span };
    }
    let left = first.x < plan.inner.length / 2.0;
    PlanPoint { x: if left { first.x - span } else { first.x + span }, y: first.y }
}

/// The point a mounted device stands on, and whether that is decided.
fn stands_on(
    plan: &Plan,
    placed: &BTreeMap<String, PlacedDevice>,
    terminal: &Terminal,
) -> Option<(PlanPoint, bool)> {
    match terminal {
        Terminal::Post { block, plus } => {
            let block = plan.block(*block)?;
            Some((if *plus { block.plus.at } else { block.minus.at }, true))
        }
        Terminal::Stud { device, pole } => {
            let host = placed.get(device)?;
            Some((host.stud(*pole), host.decided))
        }
    }
}

/// A place beside the box: how far along its chain, and in which row above or below the middle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Slot {
    minus_side: bool,
    along: u16,
    row: u16,
}

impl Slot {
    fn point(self, plan: &Plan) -> PlanPoint {
        let wall = plan.wall.unwrap_or(Length::ZERO);
        let along = AWAY_MM + CHAIN_PITCH_MM * f64::from(self.along);
        let away = ROW_PITCH_MM * (f64::from(self.row) + 0.5);
        PlanPoint {
            x: plan.inner.length + wall + Length::mm(along),
            y: plan.inner.width / 2.0 + Length::mm(if self.minus_side { -away } else { away }),
        }
    }
}

/// A slot for every device, in the order in which they are met on the way out from the bank: along
/// the plus side, along the minus side, then what hangs on neither.
struct Slots {
    in_order: Vec<(String, Slot)>,
}

impl Slots {
    fn of(design: &Design, wiring: &Wiring, names: &[String]) -> Self {
        let mut slots = Self { in_order: Vec::new() };
        let mut rows = 0;
        for side in [Polarity::Plus, Polarity::Minus] {
            let edges = edges(design, wiring, side);
            let from_bank = edges.iter().filter_map(|(a, b)| match (a, b) {
                (None, Some(name)) | (Some(name), None) => Some(name.clone()),
                _ => None,
            });
            let side_rows = slots.walk(from_bank.collect(), &edges, side == Polarity::Minus, 0);
            if side == Polarity::Plus {
                rows = side_rows;
            }
        }
        slots.walk(names.to_vec(), &[], false, rows);
        slots
    }

    /// Goes outwards from each root: the first device of a branch stays in its row, each further
    /// branch begins a new one. Returns how many rows are used.
    fn walk(&mut self, roots: Vec<String>, edges: &[Edge], minus_side: bool, from_row: u16) -> u16 {
        let mut rows = from_row;
        // The last of the list is met next; a device met twice keeps its first slot.
        let mut open: Vec<(String, u16, Option<u16>)> =
            roots.into_iter().rev().map(|name| (name, 0, None)).collect();
        while let Some((name, along, row)) = open.pop() {
            if self.in_order.iter().any(|(met, _)| *met == name) {
                continue;
            }
            let row = row.unwrap_or_else(|| {
                rows += 1;
                rows - 1
            });
            let slot = Slot { minus_side, along, row };
            let mut next: Vec<String> = Vec::new();
            for edge in edges {
                let other = match edge {
                    (Some(a), Some(b)) if *a == name => b,
                    (Some(a), Some(b)) if *b == name => a,
                    _ => continue,
                };
                if !next.contains(other) && !self.in_order.iter().any(|(met, _)| met == other) {
                    next.push(other.clone());
                }
            }
            self.in_order.push((name, slot));
            let branches = next.into_iter().enumerate().rev();
            open.extend(branches.map(|(n, name)| (name, along + 1, (n == 0).then_some(row))));
        }
        rows
    }
}

/// Two devices joined by a lead or by being mounted; `None` stands for the bank.
type Edge = (Option<String>, Option<String>);

fn edges(design: &Design, wiring: &Wiring, side: Polarity) -> Vec<Edge> {
    let name = |terminal: &Terminal| terminal.device().map(str::to_owned);
    let leads = wiring.leads.iter().filter(|lead| lead.polarity == side);
    let leads = leads.map(|lead| (name(&lead.from), name(&lead.to)));
    let mounted = design.devices.iter().filter_map(|device| {
        let on = resolved(design.bank(), device.mounted_on.as_ref()?);
        let own = &device.part.name;
        let here = wiring.leads.iter().any(|l| l.polarity == side && touches(l, own));
        here.then(|| (name(&on), Some(own.clone())))
    });
    leads.chain(mounted).collect()
}

//! Where the devices are drawn: where the owner put them, on the post they are mounted on, or in
//! pencil in a column beside the box.

use super::plan::{EndPoint, Plan};
use crate::circuit::wiring::{Polarity, Wiring, resolved};
use crate::model::design::Design;
use crate::model::lead::{Pole, Terminal};
use crate::model::part::PlanPoint;
use crate::units::Length;

/// Between the two studs of a device, where only the first is placed: the drawing needs a second
/// point, and no length depends on it unless the owner placed the device.
const STUD_SPAN_MM: f64 = 50.0;

/// From the box to the pencil column, and from one pencil device to the next: room for its label.
const COLUMN_AWAY_MM: f64 = 120.0;

/// From one device of the pencil column to the next.
const COLUMN_PITCH_MM: f64 = 80.0;

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

/// Places every device that a lead reaches or that the owner placed.
pub(super) fn place(design: &Design, wiring: &Wiring, plan: &Plan) -> Vec<PlacedDevice> {
    let mut column = Column::beside(plan);
    let mut placed: Vec<PlacedDevice> = Vec::new();
    for name in names(design, wiring) {
        let minus_side = is_minus(wiring, &name);
        let device = design.device(&name);
        let mounted = device
            .and_then(|d| d.mounted_on.as_ref())
            .and_then(|on| post_or_stud(plan, &placed, &resolved(design.bank(), on)));
        let own = device.and_then(|d| d.at).map(|at| (at, true));
        let found = own.or_else(|| mounted.map(|end| (end.at, end.decided)));
        let (first, decided) = found.unwrap_or_else(|| (column.next(minus_side), false));
        let second = second_stud(&name, wiring, plan, first);
        placed.push(PlacedDevice { name, first, second, decided, minus_side });
    }
    placed
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

fn is_minus(wiring: &Wiring, name: &str) -> bool {
    let mut leads = wiring
        .leads
        .iter()
        .filter(|l| l.from.device() == Some(name) || l.to.device() == Some(name))
        .peekable();
    leads.peek().is_some() && leads.all(|l| l.polarity == Polarity::Minus)
}

/// The second stud lies to the right of an in-and-out device, away from a box it stands left of,
/// and nearer to the owner than the first on a device with a plus and a minus.
fn second_stud(name: &str, wiring: &Wiring, plan: &Plan, first: PlanPoint) -> PlanPoint {
    let span = Length::mm(STUD_SPAN_MM);
    let has_minus = wiring
        .leads
        .iter()
        .flat_map(|l| [&l.from, &l.to])
        .any(|end| *end == Terminal::stud(name, Pole::Minus));
    if has_minus {
        return PlanPoint { x: first.x, y: first.y - span };
    }
    let left = first.x < plan.inner.length / 2.0;
    PlanPoint { x: if left { first.x - span } else { first.x + span }, y: first.y }
}

fn post_or_stud(plan: &Plan, placed: &[PlacedDevice], terminal: &Terminal) -> Option<EndPoint> {
    let (at, decided) = match terminal {
        Terminal::Post { block, plus } => {
            let block = plan.block(*block)?;
            (if *plus { block.plus.at } else { block.minus.at }, true)
        }
        Terminal::Stud { device, pole } => {
            let device = placed.iter().find(|d| d.name == *device)?;
            (device.stud(*pole), device.decided)
        }
    };
    Some(EndPoint { at, height: plan.tallest(), decided, stud: None })
}

/// The pencil column: plus side upwards from the middle of the box, minus side downwards.
struct Column {
    x: Length,
    up: Length,
    down: Length,
}

impl Column {
    fn beside(plan: &Plan) -> Self {
        let middle = plan.inner.width / 2.0;
        let half = Length::mm(COLUMN_PITCH_MM / 2.0);
        let wall = plan.wall.unwrap_or(Length::ZERO);
        Self {
            x: plan.inner.length + wall + Length::mm(COLUMN_AWAY_MM),
            up: middle + half,
            down: middle - half,
        }
    }

    fn next(&mut self, minus_side: bool) -> PlanPoint {
        let pitch = Length::mm(COLUMN_PITCH_MM);
        let y = if minus_side {
            let y = self.down;
            self.down = y - pitch;
            y
        } else {
            let y = self.up;
            self.up = y + pitch;
            y
        };
        PlanPoint { x: self.x, y }
    }
}

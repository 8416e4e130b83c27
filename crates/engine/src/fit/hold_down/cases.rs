//! The loads a hold-down is asked to bear: what the practice asks, what the road law asks, and a
//! harsher road.

use crate::cite::Cite;
use crate::model::hold::Held;
use crate::model::rig::{Practice, Rig, RigKind};
use crate::tables::Tables;
use crate::tables::practice::HoldDownRule;
use crate::units::{Force, Length, Mass};

/// Which way it is pulled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// Up.
    Up,
    /// Forward, as in an emergency stop.
    Forward,
    /// Rearward.
    Rearward,
    /// To either side.
    Side,
}

impl Direction {
    /// Every direction.
    pub const ALL: [Self; 4] = [Self::Up, Self::Forward, Self::Rearward, Self::Side];

    /// The word shown everywhere.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Forward => "forward",
            Self::Rearward => "rearward",
            Self::Side => "to either side",
        }
    }
}

/// How a case turns mass into force.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Pull {
    /// The same multiple of the weight in every direction.
    Times(f64),
    /// A multiple of each block's weight, but never more than a force.
    Capped(f64, Force),
    /// A multiple for each direction, in the order of [`Direction::ALL`].
    Each([f64; 4]),
}

/// One load case.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadCase {
    /// Its name in words.
    pub name: String,
    /// The practice asks for it: a hold-down that fails it is refused.
    pub binding: bool,
    /// The harsher road.
    pub road: bool,
    /// Most that a block may move under it.
    pub travel: Option<Length>,
    /// Where it stands.
    pub cite: Cite,
    pull: Pull,
}

/// The masses that are held.
#[derive(Clone, Debug, PartialEq)]
pub struct Masses {
    /// Each block.
    pub blocks: Vec<Mass>,
    /// Box, leads and fittings; `None` where the owner did not say.
    pub around: Option<Mass>,
}

impl Masses {
    /// What a set of fasteners holds.
    #[must_use]
    pub fn of(&self, held: Held) -> Mass {
        let blocks: Mass = self.blocks.iter().copied().sum();
        match held {
            Held::Blocks => blocks,
            Held::Box => blocks + self.around.unwrap_or(Mass::ZERO),
        }
    }
}

impl LoadCase {
    /// The force in one direction.
    #[must_use]
    pub fn demand(&self, masses: &Masses, held: Held, direction: Direction) -> Force {
        let weight = Force::weight_of(masses.of(held));
        match self.pull {
            Pull::Times(times) => weight * times,
            Pull::Each(each) => {
                let at = Direction::ALL.iter().position(|d| *d == direction).unwrap_or(0);
                weight * each[at]
            }
            Pull::Capped(times, most) => {
                let block = |m: &Mass| most.min(Force::weight_of(*m) * times);
                let around = masses.around.filter(|_| held == Held::Box).unwrap_or(Mass::ZERO);
                masses.blocks.iter().map(block).sum::<Force>() + Force::weight_of(around) * times
            }
        }
    }
}

/// Every case of a rig, what the practice asks first; none for what never moves.
#[must_use]
pub fn cases(rig: &Rig, tables: &Tables) -> Vec<LoadCase> {
    if rig.kind == RigKind::Cabin {
        return Vec::new();
    }
    let mut all = vec![asked(rig, tables)];
    if rig.kind == RigKind::Boat {
        all.extend(boats(rig, tables));
        return all;
    }
    if rig.practice == Practice::UsTrailer {
        all.extend(road_law(tables));
    }
    all.push(rough_road(tables));
    all
}

/// What the practice asks.
fn asked(rig: &Rig, tables: &Tables) -> LoadCase {
    let times = tables.limits.value("hold-down-weight-multiple").value;
    let settings = tables.practices.of(rig.practice.word());
    let rule = settings.map(|s| &s.hold_down);
    let travel = settings.map(|s| s.hold_down_travel.value);
    let capped = rule.is_some_and(|r| r.value == HoldDownRule::LesserOfForceAndTwiceWeight);
    let cite = rule.map_or_else(|| Cite::practice("twice the weight"), |r| r.cite.clone());
    if capped {
        return us_boats(tables, travel, cite);
    }
    LoadCase {
        name: "twice the weight, every way".to_owned(),
        binding: true,
        road: false,
        travel,
        cite,
        pull: Pull::Times(times),
    }
}

fn us_boats(tables: &Tables, travel: Option<Length>, cite: Cite) -> LoadCase {
    let times = tables.limits.value("hold-down-weight-multiple").value;
    let most = Force::pounds_force(tables.limits.value("hold-down-us-force").value);
    LoadCase {
        name: "each block 90 lbf or twice its weight, the lesser".to_owned(),
        binding: true,
        road: false,
        travel,
        cite,
        pull: Pull::Capped(times, most),
    }
}

/// The boat rule of the other side of the sea, shown beside the own one.
fn boats(rig: &Rig, tables: &Tables) -> Option<LoadCase> {
    let other = if rig.practice.is_us() { Practice::EuBoat } else { Practice::UsBoat };
    let settings = tables.practices.of(other.word())?;
    let (travel, cite) = (Some(settings.hold_down_travel.value), settings.hold_down.cite.clone());
    let mut case = us_boats(tables, travel, cite);
    case.binding = false;
    if rig.practice.is_us() {
        let times = tables.limits.value("hold-down-weight-multiple").value;
        case.name = "twice the weight, every way".to_owned();
        case.pull = Pull::Times(times);
    }
    Some(case)
}

/// The law of loads on lorries, as far as it was read.
fn road_law(tables: &Tables) -> Vec<LoadCase> {
    let down = tables.limits.value("hold-down-contained").value;
    let mut all = Vec::new();
    for jolt in tables.enclosure.jolts().iter().filter(|j| j.cite.key == "cfr-49-393-102") {
        let (Some(forward), Some(rearward), Some(side)) =
            (jolt.forward_g, jolt.rearward_g, jolt.lateral_g)
        else {
            continue;
        };
        all.push(LoadCase {
            name: jolt.rule.clone(),
            binding: false,
            road: false,
            travel: None,
            cite: jolt.cite.clone(),
            pull: Pull::Each([down, forward, rearward, side]),
        });
    }
    all
}

fn rough_road(tables: &Tables) -> LoadCase {
    let (lift, push) = (tables.limits.value("road-lift"), tables.limits.value("road-push").value);
    LoadCase {
        name: "a rough road".to_owned(),
        binding: false,
        road: true,
        travel: None,
        cite: lift.cite,
        pull: Pull::Each([lift.value, push, push, push]),
    }
}

//! The least that would hold where what is there does not.

use super::Work;
use super::cases::{Direction, LoadCase, Masses};
use super::set::{Under, bears, stud_name};
use super::{HoldRow, HoldStatus};
use crate::calc::strap::strap_tension;
use crate::model::hold::{BoxMaterial, Ground, Held, Hold, HoldKind};
use crate::units::show;
use crate::units::{Angle, Force, Length};

/// A set that would hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Would {
    /// What it would hold.
    pub held: Held,
    /// The set, with everything it needs.
    pub set: Hold,
    /// The same in words, ready to stand after "use".
    pub words: String,
}

/// Numbers of bolts that are tried, fewest first.
const BOLTS: [u32; 4] = [4, 6, 8, 12];

/// What would hold, for each thing that is not held.
#[must_use]
pub(super) fn would(
    work: &Work<'_>,
    cases: &[LoadCase],
    masses: &Masses,
    rows: &[HoldRow],
) -> Vec<Would> {
    let mut all = Vec::new();
    for held in work.held() {
        let lacking = rows
            .iter()
            .any(|r| r.held == held && matches!(r.status, HoldStatus::Fails | HoldStatus::FindOut));
        if !lacking {
            continue;
        }
        let most = |direction: Direction| {
            let judged = cases.iter().filter(|c| c.binding || c.road);
            let forces = judged.map(|c| c.demand(masses, held, direction));
            forces.reduce(Force::max).unwrap_or(Force::ZERO)
        };
        let up = most(Direction::Up);
        let across = [Direction::Forward, Direction::Rearward, Direction::Side]
            .into_iter()
            .map(most)
            .reduce(Force::max)
            .unwrap_or(Force::ZERO);
        all.extend(match held {
            Held::Blocks if work.design.enclosure.is_some() => straps(work, up),
            Held::Blocks | Held::Box => bolts(work, held, (up, across)),
        });
    }
    all
}

/// Straps of one rating, as many as are there or one for every two blocks.
fn straps(work: &Work<'_>, up: Force) -> Option<Would> {
    let there = work.design.holds.iter().find(|h| h.kind == HoldKind::Strap && h.number.is_some());
    let blocks = work.design.bank().map_or(2, crate::model::bank::Bank::count);
    let number = there.and_then(|h| h.number).unwrap_or_else(|| blocks.div_ceil(2).max(2));
    let angle = Angle::degrees(work.tables.limits.value("strap-angle-min").value);
    let tension = strap_tension(&work.tables.limits, number, up, angle)?;
    // Straps are sold by the ten kilograms.
    let rating = (tension.as_kilograms_force() / 10.0).ceil() * 10.0;
    let mut set = Hold::named("straps", HoldKind::Strap);
    set.number = Some(number);
    set.rating = Some(crate::units::Mass::kg(rating));
    set.closed = Some(true);
    set.angle = Some(angle);
    let units = work.design.rig.units;
    let words = format!(
        "{number} straps over the blocks, each marked for {} or more and closed round the tray, at \
         {} degrees or steeper",
        show::mass(crate::units::Mass::kg(rating), units),
        show::decimal(angle.as_degrees(), 0)
    );
    Some(Would { held: Held::Blocks, set, words })
}

/// Through-bolts with plates: fewest first, then thinnest, then the smallest plate.
fn bolts(work: &Work<'_>, held: Held, asked: (Force, Force)) -> Option<Would> {
    let metric = !work.design.rig.practice.is_us();
    // A plywood floor of a usual box stands in for one that nobody described.
    let mut enclosure = work.design.enclosure.clone();
    if let Some(e) = enclosure.as_mut() {
        e.material = e.material.or(Some(BoxMaterial::Plywood));
        e.wall = e.wall.or(Some(Length::mm(12.0)));
    }
    let stated = work.design.holds.iter().find(|h| h.held == held).and_then(|h| h.wall);
    let thin = work.tables.enclosure.sheet_thickness("14").map(|s| s.value);
    let wall = stated.or(thin)?;
    for number in BOLTS {
        for (name, _) in work.tables.enclosure.bolts() {
            if name.starts_with('M') != metric {
                continue;
            }
            for plate in work.tables.enclosure.backing_plates() {
                let mut set = Hold::named("bolts", HoldKind::Bolt);
                set.held = held;
                set.number = Some(number);
                set.size = Some(stud_name(name));
                set.grade = name.split_once(' ').map(|(_, g)| g.to_owned());
                set.into = Some(Ground::Plate);
                set.wall = Some(wall);
                set.plate = Some(plate.side);
                let under = Under { tables: work.tables, enclosure: enclosure.as_ref() };
                let found = bears(&set, under);
                let enough = found.up.is_ok_and(|b| asked.0 <= b.force)
                    && found.across.is_ok_and(|b| asked.1 <= b.force);
                if enough {
                    return Some(told(work, held, set, plate.thickness));
                }
            }
        }
    }
    None
}

fn told(work: &Work<'_>, held: Held, set: Hold, thickness: Length) -> Would {
    let units = work.design.rig.units;
    let words = format!(
        "{} through-bolts {}, {}, with a plate {} square and {} thick under each head and nut, in \
         metal of {} or more",
        set.number.unwrap_or(0),
        set.size.as_deref().unwrap_or(""),
        set.grade.as_deref().unwrap_or(""),
        show::length(set.plate.unwrap_or(Length::ZERO), units),
        show::length(thickness, units),
        show::length(set.wall.unwrap_or(Length::ZERO), units),
    );
    Would { held, set, words }
}

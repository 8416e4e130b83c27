//! The least that would hold where what is there does not. Every set that is named was put in place
//! of what is there and passed every case that is asked, tipping included.

use super::Work;
use super::cases::{Direction, LoadCase, Masses};
use super::set::{Under, bears, stud_name};
use super::{HoldRow, HoldStatus};
use crate::calc::strap::strap_tension;
use crate::model::enclosure::Enclosure;
use crate::model::hold::{BoxMaterial, Ground, Held, Hold, HoldKind};
use crate::tables::Tables;
use crate::units::show;
use crate::units::{Angle, Force, Length, Mass};

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

/// The floor of a usual box, where nobody said what it is made of [mm].
const USUAL_FLOOR_MM: f64 = 12.0;

/// What would hold, for each thing that is not held.
#[must_use]
pub(super) fn would(
    work: &Work<'_>,
    cases: &[LoadCase],
    masses: &Masses,
    rows: &[HoldRow],
) -> Vec<Would> {
    let asked: Vec<&LoadCase> = cases.iter().filter(|c| c.binding || c.road).collect();
    // A box that nobody weighed is left out, and the words say so.
    let around = Some(masses.around.unwrap_or(Mass::ZERO));
    let masses = Masses { blocks: masses.blocks.clone(), around };
    let trying = Trying { work, cases: &asked, masses: &masses };
    let lacks = |held: Held| {
        rows.iter()
            .any(|r| r.held == held && matches!(r.status, HoldStatus::Fails | HoldStatus::FindOut))
            || work.sets(held).any(|(set, _)| draws_out(set, work.tables))
    };
    let one = |held: Held| match held {
        Held::Blocks if work.design.enclosure.is_some() => trying.straps(),
        Held::Blocks | Held::Box => trying.bolts(held),
    };
    work.held().into_iter().filter(|held| lacks(*held)).filter_map(one).collect()
}

/// A set that rule R28 refuses whatever the figures say.
fn draws_out(set: &Hold, tables: &Tables) -> bool {
    let least = Length::mm(tables.limits.value("tube-wall-screw-min").value);
    let thin = set.wall.is_none_or(|wall| wall < least);
    match set.kind {
        HoldKind::Screw => thin && set.into != Some(Ground::Wood),
        HoldKind::Rivet => true,
        HoldKind::Bolt | HoldKind::Strap | HoldKind::Clamp => false,
    }
}

/// What every set that is tried is held against.
struct Trying<'a> {
    work: &'a Work<'a>,
    cases: &'a [&'a LoadCase],
    masses: &'a Masses,
}

impl Trying<'_> {
    fn most(&self, held: Held, directions: &[Direction]) -> Force {
        let forces = self
            .cases
            .iter()
            .flat_map(|c| directions.iter().map(|d| c.demand(self.masses, held, *d)));
        forces.reduce(Force::max).unwrap_or(Force::ZERO)
    }

    /// Straps of one rating, as many as are there or one for every two blocks.
    fn straps(&self) -> Option<Would> {
        let (design, limits) = (self.work.design, &self.work.tables.limits);
        let up = self.most(Held::Blocks, &[Direction::Up]);
        let there = design.holds.iter().find(|h| h.kind == HoldKind::Strap && h.number.is_some());
        let blocks = design.bank().map_or(2, crate::model::bank::Bank::count);
        let number = there.and_then(|h| h.number).unwrap_or_else(|| blocks.div_ceil(2).max(2));
        let angle = Angle::degrees(limits.value("strap-angle-min").value);
        let tension = strap_tension(limits, number, up, angle)?;
        // Straps are sold by the ten kilograms.
        let rating = Mass::kg((tension.as_kilograms_force() / 10.0).ceil() * 10.0);
        let mut set = Hold::named("straps", HoldKind::Strap);
        set.number = Some(number);
        set.rating = Some(rating);
        set.closed = Some(true);
        set.angle = Some(angle);
        let words = format!(
            "{number} straps over the blocks, each marked for {} or more and closed round the tray, \
             at {} degrees or steeper",
            show::mass(rating, design.rig.units),
            show::decimal(angle.as_degrees(), 0)
        );
        self.passes(Held::Blocks, &set).then_some(Would { held: Held::Blocks, set, words })
    }

    /// Through-bolts with plates: fewest first, then thinnest, then the smallest plate; where the
    /// box would tip off all of them, the same as far apart as the box is wide.
    fn bolts(&self, held: Held) -> Option<Would> {
        let share = self.work.tables.limits.value("fastener-spread").value;
        [share, 1.0].into_iter().find_map(|share| self.bolts_apart(held, share))
    }

    fn bolts_apart(&self, held: Held, share: f64) -> Option<Would> {
        let work = self.work;
        let metric = !work.design.rig.practice.is_us();
        let enclosure = self.described();
        let up = self.most(held, &[Direction::Up]);
        let across = self.most(held, &[Direction::Forward, Direction::Rearward, Direction::Side]);
        let stated = work.design.holds.iter().find(|h| h.held == held);
        let thin = work.tables.enclosure.sheet_thickness("14").map(|s| s.value);
        let wall = stated.and_then(|h| h.wall).or(thin)?;
        let into = stated.and_then(|h| h.into).unwrap_or(Ground::Plate);
        let narrow = enclosure.as_ref().and_then(|e| Some(e.length?.min(e.width?)));
        let plates = work.tables.enclosure.backing_plates();
        for number in BOLTS {
            let bolts = work.tables.enclosure.bolts();
            for (name, _) in bolts.filter(|(name, _)| name.starts_with('M') == metric) {
                for plate in plates {
                    let mut set = Hold::named("bolts", HoldKind::Bolt);
                    set.held = held;
                    set.number = Some(number);
                    set.size = Some(stud_name(name));
                    set.grade = name.split_once(' ').map(|(_, g)| g.to_owned());
                    set.into = Some(into);
                    set.wall = Some(wall);
                    set.plate = Some(plate.side);
                    set.apart = narrow.map(|side| (side * share, side * share));
                    let floor = enclosure.as_ref().filter(|_| held == Held::Box);
                    let found = bears(&set, Under { tables: work.tables, enclosure: floor });
                    let enough = found.up.is_ok_and(|b| up <= b.force)
                        && found.across.is_ok_and(|b| across <= b.force);
                    if enough && self.passes(held, &set) {
                        return Some(self.told(held, set, plate.thickness));
                    }
                }
            }
        }
        None
    }

    /// The box, with a floor of a usual one where nobody described its own.
    fn described(&self) -> Option<Enclosure> {
        let mut enclosure = self.work.design.enclosure.clone();
        if let Some(e) = enclosure.as_mut() {
            e.material = e.material.or(Some(BoxMaterial::Plywood));
            e.wall = e.wall.or(Some(Length::mm(USUAL_FLOOR_MM)));
        }
        enclosure
    }

    /// Whether the rig with this set in place of what held the same passes every case that is
    /// asked, tipping included.
    fn passes(&self, held: Held, set: &Hold) -> bool {
        let mut design = self.work.design.clone();
        let boxed = design.enclosure.is_some();
        // Without a box straps and bolts hold the same blocks together.
        design.holds.retain(|h| {
            if boxed { h.held != held } else { matches!(h.kind, HoldKind::Strap | HoldKind::Clamp) }
        });
        design.holds.push(set.clone());
        design.enclosure = self.described();
        let trial = Work::of(&design, self.work.tables);
        let holds = |case: &LoadCase, direction: Direction| {
            let row = trial.row(case, self.masses, held, direction);
            matches!(row.status, HoldStatus::Holds | HoldStatus::Contained)
        };
        self.cases.iter().all(|case| Direction::ALL.into_iter().all(|d| holds(case, d)))
    }

    fn told(&self, held: Held, set: Hold, thickness: Length) -> Would {
        let design = self.work.design;
        let shown =
            |length: Option<Length>| show::length(length.unwrap_or(Length::ZERO), design.rig.units);
        let apart = set.apart.map_or_else(String::new, |(side, _)| {
            format!(", the outermost {} or more apart both ways", shown(Some(side)))
        });
        let into = if set.into == Some(Ground::Wood) { "through wood" } else { "in metal" };
        let mut words = format!(
            "{} through-bolts {}, {}{apart}, with a plate {} square and {} thick under each head and \
             nut, {into} of {} or more",
            set.number.unwrap_or(0),
            set.size.as_deref().unwrap_or(""),
            set.grade.as_deref().unwrap_or(""),
            shown(set.plate),
            shown(Some(thickness)),
            shown(set.wall),
        );
        let own = design.enclosure.as_ref().filter(|_| held == Held::Box);
        if own.is_some_and(|e| e.material.is_none() || e.wall.is_none()) {
            let floor = self.described().and_then(|e| Some((e.material?, e.wall?)));
            words
                .extend(floor.map(|(m, wall)| {
                    format!(" and a floor of {} {}", shown(Some(wall)), m.word())
                }));
        }
        if own.is_some_and(|e| e.mass.is_none()) {
            words.push_str(" (the mass of the box itself is not known and not counted)");
        }
        Would { held, set, words }
    }
}

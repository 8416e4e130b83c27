//! What holds the blocks in their box and the box on the rig, and whether it is enough.
//!
//! Every load case stands beside the others; nothing is averaged. What the owner did not say is
//! named and never passes. The strength of the box itself is not worked out here, and fatigue is
//! outside the standard of the screws.

pub mod cases;
pub mod set;
pub mod places;
pub mod fasteners;
pub mod would;
mod notes;

use self::cases::{Direction, LoadCase, Masses, cases};
use self::fasteners::{Fasteners, fasteners};
use self::notes::notes;
use self::set::{Bears, Margin, SetBears, Under, bears};
use self::would::{Would, would};
use crate::calc::tipping::tipping_force;
use crate::cite::{Cite, Status};
use crate::finding::Assumed;
use crate::model::design::Design;
use crate::model::enclosure::Enclosure;
use crate::model::hold::{Held, Hold, HoldKind};
use crate::tables::Tables;
use crate::units::show;
use crate::units::{Force, Length, Mass};

/// Whether a hold-down is enough.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HoldStatus {
    /// It holds.
    Holds,
    /// The walls of the box, or stops on the floor, keep it in place; their own strength is not
    /// worked out.
    Contained,
    /// Something must be known first.
    FindOut,
    /// It does not hold.
    Fails,
}

impl HoldStatus {
    /// The word shown everywhere.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Contained => "kept in place",
            Self::FindOut => "find out",
            Self::Fails => "does not hold",
        }
    }
}

/// One load case in one direction.
#[derive(Clone, Debug, PartialEq)]
pub struct HoldRow {
    /// The load case in words.
    pub case: String,
    /// What is held.
    pub held: Held,
    /// The direction.
    pub direction: Direction,
    /// What pulls.
    pub demand: Force,
    /// What it can hold; `None` when it is not known or kept in place by walls.
    pub capacity: Option<Force>,
    /// The part that gives way first.
    pub governed_by: Option<String>,
    /// How far what is counted lies under what breaks; `None` where walls or stops hold.
    pub margin: Option<Margin>,
    /// How that strength was read.
    pub strength: Option<Status>,
    /// Whether it is enough.
    pub status: HoldStatus,
    /// The practice asks for this case.
    pub binding: bool,
    /// The harsher road.
    pub road: bool,
    /// Where the load stands.
    pub cite: Cite,
}

/// Something that must be known before it can be judged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// Path in the design file where it can be said.
    pub path: String,
    /// What it is, in words.
    pub what: String,
}

/// What holds the blocks and the box at one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct HoldDown {
    /// Mass of the blocks; `None` where one is not known.
    pub blocks: Option<Mass>,
    /// Mass of the box with all in it.
    pub in_all: Option<Mass>,
    /// Every case and direction, what the practice asks first.
    pub rows: Vec<HoldRow>,
    /// What must be known first.
    pub unknown: Vec<Unknown>,
    /// The least that would hold, where what is there does not.
    pub would: Vec<Would>,
    /// Most that a block may move, with what it can move now.
    pub travel: Option<(Length, Option<Length>)>,
    /// What to buy, drill and turn.
    pub fasteners: Vec<Fasteners>,
    /// What must be said beside the figures.
    pub notes: Vec<String>,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
}

impl HoldRow {
    /// The strength it rests on is from memory.
    #[must_use]
    pub fn from_memory(&self) -> bool {
        self.capacity.is_some() && self.strength == Some(Status::Recalled)
    }
}

impl HoldDown {
    /// The hold-down of a design taken at a stage; `None` where no bank stands or nothing moves.
    #[must_use]
    pub fn of(design: &Design, tables: &Tables) -> Option<Self> {
        let cases = cases(&design.rig, tables);
        if design.bank().is_none() || cases.is_empty() {
            return None;
        }
        let mut work = Work::of(design, tables);
        let masses = masses(design);
        let mut rows = Vec::new();
        if let Some(masses) = &masses {
            for held in work.held() {
                for case in &cases {
                    for direction in Direction::ALL {
                        rows.push(work.row(case, masses, held, direction));
                    }
                }
            }
        } else {
            work.unknown
                .push(Unknown { path: mass_path(design), what: "mass of one block".into() });
        }
        let would = masses.as_ref().map_or_else(Vec::new, |m| would(&work, &cases, m, &rows));
        let travel = cases.iter().find(|c| c.binding).and_then(|c| c.travel);
        let play = design.enclosure.as_ref().and_then(|e| e.play);
        Some(Self {
            blocks: masses.as_ref().map(|m| m.of(Held::Blocks)),
            in_all: masses.as_ref().map(|m| m.of(Held::Box)),
            rows,
            would,
            travel: travel.filter(|_| design.enclosure.is_some()).map(|t| (t, play)),
            fasteners: fasteners(design, tables),
            notes: notes(design, tables),
            assumed: work.assumed,
            unknown: work.unknown,
        })
    }

    /// The rows that the practice asks for and that do not pass.
    pub fn refused(&self) -> impl Iterator<Item = &HoldRow> {
        self.rows
            .iter()
            .filter(|r| r.binding && matches!(r.status, HoldStatus::Fails | HoldStatus::FindOut))
    }

    /// Whether all that the practice asks is held.
    #[must_use]
    pub fn holds(&self) -> bool {
        !self.rows.is_empty() && self.refused().next().is_none()
    }
}

fn masses(design: &Design) -> Option<Masses> {
    let bank = design.bank()?;
    let one = |id| {
        let model = bank.state_of(id).model.unwrap_or_else(|| bank.block.clone());
        design.block_model(&model)?.mass
    };
    let blocks: Option<Vec<Mass>> = bank.block_ids().into_iter().map(one).collect();
    let around = design.enclosure.as_ref().map_or(Some(Mass::ZERO), |e| e.mass);
    Some(Masses { blocks: blocks?, around })
}

fn mass_path(design: &Design) -> String {
    design.bank().map_or_else(|| "block".to_owned(), |b| format!("block.{}.mass", b.block))
}

/// What is gathered while the rows are worked out.
pub struct Work<'a> {
    /// The design at the stage.
    pub design: &'a Design,
    /// The published figures.
    pub tables: &'a Tables,
    unknown: Vec<Unknown>,
    assumed: Vec<Assumed>,
    bears: Vec<(&'a Hold, SetBears)>,
}

/// What all sets together bear in a direction.
struct Together {
    force: Force,
    governed_by: Option<String>,
    margin: Option<(Margin, Status)>,
    complete: bool,
}

impl Together {
    const fn unknown() -> Self {
        Self { force: Force::ZERO, governed_by: None, margin: None, complete: false }
    }

    /// Kept in place by something whose strength is not worked out.
    fn by(what: &str) -> Self {
        Self { governed_by: Some(what.to_owned()), ..Self::unknown() }
    }

    /// Whether there is a force to be shown.
    fn known(&self, status: HoldStatus) -> bool {
        status != HoldStatus::Contained && (self.complete || 0.0 < self.force.as_newtons())
    }
}

impl<'a> Work<'a> {
    fn of(design: &'a Design, tables: &'a Tables) -> Self {
        let mut assumed = Vec::new();
        let mut unknown = Vec::new();
        let mut all = Vec::new();
        for set in &design.holds {
            // Straps and bars bear on the blocks, not on the floor of the box.
            let under = Under {
                tables,
                enclosure: design.enclosure.as_ref().filter(|_| set.held == Held::Box),
            };
            let found = bears(set, under);
            for side in [&found.up, &found.across] {
                unknown.extend(side.iter_missing(set));
            }
            if set.kind == HoldKind::Strap && set.angle.is_none() {
                assumed.push(angle_assumed(set, tables));
            }
            all.push((set, found));
        }
        let mut seen: Vec<Unknown> = Vec::new();
        unknown.retain(|u| {
            let fresh = !seen.contains(u);
            seen.push(u.clone());
            fresh
        });
        let mut work = Self { design, tables, unknown, assumed, bears: all };
        work.ask_for_sets();
        work.assume_spread();
        work
    }

    /// What is held: blocks in a box and the box on the rig, or the blocks alone.
    fn held(&self) -> Vec<Held> {
        match self.design.enclosure {
            Some(_) => vec![Held::Blocks, Held::Box],
            None => vec![Held::Blocks],
        }
    }

    fn sets(&self, held: Held) -> impl Iterator<Item = &(&'a Hold, SetBears)> {
        let boxed = self.design.enclosure.is_some();
        self.bears.iter().filter(move |(set, _)| !boxed || set.held == held)
    }

    /// Nothing said of what holds the blocks or the box is itself unknown.
    fn ask_for_sets(&mut self) {
        for held in self.held() {
            if self.sets(held).next().is_none() {
                self.unknown.push(Unknown {
                    path: "hold".to_owned(),
                    what: format!("what holds the {}", held.word()),
                });
            }
        }
        if self.design.enclosure.as_ref().is_some_and(|e| e.mass.is_none()) {
            let what = "mass of box, leads and fittings".to_owned();
            self.unknown.push(Unknown { path: "box.mass".to_owned(), what });
        }
    }

    fn row(&self, case: &LoadCase, masses: &Masses, held: Held, direction: Direction) -> HoldRow {
        let demand = case.demand(masses, held, direction);
        let (found, status) = self.judged(masses, held, direction, demand);
        let margin = found.margin;
        HoldRow {
            case: case.name.clone(),
            held,
            direction,
            demand,
            capacity: found.known(status).then_some(found.force),
            governed_by: found.governed_by,
            margin: margin.map(|m| m.0),
            strength: margin.map(|m| m.1),
            status,
            binding: case.binding,
            road: case.road,
            cite: case.cite.clone(),
        }
    }

    fn judged(
        &self,
        masses: &Masses,
        held: Held,
        direction: Direction,
        demand: Force,
    ) -> (Together, HoldStatus) {
        let boxed = self.design.enclosure.as_ref();
        if direction != Direction::Up && held == Held::Blocks && boxed.is_some() {
            return (Together::by("the walls of the box"), HoldStatus::Contained);
        }
        if held == Held::Box && masses.around.is_none() {
            return (Together::unknown(), HoldStatus::FindOut);
        }
        let mut found = match direction {
            Direction::Up => self.up(held),
            _ => self.across(held),
        };
        let stops = boxed.is_some_and(|e| e.stops == Some(true)) && held == Held::Box;
        if direction != Direction::Up {
            let tipping = boxed.and_then(|e| self.tipping(e, masses, held));
            if let Some(tipping) = tipping.filter(|t| stops || *t < found.force) {
                found.force = tipping;
                found.margin = self.up(held).margin;
                found.governed_by = Some("tipping: the fasteners of one side lift".to_owned());
                found.complete = found.complete || stops;
            } else if stops {
                return (Together::by("the stops on the floor"), HoldStatus::Contained);
            }
        }
        let status = match (demand <= found.force, found.complete) {
            (true, _) => HoldStatus::Holds,
            (false, true) => HoldStatus::Fails,
            (false, false) => HoldStatus::FindOut,
        };
        (found, status)
    }

    /// What all sets together hold down.
    fn up(&self, held: Held) -> Together {
        let straps = self.sets(held).any(|(s, _)| s.kind == HoldKind::Strap && !s.over.is_empty());
        if held == Held::Blocks && straps {
            return self.up_by_block(held);
        }
        together(self.sets(held).map(|(_, b)| &b.up))
    }

    /// Straps that pass over some blocks only: the worst held block decides for all.
    fn up_by_block(&self, held: Held) -> Together {
        let ids = self.design.bank().map_or_else(Vec::new, |b| b.block_ids().into_iter().collect());
        let count = f64::from(u32::try_from(ids.len()).unwrap_or(u32::MAX));
        let mut worst: Option<Together> = None;
        for id in &ids {
            let over = |s: &Hold| s.over.is_empty() || s.over.contains(id);
            let shares: Vec<Result<Bears, Vec<&'static str>>> = self
                .sets(held)
                .filter(|(s, _)| over(s))
                .map(|(s, b)| {
                    let under = if s.over.is_empty() { ids.len() } else { s.over.len() };
                    let under = f64::from(u32::try_from(under.max(1)).unwrap_or(u32::MAX));
                    b.up.clone().map(|b| Bears { force: b.force / under, ..b })
                })
                .collect();
            let mut here = together(shares.iter());
            here.force = here.force * count;
            if here.governed_by.is_none() {
                here.governed_by = Some(format!("nothing passes over block {id}"));
                here.margin = Some((Margin::Nothing, Status::Practice));
                here.complete = true;
            }
            if worst.as_ref().is_none_or(|w| here.force < w.force) {
                worst = Some(here);
            }
        }
        worst.unwrap_or_else(Together::unknown)
    }

    fn across(&self, held: Held) -> Together {
        together(self.sets(held).map(|(_, b)| &b.across))
    }

    /// Sideways force at which the box tips off its fasteners; `None` where its size is not known.
    fn tipping(&self, enclosure: &Enclosure, masses: &Masses, held: Held) -> Option<Force> {
        let spread = self.spread()?;
        let middle = enclosure.height? / 2.0;
        let row = self.up(held);
        let weight = Force::weight_of(masses.of(held));
        // Half the fasteners stand on the side that lifts; the narrow side is the one that tips.
        Some(tipping_force(row.force / 2.0, weight, spread, middle))
    }

    /// Distance between the outermost fasteners the short way: measured, or a share of the box.
    fn spread(&self) -> Option<Length> {
        let measured: Vec<Length> = self
            .sets(Held::Box)
            .filter_map(|(s, _)| s.apart)
            .map(|(along, across)| along.min(across))
            .collect();
        if let Some(widest) = measured.into_iter().reduce(Length::max) {
            return Some(widest);
        }
        let enclosure = self.design.enclosure.as_ref()?;
        let narrow = enclosure.length?.min(enclosure.width?);
        Some(narrow * self.tables.limits.value("fastener-spread").value)
    }

    fn assume_spread(&mut self) {
        let stated = self.sets(Held::Box).any(|(s, _)| s.apart.is_some());
        let first = self.sets(Held::Box).next().map(|(s, _)| s.part.name.clone());
        let (Some(spread), Some(name)) = (self.spread(), first.filter(|_| !stated)) else {
            return;
        };
        self.assumed.push(Assumed {
            path: format!("hold.{name}.apart"),
            value: show::length(spread, self.design.rig.units),
            how_to_measure: "tape between the outermost fasteners, both ways".to_owned(),
            matters: "how hard the fasteners of one side are pulled when the box is pushed"
                .to_owned(),
            cite: self.tables.limits.value("fastener-spread").cite,
        });
    }
}

fn together<'b>(all: impl Iterator<Item = &'b Result<Bears, Vec<&'static str>>>) -> Together {
    let mut sum = Together { complete: true, ..Together::unknown() };
    let mut most = -1.0;
    let mut any = false;
    for one in all {
        any = true;
        match one {
            Ok(bears) => {
                sum.force = sum.force + bears.force;
                if most < bears.force.as_newtons() {
                    most = bears.force.as_newtons();
                    sum.governed_by = Some(bears.governed_by.to_owned());
                    sum.margin = Some((bears.margin, bears.status));
                }
            }
            Err(_) => sum.complete = false,
        }
    }
    sum.complete = sum.complete && any;
    sum
}

/// What a set lacks, as paths of the file.
trait Missing {
    fn iter_missing(&self, set: &Hold) -> Vec<Unknown>;
}

impl Missing for Result<Bears, Vec<&'static str>> {
    fn iter_missing(&self, set: &Hold) -> Vec<Unknown> {
        let Err(missing) = self else {
            return Vec::new();
        };
        missing.iter().map(|what| unknown(set, what)).collect()
    }
}

fn unknown(set: &Hold, what: &str) -> Unknown {
    let name = &set.part.name;
    let (path, words) = match what {
        "material of the box" => {
            ("box.material".to_owned(), "what the floor of the box is made of")
        }
        "wall of the box" => ("box.wall".to_owned(), "thickness of the floor of the box"),
        "number" => (format!("hold.{name}.number"), "how many there are"),
        "plate" => (format!("hold.{name}.plate"), "width of its washer or backing plate"),
        "wall" => (format!("hold.{name}.wall"), "thickness of the metal it goes into"),
        "into" => (format!("hold.{name}.into"), "what it goes into"),
        "rating" => (format!("hold.{name}.rating"), "rating on the label of each"),
        "anchor" => (format!("hold.{name}.anchor"), "what its end fittings bear"),
        "size" => (format!("hold.{name}.size"), "its size"),
        "grade" => (format!("hold.{name}.grade"), "grade marked on the bolt's head"),
        other => (format!("hold.{name}"), other),
    };
    let what = if path.starts_with("box") { words.to_owned() } else { format!("{name}: {words}") };
    Unknown { path, what }
}

fn angle_assumed(set: &Hold, tables: &Tables) -> Assumed {
    let angle = tables.limits.value("strap-angle-min");
    Assumed {
        path: format!("hold.{}.angle", set.part.name),
        value: format!("{} deg", show::decimal(angle.value, 0)),
        how_to_measure: "hold a protractor or a set square between strap and floor".to_owned(),
        matters: "a flat strap holds less down: at 30 deg half of what it holds upright".to_owned(),
        cite: angle.cite,
    }
}

//! Whether everything has room: blocks in the box, the lid in its swing, hands over the caps, and a
//! block on its way out.

use super::told::{self, Told};
use crate::cite::Cite;
use crate::finding::Assumed;
use crate::layout::Layout;
use crate::layout::clash::{Clash, ClashKind};
use crate::layout::plan::{PlacedBlock, Plan};
use crate::layout::solids::{Base, Solid, SolidKind, solids};
use crate::model::bank::BlockId;
use crate::model::enclosure::{Enclosure, Hinge};
use crate::number;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::Length;

/// A clear distance and what it should be.
#[derive(Clone, Debug, PartialEq)]
pub struct Clear {
    /// A key that stays the same in every output, such as `left` or `lid`.
    pub what: String,
    /// What it is, in words.
    pub says: &'static str,
    /// The distance; below zero where things overlap.
    pub clear: Length,
    /// The least it should be.
    pub wants: Length,
}

/// A block that is to come out: what is in its way above it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lift {
    /// Which block.
    pub block: BlockId,
    /// Leads bolted to it: they come off in any case.
    pub own: Vec<String>,
    /// Leads of its neighbours that lie across it and must come off or be bent aside first.
    pub across: Vec<String>,
}

/// Everything about room.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Clear distances, in a fixed order.
    pub clear: Vec<Clear>,
    /// What does not fit, those of the layout first.
    pub clashes: Vec<Told>,
    /// Blocks that cannot be lifted out without taking leads of their neighbours off.
    pub lifts: Vec<Lift>,
    /// What was not said, so that it could not be judged.
    pub asked: Vec<Assumed>,
    /// Every body in space.
    pub solids: Vec<Solid>,
}

impl Room {
    /// The room of a stage; `None` where no bank stands.
    #[must_use]
    pub fn of(study: &Study, tables: &Tables) -> Option<Self> {
        let (design, layout) = (&study.design, &study.layout);
        design.bank()?;
        let solids = solids(design, layout, tables);
        let unknown = Enclosure::unknown();
        let judging = Judging {
            enclosure: design.enclosure.as_ref().unwrap_or(&unknown),
            plan: &layout.plan,
            solids: &solids,
            tables,
        };
        let mut clashes = layout.plan.clashes.clone();
        clashes.extend(judging.linings());
        clashes.extend(judging.obstacles());
        clashes.extend(judging.lid_strikes());
        clashes.extend(judging.service());
        clashes.extend(judging.lift_room());
        clashes.extend(judging.drain());
        clashes.extend(judging.lid_and_lock());
        let lifts = layout.plan.blocks.iter().filter_map(|block| lift(layout, block)).collect();
        let boxed = design.enclosure.is_some() && !layout.plan.blocks.is_empty();
        let asked = if boxed { judging.asked() } else { Vec::new() };
        let clashes = clashes.into_iter().map(|c| told::told(study, c)).collect();
        Some(Self { clear: judging.clear(), clashes, lifts, asked, solids })
    }
}

/// What is looked at together.
struct Judging<'a> {
    enclosure: &'a Enclosure,
    plan: &'a Plan,
    solids: &'a [Solid],
    tables: &'a Tables,
}

/// A rectangle on the plan: left, right, near and far side in mm.
#[derive(Clone, Copy, Debug)]
struct Sides {
    left: f64,
    right: f64,
    near: f64,
    far: f64,
}

impl Sides {
    /// What a body covers.
    fn of(solid: &Solid) -> Self {
        match solid.base {
            Base::Rectangle { corner, length, width } => Self {
                left: corner.x.as_mm(),
                right: (corner.x + length).as_mm(),
                near: corner.y.as_mm(),
                far: (corner.y + width).as_mm(),
            },
            Base::Circle { centre, radius } => Self {
                left: (centre.x - radius).as_mm(),
                right: (centre.x + radius).as_mm(),
                near: (centre.y - radius).as_mm(),
                far: (centre.y + radius).as_mm(),
            },
        }
    }

    /// How far two rectangles lie in one another; negative where air is between them.
    fn shared(self, other: Self) -> f64 {
        let along = self.right.min(other.right) - self.left.max(other.left);
        let across = self.far.min(other.far) - self.near.max(other.near);
        along.min(across)
    }
}

impl Judging<'_> {
    fn of_kind(&self, kind: SolidKind) -> impl Iterator<Item = &Solid> {
        self.solids.iter().filter(move |s| s.kind == kind)
    }

    fn figure(&self, id: &str) -> Length {
        Length::mm(self.tables.limits.value(id).value)
    }

    /// The box as it stands outside its walls.
    fn outside(&self) -> Sides {
        let wall = self.plan.wall.unwrap_or(Length::ZERO);
        Sides {
            left: -wall.as_mm(),
            right: (self.plan.inner.length + wall).as_mm(),
            near: -wall.as_mm(),
            far: (self.plan.inner.width + wall).as_mm(),
        }
    }

    /// The least distance from a case to each wall, in the order left, right, near, far.
    fn to_walls(&self) -> [Length; 4] {
        let inner = self.plan.inner;
        let least = |of: &dyn Fn(&PlacedBlock) -> Length| {
            self.plan.blocks.iter().map(of).reduce(Length::min).unwrap_or(Length::ZERO)
        };
        [
            least(&|b| b.corner.x),
            least(&|b| inner.length - b.far_corner().x),
            least(&|b| b.corner.y),
            least(&|b| inner.width - b.far_corner().y),
        ]
    }

    /// The least air between two cases that face one another.
    fn between_blocks(&self) -> Option<Length> {
        let blocks = &self.plan.blocks;
        let pairs = blocks
            .iter()
            .enumerate()
            .flat_map(|(n, a)| blocks[n + 1..].iter().map(move |b| (a, b)));
        pairs
            .filter_map(|(a, b)| {
                let (a_far, b_far) = (a.far_corner(), b.far_corner());
                let along = a_far.x.min(b_far.x) - a.corner.x.max(b.corner.x);
                let across = a_far.y.min(b_far.y) - a.corner.y.max(b.corner.y);
                let faces = Length::ZERO < along.max(across);
                faces.then(|| -along.min(across))
            })
            .reduce(Length::min)
    }

    fn clear(&self) -> Vec<Clear> {
        if self.plan.blocks.is_empty() {
            return Vec::new();
        }
        let lining = self.enclosure.liner.unwrap_or(Length::ZERO);
        let walls = self.to_walls();
        let clear =
            |what: &str, says, clear, wants| Clear { what: what.to_owned(), says, clear, wants };
        let words = [
            ("left", "between the cases and the left wall"),
            ("right", "between the cases and the right wall"),
            ("near", "between the cases and the near wall"),
            ("far", "between the cases and the far wall"),
        ];
        let mut all: Vec<Clear> = words
            .iter()
            .zip(walls)
            .map(|((what, says), is)| clear(what, says, is, lining))
            .collect();
        if let Some(is) = self.between_blocks() {
            let wants = self.plan.gap.max(self.enclosure.divider.unwrap_or(Length::ZERO));
            all.push(clear("between_blocks", "air between blocks", is, wants));
        }
        if let Some(highest) = &self.plan.highest {
            let is = self.plan.inner.height - highest.top;
            let wants = self.enclosure.lid_clearance.unwrap_or(self.figure("lid-clearance"));
            all.push(clear("lid", "between the tallest stack and the lid", is, wants));
        }
        if let Some(is) = self.over_caps() {
            let wants = self.figure("service-over-caps");
            all.push(clear("over_caps", "free above the filler caps", is, wants));
        }
        all
    }

    /// A liner beside the cases and dividers between them must not be thicker than the air there.
    fn linings(&self) -> Vec<Clash> {
        if self.plan.blocks.is_empty() {
            return Vec::new();
        }
        let liner = self.enclosure.liner.map(|liner| {
            let least = self.to_walls().into_iter().fold(liner, Length::min);
            Clash::new(ClashKind::LinerTooThick, "box", None, liner - least)
        });
        let divider = self.enclosure.divider.zip(self.between_blocks()).map(|(divider, air)| {
            Clash::new(ClashKind::DividerTooThick, "box", None, divider - air)
        });
        liner.into_iter().chain(divider).filter_map(Clash::if_missing).collect()
    }

    /// Something that stands where the box is to stand.
    fn obstacles(&self) -> Vec<Clash> {
        let outside = self.outside();
        let wall = self.plan.wall.unwrap_or(Length::ZERO);
        let rim = self.plan.inner.height + wall;
        self.of_kind(SolidKind::Obstacle)
            .filter(|o| o.bottom < rim && o.top.is_none_or(|top| Length::ZERO < top))
            .filter_map(|o| {
                let by = Length::mm(Sides::of(o).shared(outside));
                Clash::new(ClashKind::ObstacleInBox, &o.part, None, by).if_missing()
            })
            .collect()
    }

    /// What stands in the swing of the lid, by how much it reaches into it.
    fn lid_strikes(&self) -> Vec<Clash> {
        let Some(hinge) = self.enclosure.lid_hinge else {
            return Vec::new();
        };
        let opens = self.tables.limits.value("lid-opens").value;
        self.of_kind(SolidKind::Obstacle)
            .filter_map(|o| {
                let by = Length::mm(swing_mm(self.outside(), hinge, opens, self.above(o)?));
                Clash::new(ClashKind::LidStrikes, "lid", Some(o.part.clone()), by).if_missing()
            })
            .collect()
    }

    /// The part of an obstacle above the rim: its sides, and from where to where it stands in mm.
    fn above(&self, obstacle: &Solid) -> Option<(Sides, f64, f64)> {
        let rim = self.plan.inner.height;
        let top = obstacle.top.map_or(f64::INFINITY, |top| (top - rim).as_mm());
        let bottom = (obstacle.bottom - rim).max(Length::ZERO).as_mm();
        (bottom < top).then(|| (Sides::of(obstacle), bottom, top))
    }

    /// Free height above the highest filler cap with the lid open, where it is known.
    fn over_caps(&self) -> Option<Length> {
        let tops = self.of_kind(SolidKind::Cap).filter_map(|cap| cap.top);
        let top = tops.reduce(Length::max)?;
        Some(self.enclosure.headroom? + self.plan.inner.height - top)
    }

    fn service(&self) -> Vec<Clash> {
        let wants = self.figure("service-over-caps");
        let low = self
            .over_caps()
            .map(|is| Clash::new(ClashKind::NoServiceRoom, "box", None, wants - is));
        let shelves = self.of_kind(SolidKind::Cap).flat_map(|cap| {
            self.of_kind(SolidKind::Obstacle).filter_map(move |o| {
                let air = o.bottom - cap.top?;
                let over = 0.0 < Sides::of(o).shared(Sides::of(cap)) && Length::ZERO <= air;
                over.then(|| {
                    let other = Some(o.part.clone());
                    Clash::new(ClashKind::NoServiceRoom, &cap.part, other, wants - air)
                })
            })
        });
        let mut all: Vec<Clash> =
            low.into_iter().chain(shelves).filter_map(Clash::if_missing).collect();
        all.dedup_by(|a, b| a.part == b.part && a.other == b.other);
        all
    }

    /// A block is lifted until its bottom is over the rim.
    fn lift_room(&self) -> Option<Clash> {
        let headroom = self.enclosure.headroom?;
        let tallest =
            self.plan.blocks.iter().reduce(|a, b| if a.height < b.height { b } else { a })?;
        let part = tallest.id.to_string();
        Clash::new(ClashKind::NoLiftRoom, &part, None, tallest.height - headroom).if_missing()
    }

    fn flooded(&self) -> bool {
        self.plan.blocks.iter().any(|b| b.flooded)
    }

    /// A lid without a lock, and one that has no height to swing up: upright it is as high as the box
    /// is deep from hinge to free edge.
    fn lid_and_lock(&self) -> Vec<Clash> {
        let lid = self.enclosure.lid != Some(false);
        let open = lid && self.enclosure.lock == Some(false);
        let unlocked = open.then(|| Clash::new(ClashKind::NoLock, "lid", None, Length::ZERO));
        let outside = self.outside();
        let reach = self.enclosure.lid_hinge.and_then(|hinge| match hinge {
            Hinge::Far | Hinge::Near => Some(outside.far - outside.near),
            Hinge::Left | Hinge::Right => Some(outside.right - outside.left),
            Hinge::LiftsOff => None,
        });
        let low = reach.zip(self.enclosure.headroom).filter(|_| lid).and_then(|(reach, free)| {
            let by = Length::mm(reach) - free;
            Clash::new(ClashKind::LidMeetsCeiling, "lid", None, by).if_missing()
        });
        unlocked.into_iter().chain(low).collect()
    }

    fn drain(&self) -> Option<Clash> {
        if self.enclosure.drain == Some(false) && self.flooded() {
            return Some(Clash::new(ClashKind::NoDrain, "box", None, Length::ZERO));
        }
        let stands = self.enclosure.drain_height?;
        Clash::new(ClashKind::DrainTooHigh, "box", None, stands).if_missing()
    }

    /// What the file does not say and that decides about room.
    fn asked(&self) -> Vec<Assumed> {
        let e = self.enclosure;
        let flooded = self.flooded();
        let questions = [
            (e.lid_hinge.is_none() && e.lid != Some(false), &HINGE),
            (e.headroom.is_none(), &HEADROOM),
            (e.drain.is_none() && flooded, &DRAIN),
            (e.drain == Some(true) && e.drain_height.is_none() && flooded, &DRAIN_RIM),
            (e.lock.is_none() && e.lid != Some(false), &LOCK),
        ];
        questions
            .into_iter()
            .filter(|(open, _)| *open)
            .map(|(_, question)| Assumed {
                path: question[0].to_owned(),
                value: question[1].to_owned(),
                how_to_measure: question[2].to_owned(),
                matters: question[3].to_owned(),
                cite: Cite::practice("what was not said is not judged"),
            })
            .collect()
    }
}

/// A question: path, what is not known, how to find it, what rests on it.
type Question = [&'static str; 4];

const HINGE: Question = [
    "box.lid_hinge",
    "not said at which side the lid is hinged",
    "Choose the side: far, near, left or right as you stand before it, or \"lifts off\".",
    "Whether the lid strikes a gas cylinder, a jack or a shelf in its swing is not judged.",
];
const HEADROOM: Question = [
    "box.headroom",
    "not said how much is free above the open box",
    "Measure from the rim of the box up to the ceiling, bench or shelf above it.",
    "Whether a hydrometer goes over every cap and a block comes out upwards is not judged.",
];
const DRAIN: Question = [
    "box.drain",
    "not said whether the box has a drain",
    "Look for a hole at the lowest point of the floor; pour a cup of water in and see where it stays.",
    "Water and acid that stay in the box eat its floor and the bolts through it.",
];
const DRAIN_RIM: Question = [
    "box.drain_height",
    "not said how high the rim of the drain stands over the lowest point of the floor",
    "Pour a cup of water in; what stays is as deep as the rim is high: measure it.",
    "A drain that stands above the dimple leaves acid water on the floor and round the bolts.",
];
const LOCK: Question = [
    "box.lock",
    "not said whether the lid can be locked",
    "Look at the lid.",
    "Blocks are stolen, and children open lids.",
];

/// How far an obstacle above the rim reaches into the swing of the lid.
///
/// # Formula
/// by = W - min sqrt(r^2 + z^2) over the part of the obstacle with atan2(z, r) <= opening angle
/// # Symbols
/// - `outside`: the box; W, from the hinge to the free edge of the lid [mm]
/// - `hinge`: at which side it is hinged
/// - `opens`: opening angle [degree]
/// - r, z, away from the hinge over the box and up from the rim [mm]
/// - returns how far the free edge would reach into it; nothing or less where it passes [mm]
/// # Valid
/// A flat lid on hinges at the rim. A lid that lifts off needs the room above the whole box.
/// # Source
/// physics, a circle about the hinge, computed
/// # Checked by
/// hand-worked cylinder before and behind the hinge in the tests of this file.
fn swing_mm(outside: Sides, hinge: Hinge, opens: f64, body: (Sides, f64, f64)) -> f64 {
    let (o, bottom, top) = body;
    // Seen along the hinge: the span of the hinge, of the obstacle along it, the reach of the lid,
    // and where the obstacle begins and ends across it, counted from the hinge over the box.
    let along_x = ([outside.left, outside.right], [o.left, o.right]);
    let along_y = ([outside.near, outside.far], [o.near, o.far]);
    let (width, depth) = (outside.right - outside.left, outside.far - outside.near);
    let ((hinge_line, own), reach, [begin, end]) = match hinge {
        Hinge::Far => (along_x, depth, [outside.far - o.far, outside.far - o.near]),
        Hinge::Near => (along_x, depth, [o.near - outside.near, o.far - outside.near]),
        Hinge::Left => (along_y, width, [o.left - outside.left, o.right - outside.left]),
        Hinge::Right => (along_y, width, [outside.right - o.right, outside.right - o.left]),
        Hinge::LiftsOff => return o.shared(outside),
    };
    if own[1].min(hinge_line[1]) <= own[0].max(hinge_line[0]) {
        return 0.0;
    }
    if 0.0 < end {
        // Over the box, or across the hinge line.
        return reach - number::hypot(begin.max(0.0), bottom);
    }
    // Behind the hinge only what is low enough for the leaning lid counts: z = -r / tan(lean).
    let lean = (opens - 90.0).max(0.0).to_radians();
    let from = bottom.max(-end * cos_over_sin(lean));
    if top < from { 0.0 } else { reach - number::hypot(end, from) }
}

/// One over the tangent of the lean; a lid that does not lean never comes near.
fn cos_over_sin(lean: f64) -> f64 {
    if lean <= 0.0 { f64::INFINITY } else { number::cos(lean) / number::sin(lean) }
}

/// What is above a block: `None` when only its own leads are.
fn lift(layout: &Layout, block: &PlacedBlock) -> Option<Lift> {
    let far = block.far_corner();
    let (mut own, mut across) = (Vec::new(), Vec::new());
    for lead in &layout.leads {
        let Some(route) = lead.route.as_ref().filter(|r| r.decided) else {
            continue;
        };
        let ends = [route.points.first(), route.points.last()];
        let posts = [block.plus.at, block.minus.at];
        if ends.iter().flatten().any(|end| posts.contains(end)) {
            own.push(lead.id.clone());
        } else if route.over(block.corner, far) {
            across.push(lead.id.clone());
        }
    }
    (!across.is_empty()).then_some(Lift { block: block.id, own, across })
}

#[cfg(test)]
mod tests {
    use super::{Sides, swing_mm};
    use crate::model::enclosure::Hinge;

    const OUTSIDE: Sides = Sides { left: 0.0, right: 800.0, near: 0.0, far: 400.0 };

    #[track_caller]
    fn check(hinge: Hinge, body: (Sides, f64, f64), want: f64) {
        let got = swing_mm(OUTSIDE, hinge, 105.0, body);
        assert!((got - want).abs() < 0.01, "{hinge:?}, {body:?}: {got} mm");
    }

    #[test]
    fn a_shelf_over_the_box_is_struck_by_a_hinged_lid() {
        // Hand worked: hinged far, 400 deep; a shelf 300 mm over the rim from 250 mm off the hinge:
        // hypot(250, 300) = 390.51, so 9.49 mm too close; one at 320 mm passes.
        let shelf = Sides { left: 100.0, right: 300.0, near: 0.0, far: 150.0 };
        check(Hinge::Far, (shelf, 300.0, 320.0), 9.4875);
        assert!(swing_mm(OUTSIDE, Hinge::Far, 105.0, (shelf, 320.0, 340.0)) < 0.0, "it passes");
    }

    #[test]
    fn a_cylinder_behind_the_hinge_is_struck_by_the_leaning_lid() {
        // Hand worked: 50 mm behind the far hinge, 250 mm over the rim: the lid leans 15 degrees, at
        // 50 mm it is 50 / tan 15 = 186.603 mm up; hypot(50, 186.603) = 193.185; 400 - 193.185.
        let cylinder = Sides { left: 100.0, right: 400.0, near: 450.0, far: 750.0 };
        check(Hinge::Far, (cylinder, 0.0, 250.0), 206.815);
        check(Hinge::Far, (cylinder, 0.0, 180.0), 0.0);
        // Hinged at the near side the lid swings away from it.
        assert!(swing_mm(OUTSIDE, Hinge::Near, 105.0, (cylinder, 0.0, 250.0)) < 0.0, "it passes");
    }
}

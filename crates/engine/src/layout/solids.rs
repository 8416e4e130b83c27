//! Everything in and around the box as bodies in space: cases, posts, caps, dividers, walls, the
//! lid, obstacles.
//!
//! Heights are measured from the floor of the box. Leads are not bodies here; `route` has their lines.

use super::Layout;
use super::plan::{PlacedBlock, Plan};
use crate::model::design::Design;
use crate::model::enclosure::Enclosure;
use crate::model::part::PlanPoint;
use crate::tables::Tables;
use crate::units::Length;

/// What a body is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SolidKind {
    /// The case of a block.
    Case,
    /// A post.
    Post,
    /// A filler cap.
    Cap,
    /// A divider between two blocks.
    Divider,
    /// The liner on the floor.
    Liner,
    /// A wall of the box.
    Wall,
    /// The lid.
    Lid,
    /// Something that is not part of the bank.
    Obstacle,
}

/// What a body covers on the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Base {
    /// A rectangle along the walls.
    Rectangle {
        /// Its left near corner.
        corner: PlanPoint,
        /// Along x.
        length: Length,
        /// Along y.
        width: Length,
    },
    /// A circle.
    Circle {
        /// Its middle.
        centre: PlanPoint,
        /// Its radius.
        radius: Length,
    },
}

/// An upright body.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// What it is.
    pub kind: SolidKind,
    /// Whose it is: a block, the box or an obstacle.
    pub part: String,
    /// What it covers on the plan.
    pub base: Base,
    /// Its underside.
    pub bottom: Length,
    /// Its top; `None` reaches higher than any lid.
    pub top: Option<Length>,
}

/// Every body of a design taken at one stage.
#[must_use]
pub fn solids(design: &Design, layout: &Layout, tables: &Tables) -> Vec<Solid> {
    let plan = &layout.plan;
    let unknown = Enclosure::unknown();
    let enclosure = design.enclosure.as_ref().unwrap_or(&unknown);
    let liner = enclosure.liner.unwrap_or(Length::ZERO);
    let cap = Length::mm(tables.limits.value("cap-radius").value);
    let usual_stud = Length::mm(tables.limits.value("stud-usual").value);
    let mut all = Vec::new();
    for block in &plan.blocks {
        let stud = design.block_model(&block.model).and_then(|m| m.stud).unwrap_or(usual_stud);
        all.extend(of_block(block, liner, [stud / 2.0, cap]));
    }
    if let Some(thickness) = enclosure.divider {
        all.extend(dividers(plan, thickness, liner));
    }
    all.extend(shell(plan, liner));
    all.extend(design.obstacles.iter().map(|obstacle| Solid {
        kind: SolidKind::Obstacle,
        part: obstacle.part.name.clone(),
        base: rectangle(obstacle.at, obstacle.size.x, obstacle.size.y),
        bottom: obstacle.bottom,
        top: obstacle.top(),
    }));
    all
}

const fn rectangle(corner: PlanPoint, length: Length, width: Length) -> Base {
    Base::Rectangle { corner, length, width }
}

/// Case, posts and caps of a block that stands on a floor of that height; radii of a post and a cap.
fn of_block(block: &PlacedBlock, floor: Length, [post, cap]: [Length; 2]) -> Vec<Solid> {
    let part = block.id.to_string();
    let body = |kind, base, bottom: Length, top: Length| Solid {
        kind,
        part: part.clone(),
        base,
        bottom: floor + bottom,
        top: Some(floor + top),
    };
    let case = rectangle(block.corner, block.length, block.width);
    let mut all = vec![body(SolidKind::Case, case, Length::ZERO, block.case_height)];
    for stud in [block.plus, block.minus] {
        let base = Base::Circle { centre: stud.at, radius: post };
        all.push(body(SolidKind::Post, base, block.case_height, stud.height));
    }
    for centre in &block.caps {
        let base = Base::Circle { centre: *centre, radius: cap };
        all.push(body(SolidKind::Cap, base, block.case_height, block.height));
    }
    all
}

/// Strips between neighbours that share a side, in the middle of the air between them.
fn dividers(plan: &Plan, thickness: Length, floor: Length) -> Vec<Solid> {
    let mut all = Vec::new();
    for (n, a) in plan.blocks.iter().enumerate() {
        for b in &plan.blocks[n + 1..] {
            let height = a.case_height.min(b.case_height);
            if let Some((corner, length, width)) = between(a, b, thickness) {
                all.push(Solid {
                    kind: SolidKind::Divider,
                    part: format!("{} and {}", a.id, b.id),
                    base: rectangle(corner, length, width),
                    bottom: floor,
                    top: Some(floor + height),
                });
            }
        }
    }
    all
}

/// The strip between two blocks that face one another with less than a hand's width of air.
fn between(
    a: &PlacedBlock,
    b: &PlacedBlock,
    thickness: Length,
) -> Option<(PlanPoint, Length, Length)> {
    const HAND: f64 = 100.0;
    let (a_far, b_far) = (a.far_corner(), b.far_corner());
    let shared = |a: [Length; 2], b: [Length; 2]| (a[0].max(b[0]), a[1].min(b[1]));
    let (left, right) = shared([a.corner.x, a_far.x], [b.corner.x, b_far.x]);
    let (near, far) = shared([a.corner.y, a_far.y], [b.corner.y, b_far.y]);
    let (air_x, air_y) = (left - right, near - far);
    let is_gap = |air: Length| Length::ZERO <= air && air < Length::mm(HAND);
    if is_gap(air_x) && near < far {
        let middle = (left + right) / 2.0;
        return Some((PlanPoint { x: middle - thickness / 2.0, y: near }, thickness, far - near));
    }
    if is_gap(air_y) && left < right {
        let middle = (near + far) / 2.0;
        return Some((PlanPoint { x: left, y: middle - thickness / 2.0 }, right - left, thickness));
    }
    None
}

/// Four walls, the liner on the floor and the lid. A wall of unknown thickness is a sheet.
fn shell(plan: &Plan, liner: Length) -> Vec<Solid> {
    let wall = plan.wall.unwrap_or(Length::ZERO);
    let (length, width, height) = (plan.inner.length, plan.inner.width, plan.inner.height);
    let out = wall * 2.0;
    let body = |kind, x: Length, y: Length, size: [Length; 2], from: Length, to: Length| Solid {
        kind,
        part: "box".to_owned(),
        base: rectangle(PlanPoint { x, y }, size[0], size[1]),
        bottom: from,
        top: Some(to),
    };
    let zero = Length::ZERO;
    let mut all = vec![
        body(SolidKind::Wall, -wall, -wall, [length + out, wall], zero, height),
        body(SolidKind::Wall, -wall, width, [length + out, wall], zero, height),
        body(SolidKind::Wall, -wall, zero, [wall, width], zero, height),
        body(SolidKind::Wall, length, zero, [wall, width], zero, height),
        body(SolidKind::Lid, -wall, -wall, [length + out, width + out], height, height + wall),
    ];
    if zero < liner {
        all.push(body(SolidKind::Liner, zero, zero, [length, width], zero, liner));
    }
    all
}

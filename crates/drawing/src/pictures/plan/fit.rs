//! How the plan is laid on its paper: what it needs around the box, and which scale that leaves.

use super::PlanPicture;
use super::traces::traces;
use crate::geometry::{View, at};
use crate::pictures::board::{Board, scale};
use crate::pictures::stubs::{Wall, room_across, room_beside};
use crate::pictures::{Foot, Setting, Subject};
use crate::style::size;
use engine::layout::plan::Plan;
use engine::units::Length;

/// From the edge of the sheet to its frame [mm].
pub(super) const FRAME: f64 = 1.0;

/// From the edge of the sheet to whatever is drawn [mm].
pub(super) const EDGE: f64 = 4.0;

/// From the box to its dimension lines [mm].
pub(super) const DIMENSION: f64 = 8.0;

/// Height of a title block of three rows [mm].
pub(super) const TITLE_BLOCK: f64 = 31.8;

/// Width of the title block where there is paper for it [mm].
pub(super) const TITLE_WIDTH: f64 = 97.0;

/// A narrower sheet has no room for dimension lines [mm].
pub(super) const NARROW: f64 = 150.0;

/// A sheet this wide has the scale beside its title block, a narrower one above it [mm].
pub(super) const WIDE_SHEET: f64 = 170.0;

/// Paper below the box for the owner's place and, on a narrow sheet, the scale [mm].
pub(super) fn below(setting: &Setting) -> f64 {
    if setting.foot == Foot::TitleBlock && WIDE_SHEET <= setting.width { 18.0 } else { 31.0 }
}

/// What the plan needs of its paper besides the rig itself [mm].
pub(super) struct Fit {
    pub(super) extent: Extent,
    pub(super) aside: Aside,
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) low: f64,
}

impl Fit {
    pub(super) fn of(picture: &PlanPicture<'_>) -> Self {
        let subject = &picture.subject;
        let setting = picture.setting;
        let enclosure = subject.design.enclosure.as_ref();
        let far = enclosure.is_some_and(|e| e.far_side.is_some());
        let aside = Aside::of(subject);
        let lines = Dimensions::of(setting, &aside);
        let beside = if lines.left { DIMENSION + size::SMALL } else { 2.0 };
        let above = if lines.far { DIMENSION + size::SMALL } else { 0.0 };
        let under = if lines.near { DIMENSION + size::SMALL } else { 0.0 };
        let foot = match setting.foot {
            Foot::Bare => 0.0,
            Foot::TitleBlock => TITLE_BLOCK + 2.0,
        };
        Self {
            extent: Extent::of(&subject.layout.plan),
            left: EDGE + beside + aside.left,
            right: EDGE + aside.right,
            top: EDGE + 1.0 + above + aside.far + if far { 5.0 } else { 0.0 },
            low: aside.near + under + below(setting) + foot + EDGE,
            aside,
        }
    }

    pub(super) fn scale(&self, picture: &PlanPicture<'_>) -> f64 {
        let setting = picture.setting;
        let margins = (self.left + self.right, self.top + self.low);
        let fitting = || scale((self.extent.width, self.extent.height), setting, margins);
        setting.scale.unwrap_or_else(fitting)
    }
}

/// Which dimension lines there are; a narrow sheet says the measures in words.
#[derive(Clone, Copy, Debug)]
pub(super) struct Dimensions {
    pub(super) left: bool,
    pub(super) far: bool,
    pub(super) near: bool,
}

impl Dimensions {
    pub(super) fn of(setting: &Setting, aside: &Aside) -> Self {
        let drawn = NARROW <= setting.width;
        let far = aside.far <= 0.0;
        Self { left: drawn, far: drawn && far, near: drawn && !far }
    }
}

/// What the plan takes of the rig [mm].
pub(super) struct Extent {
    /// The left edge, from the inner near corner at the owner's left hand.
    pub(super) left: f64,
    /// From that corner up to the far edge.
    pub(super) above: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Extent {
    /// Around the box, every block and every device in a decided place.
    pub(super) fn of(plan: &Plan) -> Self {
        let wall = plan.wall.map_or(0.0, Length::as_mm);
        let inner = (plan.inner.length.as_mm(), plan.inner.width.as_mm());
        let mut bounds = [-wall, -wall, inner.0 + wall, inner.1 + wall];
        let corners = plan.blocks.iter().flat_map(|b| [b.corner, b.far_corner()]);
        let studs = plan.devices.iter().filter(|d| d.decided).flat_map(|d| [d.first, d.second]);
        for point in corners.chain(studs) {
            let (x, y) = (point.x.as_mm(), point.y.as_mm());
            bounds = [bounds[0].min(x), bounds[1].min(y), bounds[2].max(x), bounds[3].max(y)];
        }
        let [left, near, right, far] = bounds;
        Self { left, above: far, width: right - left, height: far - near }
    }
}

/// Paper that leads leaving the box take beyond each wall [mm].
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Aside {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) far: f64,
    pub(super) near: f64,
}

impl Aside {
    pub(super) fn of(subject: &Subject<'_>) -> Self {
        // The sides do not depend on the scale, so a board at true size tells them.
        let board =
            Board { layout: subject.layout, view: View { scale: 1.0, origin: at(0.0, 0.0) } };
        let mut aside = Self { right: 2.0, ..Self::default() };
        for stub in traces(subject, &board).iter().filter_map(|t| t.open.as_ref()) {
            let beside = room_beside(&stub.lead, &stub.device);
            let across = room_across(&stub.device);
            match stub.wall {
                Wall::Left => aside.left = aside.left.max(beside),
                Wall::Right => aside.right = aside.right.max(beside),
                Wall::Far => aside.far = aside.far.max(across),
                Wall::Near => aside.near = aside.near.max(across),
            }
        }
        aside
    }
}

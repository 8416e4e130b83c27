//! The plan of the box on the sheet: where each place of it lies, and the marks that every plan shares.

use super::room::bar;
use super::{Setting, Subject};
use crate::geometry::{Corners, Point, View, at};
use crate::marks::lead::{Lead, Polarity, Standing};
use crate::marks::post::{Beside, Post};
use crate::marks::sheet::Area;
use crate::scene::{Fill, Group, Item, Rect, Stroke};
use crate::style::{Tone, line};
use engine::circuit::wiring::{self, WiredLead};
use engine::layout::plan::PlacedBlock;
use engine::layout::{Layout, LeadPath};
use engine::model::part::PlanPoint;
use engine::units::Length;

/// A plan laid on the sheet.
#[derive(Clone, Copy, Debug)]
pub struct Board<'a> {
    /// What is placed where.
    pub layout: &'a Layout,
    /// How the rig lies on the sheet; its origin is the inner near corner at the owner's left hand, and
    /// what lies further from the owner lies higher on the sheet.
    pub view: View,
}

/// Thickness of a wall of which nothing is known [mm on paper].
const WALL_UNKNOWN: f64 = 1.4;

impl Board<'_> {
    /// A place of the plan on the sheet.
    #[must_use]
    pub fn point(&self, place: PlanPoint) -> Point {
        self.view.place(place.x.as_mm(), -place.y.as_mm())
    }

    /// A length on the sheet [mm].
    #[must_use]
    pub fn length(&self, length: Length) -> f64 {
        self.view.length(length.as_mm())
    }

    /// The inside of the box.
    #[must_use]
    pub fn inner(&self) -> Area {
        let (width, height) =
            (self.length(self.layout.plan.inner.length), self.length(self.layout.plan.inner.width));
        Area { corner: self.view.origin.moved(0.0, -height), width, height }
    }

    /// Thickness of the wall on the sheet [mm].
    #[must_use]
    pub fn wall(&self) -> f64 {
        // A thin sheet of metal would close to one line.
        self.layout.plan.wall.map_or(WALL_UNKNOWN, |wall| self.length(wall).max(0.8))
    }

    /// The outside of the box.
    #[must_use]
    pub fn outer(&self) -> Area {
        let (inner, wall) = (self.inner(), self.wall());
        Area {
            corner: inner.corner.moved(-wall, -wall),
            width: inner.width + 2.0 * wall,
            height: inner.height + 2.0 * wall,
        }
    }

    /// The case of a block.
    #[must_use]
    pub fn case(&self, block: &PlacedBlock) -> Area {
        let (width, height) = (self.length(block.length), self.length(block.width));
        Area { corner: self.point(block.corner).moved(0.0, -height), width, height }
    }

    /// Radius at which posts are drawn: that of a washer, as far as it can be seen [mm].
    #[must_use]
    pub fn post_radius(&self) -> f64 {
        self.view.length(9.5).clamp(1.25, 2.1)
    }

    /// The width at which a lead is drawn: its own, as far as it can be seen [mm].
    #[must_use]
    pub fn lead_width(&self, lead: &LeadPath) -> f64 {
        let own = lead.route.as_ref().map_or(1.0, |r| self.length(r.diameter));
        own.clamp(0.9, 2.4)
    }

    /// The path of a lead on the sheet.
    #[must_use]
    pub fn path(&self, lead: &LeadPath) -> Vec<Point> {
        lead.route.iter().flat_map(|r| &r.points).map(|p| self.point(*p)).collect()
    }

    /// The box: two walls, in pencil as long as its size is only a wish.
    #[must_use]
    pub fn draw_box(&self) -> Group {
        let tone = if self.layout.plan.to_build { Tone::Pencil } else { Tone::Ink };
        let rect = |area: Area, round: f64, weight: f64, fill: Fill| -> Item {
            let Area { corner, width, height } = area;
            let stroke = Some(Stroke::solid(tone, weight));
            Rect { corner, width, height, round, stroke, fill }.into()
        };
        let mut group = Group::named("box", "box", "Battery box");
        group.items.push(rect(self.outer(), 1.2, line::HEAVY, Fill::Flat(Tone::Light)));
        group.items.push(rect(self.inner(), 0.6, line::THIN, Fill::Open));
        group
    }

    /// Both posts of a block.
    #[must_use]
    pub fn posts(&self, block: &PlacedBlock) -> [Post; 2] {
        let post = |polarity: Polarity, place: PlanPoint| Post {
            block: block.id.to_string(),
            polarity,
            centre: self.point(place),
            radius: self.post_radius(),
            sign: Beside::Right,
        };
        [post(Polarity::Positive, block.plus.at), post(Polarity::Negative, block.minus.at)]
    }
}

/// The side of a lead as it is drawn.
#[must_use]
pub const fn polarity(lead: &WiredLead) -> Polarity {
    match lead.polarity {
        wiring::Polarity::Plus | wiring::Polarity::Both => Polarity::Positive,
        wiring::Polarity::Between => Polarity::Link,
        wiring::Polarity::Minus | wiring::Polarity::Neither => Polarity::Negative,
    }
}

/// Whether the owner has decided a lead: it is there, or its size is stated.
#[must_use]
pub fn standing(subject: &Subject<'_>, lead: &WiredLead) -> Standing {
    let links = subject.design.bank().is_some_and(|b| b.link_size.is_some() || b.have);
    let decided = lead.stated.part.have
        || lead.stated.size.is_some()
        || (lead.role.is_link() && links)
        || subject.answer(&lead.id).is_some_and(|a| a.decided);
    if decided { Standing::Decided } else { Standing::Wish }
}

/// What a drawn lead takes of the sheet: its line with the pale edge.
#[must_use]
pub fn lead_bars(lead: &Lead) -> Vec<Corners> {
    lead.points.windows(2).map(|p| bar(p[0], p[1], lead.width + 1.0)).collect()
}

/// The largest usual scale at which a piece of the rig keeps within the paper left for it.
#[must_use]
pub fn scale(rig_mm: (f64, f64), setting: &Setting, margins: (f64, f64)) -> f64 {
    let room = (setting.width - margins.0, setting.height - margins.1);
    crate::geometry::usual_scale(rig_mm, (room.0.max(1.0), room.1.max(1.0)))
}

/// The middle of an area.
#[must_use]
pub fn middle(area: Area) -> Point {
    at(area.corner.x + area.width / 2.0, area.corner.y + area.height / 2.0)
}

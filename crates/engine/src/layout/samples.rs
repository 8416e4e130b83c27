//! Blocks and boxes that the tests of this folder put down.

use super::plan::{BoxSize, PlacedBlock, Plan};
use super::posts::PostPoint;
use crate::model::bank::BlockId;
use crate::model::part::{PlanPoint, Turn};
use crate::units::Length;

pub(super) fn point(x: f64, y: f64) -> PlanPoint {
    PlanPoint { x: Length::mm(x), y: Length::mm(y) }
}

/// A flooded block of 260 by 180 mm with its left near corner there.
pub(super) fn block(place: u32, x: f64, y: f64) -> PlacedBlock {
    let post = PostPoint { at: point(x, y), height: Length::mm(270.0) };
    PlacedBlock {
        id: BlockId { string: 0, place },
        model: "gc6".to_owned(),
        corner: point(x, y),
        length: Length::mm(260.0),
        width: Length::mm(180.0),
        height: Length::mm(270.0),
        case_height: Length::mm(254.0),
        handle_height: None,
        turn: Turn::None,
        plus: post,
        minus: post,
        caps: Vec::new(),
        flooded: true,
        by_owner: true,
    }
}

/// A box of 860 by 430 mm inside, walls 12, gap 12, margin 10, with blocks at these corners.
pub(super) fn box_of(blocks: &[(f64, f64)]) -> Plan {
    let inner =
        BoxSize { length: Length::mm(860.0), width: Length::mm(430.0), height: Length::mm(340.0) };
    Plan {
        inner,
        needed: inner,
        to_build: false,
        wall: Some(Length::mm(12.0)),
        gap: Length::mm(12.0),
        margin: Length::mm(10.0),
        blocks: (0_u32..).zip(blocks).map(|(n, (x, y))| block(n, *x, *y)).collect(),
        devices: Vec::new(),
        highest: None,
        clashes: Vec::new(),
    }
}

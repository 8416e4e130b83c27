//! The plan of the box: every block, post, cap and device in its place.

use super::case::CaseFacts;
use super::clash::{self, Clash};
use super::devices::{self, PlacedDevice};
use super::figures::Figures;
use super::pattern::{self, Item, Placement, Room};
use super::posts::{PostPoint, turned, turned_size};
use crate::circuit::wiring::Wiring;
use crate::finding::Assumed;
use crate::model::bank::{Bank, BlockId};
use crate::model::design::Design;
use crate::model::enclosure::Enclosure;
use crate::model::lead::Terminal;
use crate::model::part::{PlanPoint, Turn};
use crate::units::Length;
use crate::units::show;

/// A block in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedBlock {
    /// Which block.
    pub id: BlockId,
    /// Name of its model.
    pub model: String,
    /// Its left near corner.
    pub corner: PlanPoint,
    /// Along x, after the turn.
    pub length: Length,
    /// Along y, after the turn.
    pub width: Length,
    /// Height over posts and caps.
    pub height: Length,
    /// Height of the case itself, without posts and caps.
    pub case_height: Length,
    /// Height of its raised handles, where the owner measured them.
    pub handle_height: Option<Length>,
    /// Which way it is turned.
    pub turn: Turn,
    /// Its plus post.
    pub plus: PostPoint,
    /// Its minus post.
    pub minus: PostPoint,
    /// Centres of its filler caps.
    pub caps: Vec<PlanPoint>,
    /// Needs air around it.
    pub flooded: bool,
    /// The owner said where it lies, rather than the row pattern.
    pub by_owner: bool,
}

impl PlacedBlock {
    /// The corner away from [`Self::corner`].
    #[must_use]
    pub fn far_corner(&self) -> PlanPoint {
        PlanPoint { x: self.corner.x + self.length, y: self.corner.y + self.width }
    }
}

/// Inside measures of a box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxSize {
    /// Along x.
    pub length: Length,
    /// Along y.
    pub width: Length,
    /// Under the lid.
    pub height: Length,
}

/// The highest thing under the lid: a stack on a post, a lead that crosses others, raised handles.
#[derive(Clone, Debug, PartialEq)]
pub struct Highest {
    /// Its top above the floor of the box.
    pub top: Length,
    /// What it is.
    pub what: String,
}

/// Where a lead may end: a post or a stud, in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndPoint {
    /// On the plan.
    pub at: PlanPoint,
    /// Height of the face the lug lies on.
    pub height: Length,
    /// It is where it will be; a pencil place is not.
    pub decided: bool,
    /// Diameter of the stud, where known.
    pub stud: Option<Length>,
}

/// The plan of the box and what stands beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The inside as the owner gave it; what the owner did not give is as large as needed.
    pub inner: BoxSize,
    /// The inside that the blocks need with their gaps, margins and lid clearance.
    pub needed: BoxSize,
    /// The owner gave no inside size at all: `needed` is the box to build.
    pub to_build: bool,
    /// Thickness of the wall, where given.
    pub wall: Option<Length>,
    /// Air between blocks.
    pub gap: Length,
    /// Between blocks and wall.
    pub margin: Length,
    /// Blocks in the order of their names.
    pub blocks: Vec<PlacedBlock>,
    /// Devices that a lead reaches or that the owner placed.
    pub devices: Vec<PlacedDevice>,
    /// The highest thing under the lid; `None` in a box without blocks.
    pub highest: Option<Highest>,
    /// What does not fit.
    pub clashes: Vec<Clash>,
}

impl Plan {
    /// A block by name.
    #[must_use]
    pub fn block(&self, id: BlockId) -> Option<&PlacedBlock> {
        self.blocks.iter().find(|b| b.id == id)
    }

    /// Height of the tallest block.
    #[must_use]
    pub fn tallest(&self) -> Length {
        self.blocks.iter().map(|b| b.height).fold(Length::ZERO, Length::max)
    }
}

/// The plan with what only the routing needs beside it.
pub(super) struct Drafted {
    pub(super) plan: Plan,
    pub(super) cases: Vec<CaseFacts>,
    pub(super) assumed: Vec<Assumed>,
}

impl Drafted {
    /// Where a lead that names this terminal ends.
    pub(super) fn end(&self, design: &Design, terminal: &Terminal) -> Option<EndPoint> {
        match terminal {
            Terminal::Post { block, plus } => {
                let placed = self.plan.block(*block)?;
                let post = if *plus { placed.plus } else { placed.minus };
                let case = self.cases.iter().find(|c| c.model == placed.model);
                Some(EndPoint {
                    at: post.at,
                    height: post.height,
                    decided: true,
                    stud: case.and_then(|c| c.stud),
                })
            }
            Terminal::Stud { device, pole } => {
                let placed = self.plan.devices.iter().find(|d| d.name == *device)?;
                Some(EndPoint {
                    at: placed.stud(*pole),
                    height: self.plan.tallest(),
                    decided: placed.decided,
                    stud: design.device(device).and_then(|d| d.stud),
                })
            }
        }
    }
}

/// Draws the plan of a design taken at one stage.
pub(super) fn draft(design: &Design, wiring: &Wiring, figures: &Figures<'_>) -> Drafted {
    let mut assumed = Vec::new();
    let mut cases: Vec<CaseFacts> = Vec::new();
    let items = design
        .bank()
        .map_or_else(Vec::new, |bank| items(design, bank, figures, &mut cases, &mut assumed));
    let room = room(design, figures, &items, &mut assumed);
    let placement = design.bank().map_or_else(
        || Placement { spots: Vec::new(), length: Length::ZERO, width: Length::ZERO },
        |bank| pattern::place(bank, &items, &room),
    );
    let blocks: Vec<PlacedBlock> = items
        .iter()
        .zip(&placement.spots)
        .map(|(item, spot)| put(item, spot.corner, spot.turn))
        .collect();
    let tallest = blocks.iter().map(|b| b.height).fold(Length::ZERO, Length::max);
    let enclosure = design.enclosure.clone().unwrap_or_else(Enclosure::unknown);
    let needed = BoxSize { length: placement.length, width: placement.width, height: tallest };
    let inner = BoxSize {
        length: enclosure.length.unwrap_or(needed.length),
        width: enclosure.width.unwrap_or(needed.width),
        height: enclosure.height.unwrap_or(needed.height),
    };
    let mut plan = Plan {
        inner,
        needed,
        to_build: enclosure.length.is_none()
            && enclosure.width.is_none()
            && enclosure.height.is_none(),
        wall: enclosure.wall,
        gap: room.gap,
        margin: room.margin,
        blocks,
        devices: Vec::new(),
        highest: None,
        clashes: Vec::new(),
    };
    plan.clashes = clash::in_plan(&plan, &cases);
    plan.devices = devices::place(design, wiring, &plan);
    Drafted { plan, cases, assumed }
}

fn items(
    design: &Design,
    bank: &Bank,
    figures: &Figures<'_>,
    cases: &mut Vec<CaseFacts>,
    assumed: &mut Vec<Assumed>,
) -> Vec<Item> {
    let mut items = Vec::new();
    for id in bank.block_ids() {
        let state = bank.state_of(id);
        let name = state.model.as_deref().unwrap_or(&bank.block);
        let known = cases.iter().find(|c| c.model == name).cloned();
        let case = known.or_else(|| {
            let model = design.block_model(name)?;
            let case = CaseFacts::of(model, figures, design.rig.units, assumed)?;
            cases.push(case.clone());
            Some(case)
        });
        // A model that the file does not describe is another check's finding; it has no size.
        if let Some(case) = case {
            items.push(Item { id, case, at: state.at, turn: state.turn });
        }
    }
    items
}

fn room(
    design: &Design,
    figures: &Figures<'_>,
    items: &[Item],
    assumed: &mut Vec<Assumed>,
) -> Room {
    let enclosure = design.enclosure.clone().unwrap_or_else(Enclosure::unknown);
    let flooded = items.iter().any(|i| i.case.flooded);
    let usual = if flooded { &figures.gap } else { &figures.gap_sealed };
    let gap = enclosure.gap.unwrap_or(usual.value);
    if enclosure.gap.is_none() && 1 < items.len() {
        assumed.push(Assumed {
            path: "box.gap".to_owned(),
            value: format!("{} between blocks", show::length(gap, design.rig.units)),
            how_to_measure: "Choose it; lay a strip of that thickness between the cases."
                .to_owned(),
            matters: "Every link between neighbours and the inside of the box grow with it."
                .to_owned(),
            cite: usual.cite.clone(),
        });
    }
    Room {
        length: enclosure.length,
        width: enclosure.width,
        gap,
        margin: enclosure.margin.unwrap_or(gap),
        columns: enclosure.columns,
        links: design.bank().and_then(|bank| bank.link_length),
    }
}

fn put(item: &Item, corner: PlanPoint, turn: Turn) -> PlacedBlock {
    let case = &item.case;
    let (length, width) = turned_size(case, turn);
    let post = |at| PostPoint { at: turned(case, turn, at, corner), height: case.height };
    PlacedBlock {
        id: item.id,
        model: case.model.clone(),
        corner,
        length,
        width,
        height: case.height,
        case_height: case.case_height,
        handle_height: case.handle_height,
        turn,
        plus: post(case.plus_at),
        minus: post(case.minus_at),
        caps: case.caps.iter().map(|cap| turned(case, turn, *cap, corner)).collect(),
        flooded: case.flooded,
        by_owner: item.at.is_some(),
    }
}

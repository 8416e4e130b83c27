//! The parts of the bank that an entry may speak of, and their order in the box.

use crate::rig::Rig;
use engine::evidence::log::{CellId, Subject};
use engine::facts::Facts;
use engine::layout::plan::{PlacedBlock, Plan};
use engine::model::bank::BlockId;
use engine::model::block::Chemistry;
use engine::units::show;
use std::collections::BTreeMap;

/// Gravities that are kept without a word.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Plausible {
    /// Least that can be meant.
    pub(crate) least: f64,
    /// Most that can be meant.
    pub(crate) most: f64,
    /// A reading so far from the last one is asked about.
    pub(crate) jump: f64,
}

impl Plausible {
    fn of(rig: &Rig) -> Self {
        let limit = |id: &str| rig.tables.limits.figure(id);
        Self {
            least: limit("gravity-entry-min"),
            most: limit("gravity-entry-max"),
            jump: limit("gravity-entry-jump"),
        }
    }

    /// Whether a hydrometer can have shown it.
    pub(crate) fn has(&self, gravity: f64) -> bool {
        (self.least..=self.most).contains(&gravity)
    }

    /// Why it cannot be.
    pub(crate) fn says(&self, gravity: f64) -> String {
        let shown = |v: f64| show::fixed(v, 3);
        format!(
            "A gravity of {} cannot be: water is {}, and no acid in a battery is over {}.",
            show::decimal(gravity, 3),
            shown(self.least),
            shown(self.most)
        )
    }
}

/// Blocks of one or more stages, with their cells.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Parts {
    /// How many cells each block has.
    pub(crate) blocks: BTreeMap<BlockId, u32>,
    /// The cells have caps, so that a hydrometer goes in.
    pub(crate) flooded: bool,
    /// What a gravity can be.
    pub(crate) plausible: Plausible,
}

impl Parts {
    /// Those of every stage: the bank may be further than the design says.
    pub(crate) fn of(rig: &Rig) -> Self {
        let mut parts = Self::none(rig);
        for stage in 0..rig.design.stages.len().max(1) {
            parts.take(rig, stage);
        }
        parts
    }

    /// Those of the stage that is looked at.
    pub(crate) fn at_stage(rig: &Rig) -> Self {
        let mut parts = Self::none(rig);
        parts.take(rig, rig.stage_or_present());
        parts
    }

    fn none(rig: &Rig) -> Self {
        Self { blocks: BTreeMap::new(), flooded: false, plausible: Plausible::of(rig) }
    }

    fn take(&mut self, rig: &Rig, stage: usize) {
        let facts = Facts::of(&rig.design.at_stage(stage), &rig.tables, rig.ambient);
        for block in &facts.blocks {
            self.blocks.insert(block.id, block.cells);
            self.flooded |= block.chemistry == Chemistry::Flooded;
        }
    }

    /// Every cell, by name.
    pub(crate) fn cells(&self) -> Vec<CellId> {
        let of = |(block, count): (&BlockId, &u32)| {
            let block = *block;
            (0..*count).map(move |cell| CellId { block, cell })
        };
        self.blocks.iter().flat_map(of).collect()
    }

    /// Whether the bank has this part.
    pub(crate) fn have(&self, subject: &Subject) -> bool {
        match subject {
            Subject::Bank | Subject::Joint(_) => true,
            Subject::String(string) => self.blocks.keys().any(|b| b.string == *string),
            Subject::Block(block) => self.blocks.contains_key(block),
            Subject::Cell(cell) => self.blocks.get(&cell.block).is_some_and(|n| cell.cell < *n),
        }
    }

    /// Names of the blocks, as many as a reader takes in.
    pub(crate) fn names(&self) -> String {
        let names: Vec<String> = self.blocks.keys().map(ToString::to_string).collect();
        match names.as_slice() {
            [] => "none".to_owned(),
            [first, .., last] if 6 < names.len() => format!("{first} to {last}"),
            _ => names.join(", "),
        }
    }
}

/// One row of the box: blocks that lie side by side, from the left.
pub(crate) type Row = Vec<BlockId>;

/// The blocks as one stands before the box: the row at the far wall first, as on the plan, each
/// from the left.
pub(crate) fn rows(plan: &Plan) -> Vec<Row> {
    let mut left: Vec<&PlacedBlock> = plan.blocks.iter().collect();
    left.sort_by(|a, b| far(b).total_cmp(&far(a)).then(a.id.cmp(&b.id)));
    let mut rows = Vec::new();
    while let Some(first) = left.first().copied() {
        // What lies beside it for more than half of its own depth is in its row.
        let beside = |b: &PlacedBlock| {
            let (near, far) = (near(b).max(near(first)), far(b).min(far(first)));
            b.id == first.id || (b.width.as_mm() / 2.0) < far - near
        };
        let (mut row, rest): (Vec<_>, Vec<_>) = left.into_iter().partition(|b| beside(b));
        row.sort_by(|a, b| a.corner.x.as_mm().total_cmp(&b.corner.x.as_mm()).then(a.id.cmp(&b.id)));
        rows.push(row.iter().map(|b| b.id).collect());
        left = rest;
    }
    rows
}

/// The cells of a block from the left as one stands before the box; those of a block whose row of
/// caps runs away from the reader come from the far end.
pub(crate) fn cells(plan: &Plan, block: BlockId, count: u32) -> Vec<CellId> {
    let from_plus = (0..count).map(|cell| CellId { block, cell });
    if plan.block(block).is_some_and(plus_is_last) {
        from_plus.rev().collect()
    } else {
        from_plus.collect()
    }
}

/// The plus post is at the right end, or at the near end of a block that lies away from the reader.
fn plus_is_last(block: &PlacedBlock) -> bool {
    if block.width < block.length {
        block.minus.at.x < block.plus.at.x
    } else {
        block.plus.at.y < block.minus.at.y
    }
}

fn near(block: &PlacedBlock) -> f64 {
    block.corner.y.as_mm()
}

fn far(block: &PlacedBlock) -> f64 {
    block.corner.y.as_mm() + block.width.as_mm()
}

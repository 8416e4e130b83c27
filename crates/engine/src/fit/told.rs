//! What does not fit, in words: how bad it is, where it stands in the file, what to do.

use crate::finding::Severity;
use crate::layout::clash::{Clash, ClashKind};
use crate::study::Study;
use crate::units::{Length, show};

/// Something that does not fit, told.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What is wrong.
    pub kind: ClashKind,
    /// How bad.
    pub severity: Severity,
    /// The part it speaks of.
    pub part: String,
    /// The same as a reader knows it, such as `lead 3`.
    pub named: String,
    /// The other part, where there are two.
    pub other: Option<String>,
    /// What is missing.
    pub by: Length,
    /// Path in the design file of the thing it speaks of.
    pub path: String,
    /// The same in a sentence.
    pub says: String,
    /// What to do.
    pub remedy: String,
    /// Why, in one line.
    pub why: &'static str,
}

/// Puts a clash into words.
pub(super) fn told(study: &Study, clash: Clash) -> Told {
    let (says, remedy) = words(study, &clash);
    Told {
        kind: clash.kind,
        severity: severity(clash.kind),
        named: named(&clash),
        path: path(&clash),
        says,
        remedy,
        why: why(clash.kind),
        part: clash.part,
        other: clash.other,
        by: clash.by,
    }
}

const fn severity(kind: ClashKind) -> Severity {
    match kind {
        ClashKind::BoxTooShort
        | ClashKind::BoxTooNarrow
        | ClashKind::LidTooLow
        | ClashKind::ThroughWall
        | ClashKind::Overlap
        | ClashKind::GapTooNarrow
        | ClashKind::ObstacleInBox
        | ClashKind::LidStrikes => Severity::Stop,
        ClashKind::PostOffCase
        | ClashKind::LeadNearPost
        | ClashKind::LeadOverCap
        | ClashKind::BendTooTight
        | ClashKind::LinerTooThick
        | ClashKind::DividerTooThick
        | ClashKind::NoServiceRoom
        | ClashKind::NoLiftRoom
        | ClashKind::DrainTooHigh
        | ClashKind::NoDrain
        | ClashKind::LidMeetsCeiling => Severity::Fix,
        ClashKind::NoLock => Severity::Note,
    }
}

fn path(clash: &Clash) -> String {
    let part = &clash.part;
    match clash.kind {
        ClashKind::BoxTooShort => "box.length".to_owned(),
        ClashKind::BoxTooNarrow => "box.width".to_owned(),
        ClashKind::LidTooLow => "box.height".to_owned(),
        ClashKind::GapTooNarrow => "box.gap".to_owned(),
        ClashKind::LinerTooThick => "box.liner".to_owned(),
        ClashKind::DividerTooThick => "box.divider".to_owned(),
        ClashKind::LidStrikes => "box.lid_hinge".to_owned(),
        ClashKind::NoServiceRoom | ClashKind::NoLiftRoom | ClashKind::LidMeetsCeiling => {
            "box.headroom".to_owned()
        }
        ClashKind::NoDrain => "box.drain".to_owned(),
        ClashKind::NoLock => "box.lock".to_owned(),
        ClashKind::DrainTooHigh => "box.drain_height".to_owned(),
        ClashKind::ThroughWall | ClashKind::Overlap => format!("bank.{part}.at"),
        ClashKind::PostOffCase => format!("block.{part}"),
        ClashKind::LeadNearPost | ClashKind::LeadOverCap | ClashKind::BendTooTight => {
            format!("lead.{part}")
        }
        ClashKind::ObstacleInBox => format!("obstacle.{part}.at"),
    }
}

fn named(clash: &Clash) -> String {
    match clash.kind {
        ClashKind::LeadNearPost | ClashKind::LeadOverCap | ClashKind::BendTooTight => {
            format!("lead {}", clash.part)
        }
        ClashKind::ThroughWall | ClashKind::Overlap | ClashKind::GapTooNarrow => {
            format!("block {}", clash.part)
        }
        _ => clash.part.clone(),
    }
}

/// What is, and what to do.
fn words(study: &Study, clash: &Clash) -> (String, String) {
    let by = show::length(clash.by, study.design.rig.units);
    let part = &clash.part;
    let other = clash.other.as_deref().unwrap_or("another part");
    match clash.kind {
        ClashKind::BoxTooShort | ClashKind::BoxTooNarrow | ClashKind::LidTooLow => {
            of_the_box(study, clash)
        }
        ClashKind::ThroughWall if is_outside(study, part) => (
            format!("Block {part} stands outside the box, {by} too far out."),
            format!("Move block {part} into the box where there is room, or make the box larger."),
        ),
        ClashKind::ThroughWall => (
            format!("Block {part} stands {by} in a wall of the box."),
            format!("Move block {part} by {by}, or make the box larger."),
        ),
        ClashKind::Overlap => (
            format!("Blocks {part} and {other} stand {by} in one another."),
            format!("Move one of them by {by} and what the air between them needs."),
        ),
        ClashKind::GapTooNarrow => (
            format!("Between blocks {part} and {other} {by} of air are missing."),
            format!("Move them {by} apart."),
        ),
        ClashKind::ObstacleInBox => (
            format!("{part} stands {by} where the box is to stand."),
            format!("Move the box or {part} by {by}."),
        ),
        ClashKind::LidStrikes => (
            format!("The lid strikes {other}: its edge reaches {by} into it."),
            format!("Hinge the lid at another side, or move {other} by {by}."),
        ),
        _ => smaller_words(clash, &by),
    }
}

/// Whether no part of a block lies within the walls.
fn is_outside(study: &Study, part: &str) -> bool {
    let plan = &study.layout.plan;
    let block = plan.blocks.iter().find(|b| b.id.to_string() == part);
    block.is_some_and(|block| {
        let (near, far) = (block.corner, block.far_corner());
        let inner = plan.inner;
        far.x <= Length::ZERO
            || far.y <= Length::ZERO
            || inner.length <= near.x
            || inner.width <= near.y
    })
}

/// What the box itself lacks.
fn of_the_box(study: &Study, clash: &Clash) -> (String, String) {
    let show = |length: Length| show::length(length, study.design.rig.units);
    let plan = &study.layout.plan;
    let by = show(clash.by);
    match clash.kind {
        ClashKind::BoxTooShort => (
            format!(
                "The box is {by} too short: blocks and air need {}, inside there are {}.",
                show(plan.needed.length),
                show(plan.inner.length)
            ),
            format!("Make the box {by} longer, or stand the blocks another way."),
        ),
        ClashKind::BoxTooNarrow => (
            format!(
                "The box is {by} too narrow: blocks and air need {}, inside there are {}.",
                show(plan.needed.width),
                show(plan.inner.width)
            ),
            format!("Make the box {by} wider, or stand the blocks another way."),
        ),
        _ => {
            let highest = clash.other.as_deref().unwrap_or("the tallest block");
            let top = plan.highest.as_ref().map_or(plan.tallest(), |h| h.top);
            let air = plan.inner.height - top;
            let is = if air < Length::ZERO {
                format!("The lid strikes {highest}: it lies {} too low to close", show(-air))
            } else {
                format!("The lid lies {} above {highest}", show(air))
            };
            (
                format!("{is}; {} are wanted.", show(air + clash.by)),
                format!("Make the box {by} higher."),
            )
        }
    }
}

/// What does not stop the buying.
fn smaller_words(clash: &Clash, by: &str) -> (String, String) {
    let part = &clash.part;
    let other = clash.other.as_deref().unwrap_or("another part");
    match clash.kind {
        ClashKind::PostOffCase => (
            format!("The {other} of {part} is written {by} outside its case."),
            format!("Measure the {other} again from the left near corner of the case."),
        ),
        ClashKind::LeadNearPost => (
            format!("Lead {part} passes {other} {by} too close."),
            format!("Lead it round {other}, or put a boot on {other}."),
        ),
        ClashKind::LeadOverCap => (
            format!("Lead {part} lies over a filler cap of {other}: {by} are missing beside it."),
            format!("Lead it beside the caps of {other}."),
        ),
        ClashKind::BendTooTight => (
            format!("Lead {part} lacks {by} for its bends and lugs on its way."),
            format!("Give lead {part} a longer way, a thinner cable in two runs, or turn a block."),
        ),
        ClashKind::LinerTooThick => (
            format!("The liner is {by} thicker than the air between the cases and the wall."),
            format!("Make the box {by} larger on that side, or take a thinner liner."),
        ),
        ClashKind::DividerTooThick => (
            format!("A divider is {by} thicker than the air between two blocks."),
            format!("Widen the gap by {by}, or take a thinner divider."),
        ),
        ClashKind::NoServiceRoom => {
            let below = clash.other.as_ref().map_or(String::new(), |o| format!(" below {o}"));
            (
                format!(
                    "A hydrometer does not go over every cap{below}: {by} of height are missing."
                ),
                "Make the box slide out, or move what hangs above it.".to_owned(),
            )
        }
        ClashKind::NoLiftRoom => (
            format!("Block {part} does not come out upwards: {by} of height are missing."),
            "Make one side of the box come off, or move what hangs above it.".to_owned(),
        ),
        ClashKind::NoDrain => (
            "The box has no drain: water and acid stay on its floor.".to_owned(),
            "Drill a drain through the lowest point of floor and liner, with its rim no higher than \
             the floor there."
                .to_owned(),
        ),
        ClashKind::NoLock => (
            "The lid has no lock.".to_owned(),
            "Fit a hasp and a padlock that opens without a tool in a hurry, its key where you can \
             reach it."
                .to_owned(),
        ),
        ClashKind::LidMeetsCeiling => (
            format!(
                "The lid meets what hangs above the box before it stands upright: {by} of height are \
                 missing."
            ),
            "Hinge the lid at a shorter side, let it lift off, or make the box slide out.".to_owned(),
        ),
        _ => (
            format!(
                "The drain stands {by} above the lowest point of the floor: water stays there."
            ),
            "Drill the drain at the lowest point.".to_owned(),
        ),
    }
}

const fn why(kind: ClashKind) -> &'static str {
    match kind {
        ClashKind::GapTooNarrow | ClashKind::DividerTooThick | ClashKind::LinerTooThick => {
            "Cases swell as they age, and flooded blocks need air to stay cool and dry."
        }
        ClashKind::LidTooLow | ClashKind::LidStrikes => {
            "A metal lid on a post is a short circuit; a lid that does not open is never opened."
        }
        ClashKind::LeadNearPost => {
            "A lead that rubs on a post wears through to it; a spanner on that post cuts it."
        }
        ClashKind::LeadOverCap | ClashKind::NoServiceRoom => {
            "A cap that is hard to reach is a cell that runs dry."
        }
        ClashKind::BendTooTight => {
            "A cable bent too tightly breaks its strands and pulls its lug off the post."
        }
        ClashKind::NoLiftRoom => "The block at the back fails too, one day.",
        ClashKind::NoLock => "Blocks are stolen, and children open lids.",
        ClashKind::LidMeetsCeiling => "A lid that does not stay open falls on hands and posts.",
        ClashKind::DrainTooHigh | ClashKind::NoDrain => {
            "Bolts and floor rust where acid water stands."
        }
        _ => "What does not fit on paper will not fit on the day.",
    }
}

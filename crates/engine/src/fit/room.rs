//! The box: what is clear around the blocks and what does not fit.

use crate::layout::clash::{Clash, ClashKind};
use crate::study::Study;
use crate::units::Length;
use crate::units::show::{self, UnitSystem};

/// What is left free in one direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Clear {
    /// What it is the clearance of, such as `length`, `width` or `lid`.
    pub what: String,
    /// What is free; below zero is missing.
    pub clear: Length,
}

/// Something that does not fit, told.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The part it speaks of.
    pub part: String,
    /// The other part, where there are two.
    pub other: Option<String>,
    /// What is missing.
    pub by: Length,
    /// The same in a sentence.
    pub says: String,
}

/// The box with the bank in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// What is free beyond gaps, margins and lid clearance.
    pub clear: Vec<Clear>,
    /// What does not fit.
    pub clashes: Vec<Told>,
}

impl Room {
    /// The room of a stage; `None` where no bank stands.
    #[must_use]
    pub fn of(study: &Study) -> Option<Self> {
        study.design.bank()?;
        let plan = &study.layout.plan;
        let units = study.design.rig.units;
        let clear = [
            ("length", plan.inner.length - plan.needed.length),
            ("width", plan.inner.width - plan.needed.width),
            ("height", plan.inner.height - plan.needed.height),
        ];
        let clear = clear.map(|(what, clear)| Clear { what: what.to_owned(), clear });
        let clashes = plan.clashes.iter().map(|c| told(c, units)).collect();
        Some(Self { clear: clear.into(), clashes })
    }
}

fn told(clash: &Clash, units: UnitSystem) -> Told {
    let by = show::length(clash.by, units);
    let part = &clash.part;
    let other = clash.other.clone().unwrap_or_default();
    let says = match clash.kind {
        ClashKind::BoxTooShort => format!("The box is {by} too short."),
        ClashKind::BoxTooNarrow => format!("The box is {by} too narrow."),
        ClashKind::LidTooLow => format!("The lid is {by} too low over {part}."),
        ClashKind::ThroughWall => format!("{part} reaches {by} through a wall."),
        ClashKind::Overlap => format!("{part} and {other} lie {by} into each other."),
        ClashKind::GapTooNarrow => format!("Between {part} and {other} {by} of air is missing."),
        ClashKind::PostOffCase => format!("The {other} of {part} lies {by} off its case."),
        ClashKind::LeadNearPost => format!("Lead {part} passes {other} {by} too closely."),
    };
    Told { part: part.clone(), other: clash.other.clone(), by: clash.by, says }
}

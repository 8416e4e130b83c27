//! Templates at true size: what is laid on the part, pricked through and drilled or cut.
//!
//! A template is a scene in which a millimetre of the rig is a millimetre on paper. It leaves here as
//! SVG and DXF for a shop that cuts, and as a PDF cut into sheets by [`tile::pdf`]. Ink is decided;
//! pencil with the word "decide" is a place that this tool chose by a rule it states, because the
//! design does not say where.

mod draft;
pub mod floor;
pub mod walls;
pub mod liner;
pub mod divider;
pub mod lug_card;
pub mod places;
pub mod tile;

use crate::pictures::Subject;
use crate::scene::Scene;
use engine::fit::vent::Vent;
use engine::layout::straps::{self, Straps};
use engine::model::hold::{Held, Hold, HoldKind};
use engine::tables::Tables;
use engine::units::Length;
use engine::units::show::{self, UnitSystem};

/// One template.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// Stem of its file names, such as `floor`.
    pub name: String,
    /// What it is, such as `Floor: drill template`.
    pub title: String,
    /// How it is laid and what to mind, one sentence or two each, and the table of its holes.
    pub notes: Vec<String>,
    /// The template, one millimetre for one millimetre.
    pub scene: Scene,
}

/// A set of equal fasteners in the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Fasteners {
    /// Its name in the design.
    pub name: String,
    /// How many; `None` when the design does not say.
    pub number: Option<u32>,
    /// The drill; `None` when it is not known.
    pub drill: Option<Length>,
    /// Between the outermost, along the box and across it, where the owner said.
    pub apart: Option<(Length, Length)>,
}

/// One opening to the outside as a row of holes.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// At the top of the wall, or else at its foot.
    pub high: bool,
    /// How many holes.
    pub holes: u32,
    /// The drill or hole saw.
    pub drill: Length,
    /// Most between the opening and the top or the floor.
    pub edge: Length,
}

/// What the templates are drawn from.
#[derive(Clone, Debug)]
pub struct Kit<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// What holds the box.
    pub fasteners: Vec<Fasteners>,
    /// What holds the blocks.
    pub straps: Vec<Straps>,
    /// The openings; none where nothing gasses or nothing is known.
    pub openings: Vec<Opening>,
}

/// A drill by its size: tenths of a millimetre, or inches as the owner's rule has them.
#[must_use]
pub fn bit(drill: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{}\u{a0}mm", show::decimal(drill.as_mm(), 1)),
        UnitSystem::Us => crate::pictures::plan::measured(drill, units),
    }
}

impl<'a> Kit<'a> {
    /// The rig alone: nothing is known of fasteners, straps and openings.
    #[must_use]
    pub const fn bare(subject: Subject<'a>) -> Self {
        Self { subject, fasteners: Vec::new(), straps: Vec::new(), openings: Vec::new() }
    }

    /// The rig with what its design says of fasteners and straps, and the openings that decide.
    #[must_use]
    pub fn of(subject: Subject<'a>, vent: Option<&Vent>, tables: &Tables) -> Self {
        let holds = &subject.design.holds;
        let into_floor = |h: &&Hold| {
            h.held == Held::Box
                && matches!(h.kind, HoldKind::Bolt | HoldKind::Screw | HoldKind::Rivet)
        };
        // A bolt goes through a clearance hole; a screw's drill is its maker's own.
        let drill = |h: &Hold| {
            let size = h.size.as_deref().filter(|_| h.kind == HoldKind::Bolt)?;
            Some(tables.termination.clearance_hole(size)?.value)
        };
        let fasteners = holds.iter().filter(into_floor).map(|h| Fasteners {
            name: h.part.name.clone(),
            number: h.number,
            drill: drill(h),
            apart: h.apart,
        });
        let opening = |v: &Vent, high| {
            let (holes, drill) = v.planned_holes(high)?;
            Some(Opening { high, holes, drill, edge: v.edge })
        };
        let openings = vent.and_then(|v| Some(vec![opening(v, false)?, opening(v, true)?]));
        Self {
            subject,
            fasteners: fasteners.collect(),
            straps: straps::of(subject.design),
            openings: openings.unwrap_or_default(),
        }
    }

    /// Every template of the rig, in the order in which hands want them; none without a bank.
    #[must_use]
    pub fn templates(&self) -> Vec<Template> {
        if self.subject.layout.plan.blocks.is_empty() {
            return Vec::new();
        }
        let mut all = vec![floor::template(self)];
        all.extend(walls::templates(self));
        all.extend(liner::template(self));
        all.extend(divider::template(self));
        all.extend(lug_card::templates(self));
        all
    }
}

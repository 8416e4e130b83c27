//! Whole pictures of a rig, one per file. Each is a pure function from what the engine says to a scene;
//! none of them computes anything about the bank.
//!
//! Every picture takes a [`Subject`], the rig as it stands at one stage, and a [`Setting`], the paper it
//! is drawn on:
//! - [`plan::plan`], the box to scale;
//! - [`share::share`], the work of each string, before and after a change;
//! - [`single_line::single_line`], the diagram as one picture, and
//!   [`single_line::single_line_sheets`], the same cut for paper;
//! - [`step_plan::step_plan`], the small plan beside a page of the book;
//! - [`stand::stand`], the box as the owner sees it; [`exploded::exploded`], the box taken apart;
//! - [`routes::routes`], the way of each lead; [`stacks::stacks`], what lies on each post;
//! - [`weights::weights`], ball and axles before and after; [`hold::hold`], what pulls and what holds;
//!   [`vents::vents`], how gas leaves; [`lifting::lifting`], what is too heavy for one.
//! - [`cell_map::cell_map`], the cells in the order they lie; [`trend::trend`], their gravity over the
//!   years; [`health::health`], what is left of the capacity; [`water_use::water_use`], what each drinks.
//!
//! Lettering is never under ten points. A phone shows a picture drawn on narrow paper: the lettering
//! keeps its size and the drawing around it shrinks. Where the lettering would not find room, a picture
//! is wider than asked: in print it is set as wide as its scene says, and the page gives it
//! [`Setting::PIXELS_PER_MM`] for each millimetre and lets it scroll. On a plan, a place x, y of the rig
//! lies at `view.place(x, -y)`: what is further from the owner lies higher.

pub mod board;
pub mod room;
pub mod places;
pub mod stubs;
pub mod plan;
pub mod tips;
pub mod step_plan;
pub mod share;
pub mod single_line;
pub mod chart;
pub mod night_calendar;
pub mod night_chances;
pub mod worst_week;
pub mod voltage_ladder;
pub mod charge_curve;
pub mod thermometer;
pub mod years;
pub mod cell_map;
pub mod trend;
pub mod health;
pub mod water_use;
pub mod canvas;
pub mod stand;
pub mod exploded;
pub mod routes;
pub mod stacks;
pub mod weights;
pub mod hold;
pub mod vents;
pub mod lifting;

use engine::circuit::wiring::Wiring;
use engine::cite::{Cite, Status};
use engine::layout::Layout;
use engine::model::design::Design;
use engine::sizing::answer::LeadAnswer;
use engine::study::Study;

/// What stands behind a figure that nobody could look up; nothing behind another.
pub(crate) fn memory(cite: &Cite) -> &'static str {
    if cite.status == Status::Recalled { " (from memory, not verified)" } else { "" }
}

/// The rig at one stage, as the engine worked it through.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// The design as it stands at this stage.
    pub design: &'a Design,
    /// Which stage.
    pub stage: usize,
    /// Its leads.
    pub wiring: &'a Wiring,
    /// Where everything lies.
    pub layout: &'a Layout,
    /// Sizes and fuses, in wiring order.
    pub leads: &'a [LeadAnswer],
}

impl<'a> Subject<'a> {
    /// The rig as one stage was worked through.
    #[must_use]
    pub fn of(study: &'a Study) -> Self {
        Self {
            design: &study.design,
            stage: study.stage,
            wiring: &study.wiring,
            layout: &study.layout,
            leads: &study.leads,
        }
    }

    /// The name of its stage.
    #[must_use]
    pub fn stage_name(&self) -> &str {
        self.design.stages.get(self.stage).map_or("", |s| s.name.as_str())
    }

    /// What the sizing says of a lead.
    #[must_use]
    pub fn answer(&self, lead: &str) -> Option<&LeadAnswer> {
        self.leads.iter().find(|l| l.id == lead)
    }
}

/// The paper a picture is drawn on.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Stem of every id in the picture; two pictures in one book or page have different ones.
    pub id: String,
    /// Width to keep within, where the lettering allows [mm].
    pub width: f64,
    /// Height to keep within, where the lettering allows [mm].
    pub height: f64,
    /// What stands at its foot.
    pub foot: Foot,
    /// Millimetres on paper for one of the rig, where a plan must keep a scale, as while a block is
    /// moved about; `None` chooses one.
    pub scale: Option<f64>,
}

/// What stands at the foot of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Foot {
    /// Rig, sheet, scale, side, stage and revision.
    TitleBlock,
    /// Nothing: the page around it says all that.
    Bare,
}

impl Setting {
    /// Screen pixels for a millimetre of paper at which the smallest lettering is 12 pixels high:
    /// 12 / 3.53, rounded up.
    pub const PIXELS_PER_MM: f64 = 3.4;

    /// A portrait sheet of A4 or letter: the narrower of the two widths and the lesser of the two
    /// heights, less 15 mm on each side.
    #[must_use]
    pub fn portrait(id: &str) -> Self {
        Self { id: id.to_owned(), width: 180.0, height: 249.0, foot: Foot::TitleBlock, scale: None }
    }

    /// A landscape sheet of A4 or letter, less 15 mm on each side.
    #[must_use]
    pub fn landscape(id: &str) -> Self {
        Self { id: id.to_owned(), width: 249.0, height: 180.0, foot: Foot::TitleBlock, scale: None }
    }

    /// A small picture beside the lines of a page of the book.
    #[must_use]
    pub fn beside(id: &str) -> Self {
        Self { id: id.to_owned(), width: 74.0, height: 44.0, foot: Foot::Bare, scale: None }
    }

    /// A phone held upright: 360 pixels at [`Self::PIXELS_PER_MM`].
    #[must_use]
    pub fn phone(id: &str) -> Self {
        Self { id: id.to_owned(), width: 105.0, height: 200.0, foot: Foot::TitleBlock, scale: None }
    }
}

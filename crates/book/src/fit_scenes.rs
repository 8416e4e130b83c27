//! The pictures of the box, the frame and the hitch, drawn once for a book.

use super::book::BookInput;
use super::pictures::subject;
use drawing::pictures::exploded::{ExplodedPicture, exploded};
use drawing::pictures::hold::{HoldPicture, hold};
use drawing::pictures::lifting::{LiftingPicture, lifting};
use drawing::pictures::routes::{RoutesPicture, routes};
use drawing::pictures::stacks::{StacksPicture, stacks};
use drawing::pictures::stand::{StandPicture, stand};
use drawing::pictures::vents::{VentsPicture, vents};
use drawing::pictures::weights::{WeightsPicture, weights};
use drawing::pictures::{Foot, Setting};
use drawing::scene::Scene;
use drawing::templates::tile;
use engine::model::hold::Held;

/// Room that words above a picture take on its page [mm].
const ABOVE: f64 = 24.0;

/// What the pages of the fit show.
pub(crate) struct FitScenes {
    /// The box as the owner sees it.
    pub(crate) stand: Option<Scene>,
    /// The box taken apart.
    pub(crate) exploded: Option<Scene>,
    /// The way of each lead.
    pub(crate) routes: Vec<Scene>,
    /// What lies on each post.
    pub(crate) stacks: Vec<Scene>,
    /// Ball and axles before and after.
    pub(crate) weights: Option<Scene>,
    /// What is too heavy for one.
    pub(crate) lifting: Option<Scene>,
    /// What pulls at the box and at the blocks.
    pub(crate) hold: Vec<Scene>,
    /// How the gas leaves.
    pub(crate) vents: Option<Scene>,
    /// The templates: stem of the files, what it is, how many sheets of this paper.
    pub(crate) templates: Vec<(String, String, u32)>,
}

impl FitScenes {
    /// All of them, as wide as the page.
    pub(crate) fn of(input: &BookInput<'_>) -> Self {
        let subject = subject(&input.report.study);
        let setting = |id: &str| Setting {
            id: id.to_owned(),
            width: input.paper.width(),
            height: input.paper.height() - ABOVE,
            foot: Foot::Bare,
            scale: None,
        };
        let fit = input.fit;
        let held = [("hold-box", Held::Box), ("hold-blocks", Held::Blocks)];
        let hold = fit.hold_down.as_ref().map_or_else(Vec::new, |fit| {
            let one = |(id, held): (&str, Held)| {
                hold(&HoldPicture { subject, hold: fit, held, setting: &setting(id) })
            };
            held.into_iter().map(one).collect()
        });
        let lifts = &fit.weight.lifts;
        let paper = input.paper.size_mm();
        let templates = input.templates.iter().map(|t| {
            let count = tile::count(t, paper);
            (t.name.clone(), t.title.clone(), count)
        });
        Self {
            stand: stand(&StandPicture { subject, setting: &setting("stand") }),
            exploded: exploded(&ExplodedPicture { subject, setting: &setting("exploded") }),
            routes: routes(&RoutesPicture { subject, setting: &setting("routes") }),
            stacks: stacks(&StacksPicture { subject, setting: &setting("stacks") }),
            weights: weights(&WeightsPicture {
                subject,
                weight: &fit.weight,
                setting: &setting("weights"),
            }),
            lifting: lifting(&LiftingPicture { subject, lifts, setting: &setting("lifting") }),
            hold,
            vents: fit
                .vent
                .as_ref()
                .map(|vent| vents(&VentsPicture { subject, vent, setting: &setting("vents") })),
            templates: templates.collect(),
        }
    }
}

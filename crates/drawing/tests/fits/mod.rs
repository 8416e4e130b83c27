//! Every picture of a rig's fit, by name.

use drawing::pictures::exploded::{ExplodedPicture, exploded};
use drawing::pictures::hold::{HoldPicture, hold};
use drawing::pictures::lifting::{LiftingPicture, lifting};
use drawing::pictures::routes::{RoutesPicture, routes};
use drawing::pictures::stacks::{StacksPicture, stacks};
use drawing::pictures::stand::{StandPicture, stand};
use drawing::pictures::vents::{VentsPicture, vents};
use drawing::pictures::weights::{WeightsPicture, weights};
use drawing::pictures::{Setting, Subject};
use drawing::scene::Scene;
use engine::fit::Fit;
use engine::model::hold::Held;
use engine::study::Study;

/// All of them on paper like this.
pub(crate) fn pictures(
    study: &Study,
    fit: &Fit,
    paper: fn(&str) -> Setting,
) -> Vec<(String, Scene)> {
    let subject = Subject::of(study);
    let mut all: Vec<(String, Scene)> = Vec::new();
    let setting = paper("stand");
    let scene = stand(&StandPicture { subject, setting: &setting });
    all.extend(scene.map(|s| ("stand".to_owned(), s)));
    let setting = paper("exploded");
    let scene = exploded(&ExplodedPicture { subject, setting: &setting });
    all.extend(scene.map(|s| ("exploded".to_owned(), s)));
    let setting = paper("routes");
    let sheets = routes(&RoutesPicture { subject, setting: &setting });
    all.extend(sheets.into_iter().enumerate().map(|(n, s)| (format!("routes-{n}"), s)));
    let setting = paper("stacks");
    let sheets = stacks(&StacksPicture { subject, setting: &setting });
    all.extend(sheets.into_iter().enumerate().map(|(n, s)| (format!("stacks-{n}"), s)));
    let setting = paper("weights");
    let scene = weights(&WeightsPicture { subject, weight: &fit.weight, setting: &setting });
    all.extend(scene.map(|s| ("weights".to_owned(), s)));
    let setting = paper("lifting");
    let lifts = &fit.weight.lifts;
    let scene = lifting(&LiftingPicture { subject, lifts, setting: &setting });
    all.extend(scene.map(|s| ("lifting".to_owned(), s)));
    for (name, held) in [("hold-box", Held::Box), ("hold-blocks", Held::Blocks)] {
        if let Some(fit) = &fit.hold_down {
            let setting = paper(name);
            let scene = hold(&HoldPicture { subject, hold: fit, held, setting: &setting });
            all.push((name.to_owned(), scene));
        }
    }
    if let Some(vent) = &fit.vent {
        let setting = paper("vents");
        all.push(("vents".to_owned(), vents(&VentsPicture { subject, vent, setting: &setting })));
    }
    all
}

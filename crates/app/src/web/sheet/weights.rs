//! The strip of the weights: the rig from the side, with the box to be moved along it.

use super::common::{cell, held, paper, picture, sources, table};
use crate::web::session::Session;
use drawing::pictures::Subject;
use drawing::pictures::weights::{WeightsPicture, weights};
use engine::fit::weight::{StageWeight, Weight};
use engine::model::part::Spot;
use engine::model::rig::RigKind;
use engine::units::Mass;
use engine::units::show::{self, UnitSystem, fixed};
use maud::{Markup, html};

/// Widest paper of the picture [mm].
const WIDEST_MM: f64 = 240.0;

/// The strip.
pub(super) fn piece(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! {};
    };
    let (study, units) = (&work.report.study, work.units());
    let weight = Weight::of(study, &work.whole, &session.ground.tables);
    let paper = paper("weights-picture", session.window, WIDEST_MM);
    let scene =
        weights(&WeightsPicture { subject: Subject::of(study), weight: &weight, setting: &paper });
    let spot = study.design.enclosure.as_ref().map(|e| e.spot);
    let slides = spot.filter(|s| *s != Spot::default() && weight.kind != RigKind::Cabin);
    html! {
        @if let Some(scene) = &scene { (picture(scene)) }
        @if let Some(spot) = slides { (slide(spot)) }
        (states(&weight, units))
        @for unknown in &weight.unknown { p { "Not known: " (unknown.what) ". " b { (unknown.find) "; write " (unknown.path) "." } } }
        p.small { "From: " (sources(&[weight.cite()], &session.ground.tables)) }
    }
}

/// The box along the rig, and across a boat, by keys and buttons as well as in the picture.
fn slide(spot: Spot) -> Markup {
    let step = |words: &str, by: i32, across: bool| {
        let wish = serde_json::json!({ "do": "slide", "by": by, "across": across, "commit": true });
        let key = if across { "slide across" } else { "slide" };
        html! { button type="button" data-key=(format!("{key} {by}")) data-do=(wish.to_string()) { (words) } }
    };
    let along = [spot.behind_ball, spot.behind_front_axle, spot.ahead_of_middle];
    html! {
        p.do {
            span { "Drag the box in the picture, or move it:" }
            @if along.iter().any(Option::is_some) {
                (step("100 mm forward", -100, false)) (step("10 mm forward", -10, false))
                (step("10 mm back", 10, false)) (step("100 mm back", 100, false))
            }
            @if spot.off_centre.is_some() {
                (step("100 mm to port", -100, true)) (step("10 mm to port", -10, true))
                (step("10 mm to starboard", 10, true)) (step("100 mm to starboard", 100, true))
            }
        }
    }
}

/// Whole kilograms or pounds: nobody weighs a rig more closely.
fn whole(mass: Option<Mass>, units: UnitSystem) -> String {
    mass.map_or_else(|| "not known".to_owned(), |m| held(&show::weight(m, units)))
}

/// What stands on each point before and after, beside its plate.
fn states(weight: &Weight, units: UnitSystem) -> Markup {
    if !matches!(weight.kind, RigKind::Trailer | RigKind::Van) {
        return afloat(weight);
    }
    let towed = weight.kind == RigKind::Trailer;
    let mut columns = vec![("stage", false)];
    if towed {
        columns.extend([("ball", true), ("of gross", true)]);
    }
    columns.extend(weight.after().axles.iter().map(|a| (a.id.as_str(), true)));
    columns.push(("gross", true));
    let row = |s: &StageWeight| {
        let mut cells = vec![cell(&s.stage)];
        if towed {
            let percent = s.ball_percent().map(|p| held(&format!("{} %", fixed(p, 1))));
            cells.extend([cell(&whole(s.ball, units)), cell(&percent.unwrap_or_default())]);
        }
        cells.extend(s.axles.iter().map(|a| cell(&whole(a.load, units))));
        cells.push(cell(&whole(s.gross, units)));
        cells
    };
    let mut rows: Vec<Vec<Markup>> = weight.states.iter().map(row).collect();
    let mut plates = vec![cell("limit")];
    if towed {
        let most = weight.ball_plate().map(|(_, max)| max);
        plates.extend([cell(&whole(most, units)), cell("")]);
    }
    plates.extend(weight.after().axles.iter().map(|a| cell(&whole(a.plate, units))));
    plates.push(cell(&whole(weight.gross_plate.max, units)));
    rows.push(plates);
    table("Weights by stage", &columns, &rows)
}

fn afloat(weight: &Weight) -> Markup {
    let after = weight.after();
    let side = |m: f64| if m < 0.0 { "port" } else { "starboard" };
    let end = |m: f64| if m < 0.0 { "the stern" } else { "the bow" };
    let moment = |m: f64| held(&format!("{} kg m", fixed(m.abs(), 0)));
    html! {
        @if let Some(list) = after.list_kg_m { p { "List: " (moment(list)) " to " (side(list)) "." } }
        @if let Some(trim) = after.trim_kg_m { p { "Trim: " (moment(trim)) " by " (end(trim)) "." } }
    }
}

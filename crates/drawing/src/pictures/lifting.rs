//! Lifting: what each block weighs beside what one person lifts.

use super::canvas::{Canvas, EDGE, INK};
use super::{Setting, Subject};
use crate::geometry::at;
use crate::marks::sheet::shortened;
use crate::scene::{Anchor, Fill, Scene, Stroke};
use crate::style::{Tone, line, size};
use crate::text::Weight as Heavy;
use engine::fit::weight::lift::Lift;
use engine::units::show;

/// What the picture is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct LiftingPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// What is lifted.
    pub lifts: &'a [Lift],
    /// The paper.
    pub setting: &'a Setting,
}

/// Draws it; `None` where nothing is lifted.
#[must_use]
pub fn lifting(picture: &LiftingPicture<'_>) -> Option<Scene> {
    let first = picture.lifts.first()?;
    let units = picture.subject.design.rig.units;
    let mut canvas = Canvas::new(picture.setting);
    let width = canvas.inner();
    let masses = picture.lifts.iter().filter_map(|l| l.mass).map(|m| m.as_kg());
    let most = masses.fold(first.most.as_kg(), f64::max) * 1.25;
    let bar = width * 0.55;
    let says = |m| show::mass(m, units).replace(' ', "\u{a0}");
    let limit = EDGE + bar * first.most.as_kg() / most;
    canvas.word(
        at(limit, EDGE + 3.0),
        &format!("one person: {}", says(first.most)),
        Anchor::Middle,
        Tone::Pencil,
    );
    let mut y = EDGE + 9.0;
    for lift in picture.lifts {
        let name = shortened(&format!("block {}", lift.what), bar * 0.8, size::SMALL);
        canvas.strong(at(EDGE, y + 2.0), &name, Anchor::Start, Tone::Ink);
        let wide = lift.mass.map_or(0.0, |m| bar * m.as_kg() / most);
        if 0.0 < wide {
            canvas.rect(at(EDGE, y + 5.0), (wide, 7.0), Some(INK), Fill::Flat(Tone::Wash));
        }
        let broken = Stroke::dashed(Tone::Ink, line::NORMAL, 1.6);
        canvas.line(&[at(limit, y + 4.2), at(limit, y + 13.0)], broken);
        let mass = lift.mass.map_or_else(|| "weigh one first".to_owned(), says);
        let how = if lift.needs_help() {
            "two people, a strap or a plank"
        } else {
            "one person, close to the body"
        };
        let rail = if lift.over_rail { "; over a rail: never alone" } else { "" };
        let words = EDGE + bar + 4.0;
        let room = EDGE + width - words;
        let below = canvas.words(at(words, y), room, &mass, Heavy::Bold);
        let end = canvas.words(at(words, below), room, &format!("{how}{rail}"), Heavy::Regular);
        y = (y + 17.0).max(end + 2.0);
    }
    let text = "Knees bent, back straight, load against the body, no turn while lifting. Lift by the case or its own handles, \
                never by a post or a lead. Caps shut. Boots, gloves, glasses.";
    y = canvas.words(at(EDGE, y), width, text, Heavy::Regular);
    Some(canvas.finish(
        &picture.subject,
        "lifting",
        "The mass of each block beside what one person lifts.",
        y,
    ))
}

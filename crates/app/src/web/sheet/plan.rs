//! The plan to scale, the thing that is taken hold of.

use super::common::paper;
use crate::web::route::Node;
use crate::web::session::Session;
use drawing::pictures::Setting as Paper;
use drawing::pictures::Subject;
use drawing::pictures::plan::{PlanPicture, Sheet, plan, plan_on};
use drawing::svg::{Setting, parted};
use maud::{Markup, PreEscaped, html};

/// Widest paper of a plan [mm].
const WIDEST_MM: f64 = 420.0;

/// The plan. It keeps the scale it was first drawn at for this window and stage, and while something is
/// in hand its whole sheet, so that nothing else moves.
pub(super) fn piece(session: &mut Session) -> Node {
    let mut paper = paper("plan-picture", session.window, WIDEST_MM);
    paper.scale = session.sheet.map(|s| s.view.scale);
    let held = session.sheet.filter(|_| session.is_trying());
    let scene = match session.shown() {
        Ok(work) => {
            let study = &work.report.study;
            let share = study.discharge.as_ref().ok();
            let subject = Subject::of(study);
            let picture = PlanPicture { subject, share, setting: &paper };
            held.map_or_else(|| plan(&picture), |sheet| plan_on(&picture, sheet))
        }
        Err(no) => {
            let says = no.says();
            return node(&html! {
                div.unread {
                    h2 { "The design file is not understood yet" }
                    p { "Mend these in the file, save it and open it again; or undo." }
                    ul { @for line in says { li { (line) } } }
                }
            });
        }
    };
    session.sheet = held.or_else(|| Sheet::of(&scene));
    let wider = session.window[0] + 1.0 < scene.width * Paper::PIXELS_PER_MM;
    let (picture, mut parts) = parted(&scene, Setting::Held);
    let mut node = node(&html! {
        @if wider { p.small.wider { "The plan is wider than this window, so that it can be read: slide it sideways on the bare paper beside the box." } }
        div.picture.held { (PreEscaped(&picture)) }
        p.small.grip { "Drag a block to move it, or from post to post to move the end of a lead; with a finger, touch it first. Touch anything to be told what it is, what it carries and why. Keys do the same: " a href="#keys" { "which they are" } "." }
    });
    // The picture stands as it is in what is around it.
    let begins = node.html.find(&picture).unwrap_or_default();
    for (_, range) in &mut parts {
        *range = range.start + begins..range.end + begins;
    }
    node.parts = parts;
    node
}

fn node(html: &Markup) -> Node {
    Node { id: "plan".to_owned(), html: html.0.clone(), ..Node::default() }
}

//! The plan to scale, the thing that is taken hold of.

use super::common::paper;
use crate::web::session::Session;
use drawing::pictures::Subject;
use drawing::pictures::plan::{PlanPicture, plan};
use drawing::svg::{Setting, svg};
use maud::{Markup, PreEscaped, html};

/// Widest paper of a plan [mm].
const WIDEST_MM: f64 = 420.0;

/// The plan. It keeps the scale it was first drawn at for this window and stage, so that nothing but the
/// thing in hand moves.
pub(super) fn piece(session: &mut Session) -> Markup {
    let mut paper = paper("plan", session.window, WIDEST_MM);
    paper.scale = session.scale;
    let scene = match session.shown() {
        Ok(work) => {
            let study = &work.report.study;
            let share = study.discharge.as_ref().ok();
            let subject = Subject::of(study);
            plan(&PlanPicture { subject, share, setting: &paper })
        }
        Err(no) => {
            let says = no.says();
            return html! {
                div.unread {
                    h2 { "The design file is not understood yet" }
                    p { "Mend these in the file, save it and open it again; or undo." }
                    ul { @for line in says { li { (line) } } }
                }
            };
        }
    };
    session.scale = scene.view.map(|v| v.scale);
    html! {
        div.picture.held { (PreEscaped(svg(&scene, Setting::Held))) }
    }
}

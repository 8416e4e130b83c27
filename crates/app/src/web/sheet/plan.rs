//! The plan to scale, the thing that is taken hold of.

use super::common::paper;
use crate::web::session::Session;
use drawing::pictures::Subject;
use drawing::pictures::plan::{PlanPicture, plan};
use drawing::svg::{Setting, svg};
use maud::{Markup, PreEscaped, html};

/// Widest paper of a plan [mm].
const WIDEST_MM: f64 = 420.0;

/// The plan. While something is only tried it keeps the scale it had at rest, so that nothing but the
/// thing in hand moves.
pub(super) fn piece(session: &mut Session) -> Markup {
    let mut paper = paper("plan", session.window, WIDEST_MM);
    if session.is_trying() {
        paper.scale = session.scale;
    }
    let (scene, trying) = match session.shown() {
        Ok(work) => {
            let study = &work.report.study;
            let share = study.discharge.as_ref().ok();
            let subject = Subject::of(study);
            (plan(&PlanPicture { subject, share, setting: &paper }), session.is_trying())
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
    if !trying {
        session.scale = scene.view.map(|v| v.scale);
    }
    html! {
        div.picture.held { (PreEscaped(svg(&scene, Setting::Held))) }
    }
}

//! Openings for gas: how large, where, as holes of a drill.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::Parts;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let vent = cx.input.fit.vent.as_ref()?;
    let scene = cx.fit.vents.as_ref()?;
    let mut parts = Parts::new(cx.width);
    if vent.never_equalise {
        parts.paragraph(
            "These openings suit 2.40 V per cell and nothing above it: never equalise in this box.",
        );
    }
    parts.push(figure(scene, cx.width));
    parts.tick("Hold a lit incense stick at the low opening, charger off: the smoke is drawn in.");
    parts.tick(
        "Look for daylight around every cable in the wall to the living space: there is none.",
    );
    Some(Chapter { parts: parts.all, ..plain("vents", "Openings for gas", "vents") })
}

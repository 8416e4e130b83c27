//! The single-line diagram: sources, bank, fuses with their figures, loads.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::Parts;

/// What the sentence and the air under the diagram take [mm].
const ROOM_FOR_WORDS: f64 = 16.0;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    if cx.diagram.is_empty() {
        return None;
    }
    let mut parts = Parts::new(cx.width);
    // A diagram that needs the whole page gets it.
    let first = cx.diagram.first().map_or(0.0, |s| s.height);
    if first + ROOM_FOR_WORDS < cx.height {
        parts.paragraph(
            "One line for both wires of a way where they run together. Keep a copy in the lid; an \
             examiner or electrician asks for it first.",
        );
    }
    for scene in &cx.diagram {
        parts.push(figure(scene, cx.width));
    }
    Some(Chapter { parts: parts.all, ..plain("diagram", "Single-line diagram", "diagram") })
}

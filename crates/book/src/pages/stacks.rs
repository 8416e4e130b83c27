//! What lies on each post, from the metal outwards.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::Parts;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    if cx.fit.stacks.is_empty() {
        return None;
    }
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "Brush the face bright, then build from below: lug flat on the metal, largest lowest, flat \
         washer, spring washer, nut. No washer under a lug. A blank torque is read from the maker's \
         sheet and written here.",
    );
    for scene in &cx.fit.stacks {
        parts.push(figure(scene, cx.width));
    }
    Some(Chapter { parts: parts.all, ..plain("stacks", "What lies on each post", "stacks") })
}

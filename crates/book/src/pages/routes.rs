//! The way of each lead over the cases, one small plan each.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::Parts;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    if cx.fit.routes.is_empty() {
        return None;
    }
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "Lay a string along each way before the cable is cut, lugs and all. Broken: one end is not \
         decided, so the way is a wish. + carries the plus side, − the minus side; a link joins two \
         blocks of a string.",
    );
    for scene in &cx.fit.routes {
        parts.push(figure(scene, cx.width));
    }
    Some(Chapter { parts: parts.all, ..plain("routes", "Way of each lead", "routes") })
}

//! The plan of the box to scale, on a side of its own.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::Parts;

pub(super) fn chapters(cx: &Context<'_>) -> Option<Chapter> {
    let scene = cx.plan.as_ref()?;
    let mut parts = Parts::new(cx.width);
    let seen = cx.input.report.study.design.enclosure.as_ref().and_then(|e| e.seen_from.clone());
    let from = seen.map_or_else(|| "where you stand".to_owned(), |s| format!("the {s}"));
    let scale = scene
        .view
        .map_or_else(String::new, |v| format!(" Scale {} when printed at 100 %.", v.says()));
    parts.paragraph(&format!("Seen from {from}, lid off.{scale} Compare every case and every post with it before a lead goes on."));
    parts.push(figure(scene, cx.width));
    Some(Chapter { parts: parts.all, ..plain("plan", "Plan of the box", "plan") })
}

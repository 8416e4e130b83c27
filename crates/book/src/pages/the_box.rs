//! The box: as the owner sees it, taken apart, and what must stay free in it.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::{Parts, paragraph};
use engine::model::enclosure::Enclosure;

/// What does not fit, as far as it stands on the page.
const SHOWN: usize = 6;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let exploded = cx.fit.exploded.as_ref()?;
    let mut parts = Parts::new(cx.width);
    if !Enclosure::unsaid(cx.input.report.study.design.enclosure.as_ref()).is_empty() {
        parts.paragraph(
            "The design file does not give the whole inside of the box. What is drawn is the \
             smallest with room enough, not yours: measure yours, write it and print again before \
             you saw or drill.",
        );
    }
    if let Some(room) = &cx.input.fit.room {
        for told in room.clashes.iter().take(SHOWN) {
            parts.tick(&told.says);
        }
        if SHOWN < room.clashes.len() {
            let more = room.clashes.len() - SHOWN;
            parts.paragraph(&format!("And {more} more that `bankwright fit` lists."));
        }
    }
    if let Some(stand) = &cx.fit.stand {
        parts.push(figure(stand, cx.width));
    }
    let words = paragraph(
        "From the lid down, in the order in which it comes apart. Put it together the other way \
         round, and try it dry, without cables, before any hole is final.",
        cx.width,
    );
    parts.push(words.with_next());
    parts.push(figure(exploded, cx.width));
    Some(Chapter { parts: parts.all, ..plain("box", "The box", "box") })
}

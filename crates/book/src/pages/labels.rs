//! Labels to cut out, two for each lead: one for each end.

use super::plain;
use crate::book::Context;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece};
use crate::words::text;
use engine::plan::labels::{Label, labels};
use maud::{Markup, html};

/// Width of the sign on a label, and of its frame and air [mm].
const SIGN: f64 = 14.0;
const SIDES: f64 = 6.5;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    parts.paragraph("Cut out, cover with clear tape or heat-shrink, one on each end of the lead.");
    for label in labels(cx.input.job) {
        parts.push(pair(&label, cx.width));
    }
    Chapter { parts: parts.all, ..plain("labels", "Labels to cut out", "labels-page") }
}

fn pair(label: &Label, width: f64) -> Piece {
    let column = width / 2.0 - SIGN - SIDES;
    let name = format!("lead {}", label.lead);
    let height = Size::Step.height(&name, column)
        + Size::Small.height(&label.way, column)
        + Size::Small.height(&label.size, column)
        + Size::Small.height(&label.fuse, column)
        + 4.0;
    let height = height.max(16.0);
    let html = html! {
        div.labels { (one(label, &name, height)) (one(label, &name, height)) }
    };
    Piece::new(html, height)
}

fn one(label: &Label, name: &str, height: f64) -> Markup {
    html! {
        div.label style=(format!("height:{height:.1}mm")) {
            span.pole { (label.sign) }
            div {
                div.name { (text(name)) }
                div { (text(&label.way)) }
                div { (text(&label.size)) }
                div { (text(&label.fuse)) }
            }
        }
    }
}

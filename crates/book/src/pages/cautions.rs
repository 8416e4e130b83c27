//! The cautions of the whole stage on one side; each stands again at the head of its own page.

use super::plain;
use crate::book::Context;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece};
use crate::words::text;
use engine::plan::build::Caution;
use maud::html;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "Batteries burn, blind and crush; mains kills. Read this side aloud to everyone who helps.",
    );
    let mut all: Vec<(&Caution, Vec<usize>)> = Vec::new();
    for page in &cx.input.build.pages {
        let side = cx.page(&super::step::anchor(page.number));
        for caution in &page.cautions {
            match all.iter_mut().find(|(c, _)| *c == caution) {
                Some((_, sides)) => sides.extend(side),
                None => all.push((caution, side.into_iter().collect())),
            }
        }
    }
    for (caution, sides) in &all {
        parts.push(large(caution, sides, cx.width));
    }
    parts.heading("Have these within reach before the first lead is touched");
    for line in [
        "Glasses on every face, gloves, old clothes; rings, watch and chains off.",
        "Clean water, at least a bucket, for eyes and skin.",
        "Soda and water for what acid falls on; never into a cell.",
        "A second person who knows where the switch is and how to call for help.",
        "Tape on the handle of every tool that can reach two posts.",
    ] {
        parts.tick(line);
    }
    Chapter { parts: parts.all, ..plain("cautions", "What can hurt you", "cautions") }
}

fn large(caution: &Caution, sides: &[usize], width: f64) -> Piece {
    let column = width - 5.0;
    let pages: Vec<String> = sides.iter().map(ToString::to_string).collect();
    let on = if pages.is_empty() { String::new() } else { format!("Pages {}.", pages.join(", ")) };
    let height = Size::Step.height(&caution.danger, column)
        + Size::Step.height(&caution.so, column)
        + Size::Small.height(&on, column)
        + 4.5;
    let html = html! {
        div.caution style="margin-bottom:4.5mm" {
            div.made style="margin:0" { b { (text(&caution.danger)) } }
            div.made style="margin:0" { (text(&caution.so)) }
            @if !on.is_empty() { div.small { (on) } }
        }
    };
    Piece::new(html, height)
}

/// A caution at the head of a page of steps.
pub(super) fn small(caution: &Caution, width: f64) -> (maud::Markup, f64) {
    let words = format!("{} {}", caution.danger, caution.so);
    let height = Size::Body.height(&words, width - 5.0) + 2.5;
    let html = html! { div.caution { b { (text(&caution.danger)) } " " (text(&caution.so)) } };
    (html, height)
}

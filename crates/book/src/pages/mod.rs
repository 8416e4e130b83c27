//! The pages of a book, one kind per file, in the order in which they are bound.

mod cover;
mod contents;
mod findings;
mod gates;
mod cautions;
mod survey;
mod plan;
mod the_box;
mod weights;
mod hold_down;
mod vents;
mod routes;
mod stacks;
mod templates;
mod diagram;
mod share;
mod leads;
mod cut_list;
mod lugs;
mod fuses;
mod shopping;
mod tools;
mod step;
mod proving;
mod tips;
mod photos;
mod labels;
mod set_points;
mod service;
mod cell_map;
mod log_says;
mod nights;
mod parked;
mod assumed;
mod sources;
mod missing;
mod emergency;
pub(crate) mod folder;

use super::book::Context;
use super::pager::Chapter;

/// Every chapter of a book.
pub(crate) fn chapters(cx: &Context<'_>) -> Vec<Chapter> {
    let mut all = Vec::new();
    all.extend(findings::chapter(cx));
    all.push(gates::chapter(cx));
    all.push(cautions::chapter(cx));
    all.push(survey::chapter(cx));
    all.extend(plan::chapters(cx));
    all.extend(the_box::chapter(cx));
    all.extend(weights::chapter(cx));
    all.extend(hold_down::chapter(cx));
    all.extend(vents::chapter(cx));
    all.extend(diagram::chapter(cx));
    all.extend(share::chapter(cx));
    all.push(leads::chapter(cx));
    all.push(cut_list::chapter(cx));
    all.extend(routes::chapter(cx));
    all.push(lugs::chapter(cx));
    all.extend(stacks::chapter(cx));
    all.push(fuses::chapter(cx));
    all.push(shopping::chapter(cx));
    all.push(tools::chapter(cx));
    all.extend(step::chapters(cx));
    all.extend(proving::chapter(cx));
    all.extend(tips::chapter(cx));
    all.push(photos::chapter(cx));
    all.push(labels::chapter(cx));
    all.push(set_points::chapter(cx));
    all.extend(service::chapter(cx));
    all.extend(cell_map::chapter(cx));
    all.extend(log_says::chapter(cx));
    all.push(nights::chapter(cx));
    all.push(parked::chapter(cx));
    all.push(assumed::chapter(cx));
    all.push(sources::chapter(cx));
    all.push(missing::chapter(cx));
    all.extend(templates::chapter(cx));
    all.push(emergency::chapter(cx));
    let named: Vec<(String, String)> = all
        .iter()
        .filter(|c| !c.title.ends_with(CONTINUED))
        .map(|c| (c.anchor.clone(), titled(c)))
        .collect();
    let mut bound = vec![cover::chapter(cx), contents::chapter(cx, &named)];
    bound.append(&mut all);
    bound
}

/// How the title of a job ends that goes on from the page before.
const CONTINUED: &str = ", continued";

/// A chapter's line in the list of contents.
fn titled(chapter: &Chapter) -> String {
    match chapter.number {
        Some(number) => format!("{number}  {}", chapter.title),
        None => chapter.title.clone(),
    }
}

/// A chapter without a big number.
fn plain(anchor: &str, title: &str, kind: &'static str) -> Chapter {
    Chapter {
        anchor: anchor.to_owned(),
        number: None,
        title: title.to_owned(),
        kind,
        corner: String::new(),
        over: None,
        parts: Vec::new(),
    }
}

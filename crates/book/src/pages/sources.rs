//! Every source that a figure of this book rests on, and how far each can be trusted.

use super::plain;
use crate::book::Context;
use crate::pager::Chapter;
use crate::part::{Cell, Parts, Table, words};
use engine::cite::{Cite, Status};
use std::collections::BTreeMap;

/// Said of what no published source stands behind.
const OWN: &str = "what your own design file says";

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    with(cx, std::iter::empty())
}

/// The same with more that the pages rest on.
pub(super) fn with<'a>(cx: &Context<'_>, more: impl Iterator<Item = &'a Cite>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    let mut cites = cx.input.report.sources();
    cites.extend(more.cloned());
    cites.sort();
    cites.dedup();
    let recalled = cites.iter().filter(|c| c.status == Status::Recalled).count();
    parts.paragraph(&format!(
        "Places and how each was read. {recalled} of {} places are from memory and not verified: a \
         figure that rests on one carries * where it stands. No standard was read whole; the edition \
         in force where you are wins.",
        cites.len()
    ));
    let mut by_key: BTreeMap<&str, Vec<&Cite>> = BTreeMap::new();
    for cite in &cites {
        by_key.entry(&cite.key).or_default().push(cite);
    }
    let mut table = Table::new(vec![
        words("key", 1.3),
        words("source", 3.0),
        words("places used here", 3.2),
        words("how it was read", 1.6),
    ]);
    for (key, used) in by_key {
        let title = cx.input.tables.sources.get(key).map_or_else(
            || OWN.to_owned(),
            |s| {
                let named =
                    [s.author.as_str(), s.title.as_str(), s.edition.as_str(), s.publisher.as_str()];
                let named: Vec<&str> = named.into_iter().filter(|n| !n.is_empty()).collect();
                named.join(", ")
            },
        );
        let mut places: Vec<&str> = Vec::new();
        for cite in &used {
            if !cite.place.is_empty() && !places.contains(&cite.place.as_str()) {
                places.push(&cite.place);
            }
        }
        let mut how: Vec<&str> = Vec::new();
        for cite in &used {
            if !how.contains(&cite.status.says()) {
                how.push(cite.status.says());
            }
        }
        table.row(vec![
            Cell::Bold(key.to_owned()),
            title.into(),
            places.join("; ").into(),
            how.join("; ").into(),
        ]);
    }
    parts.push(table);
    Chapter { parts: parts.all, ..plain("sources", "Sources", "sources") }
}

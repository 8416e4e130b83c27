//! The sheet: what stands on the page, piece by piece, each from what the engine says.
//!
//! Nothing is computed here. Every piece is made anew for every answer; only those that changed since
//! the last one are sent.

mod common;
mod head;
mod plan;
mod notes;
mod thing;
mod strips;
mod share;
mod leads;
mod weights;
pub(super) mod nights;
mod work_list;
mod proved;
mod take_away;
mod compare;
mod asks;
mod keys;
mod beginning;

pub(super) use beginning::page as beginning;

use super::intent::StripName;
use super::route::Node;
use super::session::Session;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Where the pieces stand, in the order of the page.
const PLACES: [&str; 7] = ["head", "asks", "plan", "compare", "thing", "notes", "foot"];

/// Every piece of the sheet, as it stands now.
pub(super) fn nodes(session: &mut Session) -> Vec<Node> {
    let plan = plan::piece(session);
    if session.open.contains(&StripName::Nights) {
        nights::prepare(session);
    }
    let mut nodes = vec![
        node("head", head::piece(session)),
        node("asks", asks::piece(session)),
        plan,
        node("compare", compare::piece(session)),
        node("thing", thing::piece(session)),
        notes::piece(session),
        node("foot", head::title_block(session)),
    ];
    for (name, id, _) in strips::ALL {
        // The work is written anew when nothing moves; until then it stands as it was.
        if session.is_moving() && waits(name) {
            continue;
        }
        let open = session.open.contains(&name);
        let body = if open {
            strips::body(session, name)
        } else {
            html! {}
        };
        nodes.push(node(id, body));
    }
    nodes
}

fn node(id: &str, html: Markup) -> Node {
    Node { id: id.to_owned(), html: html.into_string(), ..Node::default() }
}

/// The strips that follow when the thing in hand is put down.
const fn waits(name: StripName) -> bool {
    use StripName::{Proved, Shopping, Steps, TakeAway};
    matches!(name, Shopping | Steps | Proved | TakeAway)
}

/// The whole page.
pub(super) fn page(session: &mut Session) -> String {
    let nodes = nodes(session);
    let sheet = session.sent.all(&nodes);
    let piece = |id: &str| {
        let html = nodes.iter().find(|n| n.id == id).map_or("", |n| n.html.as_str());
        PreEscaped(html.to_owned())
    };
    let [head, asks, plan, compare, thing, notes, foot] = PLACES.map(piece);
    let markup = html! {
        (DOCTYPE)
        html lang="en" data-sheet=(sheet) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (head::title(session)) }
                link rel="icon" href="data:,";
                link rel="preload" href="/lettering-400.woff2" as="font" type="font/woff2" crossorigin;
                link rel="preload" href="/lettering-700.woff2" as="font" type="font/woff2" crossorigin;
                link rel="stylesheet" href="/page.css";
                script type="module" src="/page.js" {}
            }
            body {
                a.skip href="#notes" { "To what is found" }
                main.sheet {
                    div #head { (head) }
                    div #asks { (asks) }
                    div.board {
                        div.drawn {
                            section #plan aria-label="Plan of the box" { (plan) }
                            div #compare { (compare) }
                        }
                        div.margin {
                            section #thing aria-label="What you touched" { (thing) }
                            section #notes aria-label="What is found" tabindex="-1" { (notes) }
                        }
                        div.strips {
                            @for (name, id, title) in strips::ALL {
                                (strip(session.open.contains(&name), id, title, &piece(id)))
                            }
                        }
                    }
                    div #foot { (foot) }
                }
                div #say role="status" aria-live="polite" {}
                svg #leaders aria-hidden="true" focusable="false" {}
            }
        }
    };
    markup.into_string()
}

fn strip(open: bool, id: &str, title: &str, body: &Markup) -> Markup {
    html! {
        details.strip data-strip=(id) open[open] {
            summary { h2 { (title) } }
            div id=(id) { (body) }
        }
    }
}

/// The strip of a name as the page has it.
pub(super) const fn strip_id(name: StripName) -> &'static str {
    match name {
        StripName::Share => "share",
        StripName::Leads => "leads",
        StripName::Weights => "weights",
        StripName::Nights => "nights",
        StripName::Shopping => "shopping",
        StripName::Steps => "steps",
        StripName::Proved => "proved",
        StripName::TakeAway => "take-away",
        StripName::Keys => "keys",
    }
}

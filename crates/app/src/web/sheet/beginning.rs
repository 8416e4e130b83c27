//! The page without a design: the demos, and a new one from what the owner has.

use super::common::{bound, wish};
use crate::command::start::interview::{QUESTIONS, Question};
use crate::web::desk::DEMOS;
use maud::{DOCTYPE, Markup, html};

/// The page; `said` is what became of the last wish, `answers` what was answered so far.
pub(in crate::web) fn page(folder: &str, read_only: bool) -> String {
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Bankwright: begin" }
                link rel="icon" href="data:,";
                link rel="stylesheet" href="/page.css";
                script type="module" src="/begin.js" {}
            }
            body {
                main.sheet.begin {
                    h1 { "Where do you want to begin?" }
                    @if read_only { p { "This page writes nothing: what you try here is gone when it is closed." } }
                    @else { p { "A new design file is written into " b { (folder) } ". A file that is there is never overwritten." } }
                    (demos())
                    (questions())
                }
                div #say role="status" aria-live="polite" {}
            }
        }
    };
    markup.into_string()
}

fn demos() -> Markup {
    html! {
        section aria-labelledby="demos" {
            h2 #demos { "With a rig to look at" }
            p { "Everything in them is invented, prices too. Each opens as a file of its own." }
            ul.choices {
                @for demo in DEMOS {
                    li { button type="button" data-do=(wish(&[("do", "demo"), ("name", demo.name)])) { (demo.title) } " " (bound(demo.says)) }
                }
            }
        }
    }
}

fn questions() -> Markup {
    html! {
        section aria-labelledby="own" {
            h2 #own { "With a new one, from what you own" }
            p { "Ten questions; only two must be answered, and everything can be changed later. A " b { "block" }
                " is one battery in its case. Blocks joined plus to minus until they make the bank's volts are a " b { "string" }
                "; strings side by side are the " b { "bank" } "." }
            form #start {
                @for question in &QUESTIONS {
                    p.question {
                        label for=(format!("q-{}", question.option)) { (bound(question.asks)) @if question.needed { " (must be answered)" } }
                        (field(question))
                        span.small id=(format!("h-{}", question.option)) { (bound(question.how)) }
                    }
                }
                button type="submit" { "Open the plan" }
            }
        }
    }
}

/// A field to write in, or a choice where there are only a few answers.
fn field(question: &Question) -> Markup {
    let (id, how) = (format!("q-{}", question.option), format!("h-{}", question.option));
    let usual = question.usual.unwrap_or("");
    html! {
        @if question.one_of.is_empty() {
            input type="text" id=(id) name=(question.option) value=(usual)
                required[question.needed] autocomplete="off" aria-describedby=(how);
        } @else {
            select id=(id) name=(question.option) required[question.needed] aria-describedby=(how) {
                @if usual.is_empty() { option value="" { "choose" } }
                @for answer in question.one_of {
                    option value=(answer) selected[*answer == usual] { (answer) }
                }
            }
        }
    }
}

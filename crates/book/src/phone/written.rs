//! What is written besides the steps: the day and the meter, the torque of each nut, and the way back.

use crate::book::BookInput;
use engine::model::lead::Terminal;
use engine::units::show::{self, UnitSystem};
use maud::{Markup, html};
use std::collections::BTreeSet;

/// What is asked of the day: key of the readings file, words, how it is typed.
const DAY: [(&str, &str, &str); 8] = [
    ("date", "date", "2026-05-03"),
    ("by", "who reads", ""),
    ("meter", "which meter", ""),
    ("temperature", "temperature of the blocks", "18 C or 64 F"),
    ("rested", "rest before the readings at rest", "4 h"),
    ("test", "test load, as the clamp shows it", "60 A"),
    ("charge", "charge current, as the clamp shows it", "40 A"),
    ("notes", "anything else", ""),
];

pub(super) fn day() -> Markup {
    html! {
        section #day aria-labelledby="day-title" {
            h2 #day-title { "Day and meter" }
            @for (key, words, example) in DAY {
                label.blank-line {
                    span { (words) @if !example.is_empty() { span.small { ", such as " (example) } } }
                    input type=(if key == "date" { "date" } else { "text" }) data-day=(key) autocomplete="off";
                }
            }
        }
    }
}

/// Every nut of the stage, with the torque its maker gives.
pub(super) fn torque(input: &BookInput<'_>) -> Markup {
    let study = &input.report.study;
    let ends: BTreeSet<&Terminal> =
        study.wiring.leads.iter().flat_map(|l| [&l.from, &l.to]).collect();
    if ends.is_empty() {
        return html! {};
    }
    let units = study.design.rig.units;
    let unit = match units {
        UnitSystem::Metric => "N m",
        UnitSystem::Us => "lb-in",
    };
    html! {
        section #torque aria-labelledby="torque-title" {
            h2 #torque-title { "Torque of each nut" }
            p { "By the maker's own sheet. Paint a stripe over nut and stud when it is done." }
            details { summary { span.title { "the " (ends.len()) " posts and studs" } }
            @for end in ends {
                label.blank-line {
                    span { b { (end) } ", "
                        @match input.job.torque_at(end) {
                            Some(torque) => { "to " (show::torque(torque, units)) }
                            None => { "the maker's figure is not in the design" }
                        } }
                    span.typed {
                        input type="text" inputmode="decimal" autocomplete="off" data-torque=(end) data-unit=(unit)
                            aria-label={ "torque at " (end) ", " (unit) };
                        span { (unit) }
                    }
                }
            }
            }
        }
    }
}

pub(super) fn hand_back() -> Markup {
    html! {
        section #back aria-labelledby="back-title" {
            h2 #back-title { "Hand back" }
            p { "What you ticked and typed stays in this browser. These take it further:" }
            p { button type="button" #readings { "Write the readings file" } }
            p.small { "A small text file. On the computer: " code { "bankwright prove RIG READINGS" }
                ", or open it on the page." }
            p { button type="button" #copy { "Save a copy of this sheet" } }
            p.small { "The same sheet with all you wrote in it, to mail or to keep." }
            label { span { "The readings file as text, if no file can be saved here" }
                textarea #text readonly rows="8" spellcheck="false" {} }
            p { button type="button" #clear { "Empty this sheet" } }
            p role="status" #told {}
        }
    }
}

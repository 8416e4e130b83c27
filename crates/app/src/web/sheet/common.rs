//! What every piece uses: signs, figures with their unit, plain tables, words that can be explained.

use crate::glossary;
use crate::terminal::findings;
use drawing::pictures::Foot;
use drawing::pictures::Setting as Paper;
use drawing::scene::Scene;
use drawing::svg::{Setting, svg};
use engine::cite::{Cite, Status};
use engine::sizing::answer::LeadAnswer;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::show::{self, UnitSystem};
use maud::{Markup, PreEscaped, html};

/// Narrowest paper on which pictures are drawn: a phone held upright [mm].
const NARROWEST_MM: f64 = 98.0;

/// A figure held to its unit.
pub(super) fn held(words: &str) -> String {
    words.replace(' ', "\u{a0}")
}

/// Units that a line never begins with.
const UNITS: [&str; 22] = [
    "V", "mV", "A", "kA", "Ah", "W", "kW", "Wh", "kWh", "h", "mm", "cm", "m", "km", "kg", "lb",
    "in", "ft", "N", "Nm", "%", "°C",
];

/// Words in which every figure is held to its unit.
pub(super) fn bound(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for (n, piece) in words.split(' ').enumerate() {
        let unit = piece.trim_end_matches(['.', ',', ';', ':', ')', '?']);
        let figure = out.chars().next_back().is_some_and(|c| c.is_ascii_digit());
        if 0 < n {
            out.push(if figure && UNITS.contains(&unit) { '\u{a0}' } else { ' ' });
        }
        out.push_str(piece);
    }
    out
}

/// The length to cut a lead to; of one whose way is only sketched while something moves, about that.
pub(super) fn cut_words(study: &Study, lead: &LeadAnswer, units: UnitSystem) -> String {
    let cut = held(&show::length(lead.length.cut, units));
    let route = study.layout.lead(&lead.id).and_then(|l| l.route.as_ref());
    if route.is_some_and(|r| r.sketched) { format!("about\u{a0}{cut}") } else { cut }
}

/// What stands behind a figure that nobody could look up.
pub(super) const fn memory(status: Status) -> &'static str {
    match status {
        Status::Recalled => " (from memory, not verified)",
        Status::Practice => " (common practice, no source)",
        Status::Read | Status::Reprint | Status::Computed => "",
    }
}

/// Sources with their place and how they were read.
pub(super) fn sources(cites: &[Cite], tables: &Tables) -> String {
    findings::sources(cites, tables)
}

/// Words of the trade that can be explained in place, where the glossary has them.
pub(super) fn terms(words: &[&str]) -> Markup {
    let known: Vec<&&str> = words.iter().filter(|w| !glossary::explained(w).is_empty()).collect();
    html! {
        @if !known.is_empty() {
            p.terms { "Words: "
                @for (n, word) in known.iter().enumerate() {
                    @if n > 0 { ", " }
                    button.term type="button" aria-label=(format!("What {word} means"))
                        data-do=(wish(&[("do", "word"), ("word", word)])) { (word) }
                }
            }
        }
    }
}

/// A wish of texts as the script sends it.
pub(super) fn wish(pairs: &[(&str, &str)]) -> String {
    let mut map = serde_json::Map::new();
    for (key, value) in pairs {
        map.insert((*key).to_owned(), (*value).into());
    }
    serde_json::Value::Object(map).to_string()
}

/// A wish with one flag.
pub(super) fn wish_flag(what: &str, flag: (&str, bool)) -> String {
    let mut map = serde_json::Map::new();
    map.insert("do".to_owned(), what.into());
    map.insert(flag.0.to_owned(), flag.1.into());
    serde_json::Value::Object(map).to_string()
}

/// A column: its head, and whether figures stand in it.
pub(super) type Column<'a> = (&'a str, bool);

/// A plain table; figures to the right.
pub(super) fn table(caption: &str, columns: &[Column<'_>], rows: &[Vec<Markup>]) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label=(caption) {
            table {
                caption.away { (caption) }
                thead { tr {
                    @for (head, figures) in columns {
                        th.figure[*figures] scope="col" { (head) }
                    }
                } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (n, cell) in row.iter().enumerate() {
                                @let figures = columns.get(n).is_some_and(|c| c.1);
                                @if n == 0 { th scope="row" { (cell) } }
                                @else { td.figure[figures] { (cell) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A cell of plain words.
pub(super) fn cell(words: &str) -> Markup {
    html! { (words) }
}

/// The paper on which a picture finds room in the window.
pub(super) fn paper(id: &str, window: [f64; 2], most_mm: f64) -> Paper {
    let [width, height] = window.map(|px| px / Paper::PIXELS_PER_MM);
    Paper {
        id: id.to_owned(),
        width: width.clamp(NARROWEST_MM, most_mm),
        height: height.max(NARROWEST_MM),
        foot: Foot::Bare,
        scale: None,
    }
}

/// A picture that is only looked at; wider than its room, it scrolls.
pub(super) fn picture(scene: &Scene) -> Markup {
    html! {
        div.picture tabindex="0" role="region" aria-label=(scene.title) {
            (PreEscaped(svg(scene, Setting::Held)))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::bound;

    #[test]
    fn a_figure_is_held_to_its_unit_and_nothing_else_is() {
        for (words, want) in [
            ("a fixed 13.60 V at 8 h.", "a fixed 13.60\u{a0}V at 8\u{a0}h."),
            ("6 blocks in 2 strings", "6 blocks in 2 strings"),
            ("8 % (45 A, full)", "8\u{a0}% (45\u{a0}A, full)"),
            ("A V", "A V"),
            ("", ""),
        ] {
            assert_eq!(bound(words), want, "{words}");
        }
    }
}

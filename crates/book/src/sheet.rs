//! A side of paper with its head and foot, and the whole file around all of them.

use super::pager::Sheet;
use super::paper::{BOTTOM, FOOT, HEAD, Paper, SIDE, TOP};
use super::words::text;
use drawing::style::tones_css;
use drawing::text::font_face_css;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// The sentence at the foot of every page.
pub(crate) const STANDING: &str = "Local code and the makers' sheets win over this page. \
     Mains work: licensed electrician only.";

const PRINT_CSS: &str = include_str!("print.css");

/// What the head and foot of every page say.
#[derive(Clone, Debug)]
pub(crate) struct Running {
    /// What is printed, such as `build book`.
    pub(crate) what: &'static str,
    /// The rig.
    pub(crate) rig: String,
    /// The stage.
    pub(crate) stage: String,
    /// The revision.
    pub(crate) revision: String,
    /// The paper.
    pub(crate) paper: Paper,
}

/// The whole file.
pub(crate) fn document(running: &Running, sheets: &[Sheet]) -> String {
    let title = format!("{}, stage {}: {}", running.rig, running.stage, running.what);
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(font_face_css())) (PreEscaped(tones_css())) (PreEscaped(paper_css(running.paper))) (PreEscaped(PRINT_CSS)) }
            }
            body {
                main {
                    @for (index, sheet) in sheets.iter().enumerate() {
                        (page(running, sheet, index + 1, sheets.len()))
                    }
                }
            }
        }
    };
    markup.into_string()
}

/// The sizes that depend on the paper; the style sheet uses them by name.
fn paper_css(paper: Paper) -> String {
    let (width, height) = paper.size_mm();
    // The page box is a hair shorter than the paper, so that no rounding makes an empty sheet.
    let box_height = height - 0.4;
    format!(
        "@page{{size:{width}mm {height}mm;margin:0}}\
         :root{{--page-w:{width}mm;--page-h:{box_height:.1}mm;--side:{SIDE}mm;--top:{TOP}mm;\
         --bottom:{BOTTOM}mm;--head:{HEAD}mm;--foot:{FOOT}mm;--work:{:.1}mm}}",
        paper.width()
    )
}

fn page(running: &Running, sheet: &Sheet, number: usize, of: usize) -> Markup {
    html! {
        section class=(format!("page {}{}", sheet.kind, if sheet.used > running.paper.height() { " tall" } else { "" })) id=(format!("p{number}")) aria-labelledby=(format!("t{number}")) {
            header {
                @if let Some(big) = sheet.number { span.big { (big) } }
                h1 id=(format!("t{number}")) { (text(&sheet.title)) }
                div.corner { b { (running.rig) } br; "stage " (running.stage)
                    @if !sheet.corner.is_empty() { br; (sheet.corner) } }
            }
            div.work { (sheet.body) }
            footer {
                span { (STANDING) }
                span.where { (running.rig) ", stage " (running.stage) ", revision " (running.revision) br;
                    b { "page " (number) " of " (of) } }
            }
        }
    }
}

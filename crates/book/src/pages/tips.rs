//! Where the tips of the meter go in each test, drawn.

use super::plain;
use crate::book::Context;
use crate::care_pictures::{Test, tests};
use crate::figure::picture;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece};
use crate::words::capital;
use maud::{Markup, html};

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let all = tests(cx);
    if all.is_empty() {
        return None;
    }
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "One picture for each kind of test; the other readings of its kind are taken the same way. \
         Set the range before the tips touch, and hold the tips behind their guards. With red and \
         black as drawn a block and a string show no minus sign: one that shows it stands the other \
         way round.",
    );
    let column = (cx.width - GAP) / 2.0;
    let mut left: Vec<Test> = Vec::new();
    for test in all {
        if test.scene.width > column {
            parts.push(row(&[&test], cx.width, cx.width));
        } else {
            left.push(test);
        }
    }
    for pair in left.chunks(2) {
        parts.push(row(&pair.iter().collect::<Vec<_>>(), column, cx.width));
    }
    Some(Chapter { parts: parts.all, ..plain("tips", "Where the tips go", "tips") })
}

/// The test, and the reading that stands for its kind.
fn head(test: &Test) -> String {
    format!("{}: {}", test.name, test.reading.id)
}

fn said(test: &Test) -> String {
    format!("{}. Range: {}.", capital(&test.reading.probes), test.reading.range)
}

/// Between two pictures [mm].
const GAP: f64 = 6.0;

fn row(tests: &[&Test], column: f64, width: f64) -> Piece {
    let tall = |t: &&&Test| {
        Size::Reading.height(&head(t), column)
            + Size::Small.height(&said(t), column)
            + t.scene.height * (column / t.scene.width).min(1.0)
            + 6.0
    };
    let height = tests.iter().map(|t| tall(&t)).fold(0.0, f64::max) + 3.0;
    let one = |t: &Test| -> Markup {
        let size = format!("--w:{:.2}mm;width:{:.2}mm", t.scene.width, t.scene.width);
        html! {
            div {
                div.test-name { b { (head(t)) } }
                div.small { (said(t)) }
                div.small-picture style=(size) { (picture(&t.scene)) }
            }
        }
    };
    let class = if column < width { "tests two" } else { "tests" };
    Piece::new(html! { div class=(class) { @for t in tests { (one(t)) } } }, height)
}

//! What no calculation of this book covers yet, and what to find out instead.

use super::plain;
use crate::book::Context;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece};
use crate::words::text;
use engine::model::rig::RigKind;
use maud::html;

/// A thing to find out: what, how, and where to write it.
struct Open {
    what: &'static str,
    find_out: String,
}

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "These are not worked out in this book. A blank is no permission: find out and write, before \
         the gate that needs it.",
    );
    for open in open(cx) {
        parts.push(card(&open, cx.width));
    }
    Chapter { parts: parts.all, ..plain("find-out", "Find out yourself", "find-out") }
}

fn card(open: &Open, width: f64) -> Piece {
    let says = &open.find_out;
    let height = 7.0 + Size::Body.height(says, width - 9.0) + 12.0;
    let html = html! {
        div.item style="margin-bottom:3mm" {
            span.tick {}
            div {
                div style="font-size:12pt;line-height:5.6mm" { b { (open.what) } }
                div { (text(says)) }
                div style="border-bottom:.3mm solid var(--ink);height:9mm" {}
            }
        }
    };
    Piece::new(html, height)
}

fn open(cx: &Context<'_>) -> Vec<Open> {
    let rig = &cx.input.report.study.design.rig;
    let mut all = Vec::new();
    match rig.kind {
        RigKind::Trailer => all.push(Open {
            what: "Weight on the ball, on the axle and in all",
            find_out: "Weigh on a weighbridge or with a bathroom scale and a beam, before and after, \
                       loaded as you travel. Compare with the plates of trailer, axle, coupling, hitch \
                       and vehicle: the smallest wins. Too little on the ball sways, too much breaks."
                .to_owned(),
        }),
        RigKind::Van => all.push(Open {
            what: "Weight on each axle and in all",
            find_out: "Weigh on a weighbridge, loaded as you travel, and compare with the plates."
                .to_owned(),
        }),
        RigKind::Boat => all.push(Open {
            what: "List and trim",
            find_out: "Mark the waterline on both sides before and after. The bank's mass times its \
                       distance from the centreline is what tilts the boat; move ballast or stores \
                       against it."
                .to_owned(),
        }),
        RigKind::Cabin => all.push(Open {
            what: "Floor and wall",
            find_out: "Ask whether the floor carries the bank's mass on its footprint, and keep the \
                       bank off a wall that burns."
                .to_owned(),
        }),
    }
    all.extend([
        Open {
            what: "Hold-down",
            find_out: "What holds the blocks in a crash, on a rough road or in a knock-down: fastener, \
                       strap, backing plate, the metal they pull on. The rules ask for twice the mass \
                       in every direction; ask the maker of trailer, hull or frame before you drill \
                       or weld."
                .to_owned(),
        },
        Open {
            what: "Vents",
            find_out: "Free area low and high, straight to outside air, for the highest stage any \
                       charger can run, and sealed from where people sleep. Sealed and lithium blocks: \
                       what their own sheet asks."
                .to_owned(),
        },
        Open {
            what: "Nights without a charge",
            find_out: "Add what each load uses in a day, compare with the amp-hours you are willing to \
                       take out, and measure one ordinary night before you rely on it."
                .to_owned(),
        },
        Open {
            what: "Papers",
            find_out: "Insurer, licence or permit, examiner: ask before you buy. Keep this book, the \
                       photographs, receipts and data sheets in one folder."
                .to_owned(),
        },
    ]);
    all
}

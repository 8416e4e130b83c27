//! The cell map to write in, in the order in which the cells lie; for blocks with caps alone.

use super::plain;
use crate::book::Context;
use crate::care_pictures;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::{Parts, Piece};
use engine::units::show;
use maud::html;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let scene = care_pictures::cells(cx, "cell-map", &[])?;
    let mut parts = Parts::new(cx.width);
    parts.paragraph(
        "Copy this page for each round. After a full charge and some rest, before water goes in: fill \
         and empty the hydrometer three times, hold it upright, eye at the level of the fluid, tap \
         it free. Gloves and goggles; rinse it; a drop of acid is wiped with soda and water, never \
         into a cell.",
    );
    if let Some(correction) = &cx.input.care.correction {
        let rule = &correction.rule;
        let other = correction.others.iter().map(|r| r.name.as_str()).collect::<Vec<_>>();
        let others = if other.is_empty() {
            String::new()
        } else {
            format!(" Other printed rules differ: {}.", other.join("; "))
        };
        parts.paragraph(&format!(
            "Write what the float shows and the temperature of the fluid. Corrected by the rule \
             \"{}\": {} more for each degree C above {}, as much less below it ({}).{others}",
            rule.name,
            show::decimal(rule.per_kelvin.value, 5),
            show::temperature(rule.reference, cx.units),
            rule.per_kelvin.cite.status.says()
        ));
    }
    let line = html! { p.made { "Day " span.blank {} " fluid " span.blank {} " rested " span.blank {} " read by " span.blank {} } };
    parts.push(Piece::new(line, 9.0));
    parts.push(figure(&scene, cx.width));
    Some(Chapter { parts: parts.all, ..plain("cell-map", "Cell map to write in", "cell-map") })
}

//! The liner flat: the sheet on the floor that keeps acid off it, with a slit for each strap.

use super::draft::{Draft, Standing};
use super::floor::{cases, straps};
use super::{Kit, Template, places};
use crate::dxf::Layer;
use crate::pictures::plan::measured;
use crate::scene::Stroke;
use crate::style::{Tone, line};
use engine::units::Length;

/// The flat, where the box has a liner or the blocks hold free acid.
#[must_use]
pub fn template(kit: &Kit<'_>) -> Option<Template> {
    let plan = &kit.subject.layout.plan;
    let enclosure = kit.subject.design.enclosure.as_ref();
    let thick = enclosure.and_then(|e| e.liner);
    if thick.is_none() && !plan.blocks.iter().any(|b| b.flooded) {
        return None;
    }
    let units = kit.subject.design.rig.units;
    // A sheet as large as the floor does not go in: it is smaller all round by its own thickness.
    let less = thick.map_or(0.0, |t| 2.0 * t.as_mm());
    let (length, width) = (plan.inner.length.as_mm(), plan.inner.width.as_mm());
    let mut draft = Draft::new(plan.inner.length, plan.inner.width, units);
    let edge = (length - less, width - less);
    draft.rect(Layer::Cut, (less / 2.0, less / 2.0), edge, Stroke::solid(Tone::Ink, line::NORMAL));
    cases(kit, &mut draft);
    let says = thick.map_or_else(
        || "Its thickness is not given: it is drawn as large as the floor; cut it smaller all round by \
            its own thickness."
            .to_owned(),
        |t| {
            format!(
                "Cut {} × {}: the floor less its own thickness of {} all round.",
                measured(Length::mm(edge.0), units),
                measured(Length::mm(edge.1), units),
                measured(t, units)
            )
        },
    );
    let mut notes = vec![
        says,
        "Cut it from a sheet that acid does not harm, for lead-acid blocks: polyethylene or \
         polypropylene. Seal around each slit and hole, and turn the edge up against the walls where \
         the sheet is soft enough."
            .to_owned(),
    ];
    straps(kit, &mut draft, &mut notes);
    for set in &kit.fasteners {
        for place in places::fasteners(plan, set).0 {
            draft.hole(place, set.drill, Standing::Pencil);
        }
    }
    if !kit.fasteners.is_empty() {
        notes.push(
            "Holes are those of the floor: cut them out as large as the washer or plate."
                .to_owned(),
        );
    }
    draft.measures(["near wall", "far wall", "left wall", "right wall"]);
    let title = "Liner: flat".to_owned();
    let scene = draft.finish("liner", &title, "The liner laid flat, with its slits and cut-outs.");
    Some(Template { name: "liner".to_owned(), title, notes, scene })
}

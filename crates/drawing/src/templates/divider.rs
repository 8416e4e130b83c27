//! The divider blank: one board between two columns of blocks, cut as often as there are gaps.

use super::draft::Draft;
use super::{Kit, Template};
use crate::dxf::Layer;
use crate::pictures::plan::measured;
use crate::scene::Stroke;
use crate::style::{Tone, line};
use engine::layout::straps;
use engine::units::Length;

/// The blank, where blocks stand side by side and the owner wants dividers; `None` without.
#[must_use]
pub fn template(kit: &Kit<'_>) -> Option<Template> {
    let plan = &kit.subject.layout.plan;
    let thick = kit.subject.design.enclosure.as_ref().and_then(|e| e.divider)?;
    let gaps = straps::columns(&plan.blocks).len().checked_sub(1).filter(|n| 0 < *n)?;
    let units = kit.subject.design.rig.units;
    let posts = plan.blocks.iter().flat_map(|b| [b.plus.height, b.minus.height]);
    let lowest = posts.reduce(Length::min)?;
    let mut draft = Draft::new(plan.inner.width, lowest, units);
    let size = (plan.inner.width.as_mm(), lowest.as_mm());
    draft.rect(Layer::Cut, (0.0, 0.0), size, Stroke::solid(Tone::Ink, line::NORMAL));
    let says = format!("cut {gaps}, {} thick", measured(thick, units));
    draft.name((size.0 / 2.0, size.1 / 2.0), &says, Tone::Ink);
    draft.measures(["floor", "no higher than the lowest post", "near wall", "far wall"]);
    let title = "Divider: blank".to_owned();
    let notes = vec![format!(
        "Cut {gaps} from a board {} thick, plywood or plastic, no metal. It ends at the face of the \
         lowest post; cut it lower where a link crosses it, and leave a gap for air at its foot.",
        measured(thick, units)
    )];
    let scene = draft.finish("divider", &title, "A board between two columns of blocks.");
    Some(Template { name: "divider".to_owned(), title, notes, scene })
}

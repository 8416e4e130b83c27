//! The floor: fasteners, strap slits and the drain, with the cases in pencil for the eye.

use super::draft::{DECIDE, Draft, Standing};
use super::places::{self, FASTENER_RULE};
use super::{Fasteners, Kit, Template, bit};
use crate::dxf::Layer;
use crate::pictures::plan::measured;
use crate::scene::Stroke;
use crate::style::{Tone, line};
use engine::layout::plan::PlacedBlock;
use engine::layout::straps::{self, STRAP_RULE};
use engine::model::enclosure::Enclosure;
use engine::units::Length;
use engine::units::show::UnitSystem;

/// What is said where the design gives no box.
pub(super) const TO_BUILD: &str = "The design does not give the whole inside of the box: this is the \
     smallest with room enough. Measure yours and print again before you drill.";

/// The design does not give the whole inside of the box.
pub(super) fn unsaid(kit: &Kit<'_>) -> bool {
    !Enclosure::unsaid(kit.subject.design.enclosure.as_ref()).is_empty()
}

/// The drill template of the floor.
#[must_use]
pub fn template(kit: &Kit<'_>) -> Template {
    let plan = &kit.subject.layout.plan;
    let units = kit.subject.design.rig.units;
    let mut draft = Draft::new(plan.inner.length, plan.inner.width, units);
    let mut notes = vec![
        "Lay the sheets on the floor of the empty box, the foot of the template against the near \
         wall. Prick every cross through, take the paper away, then drill. Look under the floor \
         first: frame, cables, pipes and tanks lie there."
            .to_owned(),
    ];
    if unsaid(kit) {
        notes.insert(0, TO_BUILD.to_owned());
    }
    let size = (plan.inner.length.as_mm(), plan.inner.width.as_mm());
    draft.rect(Layer::Mark, (0.0, 0.0), size, Stroke::solid(Tone::Ink, line::NORMAL));
    cases(kit, &mut draft);
    fasteners(kit, &mut draft, &mut notes);
    straps(kit, &mut draft, &mut notes);
    drain(kit, &mut draft, &mut notes);
    let enclosure = kit.subject.design.enclosure.as_ref();
    let near = enclosure.and_then(|e| e.seen_from.as_deref());
    let far = enclosure.and_then(|e| e.far_side.as_deref());
    let near = near.map_or_else(|| "near wall".to_owned(), |s| format!("near wall, {s}"));
    let far = far.map_or_else(|| "far wall".to_owned(), |s| format!("far wall: {s}"));
    draft.measures([&near, &far, "left wall", "right wall"]);
    let title = "Floor: drill template".to_owned();
    let scene =
        draft.finish("floor", &title, "The inside of the floor with every hole and slit in it.");
    Template { name: "floor".to_owned(), title, notes, scene }
}

/// The cases as they will stand, for the eye.
pub(super) fn cases(kit: &Kit<'_>, draft: &mut Draft) {
    for block in &kit.subject.layout.plan.blocks {
        let corner = (block.corner.x.as_mm(), block.corner.y.as_mm());
        let size = (block.length.as_mm(), block.width.as_mm());
        draft.rect(Layer::Mark, corner, size, Stroke::solid(Tone::Pencil, line::THIN));
        let middle = (corner.0 + size.0 / 2.0, corner.1 + size.1 / 2.0);
        draft.name(middle, &format!("block {}", block.id), Tone::Pencil);
    }
}

fn fasteners(kit: &Kit<'_>, draft: &mut Draft, notes: &mut Vec<String>) {
    let units = kit.subject.design.rig.units;
    let none = [Fasteners { name: "fastener".to_owned(), number: None, drill: None, apart: None }];
    let sets = if kit.fasteners.is_empty() { &none[..] } else { &kit.fasteners };
    let mut letter = 0_u32;
    let mut under: Vec<String> = Vec::new();
    let mut open = false;
    for set in sets {
        let (spots, decided) = places::fasteners(&kit.subject.layout.plan, set);
        let standing = if decided { Standing::Ink } else { Standing::Pencil };
        let (tone, end) = if decided {
            (Tone::Ink, String::new())
        } else {
            (Tone::Pencil, format!(", {DECIDE}"))
        };
        open |= !decided;
        let mut table = Vec::new();
        for (x, y) in spots {
            letter += 1;
            let name = format!("H{letter}");
            draft.hole((x, y), set.drill, standing);
            let drill = set.drill.map_or(String::new(), |d| format!(" Ø {}", bit(d, units)));
            let wide = set.drill.map_or(3.0, Length::as_mm);
            draft.word((x, y), wide, &format!("{name}{drill}{end}"), tone);
            table.push(format!("{name} {}", coordinates((x, y), units)));
            under.extend(standing_on(kit, (x, y)).map(|block| format!("{name} under {block}")));
        }
        let drill = set.drill.map_or_else(
            || "drill: as the fastener's maker says".to_owned(),
            |d| format!("drill {}", bit(d, units)),
        );
        notes.push(format!(
            "{}, {drill}. From the left near corner, along and across: {}.",
            set.name,
            table.join("; ")
        ));
    }
    if !under.is_empty() {
        notes.push(format!(
            "A block stands on {}: sink the head into the floor or lay battens, so that no case \
             stands on a bolt, or move the hole.",
            under.join(", ")
        ));
    }
    if open {
        notes.push(FASTENER_RULE.to_owned());
    }
}

/// The block that will stand on a place of the floor.
fn standing_on(kit: &Kit<'_>, (x, y): (f64, f64)) -> Option<String> {
    let over = |b: &&PlacedBlock| {
        let (from, to) = (b.corner, b.far_corner());
        from.x.as_mm() < x && x < to.x.as_mm() && from.y.as_mm() < y && y < to.y.as_mm()
    };
    kit.subject.layout.plan.blocks.iter().find(over).map(|b| b.id.to_string())
}

/// Strap slits, as the liner has them too.
pub(super) fn straps(kit: &Kit<'_>, draft: &mut Draft, notes: &mut Vec<String>) {
    let units = kit.subject.design.rig.units;
    let mut table = Vec::new();
    let plan = &kit.subject.layout.plan;
    for strap in straps::places(&plan.blocks, plan.inner.width, &kit.straps) {
        for (x, y) in [strap.near, strap.far] {
            match strap.width {
                // The webbing passes flat: a slit as long as it is wide, and a saw cut high.
                Some(width) => {
                    draft.slit((x, y), (width.as_mm() + SLIT, SLIT), Standing::Pencil);
                    draft.word(
                        (x, y),
                        width.as_mm(),
                        &format!("{}, {DECIDE}", strap.name),
                        Tone::Pencil,
                    );
                }
                None => {
                    draft.hole((x, y), None, Standing::Pencil);
                    let says = format!("{}, as wide as yours, {DECIDE}", strap.name);
                    draft.word((x, y), 3.0, &says, Tone::Pencil);
                }
            }
        }
        table.push(format!(
            "{} {} and {}",
            strap.name,
            coordinates(strap.near, units),
            coordinates(strap.far, units)
        ));
    }
    if !table.is_empty() {
        notes.push(format!("Middles of the strap slits, along and across: {}.", table.join("; ")));
        notes.push(STRAP_RULE.to_owned());
    }
}

/// What a slit is longer and higher than its webbing, a saw cut and a little play [mm].
const SLIT: f64 = 5.0;

fn drain(kit: &Kit<'_>, draft: &mut Draft, notes: &mut Vec<String>) {
    let wanted = kit.subject.design.enclosure.as_ref().and_then(|e| e.drain) == Some(true);
    if wanted {
        let plan = &kit.subject.layout.plan;
        let place = (plan.inner.length.as_mm() / 12.0, plan.inner.width.as_mm() / 12.0);
        draft.hole(place, None, Standing::Pencil);
        draft.word(place, 3.0, &format!("drain, {DECIDE}"), Tone::Pencil);
        notes.push(
            "The drain lies at the lowest point of the floor as the rig stands when parked: pour a \
             cup of water in and see where it stays. Here it is drawn in the left near corner."
                .to_owned(),
        );
    }
}

/// A place in the owner's units.
pub(super) fn coordinates((x, y): (f64, f64), units: UnitSystem) -> String {
    let says = |mm: f64| measured(Length::mm(mm), units);
    format!("{} / {}", says(x), says(y))
}

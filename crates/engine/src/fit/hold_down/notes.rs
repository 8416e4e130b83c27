//! What must be said beside the figures of a hold-down.

use super::places::Places;
use crate::cite::Status;
use crate::model::design::Design;
use crate::model::hold::{BoxMaterial, Ground, Hold, HoldKind};
use crate::model::rig::RigKind;
use crate::tables::Tables;
use crate::units::{Length, show};

/// Every remark, what rests on memory first.
pub(super) fn notes(design: &Design, tables: &Tables) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    notes.extend(from_memory(design, tables));
    let has = |kind| design.holds.iter().any(|h| h.kind == kind);
    if has(HoldKind::Screw) || has(HoldKind::Rivet) {
        notes.push(
            "What shakes for years is outside the standard of the screws: screws and rivets work \
             loose. Use through-bolts where people sleep or drive."
                .to_owned(),
        );
    }
    notes.extend(design.holds.iter().filter_map(|set| spacing(design, set, tables)));
    if has(HoldKind::Bolt) || has(HoldKind::Screw) {
        notes.push(format!(
            "Screws, and thin metal round screws and plates, are counted at a part in {} of what \
             breaks them (AISI). Bolts are counted at their proof load, where they begin to stay \
             bent, wood at what it may bear, straps and clamps as labelled: nothing more is taken \
             off those.",
            show::decimal(tables.limits.value("screw-omega").value, 1)
        ));
    }
    if design.enclosure.is_some() {
        notes.push(
            "The strength of the box itself is not worked out: its walls must bear the push of the \
             blocks. Shake it before you trust it."
                .to_owned(),
        );
    }
    if design.rig.kind != RigKind::Boat {
        notes.push("Ask the maker of the frame before you drill or weld it.".to_owned());
    }
    notes
}

/// How far apart screws have to stand where nobody wrote how they do.
fn spacing(design: &Design, set: &Hold, tables: &Tables) -> Option<String> {
    let places = Places::of(set, tables)?;
    if places.spacing.is_some() && places.edge.is_some() {
        return None;
    }
    Some(format!(
        "Screws {}: at least {} from one another and from every edge of the metal, middle to \
         middle, three diameters.",
        set.part.name,
        show::length(Length::mm(places.least.as_mm().ceil()), design.rig.units)
    ))
}

/// The strengths that were used and that nobody could look up.
fn from_memory(design: &Design, tables: &Tables) -> Option<String> {
    let recalled = |id| tables.limits.value(id).cite.status == Status::Recalled;
    let bolts = design.holds.iter().any(|h| h.kind == HoldKind::Bolt)
        && tables.enclosure.bolts().any(|(_, proof)| proof.cite.status == Status::Recalled);
    let plywood = design.enclosure.as_ref().and_then(|e| e.material) == Some(BoxMaterial::Plywood);
    let wood = (plywood || design.holds.iter().any(|h| h.into == Some(Ground::Wood)))
        && (recalled("plywood-bearing") || recalled("plywood-embedding"));
    let what = match (bolts, wood) {
        (true, true) => "What bolts and plywood bear is",
        (true, false) => "What bolts bear is",
        (false, true) => "What plywood bears is",
        (false, false) => return None,
    };
    Some(format!("{what} {}: the maker's figures win.", Status::Recalled.says()))
}

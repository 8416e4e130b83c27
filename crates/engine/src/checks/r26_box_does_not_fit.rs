//! R26: a box, a lid or a lead that has no room.

use super::context::{CheckError, Context, Said};
use crate::cite::Cite;
use crate::fit::room::Room;
use crate::layout::clash::ClashKind;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let room = Room::of(cx.study, cx.tables);
    let mut said = Vec::new();
    for told in room.into_iter().flat_map(|room| room.clashes) {
        said.push(Said {
            severity: told.severity,
            path: told.path,
            part: told.named,
            says: told.says,
            remedy: told.remedy,
            why: told.why,
            sources: vec![source(cx, told.kind)?],
            gates: None,
        });
    }
    Ok(said)
}

/// The figure a clash is judged by.
fn source(cx: &Context<'_>, kind: ClashKind) -> Result<Cite, CheckError> {
    let id = match kind {
        ClashKind::LidTooLow => "lid-clearance",
        ClashKind::LidStrikes => "lid-opens",
        ClashKind::GapTooNarrow => "block-gap",
        ClashKind::LeadNearPost => "lead-off-post",
        ClashKind::LeadOverCap => "lead-off-cap",
        ClashKind::NoServiceRoom => "service-over-caps",
        ClashKind::BendTooTight => "bend-radius-refuse",
        _ => return Ok(Cite::physics("two bodies cannot stand in one place")),
    };
    Ok(cx.limit(id)?.cite)
}

//! R17: strings in parallel with nothing between them to stop a failed one.

use super::context::{CheckError, Context, Said, listed};
use super::walk::string_guard;
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::bank::{Bank, BlockId};
use crate::model::rig::RigKind;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank().filter(|b| 2 <= b.parallel) else {
        return Ok(Vec::new());
    };
    let bare: Vec<String> = (0..bank.parallel)
        .filter(|s| guard_of(cx, bank, *s).is_none())
        .map(BlockId::string_letters)
        .collect();
    if bare.is_empty() {
        return Ok(Vec::new());
    }
    let boat_ah = cx.limit("string-fuse-boat-capacity")?;
    let note_at = cx.limit("string-fuse-strings-note")?;
    let boat = cx.design().rig.kind == RigKind::Boat;
    let amp_hours = cx.bank_amp_hours();
    let (severity, size, cite): (Severity, String, Cite) = match (boat, amp_hours) {
        (true, Some(ah)) if boat_ah.value < ah => {
            let size = format!("{} Ah in parallel", show::decimal(ah, 0));
            (Severity::Fix, size, boat_ah.cite)
        }
        (true, None) => {
            let size = "A bank whose amp-hours are not known".to_owned();
            (Severity::Fix, size, boat_ah.cite)
        }
        _ if note_at.value <= f64::from(bank.parallel) => {
            (Severity::Note, format!("{} strings in parallel", bank.parallel), note_at.cite)
        }
        _ => return Ok(Vec::new()),
    };
    Ok(vec![Said {
        severity,
        path: format!("{}.parallel", bank.path),
        part: "the bank".to_owned(),
        says: format!(
            "{size}, and no fuse of its own on string {}: a failed battery is fed by all its \
             neighbours.",
            listed(&bare)
        ),
        remedy: "Fuse each string at its plus post, so that the others cannot pour into it."
            .to_owned(),
        why: "One shorted cell takes the full current of every other string until something burns.",
        sources: vec![cite],
        gates: None,
    }])
}

/// The fuse of a string, at either end of it.
fn guard_of(cx: &Context<'_>, bank: &Bank, string: u32) -> Option<String> {
    string_guard(cx, &Bank::string_plus(string))
        .or_else(|| string_guard(cx, &bank.string_minus(string)))
}

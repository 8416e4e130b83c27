//! R60: who has to be asked before lithium or mains work.

use super::context::{CheckError, Context, Said, listed};
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::block::Chemistry;
use crate::model::device::DeviceKind;
use crate::model::rig::RigKind;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    // The whole design, since the asking comes before the buying.
    let design = cx.whole;
    let lfp = design.banks.iter().any(|bank| {
        let model = design.block_model(&bank.block);
        model.is_some_and(|m| m.chemistry == Some(Chemistry::Lfp))
    });
    let mains = design.mains.as_ref().is_some_and(|m| !m.sources.is_empty())
        || design.devices_of(DeviceKind::Inverter).next().is_some();
    let work: Vec<&str> = [(lfp, "LFP blocks"), (mains, "mains work")]
        .into_iter()
        .filter_map(|(there, word)| there.then_some(word))
        .collect();
    if work.is_empty() {
        return Ok(Vec::new());
    }
    let rig = &design.rig;
    let no_name = rig.mains_by.as_ref().is_none_or(|m| m.trim().is_empty());
    let open: Vec<(&str, &str)> = [
        (rig.insurer_told != Some(true), "rig.insurer_told", "the insurer was told"),
        (rig.permit != Some(true), "rig.permit", "any permit was asked for"),
        (mains && no_name, "rig.mains_by", "a licensed person does the mains work"),
    ]
    .into_iter()
    .filter_map(|(unset, path, what)| unset.then_some((path, what)))
    .collect();
    let Some((first, _)) = open.first() else {
        return Ok(Vec::new());
    };
    let what: Vec<&str> = open.iter().map(|o| o.1).collect();
    let paths: Vec<&str> = open.iter().map(|o| o.0).collect();
    let mut sources = vec![
        Cite::new("insurance-threads", "lithium and who fitted it", Status::Read),
        Cite::new("permit-threads", "off-grid work", Status::Read),
    ];
    let mut remedy = format!("Ask before you buy, then write {}.", listed(&paths));
    if lfp && rig.kind == RigKind::Boat {
        sources.push(Cite::new("craft-conversion-faq", "lead to lithium", Status::Read));
        remedy.push_str(
            " A boat that goes from lead to lithium may count as a major conversion of its class.",
        );
    }
    Ok(vec![Said {
        severity: Severity::Note,
        path: (*first).to_owned(),
        part: "the papers".to_owned(),
        says: format!(
            "The design has {}, and the file does not say that {}.",
            listed(&work),
            listed(&what)
        ),
        remedy,
        why: "An insurer or inspector who was not asked can refuse the finished work.",
        sources,
        gates: None,
    }])
}

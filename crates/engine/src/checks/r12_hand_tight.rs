//! R12: posts that are not held by a nut tightened to a figure.

use super::context::{CheckError, Context, Said, posts_listed};
use super::things::posts_with_lugs;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::block::BlockModel;
use crate::model::lead::Terminal;
use crate::model::rig::RigKind;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut said = Vec::new();
    if let Some(bank) = cx.bank() {
        let model = cx.design().block_model(&bank.block);
        said.extend(model.and_then(|m| spring_clip(cx, m)));
        if let Some(model) = model {
            said.extend(wing_nut(cx, model)?);
        }
        said.extend(no_torque(cx, model)?);
    }
    Ok(said)
}

/// Whether the owner's words for the terminal mean this kind.
fn is_kind(model: &BlockModel, kind: &str) -> bool {
    let plain = |s: &str| s.to_lowercase().replace([' ', '-'], "");
    model.terminal.as_ref().is_some_and(|t| plain(t).contains(&plain(kind)))
}

fn spring_clip(cx: &Context<'_>, model: &BlockModel) -> Option<Said> {
    if cx.design().rig.kind != RigKind::Boat || !is_kind(model, "spring clip") {
        return None;
    }
    Some(Said {
        severity: Severity::Stop,
        path: format!("block.{}.terminal", model.name),
        part: model.name.clone(),
        says: format!(
            "The posts of {} are held by spring clips, which boats under US law may not have.",
            model.name
        ),
        remedy: "Fit bolted or clamped terminals and tighten them with a spanner.".to_owned(),
        why: "A spring clip walks off its post when the hull slams.",
        sources: vec![Cite::new("cfr-33-183-420", "(g)", Status::Read)],
        gates: None,
    })
}

fn wing_nut(cx: &Context<'_>, model: &BlockModel) -> Result<Option<Said>, CheckError> {
    let limit = cx.limit("wing-nut-area-max")?;
    if !is_kind(model, "wing nut") {
        return Ok(None);
    }
    let on_post = |t: &Terminal| t.block().is_some();
    let thick = cx
        .study
        .leads
        .iter()
        .find(|l| (on_post(&l.from) || on_post(&l.to)) && limit.value < l.area.as_mm2());
    Ok(thick.map(|lead| Said {
        severity: Severity::Fix,
        path: format!("block.{}.terminal", model.name),
        part: model.name.clone(),
        says: format!(
            "Lead {} is {} and is held by a wing nut on {}; {} mm² is the most that fingers can \
             hold{}.",
            lead.id,
            lead.size,
            model.name,
            show::decimal(limit.value, 0),
            if limit.cite.status == Status::Recalled { " (from memory, not verified)" } else { "" }
        ),
        remedy: "Replace the wing nuts by hex nuts and tighten them with a spanner to the battery \
                 maker's figure."
            .to_owned(),
        why: "A heavy cable works a hand-tight nut loose, and a loose joint melts its post.",
        sources: vec![limit.cite],
        gates: None,
    }))
}

fn no_torque(cx: &Context<'_>, model: Option<&BlockModel>) -> Result<Option<Said>, CheckError> {
    let records = &cx.design().as_built.posts;
    let posts = posts_with_lugs(cx.study);
    let missing: Vec<String> = posts
        .iter()
        .filter(|post| !records.iter().any(|r| r.terminal == **post && r.torque.is_some()))
        .map(|post| post.to_string())
        .collect();
    if missing.is_empty() {
        return Ok(None);
    }
    let to = model
        .and_then(|m| m.torque)
        .map_or_else(|| "the battery maker's figure".to_owned(), |t| show::torque(t, cx.units()));
    Ok(Some(Said {
        severity: Severity::Fix,
        path: "as_built.post.torque".to_owned(),
        part: "the posts".to_owned(),
        says: format!("No torque is written for {}.", posts_listed(&missing, posts.len(), "posts")),
        remedy: format!(
            "Tighten each with a spanner to {to}, stripe the nut, and write torque for the post under \
             [as_built.post]."
        ),
        why: "About three boats in four have loose battery terminals, and a loose one melts.",
        sources: vec![Cite::practice("a professional's count on an owners' forum, rule R12")],
        gates: None,
    }))
}

//! R11: how many lugs share one post or stud.

use super::context::{CheckError, Context, Said, listed};
use crate::circuit::wiring::resolved;
use crate::finding::Severity;
use crate::model::lead::{Pole, Terminal};
use crate::units::show;
use std::collections::BTreeMap;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let most = cx.limit("lugs-per-post-max")?;
    let note = cx.limit("lugs-per-post-note")?;
    let mut lugs: BTreeMap<&Terminal, Vec<String>> = BTreeMap::new();
    for lead in &cx.study.wiring.leads {
        for end in [&lead.from, &lead.to] {
            lugs.entry(end).or_default().push(format!("lead {}", lead.id));
        }
    }
    let design = cx.design();
    let mut said = Vec::new();
    for (post, mut on_it) in lugs {
        // A bar has a stud for each lead; that is what it is for.
        if matches!(post, Terminal::Stud { pole: Pole::Bar, .. }) {
            continue;
        }
        let mounted = design
            .devices
            .iter()
            .filter(|d| d.mounted_on.as_ref().is_some_and(|t| resolved(design.bank(), t) == *post));
        on_it.extend(mounted.map(|d| d.part.name.clone()));
        let count = u32::try_from(on_it.len()).map_or(f64::MAX, f64::from);
        let (severity, limit) = if most.value < count {
            (Severity::Fix, &most)
        } else if note.value < count {
            (Severity::Note, &note)
        } else {
            continue;
        };
        said.push(Said {
            severity,
            path: super::context::post_path(post),
            part: post.to_string(),
            says: format!(
                "{post} carries {}: {} on one post, where {} is the most.",
                listed(&on_it),
                on_it.len(),
                show::decimal(limit.value, 0)
            ),
            remedy: format!("Fit a busbar and lead one heavy lead from {post} to it."),
            why: "In a tall stack the upper lugs lose contact as the lower ones settle.",
            sources: vec![limit.cite.clone()],
            gates: None,
        });
    }
    Ok(said)
}

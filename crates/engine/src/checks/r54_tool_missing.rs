//! R54: a tool that a step needs and the list of tools in hand does not hold.

use super::context::{CheckError, Context, Said, listed};
use crate::circuit::wiring::Wiring;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::plan::job::{Job, Standing};
use crate::plan::steps::write;
use crate::plan::tools::ToolNeed;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let study = cx.study;
    // Only the work at hand has a day; an owner who has listed no tool yet gets the whole list in
    // the book instead.
    let stage = cx.whole.stages.get(study.stage);
    let at_hand = study.stage == cx.whole.present_stage() && stage.is_none_or(|s| !s.done);
    if !at_hand || study.design.stock.tools.is_empty() {
        return Ok(Vec::new());
    }
    let needs = needed(cx)?;
    let missing: Vec<&ToolNeed> = needs.iter().filter(|n| n.in_hand.is_none()).collect();
    let Some((first, others)) = missing.split_first() else {
        return Ok(Vec::new());
    };
    let also = also(others);
    let shop = study.design.rig.shop_distance.map_or_else(
        || "how far the nearest shop is nobody said".to_owned(),
        |d| format!("the nearest shop is {} away", show::far(d, cx.units())),
    );
    Ok(vec![Said {
        severity: Severity::Note,
        path: "stock.tools".to_owned(),
        part: "the tools".to_owned(),
        says: format!(
            "Page {} step {} needs {}, and it is not in your list; {shop}.{also}",
            first.page, first.step, first.name
        ),
        remedy: "Buy or borrow what is missing before the day and add it to stock.tools."
            .to_owned(),
        why: "A bank half joined cannot wait safely while somebody drives to a shop.",
        sources: vec![Cite::new("install-diaries", "tools missing on the day", Status::Read)],
        gates: None,
    }])
}

/// How many tools are named; the book has them all.
const NAMED: usize = 4;

/// What later steps lack, the first few by name.
fn also(others: &[&ToolNeed]) -> String {
    let mut names: Vec<String> = others.iter().take(NAMED).map(|n| n.name.clone()).collect();
    if names.is_empty() {
        return String::new();
    }
    let more = others.len() - names.len();
    if 0 < more {
        names.push(format!("{more} more that the book lists"));
    }
    format!(" Later steps also need {}.", listed(&names))
}

fn needed(cx: &Context<'_>) -> Result<Vec<ToolNeed>, CheckError> {
    let study = cx.study;
    let before = study.stage.checked_sub(1).map(|n| cx.whole.at_stage(n));
    let wiring = before.as_ref().map(Wiring::of);
    let standing = before.as_ref().zip(wiring.as_ref());
    let mut job = Job::of(study, None, cx.tables);
    // The leads that stood tell which steps there are; what they carried does not matter here.
    job.before = standing.map(|(design, wiring)| Standing { design, wiring });
    Ok(write(&job)?.tools)
}

//! R10: what lies between a lug and the metal that feeds it, and in which order.

use super::context::{CheckError, Context, Said, post_path, posts_listed};
use super::things::posts_with_lugs;
use crate::finding::Severity;
use crate::model::as_built::PostRecord;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let order = cx.limit("lugs-per-post-max")?.cite;
    let records = &cx.design().as_built.posts;
    let mut said: Vec<Said> = Vec::new();
    for record in records {
        said.extend(washer(record).map(|s| s.from_source(order.clone())));
        said.extend(largest(cx, record).map(|s| s.from_source(order.clone())));
    }
    let posts = posts_with_lugs(cx.study);
    let unknown: Vec<String> = posts
        .iter()
        .filter(|post| !records.iter().any(|r| r.terminal == **post && !r.stack.is_empty()))
        .map(|post| post.to_string())
        .collect();
    if !unknown.is_empty() {
        said.push(Said {
            severity: Severity::Fix,
            path: "as_built.post.stack".to_owned(),
            part: "the posts".to_owned(),
            says: format!(
                "Nobody has written what lies on {}, from the contact up.",
                posts_listed(&unknown, posts.len(), "posts")
            ),
            remedy: "Look at each post and write its stack under [as_built.post], as in stack = \
                     [\"lug 4\", \"flat washer\", \"spring washer\", \"nut\"]."
                .to_owned(),
            why: WHY,
            sources: vec![order],
            gates: None,
        });
    }
    Ok(said)
}

const WHY: &str = "Lugs touch metal first; then flat washer, spring washer, nut. A steel washer \
                   below a lug carries all its current and melts the terminal.";

/// What carries current: a lug or a device on the post. All else is a washer, a nut or the like.
fn carries(item: &str) -> bool {
    item.to_lowercase().starts_with("lug")
}

fn washer(record: &PostRecord) -> Option<Said> {
    let last_lug = record.stack.iter().rposition(|item| carries(item))?;
    let below =
        record.stack[..last_lug].iter().position(|i| i.to_lowercase().contains("washer"))?;
    let above = record.stack[below..].iter().find(|i| carries(i))?;
    Some(Said {
        severity: Severity::Fix,
        path: post_path(&record.terminal),
        part: record.terminal.to_string(),
        says: format!(
            "On {} a {} lies between {above} and the metal that feeds it.",
            record.terminal, record.stack[below]
        ),
        remedy: format!(
            "Take the stack on {} apart and build it again: lugs first, then flat washer, spring \
             washer, nut.",
            record.terminal
        ),
        why: WHY,
        sources: Vec::new(),
        gates: None,
    })
}

/// The lug with the largest current belongs on the metal itself.
fn largest(cx: &Context<'_>, record: &PostRecord) -> Option<Said> {
    let share = cx.study.discharge.as_ref().ok()?;
    let amps = |item: &String| {
        let id = item.to_lowercase();
        let id = id.strip_prefix("lug")?.trim();
        let lead = share.leads.iter().find(|l| l.id.to_lowercase() == id)?;
        Some((lead.id.clone(), lead.amps.abs()))
    };
    let lugs: Vec<(String, f64)> = record.stack.iter().filter_map(amps).collect();
    let lowest = lugs.first()?;
    let largest = lugs.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    // Two lugs within a hundredth carry the same; either may lie below.
    if largest.1 <= lowest.1 * 1.01 {
        return None;
    }
    let shown = |a: f64| crate::units::show::current(crate::units::Current::amps(a));
    Some(Said {
        severity: Severity::Fix,
        path: format!("{}.stack", post_path(&record.terminal)),
        part: record.terminal.to_string(),
        says: format!(
            "On {} lead {} with {} lies above lead {} with {}.",
            record.terminal,
            largest.0,
            shown(largest.1),
            lowest.0,
            shown(lowest.1)
        ),
        remedy: format!("Put the lug of lead {} on the contact, the others on top.", largest.0),
        why: WHY,
        sources: Vec::new(),
        gates: None,
    })
}

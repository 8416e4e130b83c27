//! R31: live posts that a tool can fall on.

use super::context::{CheckError, Context, Said, posts_listed};
use super::things::posts_with_lugs;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::lead::Terminal;
use crate::study::Study;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let design = cx.design();
    let lid = design.enclosure.as_ref().and_then(|e| e.lid) == Some(true);
    if lid {
        return Ok(Vec::new());
    }
    let is_plus = |t: &Terminal| matches!(t, Terminal::Post { plus: true, .. });
    let posts: Vec<Terminal> = posts_with_lugs(cx.study).into_iter().filter(is_plus).collect();
    let bare: Vec<String> =
        posts.iter().filter(|post| !booted(cx.study, post)).map(|post| post.to_string()).collect();
    if bare.is_empty() {
        return Ok(Vec::new());
    }
    Ok(vec![Said {
        severity: Severity::Fix,
        path: "as_built.post.boot".to_owned(),
        part: "the posts".to_owned(),
        says: format!(
            "Nothing covers {}, as far as the file says: neither a boot nor a lid over the bank.",
            posts_listed(&bare, posts.len(), "plus posts")
        ),
        remedy:
            "Put a boot over each, or a lid over the bank, and write boot = true for the post under \
             [as_built.post], or lid = true under [box]."
                .to_owned(),
        why: "A spanner across two posts carries thousands of amps and cannot be pulled away.",
        sources: vec![Cite::new("cfr-33-183-420", "(b)", Status::Read)],
        gates: None,
    }])
}

/// A boot that was seen on the post, or one that is on a lead bolted to it.
pub(super) fn booted(study: &Study, post: &Terminal) -> bool {
    let seen =
        study.design.as_built.posts.iter().any(|r| r.terminal == *post && r.boot == Some(true));
    let on_lead = study.wiring.at(post).any(|l| {
        let end = if l.from == *post { &l.stated.from_end } else { &l.stated.to_end };
        end.boot == Some(true)
    });
    seen || on_lead
}

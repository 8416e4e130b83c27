//! What the rules of care ask of the log.

use super::context::Context;
use crate::care::look::Look;

/// The path under which findings about the log stand.
pub(super) const PATH: &str = "log";

/// The log, when something is written in it.
pub(super) fn look<'a>(cx: &Context<'a>) -> Option<Look<'a>> {
    if cx.evidence.log.entries.is_empty() || cx.study.facts.blocks.is_empty() {
        return None;
    }
    let look = Look::of(cx.study, cx.tables, cx.evidence);
    (!look.entries().is_empty()).then_some(look)
}

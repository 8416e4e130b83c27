//! R14: how much conductor leaves a plus post before anything can stop a short.

use super::context::{CheckError, Context, Said, listed};
use super::walk::{Run, unguarded_runs};
use crate::circuit::wiring::LeadRole;
use crate::finding::Severity;
use crate::model::device::DeviceKind;
use crate::tables::Sourced;
use crate::units::{Interrupt, Length, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut worst: Vec<Run> = Vec::new();
    for run in unguarded_runs(cx).into_iter().filter(|run| counts(cx, run)) {
        match worst.iter_mut().find(|w| w.leads[0] == run.leads[0]) {
            Some(w) if severe(w) < severe(&run) => *w = run,
            Some(_) => {}
            None => worst.push(run),
        }
    }
    let mut said = Vec::new();
    for run in &worst {
        let limit = allowed(cx, run)?;
        if run.guard.is_none() || limit.value < run.length {
            said.push(bare(cx, run, limit)?);
        }
    }
    Ok(said)
}

/// A starter's lead may go without; the breakaway lead is judged by R22 alone.
fn counts(cx: &Context<'_>, run: &Run) -> bool {
    let starter = run
        .leads
        .iter()
        .any(|id| cx.study.wiring.lead(id).is_some_and(|l| l.stated.starter == Some(true)));
    let end = run.end.device().and_then(|d| cx.design().device(d)).map(|d| d.kind);
    !starter && end != Some(DeviceKind::Breakaway)
}

/// No fuse at all is worse than a long way to one.
fn severe(run: &Run) -> (bool, Length) {
    (run.guard.is_none(), run.length)
}

/// The distance in force: sheathed leads may be longer, and longest straight from a post.
fn allowed(cx: &Context<'_>, run: &Run) -> Result<Sourced<Length>, CheckError> {
    let practice = cx.practice()?;
    if !run.sheathed {
        return Ok(practice.fuse_distance_bare.clone());
    }
    let first = cx.study.wiring.lead(&run.leads[0]);
    let on_post = first.is_some_and(|l| l.from.block().is_some() || l.to.block().is_some());
    Ok(if on_post {
        practice.fuse_distance_post_sheathed.clone()
    } else {
        practice.fuse_distance_sheathed.clone()
    })
}

fn bare(cx: &Context<'_>, run: &Run, limit: Sourced<Length>) -> Result<Said, CheckError> {
    let units = cx.units();
    let length = show::length(run.length, units);
    let word = if run.leads.len() == 1 { "Lead" } else { "Leads" };
    let leads = format!("{word} {}", listed(&run.leads));
    let says = match &run.guard {
        None => format!(
            "{leads}: {length} of red cable has nothing to stop it; no fuse stands between the \
             bank and {}.",
            run.end
        ),
        Some(guard) => format!(
            "{leads}: {length} of red cable has nothing to stop it before {guard}; {} is allowed.",
            show::length(limit.value, units)
        ),
    };
    let others = others(cx)?;
    Ok(Said {
        severity: Severity::Stop,
        path: format!("lead.{}", run.leads[0]),
        part: format!("lead {}", run.leads[0]),
        says,
        remedy: format!("{} {}", remedy(cx, run), others.0),
        why: "A bank melts any cable in seconds; only a fuse at its source stops that.",
        sources: [vec![limit.cite], others.1].concat(),
        gates: None,
    })
}

/// A fuse on the post where such a fuse can break this bank's short, else one beyond the wall.
fn remedy(cx: &Context<'_>, run: &Run) -> String {
    let post = cx.study.wiring.lead(&run.leads[0]).map_or_else(String::new, |l| {
        if l.role == LeadRole::StringPlus || l.from.block().is_some() {
            l.from.to_string()
        } else {
            l.to.to_string()
        }
    });
    let needed = super::r16_interrupt_rating_too_low::needed(cx);
    let volts = super::r18_wrong_voltage_or_kind::volts_max(cx);
    let breaks = cx.tables.overcurrent.interrupt("terminal", volts).map(|i| i.value);
    match (needed, breaks) {
        (Some(needed), Some(breaks)) if needed <= breaks => {
            format!("Fit an ignition-protected terminal fuse on {post} and bolt the lead to it.")
        }
        (needed, _) => {
            let most = cx.practice().map_or(Length::ZERO, |p| p.fuse_distance_sheathed.value);
            let breaking = needed.map_or_else(String::new, |n: Interrupt| {
                format!(" that breaks {}", super::context::kiloamps(n.as_amps()))
            });
            format!(
                "Fit a fuse{breaking} within {} of {post}, outside the battery space, and sheath \
                 the lead all the way to it.",
                show::length(most, cx.units())
            )
        }
    }
}

/// What other practices allow, for the reader who meets a surveyor of another school.
fn others(cx: &Context<'_>) -> Result<(String, Vec<crate::cite::Cite>), CheckError> {
    let rows = [
        ("US boats", "fuse-distance-bare-us"),
        ("sheathed", "fuse-distance-sheathed-us"),
        ("sheathed from the post", "fuse-distance-post-sheathed-us"),
        ("US trailers", "fuse-distance-trailer"),
        ("European boats", "fuse-distance-eu"),
    ];
    let mut words = Vec::new();
    let mut cites = Vec::new();
    for (who, id) in rows {
        let figure = cx.limit(id)?;
        let length = show::length(Length::mm(figure.value), cx.units());
        let memory = match figure.cite.status {
            crate::cite::Status::Recalled => " (from memory, not verified)",
            _ => "",
        };
        words.push(format!("{who} {length}{memory}"));
        cites.push(figure.cite);
    }
    Ok((format!("The schools differ: {}.", words.join(", ")), cites))
}

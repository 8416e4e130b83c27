//! What-if: the rig as it is beside the rig as the owner would have it, with only what differs.

use super::common::{cell, held, table};
use crate::web::session::Session;
use crate::web::work::Work;
use engine::finding::Finding;
use engine::units::Current;
use engine::units::show::{self, fixed};
use maud::{Markup, html};

/// The differences, while there is something to compare with.
pub(super) fn piece(session: &Session) -> Markup {
    let (Some(kept), Ok(shown)) = (&session.kept, session.shown()) else {
        return html! {};
    };
    let Ok(other) = Work::of(&kept.text, &session.look, &session.ground) else {
        return html! { p { "The one that was kept is not understood." } };
    };
    let (is, would) = if session.kept_shown { (shown, &other) } else { (&other, shown) };
    let rows = differing(is, would);
    let columns = [("what", false), ("as it is", true), ("as you would have it", true)];
    let cells: Vec<Vec<Markup>> =
        rows.iter().map(|(what, a, b)| vec![cell(what), cell(a), cell(b)]).collect();
    html! {
        section.ask aria-label="As it is and as you would have it" {
            h2 { "What differs" }
            @if rows.is_empty() { p { "No figure differs." } }
            @else { (table("What differs", &columns, &cells)) }
            (findings("No longer found", is, would))
            (findings("New", would, is))
        }
    }
}

/// Figures that are shown differently: the name, as it is, as it would be.
fn differing(is: &Work, would: &Work) -> Vec<(String, String, String)> {
    let (a, b) = (figures(is), figures(would));
    let mut rows: Vec<(String, String, String)> = Vec::new();
    for (what, says) in &a {
        let other = b.iter().find(|(w, _)| w == what).map_or("-", |(_, s)| s.as_str());
        if says != other {
            rows.push((what.clone(), says.clone(), other.to_owned()));
        }
    }
    for (what, says) in b.iter().filter(|(w, _)| !a.iter().any(|(o, _)| o == w)) {
        rows.push((what.clone(), "-".to_owned(), says.clone()));
    }
    rows
}

/// Every figure that may be compared, as it is shown elsewhere on the sheet.
fn figures(work: &Work) -> Vec<(String, String)> {
    let (study, units) = (&work.report.study, work.units());
    let mut all = Vec::new();
    if let Ok(share) = &study.discharge {
        all.push((
            "spread between strings".to_owned(),
            held(&format!("{} %", fixed(share.spread_percent, 1))),
        ));
        for string in &share.strings {
            let amps = held(&show::current(Current::amps(string.amps)));
            all.push((format!("string {}", string.id), amps));
        }
    }
    for lead in &study.leads {
        let cut = held(&show::length(lead.length.cut, units));
        all.push((
            format!("lead {}", lead.id),
            format!("{}, cut {cut}", held(&lead.size.to_string())),
        ));
    }
    for block in &study.layout.plan.blocks {
        let length = |l| held(&show::length(l, units));
        let at = format!(
            "{}, {}, {}°",
            length(block.corner.x),
            length(block.corner.y),
            block.turn.degrees()
        );
        all.push((format!("block {} lies at", block.id), at));
    }
    for load in &study.design.loads {
        if let Some(daily) = load.daily {
            let hours = held(&format!("{} h a day", show::decimal(daily.as_hours(), 2)));
            all.push((format!("load {}", load.part.name), hours));
        }
    }
    all
}

/// Findings of one that the other does not have.
fn findings(title: &str, of: &Work, without: &Work) -> Markup {
    let same = |a: &Finding, b: &Finding| a.code == b.code && a.path == b.path && a.says == b.says;
    let only: Vec<&Finding> = of
        .report
        .findings
        .iter()
        .filter(|f| !without.report.findings.iter().any(|o| same(f, o)))
        .collect();
    html! {
        @if !only.is_empty() {
            h3 { (title) }
            ul { @for f in only { li { b { (f.severity.word()) } " " (f.code) ", " (f.part) ": " (f.says) } } }
        }
    }
}

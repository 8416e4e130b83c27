//! R09: a lug whose hole does not suit its stud.

use super::context::{CheckError, Context, Said};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::lead::Terminal;
use crate::sizing::answer::{LeadAnswer, LugChoice};
use crate::tables::termination::StudFit;
use crate::units::show::UnitSystem;
use crate::units::{Length, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut said = Vec::new();
    for answer in &cx.study.leads {
        let Some(wired) = cx.study.wiring.lead(&answer.id) else {
            continue;
        };
        let ends = [
            (&answer.from, &answer.lug_from, wired.stated.from_end.lug_hole, "lug_from"),
            (&answer.to, &answer.lug_to, wired.stated.to_end.lug_hole, "lug_to"),
        ];
        for (at, lug, hole, field) in ends {
            let judged = match hole {
                Some(hole) => judge(cx, (answer, at), hole, lug),
                None if wired.stated.part.have => Some(unknown(answer, at)),
                None => None,
            };
            said.extend(judged.map(|(severity, says, remedy)| Said {
                severity,
                path: format!("lead.{}.{field}", answer.id),
                part: format!("lead {}", answer.id),
                says,
                remedy,
                why: "The lug must lie flat on the contact all round its stud.",
                sources: vec![Cite::practice("rule R09")],
                gates: None,
            }));
        }
    }
    Ok(said)
}

/// A diameter as a calliper shows it: tenths of a millimetre, or inches to the sixteenth.
fn across(diameter: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{} mm", show::decimal(diameter.as_mm(), 1)),
        UnitSystem::Us => show::length(diameter, units),
    }
}

type Words = (Severity, String, String);

fn judge(
    cx: &Context<'_>,
    end: (&LeadAnswer, &Terminal),
    hole: Length,
    lug: &LugChoice,
) -> Option<Words> {
    let (answer, at) = end;
    let id = &answer.id;
    let units = cx.units();
    let Some(stud) = lug.stud else {
        return Some((
            Severity::Fix,
            format!(
                "Lead {id} has a {} hole, but the stud of {at} is not known.",
                across(hole, units)
            ),
            format!("Measure the stud of {at} with a calliper and write it."),
        ));
    };
    let shown = format!("{} hole on the {} stud of {at}", across(hole, units), across(stud, units));
    let wrong = |what: &str| {
        Some((
            Severity::Fix,
            format!("Lead {id} has a {shown}. {what}"),
            format!("Crimp a new lug onto lead {id}, for a stud of {}.", across(stud, units)),
        ))
    };
    match fit(cx, hole, stud) {
        StudFit::Same | StudFit::Fits => None,
        StudFit::WithCare => Some((
            Severity::Note,
            format!(
                "Lead {id} has a {shown}: near enough to use with care (from memory, not verified)."
            ),
            format!("Centre the lug on {at} so that it bears all round, under a wide flat washer."),
        )),
        StudFit::No if stud < hole => wrong("Hole too big: contact area is lost."),
        StudFit::No => wrong("Hole too small: it will not go on."),
    }
}

/// How a hole suits a stud: both are read as the nearest stud size of the table, a hole as the
/// clearance hole of one.
fn fit(cx: &Context<'_>, hole: Length, stud: Length) -> StudFit {
    let table = &cx.tables.termination;
    let near = |of: &dyn Fn(&str) -> Option<Length>, length: Length| {
        table
            .studs()
            .filter_map(|name| Some((name, (of(name)? - length).abs())))
            .min_by(|a, b| a.1.as_mm().total_cmp(&b.1.as_mm()))
    };
    let diameter = |name: &str| table.stud_diameter(name).map(|d| d.value);
    let clearance = |name: &str| table.clearance_hole(name).map(|d| d.value);
    let (Some(by_stud), stud_name) = (near(&diameter, hole), near(&diameter, stud)) else {
        return StudFit::No;
    };
    let Some((stud_name, _)) = stud_name else {
        return StudFit::No;
    };
    // A hole is named after its stud by most people and measured by some; the nearer one is meant.
    let hole_name = match near(&clearance, hole) {
        Some((name, off)) if off < by_stud.1 => name,
        _ => by_stud.0,
    };
    table.stud_fit(hole_name, stud_name)
}

fn unknown(answer: &LeadAnswer, at: &Terminal) -> Words {
    let id = &answer.id;
    (
        Severity::Fix,
        format!("Lead {id} is in hand, but the hole of its lug for {at} is not known."),
        format!("Measure the hole with a calliper or a drill shank and write it for lead {id}."),
    )
}

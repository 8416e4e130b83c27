//! R08: a lead in hand that no longer reaches in this layout.

use super::context::{CheckError, Context, Said};
use crate::finding::Severity;
use crate::sizing::answer::{LeadAnswer, Reuse};
use crate::units::{Length, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let slack = cx.limit("lead-slack-each-end")?;
    let mut said = Vec::new();
    for answer in &cx.study.leads {
        let id = &answer.id;
        let (says, remedy) = match &answer.reuse {
            Reuse::TooShort { missing } => too_short(cx, answer, *missing),
            Reuse::Unmeasured => (
                format!(
                    "Lead {id} is in hand, but nothing says how long: whether it reaches from {} \
                     to {} is not known.",
                    answer.from, answer.to
                ),
                format!("Measure lead {id} from hole to hole and write lead.{id}.length."),
            ),
            Reuse::New | Reuse::Fits { .. } | Reuse::WrongLug { .. } | Reuse::TooThin { .. } => {
                continue;
            }
        };
        said.push(Said {
            severity: Severity::Stop,
            path: format!("lead.{id}.length"),
            part: format!("lead {id}"),
            says,
            remedy,
            why: "A lead that is made up cannot be stretched; turning the box moves every post.",
            sources: vec![slack.cite.clone()],
            gates: None,
        });
    }
    Ok(said)
}

fn too_short(cx: &Context<'_>, answer: &LeadAnswer, missing: Length) -> (String, String) {
    let units = cx.units();
    let id = &answer.id;
    let have = cx.study.wiring.lead(id).and_then(|l| l.stated.length);
    let needed = have.map_or(answer.length.cut, |have| have + missing);
    (
        format!(
            "Lead {id} needs {} in this layout; the one you have is {} short.",
            show::length(needed, units),
            show::length(missing, units)
        ),
        format!(
            "Make a new lead {id}, or turn the blocks back so that {} and {} are nearer.",
            answer.from, answer.to
        ),
    )
}

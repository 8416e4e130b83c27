//! R19: a lead that gets too hot under its steady current.

use super::context::{CheckError, Context, Said};
use crate::cite::Status;
use crate::finding::Severity;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let table = cx.practice()?.ampacity_table.cite.clone();
    let mut said = Vec::new();
    for answer in &cx.study.leads {
        if answer.design_amps <= answer.ampacity {
            continue;
        }
        let id = &answer.id;
        let memory = if answer.status == Status::Recalled {
            " by a table from memory, not verified"
        } else {
            ""
        };
        let remedy = if answer.smallest == answer.size {
            format!("Use two leads side by side, or bring the current of lead {id} down.")
        } else {
            format!("Use {} or thicker for lead {id}.", answer.smallest)
        };
        said.push(Said {
            severity: Severity::Stop,
            path: format!("lead.{id}.size"),
            part: format!("lead {id}"),
            says: format!(
                "Lead {id} ({}) carries {} ({}), but may carry only {}{memory}.",
                answer.size,
                show::current(answer.design_amps),
                answer.design_why,
                show::current(answer.ampacity)
            ),
            remedy,
            why: "An overloaded cable softens its jacket, touches metal, and starts a fire.",
            sources: [vec![table.clone()], answer.cites.clone()].concat(),
            gates: None,
        });
    }
    Ok(said)
}

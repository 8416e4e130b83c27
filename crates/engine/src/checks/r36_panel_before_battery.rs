//! R36: panels that come before the battery is on their controller, and plugs that stay live.

use super::context::{CheckError, Context, Said};
use crate::circuit::paths::way_out;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::source::Array;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    Ok(cx.design().arrays.iter().filter_map(|array| judged(cx, array)).collect())
}

fn judged(cx: &Context<'_>, array: &Array) -> Option<Said> {
    let name = &array.part.name;
    let named = array.controller.as_deref();
    let standing = named.and_then(|c| cx.design().device(c));
    let Some(controller) = standing else {
        let says = match named {
            Some(c) => {
                format!("{name} stands before {c} does: its plugs are live in any daylight.")
            }
            None => {
                format!("No controller is named for {name}: its plugs are live in any daylight.")
            }
        };
        let remedy = format!(
            "Cover the panels and cap each plug of {name} until battery, then controller, are in; \
             name the controller in array.{name}.controller."
        );
        return Some(said(Severity::Note, name, (says, remedy)));
    };
    let controller = &controller.part.name;
    let wired = way_out(cx.design(), &cx.study.wiring, controller).is_some();
    if wired {
        return None;
    }
    let says = format!(
        "{name} stands at this stage while no lead joins {controller} to the battery: plugged in, \
         the panels drive it with nothing to hold its volts."
    );
    let remedy = format!(
        "Join the battery to {controller} first, the panels last, covered; take apart in reverse \
         order. Draw the leads of {controller}, or move {name} to a later stage."
    );
    Some(said(Severity::Stop, name, (says, remedy)))
}

fn said(severity: Severity, name: &str, (says, remedy): (String, String)) -> Said {
    Said {
        severity,
        path: format!("array.{name}.stage"),
        part: name.to_owned(),
        says,
        remedy,
        why: "A controller takes its volts from the battery; without it the panels' open volts \
              stand on its output and on what hangs there.",
        sources: vec![Cite::new("controller-order-notes", "order of joining", Status::Read)],
        gates: None,
    }
}

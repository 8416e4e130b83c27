//! R40: two mains sources on one conductor, or a plug whose pins are live.

use super::context::{CheckError, Context, Said};
use super::supply::{Supply, named, on_the_same_circuits};
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let sources = on_the_same_circuits(cx);
    if sources.len() < 2 {
        return Ok(Vec::new());
    }
    let who = named(&sources);
    let changeover = cx.design().mains.as_ref().and_then(|m| m.changeover.as_deref());
    let says = match changeover {
        Some("switch") => return Ok(Vec::new()),
        Some("built-in") => return Ok(built_in(cx, &sources).into_iter().collect()),
        Some("plug") => format!(
            "Only a plug moved by hand keeps {who} apart, and the pins of a plug can be live."
        ),
        Some("none") => meets(&sources, &who),
        _ => format!("It is not known whether anything keeps {who} apart."),
    };
    Ok(vec![said(says)])
}

fn meets(sources: &[Supply], who: &str) -> String {
    if sources.contains(&Supply::Inverter) {
        format!("Nothing keeps {who} apart: the mains would feed the inverter's output.")
    } else {
        format!("Nothing keeps {who} apart: one would feed the other.")
    }
}

/// A switch inside the inverter keeps the inverter apart from its own input and no more.
fn built_in(cx: &Context<'_>, sources: &[Supply]) -> Option<Said> {
    let without: Vec<&Device> =
        cx.design().devices_of(DeviceKind::Inverter).filter(|d| d.transfer != Some(true)).collect();
    if let Some(inverter) = without.first() {
        let name = &inverter.part.name;
        let says = match inverter.transfer {
            Some(false) => format!(
                "The changeover is said to be built in, but {name} has no switch from mains to \
                 inverter."
            ),
            _ => format!(
                "It is not known whether {name} has a switch of its own from mains to inverter."
            ),
        };
        return Some(Said { path: format!("device.{name}.transfer"), ..said(says) });
    }
    let inputs: Vec<Supply> = sources.iter().copied().filter(|s| *s != Supply::Inverter).collect();
    (2 <= inputs.len()).then(|| {
        said(format!(
            "The switch built into the inverter keeps only the inverter apart; it is not known \
             what keeps {} apart.",
            named(&inputs)
        ))
    })
}

fn said(says: String) -> Said {
    Said {
        severity: Severity::Stop,
        path: "mains.changeover".to_owned(),
        part: "the mains side".to_owned(),
        says,
        remedy:
            "Have a licensed electrician fit a changeover switch that breaks both poles before \
                 it makes, then write mains.changeover = \"switch\", or \"built-in\" for the \
                 inverter's own."
                .to_owned(),
        why: "An inverter that meets the mains fails at once, and a bare plug pin can kill.",
        sources: vec![
            Cite::new("bss-ac-checks", "3.9.1", Status::Read),
            Cite::new("inverter-install-pages", "break before make, both poles", Status::Read),
        ],
        gates: None,
    }
}

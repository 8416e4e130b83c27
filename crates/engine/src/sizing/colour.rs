//! The colour of a lead's jacket, or of the marking at both its ends.

use super::rules::Rules;
use crate::circuit::wiring::{Polarity, WiredLead};
use crate::cite::{Cite, Status};
use crate::model::design::Design;
use crate::model::device::DeviceKind;
use crate::model::lead::Terminal;

/// The colour and where it comes from.
///
/// A link between two blocks stands above the minus and is marked like a plus lead: nobody should
/// take it for the side that may be touched.
pub(super) fn colour(design: &Design, rules: &Rules<'_>, lead: &WiredLead) -> (String, Cite) {
    if let Some(own) = &lead.stated.colour {
        return (own.clone(), Cite::new("owner", "the design file", Status::Read));
    }
    let bonds = |t: &Terminal| {
        t.device().and_then(|d| design.device(d)).is_some_and(|d| d.kind == DeviceKind::Bond)
    };
    let chosen = if bonds(&lead.from) || bonds(&lead.to) {
        &rules.settings.colour_bond
    } else {
        match lead.polarity {
            Polarity::Minus => &rules.settings.colour_negative,
            Polarity::Plus | Polarity::Between | Polarity::Both | Polarity::Neither => {
                &rules.settings.colour_positive
            }
        }
    };
    (chosen.value.clone(), chosen.cite.clone())
}

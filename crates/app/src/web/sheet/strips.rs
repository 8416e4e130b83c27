//! The strips below the plan; only those that are open are worked out.

use super::{keys, leads, nights, proved, share, take_away, weights, work_list};
use crate::web::intent::StripName;
use crate::web::session::Session;
use maud::Markup;

/// Every strip: its name, the id of its body, its title.
pub(super) const ALL: [(StripName, &str, &str); 9] = [
    (StripName::Share, super::strip_id(StripName::Share), "Share: what each part carries"),
    (StripName::Leads, super::strip_id(StripName::Leads), "Leads and cut list"),
    (StripName::Weights, super::strip_id(StripName::Weights), "Weights: the rig from the side"),
    (StripName::Nights, super::strip_id(StripName::Nights), "Nights without a hook-up"),
    (StripName::Shopping, super::strip_id(StripName::Shopping), "Shopping"),
    (StripName::Steps, super::strip_id(StripName::Steps), "Steps in the order of hands"),
    (StripName::Proved, super::strip_id(StripName::Proved), "Proved: what the meter showed"),
    (
        StripName::TakeAway,
        super::strip_id(StripName::TakeAway),
        "Take away: book, folder, phone copy, cut list, templates",
    ),
    (StripName::Keys, super::strip_id(StripName::Keys), "Keys"),
];

/// What stands in an open strip.
pub(super) fn body(session: &Session, name: StripName) -> Markup {
    match name {
        StripName::Share => share::piece(session),
        StripName::Leads => leads::piece(session),
        StripName::Weights => weights::piece(session),
        StripName::Nights => nights::piece(session),
        StripName::Shopping => work_list::shopping(session),
        StripName::Steps => work_list::steps(session),
        StripName::Proved => proved::piece(session),
        StripName::TakeAway => take_away::piece(session),
        StripName::Keys => keys::piece(),
    }
}

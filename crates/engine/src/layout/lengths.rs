//! How long each lead is: along its route, as made from stud to stud, and as cut from the cable.

use super::figures::{Cable, Figures};
use super::route::Route;
use crate::circuit::wiring::{LeadRole, WiredLead};
use crate::model::bank::Bank;
use crate::units::{Length, OneWay};

/// Shorter than this by less is a matter of the tape, not of the lead.
const SHORT_MM: f64 = 0.01;

/// How a lug takes up length at one end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LugReach {
    /// From the stud centre to the closed end of the barrel, where the cable ends.
    pub palm: Length,
    /// Depth of the barrel.
    pub barrel: Length,
}

impl LugReach {
    /// A lug for a stud and a cable.
    #[must_use]
    pub(super) fn of(stud: Option<Length>, cable: &Cable, figures: &Figures<'_>) -> Self {
        let stud = stud.unwrap_or(figures.stud.value);
        let usual = cable.diameter * figures.lug_barrel;
        Self { palm: stud * figures.lug_palm, barrel: cable.barrel.unwrap_or(usual) }
    }

    /// From the stud centre to the mouth of the barrel, where the cable may begin to bend.
    #[must_use]
    pub fn mouth(&self) -> Length {
        self.palm + self.barrel
    }
}

/// The length of a lead, with each part of it.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadLength {
    /// Along the drawn route, stud to stud; nothing when an end is nowhere on the plan.
    pub route: OneWay,
    /// Allowance at each end.
    pub slack_each_end: Length,
    /// Stud to stud with the allowance at both ends.
    pub needed: Length,
    /// What every link of the same kind is made to, so that each string has the same resistance.
    pub equalised: Option<Length>,
    /// Stud to stud as made: for resistance and for the cut.
    pub made: OneWay,
    /// The lug at `from`.
    pub lug_from: LugReach,
    /// The lug at `to`.
    pub lug_to: LugReach,
    /// Cable to cut before the lugs go on: as made, less the palm of either lug.
    pub cut: Length,
    /// How far a tape may be out.
    pub tolerance: Length,
    /// Stud to stud as the owner states it.
    pub stated: Option<Length>,
    /// The stated length lacks this much.
    pub short_by: Option<Length>,
    /// Its length rests on something measured or decided, not on a pencil place.
    pub known: bool,
    /// Why it is that long.
    pub why: &'static str,
}

/// Stud to stud as stated for a lead, or for every link of the bank.
#[must_use]
pub(super) fn stated(lead: &WiredLead, bank: Option<&Bank>) -> Option<Length> {
    let links = bank.filter(|_| lead.role.is_link()).and_then(|bank| bank.link_length);
    lead.stated.length.or(links)
}

/// One lead before its partners are known.
pub(super) struct Measuring<'a> {
    pub(super) lead: &'a WiredLead,
    pub(super) route: Option<&'a Route>,
    pub(super) lugs: [LugReach; 2],
    /// Both ends are where they will be.
    pub(super) decided: bool,
    pub(super) stated: Option<Length>,
}

/// The length of a lead on its own, before it is made equal to its partners.
pub(super) fn alone(measuring: &Measuring<'_>, figures: &Figures<'_>) -> LeadLength {
    let route = measuring.route.map_or(Length::ZERO, |r| r.length.length());
    let slack = slack(measuring, figures);
    let needed = if measuring.route.is_some() { route + slack * 2.0 } else { Length::ZERO };
    let known = measuring.stated.is_some() || (measuring.decided && measuring.route.is_some());
    let short = measuring
        .stated
        .map(|stated| needed - stated)
        .filter(|by| measuring.decided && Length::mm(SHORT_MM) < *by);
    let link = measuring.lead.role.is_link();
    let mut length = LeadLength {
        route: OneWay::new(route),
        slack_each_end: slack,
        needed,
        equalised: None,
        made: OneWay::new(measuring.stated.unwrap_or(needed)),
        lug_from: measuring.lugs[0],
        lug_to: measuring.lugs[1],
        cut: Length::ZERO,
        tolerance: if link { figures.tape_bench } else { figures.tape_route },
        stated: measuring.stated,
        short_by: short,
        known,
        why: match (measuring.stated.is_some(), known) {
            (true, _) => "as stated",
            (false, true) => "along the drawn route, with slack at both ends",
            (false, false) => "along a route to a place that is not decided",
        },
    };
    length.cut = cut(&length);
    length
}

/// A straight link between two posts needs only as much slack as lifts a lug off its stud, about
/// one cable diameter; a lead that bends or leaves the bank gets the full allowance.
fn slack(measuring: &Measuring<'_>, figures: &Figures<'_>) -> Length {
    match measuring.route {
        Some(route) if measuring.lead.role.is_link() && route.bends() == 0 => {
            route.diameter.min(figures.slack)
        }
        _ => figures.slack,
    }
}

/// Cable to cut for a lead: it ends at the closed end of either barrel.
///
/// # Formula
/// c = l - p1 - p2
/// # Symbols
/// - `length`: l, stud to stud as made [mm]; p1, p2, stud centre to the closed end of the barrel at
///   either end [mm]
/// - returns c, cable to cut [mm]
/// # Valid
/// Lugs with a closed barrel. A lead shorter than its two palms cannot be made and gets nothing.
/// # Source
/// physics, sum of parts; the palm is common practice, computed
/// # Checked by
/// hand-worked link of the 2s3p bank in `mod.rs`.
fn cut(length: &LeadLength) -> Length {
    (length.made.length() - length.lug_from.palm - length.lug_to.palm).max(Length::ZERO)
}

/// Kinds of link whose partners carry equal shares and are therefore made equally long.
const PARTNERS: [LeadRole; 4] =
    [LeadRole::PlusLink, LeadRole::MinusLink, LeadRole::StringPlus, LeadRole::StringMinus];

/// Makes the links of each kind as long as the longest of them; a stated length stays as it is.
pub(super) fn equalise(leads: &[WiredLead], lengths: &mut [LeadLength]) {
    for role in PARTNERS {
        let members: Vec<usize> = (0..leads.len()).filter(|n| leads[*n].role == role).collect();
        let longest =
            members.iter().map(|n| lengths[*n].made.length()).fold(Length::ZERO, Length::max);
        let known = members.iter().all(|n| lengths[*n].known);
        for n in members {
            let length = &mut lengths[n];
            length.equalised = Some(longest);
            if length.stated.is_none() {
                if Length::mm(SHORT_MM) < longest - length.made.length() {
                    length.why = "as long as the longest link of its kind";
                    length.known = known;
                }
                length.made = OneWay::new(longest);
                length.cut = cut(length);
            }
        }
    }
}

//! The dry fit as numbers: how long each lead runs, and whether the one in hand reaches.

use crate::sizing::answer::{LeadAnswer, Reuse};
use crate::study::Study;
use crate::units::Length;

/// One lead as it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct DryFit {
    /// Its name.
    pub id: String,
    /// Along its path, stud to stud.
    pub route: Length,
    /// Cable to cut.
    pub cut: Length,
    /// Stud to stud, of the one in hand; `None` when none is or its length is not known.
    pub in_hand: Option<Length>,
    /// Over, or below zero short of what this layout needs.
    pub spare: Option<Length>,
    /// In hand, and never measured.
    pub unmeasured: bool,
}

/// Every lead of a stage, in wiring order.
#[must_use]
pub fn of(study: &Study) -> Vec<DryFit> {
    study.leads.iter().map(|lead| one(study, lead)).collect()
}

fn one(study: &Study, lead: &LeadAnswer) -> DryFit {
    let stated = study.wiring.lead(&lead.id).filter(|l| l.stated.part.have);
    let spare = match &lead.reuse {
        Reuse::Fits { over } => Some(*over),
        Reuse::TooShort { missing } => Some(-*missing),
        Reuse::New | Reuse::Unmeasured | Reuse::WrongLug { .. } | Reuse::TooThin { .. } => None,
    };
    DryFit {
        id: lead.id.clone(),
        route: lead.length.route.length(),
        cut: lead.length.cut,
        in_hand: stated.and_then(|l| l.stated.length),
        spare,
        unmeasured: lead.reuse == Reuse::Unmeasured,
    }
}

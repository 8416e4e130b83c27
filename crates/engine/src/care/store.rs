//! How to lay the bank up.

use super::charging::Charging;
use super::look::{Look, later};
use crate::cite::{Cite, Status};
use crate::model::block::Chemistry;
use crate::sim::storage::StorageDrain;
use crate::units::show;
use jiff::civil::Date;

/// One step of laying up.
#[derive(Clone, Debug, PartialEq)]
pub struct StoreStep {
    /// What to do; starts with a verb.
    pub what: String,
    /// Why, in one line.
    pub why: String,
    /// Where it comes from.
    pub cite: Cite,
}

/// How to lay the bank up.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct StoragePlan {
    /// What to do, in order.
    pub steps: Vec<StoreStep>,
    /// Days until half of it is gone with the isolator off, by the fastest figure of self-discharge.
    pub half_gone_days: Option<f64>,
    /// Days after which to charge it again.
    pub recharge_days: Option<f64>,
    /// When that is, counted from the last full charge.
    pub recharge_by: Option<Date>,
}

/// How to lay the bank up.
pub(super) fn of(look: &Look<'_>, charging: &Charging) -> StoragePlan {
    let (Some(chemistry), Some(_)) = (look.chemistry(), look.bank()) else {
        return StoragePlan::default();
    };
    let drain = StorageDrain::of(look.study, look.tables);
    let half = look.label_ah().map(|ah| drain.days_to(ah, 0.5, true)).filter(|d| d.is_finite());
    let month = look.limit("recharge-stored");
    let lead = chemistry.is_lead();
    let every = if lead { Some(half.map_or(month.value, |h| h.min(month.value))) } else { half };
    let mut steps = Vec::new();
    let mut step = |what: &str, why: &str, cite: Cite| {
        steps.push(StoreStep { what: what.to_owned(), why: why.to_owned(), cite });
    };
    if lead {
        let why = "Full acid does not freeze and full plates do not sulphate.";
        step("Charge it full, until the amps fall to the tail.", why, month.cite.clone());
    } else {
        let store = look.limit("lfp-store-charge");
        let what = format!(
            "Leave it at about {} % and not on float; its own sheet wins.",
            show::decimal(store.value * 100.0, 0)
        );
        step(&what, "A full LFP cell ages faster than a half full one.", store.cite);
    }
    if chemistry == Chemistry::Flooded {
        let what = "After that charge fill every cell with pure water to just under the tube.";
        let why = "Water that is not mixed in lies on top and freezes.";
        step(what, why, look.limit("water-check-days").cite);
    }
    let still: Vec<String> =
        drain.drains.iter().filter(|d| d.always && 0.0 < d.amps).map(|d| d.name.clone()).collect();
    let what = if still.is_empty() {
        "Turn the isolator off and see with the clamp meter that nothing flows.".to_owned()
    } else {
        format!("Turn the isolator off; {} still draws past it: pull its fuse.", still.join(", "))
    };
    let cite = Cite::practice("a real isolator for the winter");
    step(&what, "A quarter of an ampere is 180 Ah in a month.", cite);
    if let Some(days) = every {
        let what = format!(
            "Charge it again after {} days at the latest, or keep a maintainer on it.",
            show::decimal(days, 0)
        );
        let why = if lead {
            "A bank that stands half empty sulphates and freezes."
        } else {
            "A protection board that opens on an empty bank may not close again."
        };
        step(
            &what,
            why,
            if lead { month.cite.clone() } else { look.limit("self-discharge-lfp").cite },
        );
    }
    steps.push(cold(look, lead));
    let recharge_by = charging.last_full.zip(every).map(|(day, days)| later(day, days));
    StoragePlan { steps, half_gone_days: half, recharge_days: every, recharge_by }
}

/// What cold forbids.
fn cold(look: &Look<'_>, lead: bool) -> StoreStep {
    let step = |what: &str, why: &str, cite| StoreStep {
        what: what.to_owned(),
        why: why.to_owned(),
        cite,
    };
    if lead {
        step(
            "Never charge one that is frozen: thaw it first and look for cracks.",
            "Ice breaks plates and cases; a frozen one can burst.",
            Cite::new("memory", "never charge a frozen battery", Status::Recalled),
        )
    } else {
        step(
            "Never charge it under 0 °C.",
            "Metal grows on the plates of a cold LFP cell and shorts it later.",
            look.limit("lfp-charge-temperature-min").cite,
        )
    }
}

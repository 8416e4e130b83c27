//! Later stages: whether a part stands in them, and what they ask of it.

use crate::circuit::wiring::WiredLead;
use crate::circuit::wiring::Wiring;
use crate::model::design::Design;
use crate::model::device::{Device, DeviceKind};
use crate::sizing::answer::LeadAnswer;
use crate::study::Study;
use crate::units::Current;
use crate::units::show;

/// A stage after the one that is bought for.
#[derive(Clone, Copy)]
pub struct Later<'a> {
    /// Its name.
    pub stage: &'a str,
    /// The design as it stands then.
    pub design: &'a Design,
    /// Its leads.
    pub wiring: &'a Wiring,
    /// Their sizes and currents.
    pub leads: &'a [LeadAnswer],
}

impl<'a> Later<'a> {
    /// A later stage as it was worked through.
    #[must_use]
    pub fn of(study: &'a Study) -> Self {
        let stage = study.design.stages.get(study.stage).map_or("", |s| s.name.as_str());
        Self { stage, design: &study.design, wiring: &study.wiring, leads: &study.leads }
    }
}

/// Later stages in which a device still stands.
#[must_use]
pub fn with_device(later: &[Later<'_>], name: &str) -> Vec<String> {
    let stands = |l: &&Later<'_>| l.design.device(name).is_some();
    later.iter().filter(stands).map(|l| l.stage.to_owned()).collect()
}

/// Later stages in which a lead stands unchanged.
#[must_use]
pub fn with_lead(later: &[Later<'_>], lead: &WiredLead) -> Vec<String> {
    let stands = |l: &&Later<'_>| {
        l.wiring.lead(&lead.id).is_some_and(|new| new.from == lead.from && new.to == lead.to)
    };
    later.iter().filter(stands).map(|l| l.stage.to_owned()).collect()
}

/// The first later stage that asks more amps of a device than it is rated for.
///
/// A fuse is chosen for its lead, not for the current through it, so it is left out here.
#[must_use]
pub fn too_small(later: &[Later<'_>], device: &Device) -> Option<String> {
    let carries = matches!(
        device.kind,
        DeviceKind::Busbar | DeviceKind::Isolator | DeviceKind::Shunt | DeviceKind::Breaker
    );
    let rating = device.rating.filter(|_| carries)?;
    later.iter().find_map(|l| {
        let then = l.design.device(&device.part.name)?;
        // A part that the owner already plans to replace by a larger one says so by its rating.
        if then.rating.is_some_and(|r| r > rating) {
            return None;
        }
        let most = amps_at(l, &device.part.name)?;
        (most > rating).then(|| {
            format!(
                "rated {}, stage {} needs {}: buy the larger one now, this one is scrap then",
                show::current(rating),
                l.stage,
                show::current(most)
            )
        })
    })
}

/// Largest design current of any lead on a device.
fn amps_at(later: &Later<'_>, device: &str) -> Option<Current> {
    let on = |a: &&LeadAnswer| a.from.device() == Some(device) || a.to.device() == Some(device);
    later.leads.iter().filter(on).map(|a| a.design_amps).reduce(Current::max)
}

/// The first later stage that asks a thicker conductor of a lead that stays.
#[must_use]
pub fn too_thin(later: &[Later<'_>], lead: &WiredLead, now: &LeadAnswer) -> Option<String> {
    later.iter().find_map(|l| {
        let stays = l.wiring.lead(&lead.id)?;
        if stays.from != lead.from || stays.to != lead.to {
            return None;
        }
        let then = l.leads.iter().find(|a| a.id == lead.id)?;
        (then.area > now.area)
            .then(|| format!("stage {} needs {}: cut it from that now", l.stage, then.size))
    })
}

//! Where the volts go under load: from the blocks at rest to the studs of the device, and the line
//! under which it drops out.

use crate::circuit::share::Share;
use crate::study::Study;

/// One place on the way of the current.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    /// Where a meter is held, in words.
    pub place: String,
    /// What it shows [V].
    pub volts: f64,
}

/// The rungs from the blocks to the device.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// The device at its foot.
    pub device: String,
    /// What it takes [A].
    pub amps: f64,
    /// What leaves the bank in all [A].
    pub total_amps: f64,
    /// At rest, at the take-off, past the leads, at the device; never rising.
    pub rungs: Vec<Rung>,
    /// Volts at which the device drops out, where they are known [V].
    pub cut_off_v: Option<f64>,
}

impl Ladder {
    /// The ladder of a share: to the device that drops out on low volts, or else to the one with the
    /// most amps. `None` where nothing takes amps.
    #[must_use]
    pub fn of(study: &Study, share: &Share) -> Option<Self> {
        let takes = || share.paths.iter().filter(|p| 0.0 < p.amps);
        let cut_off = |id: &str| {
            let own = study.design.device(id).and_then(|d| d.cut_off);
            let main =
                study.consumer.cut_off.filter(|_| study.consumer.device.as_deref() == Some(id));
            own.or(main).map(|v| v.as_volts())
        };
        let path = takes()
            .filter(|p| cut_off(&p.id).is_some())
            .max_by(|a, b| a.amps.total_cmp(&b.amps))
            .or_else(|| takes().max_by(|a, b| a.amps.total_cmp(&b.amps)))?;
        let rest_v = rest_volts(study)?;
        let past_leads_v = share.bank_volts - path.drop_mv / 1000.0;
        let rung = |place: &str, volts: f64| Rung { place: place.to_owned(), volts };
        let mut rungs = vec![
            rung("blocks at rest", rest_v),
            rung("posts, under load", share.bank_volts),
            rung("past leads and joints", past_leads_v),
        ];
        // Fuses, switches and the shunt get a rung of their own where a meter can tell it.
        if 0.001 <= path.devices_mv.abs() / 1000.0 {
            let place = format!("studs of the {}", path.id);
            rungs.push(rung(&place, past_leads_v - path.devices_mv / 1000.0));
        } else if let Some(last) = rungs.last_mut() {
            last.place = format!("studs of the {}", path.id);
        }
        Some(Self {
            device: path.id.clone(),
            amps: path.amps,
            total_amps: share.total_amps,
            rungs,
            cut_off_v: cut_off(&path.id),
        })
    }
}

/// Volts of a string at rest, the mean of the strings [V].
fn rest_volts(study: &Study) -> Option<f64> {
    let bank = study.design.bank()?;
    let sum: f64 = study.facts.blocks.iter().map(|b| b.emf.as_volts()).sum();
    (0 < bank.parallel).then(|| sum / f64::from(bank.parallel))
}

//! What drains the bank while the rig stands unused, and when it is at half or empty.

use super::loads::standby_amps;
use crate::circuit::paths::{Step, way_out};
use crate::cite::Cite;
use crate::facts::device::nominal_volts;
use crate::model::block::Chemistry;
use crate::model::device::{Device, DeviceKind};
use crate::study::Study;
use crate::tables::{Sourced, Tables};

/// Days of a mean month; the figures of self-discharge are printed by the month.
const DAYS_OF_A_MONTH: f64 = 30.4375;

/// One thing that drains a parked rig.
#[derive(Clone, Debug, PartialEq)]
pub struct Drain {
    /// What.
    pub name: String,
    /// Mean amps [A].
    pub amps: f64,
    /// It goes on with the isolator off.
    pub always: bool,
}

/// What drains a parked rig.
#[derive(Clone, Debug, PartialEq)]
pub struct StorageDrain {
    /// Loads and devices, in file order.
    pub drains: Vec<Drain>,
    /// Share of the amp-hours lost a day by itself, one entry for each source that was read, the
    /// slowest first; they disagree and are never averaged [1/day].
    pub self_per_day: Vec<Sourced<f64>>,
}

impl StorageDrain {
    /// What drains the rig of a stage while it is parked.
    #[must_use]
    pub fn of(study: &Study, tables: &Tables) -> Self {
        let nominal_v = nominal_volts(&study.design).map_or(12.0, |v| v.as_volts());
        let design = &study.design;
        let mut drains = Vec::new();
        for load in design.loads.iter().filter(|l| l.standby == Some(true)) {
            if let Some(amps) = standby_amps(load, nominal_v) {
                let always = load.fed_from.as_deref().is_some_and(|d| past_no_switch(study, d));
                drains.push(Drain { name: load.part.name.clone(), amps, always });
            }
        }
        let measured = !drains.is_empty();
        for device in &design.devices {
            if let Some(amps) = own_amps(tables, device, nominal_v, measured) {
                let name = device.part.name.clone();
                let always = past_no_switch(study, &name);
                drains.push(Drain { name, amps, always });
            }
        }
        let chemistry = study.facts.blocks.first().map_or(Chemistry::Flooded, |b| b.chemistry);
        Self { drains, self_per_day: self_discharge(tables, chemistry) }
    }

    /// Amps in all, with the isolator on or off [A].
    #[must_use]
    pub fn amps(&self, isolator_off: bool) -> f64 {
        self.drains.iter().filter(|d| d.always || !isolator_off).map(|d| d.amps).sum()
    }

    /// Share of the amp-hours gone after so many days, by the slowest and the fastest figure.
    ///
    /// # Formula
    /// D = d (24 I / C + s)
    /// # Symbols
    /// - `amp_hours`: C [Ah]; `days`: d [day]; I, see `amps` [A]; s, self-discharge [1/day]
    /// - returns D twice [1], above one when more is asked than there is
    /// # Valid
    /// Constant amps. Self-discharge slows as the bank empties and in the cold, so D is on the safe
    /// side there.
    /// # Source
    /// storage-columns and others, rows in `data/rules/limits.csv`, status read
    /// # Checked by
    /// `a_month_away`, hand worked
    #[must_use]
    pub fn share_gone(&self, amp_hours: f64, days: f64, isolator_off: bool) -> (f64, f64) {
        let loads = self.amps(isolator_off) * 24.0 * days / amp_hours.max(1e-9);
        let by = |s: Option<&Sourced<f64>>| loads + s.map_or(0.0, |s| s.value) * days;
        (by(self.self_per_day.first()), by(self.self_per_day.last()))
    }

    /// Days until so much is gone, by the fastest figure; endless where nothing drains.
    #[must_use]
    pub fn days_to(&self, amp_hours: f64, share: f64, isolator_off: bool) -> f64 {
        let (_, per_day) = self.share_gone(amp_hours, 1.0, isolator_off);
        if per_day > 0.0 { share / per_day } else { f64::INFINITY }
    }

    /// Where the figures of self-discharge come from.
    #[must_use]
    pub fn cites(&self) -> Vec<Cite> {
        self.self_per_day.iter().map(|s| s.cite.clone()).collect()
    }
}

/// Nothing that a hand opens stands between the bank and a device.
fn past_no_switch(study: &Study, device: &str) -> bool {
    let Some(way) = way_out(&study.design, &study.wiring, device) else {
        // A device with no leads of its own hangs on another that the file does not name.
        return false;
    };
    let isolator =
        |name: &str| study.design.device(name).is_some_and(|d| d.kind == DeviceKind::Isolator);
    !way.iter().any(|step| matches!(step, Step::Device(name) if isolator(name)))
}

/// What a device takes for itself while the rig is parked, inverters switched off.
fn own_amps(tables: &Tables, device: &Device, nominal_v: f64, measured: bool) -> Option<f64> {
    let idle = device.idle.map(|p| p.as_watts() / nominal_v);
    match device.kind {
        DeviceKind::Alarm if !measured => device.rating.map(|a| a.as_amps()).or(idle),
        DeviceKind::Panel | DeviceKind::StepDown | DeviceKind::Equipment => idle,
        DeviceKind::SolarController if !measured => {
            let usual = tables.limits.value("controller-own-draw").value / nominal_v;
            Some(idle.unwrap_or(usual))
        }
        _ => None,
    }
}

fn self_discharge(tables: &Tables, chemistry: Chemistry) -> Vec<Sourced<f64>> {
    let row = |id: &str, days: f64| tables.limits.value(id).map(|percent| percent / 100.0 / days);
    match chemistry {
        Chemistry::Flooded => vec![
            row("self-discharge-slow-low", DAYS_OF_A_MONTH),
            row("self-discharge-slow-high", DAYS_OF_A_MONTH),
            row("self-discharge-fast", 1.0),
        ],
        // No figure for gel was read; it is held to that of AGM.
        Chemistry::Agm | Chemistry::Gel => vec![row("self-discharge-agm", DAYS_OF_A_MONTH)],
        Chemistry::Lfp => vec![row("self-discharge-lfp", DAYS_OF_A_MONTH)],
    }
}

#[cfg(test)]
mod tests {
    use super::{Drain, StorageDrain, self_discharge};
    use crate::model::block::Chemistry;
    use crate::tables::Tables;

    #[test]
    fn a_month_away() {
        let tables = Tables::load().expect("the tables are well formed");
        let drain = |amps: f64, always: bool| Drain { name: "x".to_owned(), amps, always };
        let parked = StorageDrain {
            drains: vec![drain(0.3, false), drain(0.05, true)],
            self_per_day: self_discharge(&tables, Chemistry::Flooded),
        };
        // Hand worked, 200 Ah: 0.35 A x 24 x 30 = 252 Ah = 1.26; 3 % a month = 0.0296 more, 1 % a
        // day = 0.30 more.
        let (slow, fast) = parked.share_gone(200.0, 30.0, false);
        assert!((slow - 1.2896).abs() < 1e-3 && (fast - 1.56).abs() < 1e-9, "{slow} {fast}");
        // Off: 0.05 A x 24 x 30 = 36 Ah = 0.18, and the same self-discharge.
        let (slow, fast) = parked.share_gone(200.0, 30.0, true);
        assert!((slow - 0.2096).abs() < 1e-3 && (fast - 0.48).abs() < 1e-9, "{slow} {fast}");
        let days = parked.days_to(200.0, 0.5, true);
        // 0.5 / (0.006 + 0.01) = 31.25 days.
        assert!((days - 31.25).abs() < 1e-9, "{days}");
    }
}

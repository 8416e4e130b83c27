//! The line by which a vehicle feeds a trailer: its drop, and what comes through it.

use super::chain::{Phase, Source};
use crate::calc::feed_line::{line_amps, line_watts};
use crate::circuit::wiring::Polarity;
use crate::cite::{Cite, Status};
use crate::facts::conductor::conductor_resistance;
use crate::finding::Assumed;
use crate::model::device::{Device, DeviceKind};
use crate::study::Study;
use crate::tables::{Sourced, Tables};
use crate::units::conductor::ConductorSize;
use crate::units::{Length, Resistance, Temperature, show};

/// The line from a vehicle's alternator to the studs of a tow line or dc-dc charger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Volts at the far end, engine running [V].
    pub source_v: f64,
    /// Out and back, plugs included, up to the device's own studs [ohm].
    pub ohm: f64,
    /// Volts under which a dc-dc charger stops [V].
    pub least_v: f64,
    /// Output over input of the dc-dc charger; one for a plain line [1].
    pub efficiency: f64,
    /// It is a plain line: what flows is what the volts drive.
    pub plain: bool,
}

impl Line {
    /// The line of a tow line or dc-dc charger; nothing for other devices.
    #[must_use]
    pub fn of(
        study: &Study,
        tables: &Tables,
        device: &Device,
        assumed: &mut Vec<Assumed>,
    ) -> Option<Self> {
        if !matches!(device.kind, DeviceKind::TowLine | DeviceKind::DcDc) {
            return None;
        }
        let plain = device.kind == DeviceKind::TowLine;
        let source_v = source_volts(tables, device, assumed);
        let efficiency = if plain { 1.0 } else { efficiency(tables, device, assumed) };
        let share = tables.limits.value("inverter-cut-off-share").value;
        // A vehicle's own side is 12 V; a 24 V one says so by its volts.
        let nominal = if source_v < 20.0 { 12.0 } else { 24.0 };
        let least_v = device.cut_off.map_or(nominal * share, |v| v.as_volts());
        let ohm = vehicle_ohm(study, tables, device, assumed);
        Some(Self { source_v, ohm, least_v, efficiency, plain })
    }

    /// Amps that come out at the posts' volts, the trailer's own leads included for a plain line [A].
    #[must_use]
    pub fn most_a(self, source: &Source, posts_v: f64) -> f64 {
        if self.plain {
            return line_amps(self.source_v, posts_v, self.ohm + source.ohm);
        }
        let out_v = source.set_v(Phase::Absorb, 25.0).unwrap_or(posts_v).max(posts_v).max(1.0);
        self.efficiency * line_watts(self.source_v, self.least_v, self.ohm) / out_v
    }
}

fn source_volts(tables: &Tables, device: &Device, assumed: &mut Vec<Assumed>) -> f64 {
    if let Some(volts) = device.fed_volts {
        return volts.as_volts();
    }
    let usual = tables.limits.value("vehicle-charging-volts");
    assumed.push(Assumed {
        path: format!("device.{}.fed_volts", device.part.name),
        value: format!("{} V", show::decimal(usual.value, 1)),
        how_to_measure: "a meter at the vehicle's battery, engine running, lights on".to_owned(),
        matters: "a tenth of a volt is one or two amps through a tow line".to_owned(),
        cite: usual.cite,
    });
    usual.value
}

fn efficiency(tables: &Tables, device: &Device, assumed: &mut Vec<Assumed>) -> f64 {
    if let Some(share) = device.efficiency {
        return share;
    }
    let usual = tables.limits.value("dcdc-efficiency");
    assumed.push(Assumed {
        path: format!("device.{}.efficiency", device.part.name),
        value: format!("{} %", show::decimal(usual.value * 100.0, 0)),
        how_to_measure: "its own sheet".to_owned(),
        matters: "a few per cent of its amps".to_owned(),
        cite: usual.cite,
    });
    usual.value
}

/// The vehicle's own line, out and back, with the plug: its size is that of the lead on the device's
/// plus stud.
fn vehicle_ohm(study: &Study, tables: &Tables, device: &Device, assumed: &mut Vec<Assumed>) -> f64 {
    let name = &device.part.name;
    let units = study.design.rig.units;
    let plug = device.resistance.unwrap_or_else(|| {
        let usual = tables.limits.value("tow-plug-resistance");
        let ohm = Resistance::milliohms(usual.value);
        assumed.push(Assumed {
            path: format!("device.{name}.resistance"),
            value: format!("{} for both pins of the plug", show::resistance(ohm)),
            how_to_measure: "millivolts across the joined plug under a known load".to_owned(),
            matters: "a dirty plug takes more than the whole line".to_owned(),
            cite: usual.cite,
        });
        ohm
    });
    let length = device.length.unwrap_or_else(|| {
        let usual = tables.limits.value("vehicle-line-length");
        let length = Length::mm(usual.value * 1000.0);
        assumed.push(Assumed {
            path: format!("device.{name}.length"),
            value: show::length(length, units),
            how_to_measure: "tape along the line from the engine bay to the plug".to_owned(),
            matters: "the amps through the line go down as its length goes up".to_owned(),
            cite: usual.cite,
        });
        length
    });
    let size = line_size(study, name);
    let warm = Temperature::celsius(tables.limits.value("vehicle-line-temperature").value);
    let wire = size
        .and_then(|size| conductor_resistance(tables, size, length * 2.0, warm))
        .map_or(Resistance::ZERO, |(ohm, _)| ohm);
    plug.as_ohms() + wire.as_ohms()
}

/// The size of the lead on a device's plus stud.
fn line_size(study: &Study, device: &str) -> Option<ConductorSize> {
    let ends_there = |lead: &&crate::circuit::wiring::WiredLead| {
        lead.polarity == Polarity::Plus
            && [&lead.from, &lead.to].iter().any(|t| t.device() == Some(device))
    };
    let lead = study.wiring.leads.iter().find(ends_there)?;
    study.leads.iter().find(|l| l.id == lead.id).map(|l| l.size)
}

/// Where the arithmetic of a tow line was read.
#[must_use]
pub fn articles() -> Cite {
    Cite::new("tow-line-articles", "drop of a tow vehicle's charge line", Status::Read)
}

/// Volts lost between the vehicle and the posts at so many amps, out and back.
#[must_use]
pub fn drop_at(line: Line, source: &Source, amps: f64) -> Sourced<f64> {
    Sourced::new(amps * (line.ohm + source.ohm), articles())
}

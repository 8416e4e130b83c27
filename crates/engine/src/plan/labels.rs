//! What is written on each lead, at both ends, and on each charger.

use super::job::Job;
use crate::circuit::wiring::Polarity;
use crate::model::device::{Device, DeviceKind};
use crate::units::show::{decimal, fixed};
use crate::units::{Current, Voltage};

/// A label; two of each are made, one for each end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The lead.
    pub lead: String,
    /// From and to.
    pub way: String,
    /// Size and colour.
    pub size: String,
    /// The fuse that guards it.
    pub fuse: String,
    /// The sign: `+`, `−`, or nothing for a link inside a string.
    pub sign: &'static str,
}

/// Set points of one charger.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetPoints {
    /// The charger.
    pub device: String,
    /// Each set point and its value, or `find out` with where to look.
    pub rows: Vec<(String, String)>,
}

/// One label for every lead of the stage.
#[must_use]
pub fn labels(job: &Job<'_>) -> Vec<Label> {
    job.wiring
        .leads
        .iter()
        .map(|lead| {
            let answer = job.answer(&lead.id);
            let size = answer.map_or_else(
                || "size: find out".to_owned(),
                |a| format!("{} {}", a.size, a.colour),
            );
            let fuse = answer.and_then(|a| a.fuse.as_ref()).map_or_else(
                || "no fuse of its own".to_owned(),
                |f| guarded(&f.id, f.rating, &f.trade),
            );
            let sign = match lead.polarity {
                Polarity::Plus => "+",
                Polarity::Minus => "−",
                Polarity::Between | Polarity::Both | Polarity::Neither => "",
            };
            let way = format!("{} to {}", lead.from, lead.to);
            Label { lead: lead.id.clone(), way, size, fuse, sign }
        })
        .collect()
}

/// `fuse main 225 A class T`; a name that says what it is, such as `lights fuse`, is not told twice.
fn guarded(id: &str, rating: Current, family: &str) -> String {
    let says = id.split(' ').any(|word| word == "fuse" || word == "breaker");
    let first = if says { "" } else { "fuse " };
    format!("{first}{id} {} A {family}", decimal(rating.as_amps(), 0))
}

/// The set points of every charge source, as the owner stated them.
#[must_use]
pub fn set_points(job: &Job<'_>) -> Vec<SetPoints> {
    job.design
        .devices
        .iter()
        .filter(|d| d.kind.is_charge_source() && d.kind != DeviceKind::TowLine)
        .map(|d| SetPoints { device: d.part.name.clone(), rows: rows(job, d) })
        .collect()
}

fn rows(job: &Job<'_>, device: &Device) -> Vec<(String, String)> {
    let volts = |v: Option<Voltage>, missing: &str| {
        v.map_or_else(|| missing.to_owned(), |v| format!("{} V", fixed(v.as_volts(), 2)))
    };
    let bank = job.design.bank();
    let of_block = |of: fn(&crate::model::block::BlockModel) -> Option<Voltage>| {
        let bank = bank?;
        Some(of(job.design.block_model(&bank.block)?)? * f64::from(bank.series))
    };
    let maker = |v: Option<Voltage>| {
        v.map_or_else(
            || "find out: the maker's sheet of the blocks".to_owned(),
            |v| format!("find out and set; the blocks ask {} V", fixed(v.as_volts(), 2)),
        )
    };
    let absorption = maker(of_block(|m| m.absorption));
    let float = maker(of_block(|m| m.float));
    let mut rows = vec![
        ("absorption".to_owned(), volts(device.absorption, &absorption)),
        ("float".to_owned(), volts(device.float, &float)),
        (
            "equalise".to_owned(),
            volts(device.equalise, "off, unless the maker of the blocks asks for it"),
        ),
    ];
    let amps = device.rating.map_or_else(
        || "find out: its rating plate".to_owned(),
        |a| format!("{} A", decimal(a.as_amps(), 0)),
    );
    rows.push(("largest current".to_owned(), amps));
    let sensor = match device.compensated {
        Some(true) => "follows the battery's temperature: fix the sensor to a block",
        Some(false) => "does not follow temperature: change it by hand with the seasons",
        None => "find out whether it follows the battery's temperature",
    };
    rows.push(("temperature".to_owned(), sensor.to_owned()));
    rows
}

//! Texts with units: read into the base unit of their kind, offered with the unit that was meant,
//! and shown as bounds.

use crate::nearest;
use crate::schema::Kind;
use engine::units::parse::{self, ParseError};
use engine::units::show;
use engine::units::{Current, Duration, Length};

/// A text in the base unit of its kind.
pub(crate) fn measured(kind: Kind, text: &str) -> Result<f64, ParseError> {
    match kind {
        Kind::Length => parse::length(text).map(Length::as_mm),
        Kind::Area => parse::area(text).map(|v| v.as_mm2()),
        Kind::Current => parse::current(text).map(Current::as_amps),
        Kind::Voltage => parse::voltage(text).map(|v| v.as_volts()),
        Kind::Resistance => parse::resistance(text).map(|v| v.as_ohms()),
        Kind::Power => parse::power(text).map(|v| v.as_watts()),
        Kind::Energy => parse::energy(text).map(|v| v.as_watt_hours()),
        Kind::Mass => parse::mass(text).map(|v| v.as_kg()),
        Kind::Torque => parse::torque(text).map(|v| v.as_newton_metres()),
        Kind::Duration => parse::duration(text).map(Duration::as_hours),
        Kind::Angle => parse::angle(text).map(|v| v.as_degrees()),
        Kind::Temperature => parse::temperature(text).map(|v| v.as_celsius()),
        // Every other kind has a reader of its own above.
        _ => parse::share(text),
    }
}

/// The text with the unit that was meant, where one is near and makes it a quantity.
pub(crate) fn meant(kind: Kind, error: &ParseError) -> Option<String> {
    let tail = error.text.trim_start_matches(|c: char| !c.is_alphabetic());
    let said = error.says.strip_prefix('"').and_then(|s| s.split('"').next()).unwrap_or(tail);
    let said = if error.text.trim() == said { tail } else { said };
    let unit = nearest::word(said, spellings(kind).iter().copied())?;
    let right = error.text.trim().replacen(said, &unit, 1);
    let good = match kind {
        Kind::Size => parse::conductor_size(&right).is_ok(),
        Kind::Rating => parse::rating(&right).is_ok(),
        _ => measured(kind, &right).is_ok(),
    };
    (good && right != error.text).then_some(right)
}

/// Unit words that a slip of the pen may have meant; each is tried before it is offered.
fn spellings(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Length | Kind::Point | Kind::Route => &["mm", "cm", "in", "inches", "ft", "feet"],
        Kind::Area => &["mm2", "cm2", "in2"],
        Kind::Current => &["mA", "kA", "amps"],
        Kind::Voltage => &["mV", "kV", "volts"],
        Kind::Resistance => &["mohm", "uohm", "ohm", "milliohm"],
        Kind::Power => &["kW", "watts", "hp", "VA"],
        Kind::Energy => &["Wh", "kWh"],
        Kind::Mass => &["kg", "lb", "lbs", "pounds"],
        Kind::Torque => &["Nm", "N m", "lb-in", "in-lb", "lb-ft", "ft-lb"],
        Kind::Duration => &["years", "months", "weeks", "days", "hours", "min"],
        Kind::Angle | Kind::Turn => &["deg", "degrees"],
        Kind::Share => &["%", "percent"],
        Kind::Rating => &["min RC", "RC", "CCA", "Ah at 20 h"],
        Kind::Size => &["AWG", "mm2", "AWG boat cable"],
        _ => &[],
    }
}

/// Units to offer when a bare number stands where a quantity belongs.
pub(crate) fn units(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Length | Kind::Point | Kind::Route => &["mm", "in"],
        Kind::Area => &["cm2", "in2"],
        Kind::Current => &["A"],
        Kind::Voltage => &["V"],
        Kind::Resistance => &["mohm"],
        Kind::Power => &["W"],
        Kind::Energy => &["Wh"],
        Kind::Mass => &["kg", "lb"],
        Kind::Torque => &["Nm", "lb-in"],
        Kind::Duration => &["h", "min", "years"],
        Kind::Angle | Kind::Turn => &["deg"],
        Kind::Share => &["%"],
        Kind::Temperature => &["C", "F"],
        Kind::Moment => &["kg m"],
        Kind::Rating => &["Ah at 20 h", "min RC"],
        Kind::Size => &["AWG", "AWG boat cable", "mm2"],
        _ => &[],
    }
}

/// A bound in the base unit of a kind, as one reads it.
pub(crate) fn bound(kind: Kind, value: f64) -> String {
    let text = |value: f64, unit: &str| {
        let number = show::decimal(value, 6);
        if unit.is_empty() { number } else { format!("{number} {unit}") }
    };
    match kind {
        Kind::Length | Kind::Point | Kind::Route if value.abs() >= 1e6 => text(value / 1e6, "km"),
        Kind::Length | Kind::Point | Kind::Route if value.abs() >= 1000.0 => {
            text(value / 1000.0, "m")
        }
        Kind::Length | Kind::Point | Kind::Route => text(value, "mm"),
        Kind::Area if value.abs() >= 1e6 => text(value / 1e6, "m2"),
        Kind::Area => text(value, "mm2"),
        Kind::Resistance if value.abs() < 1.0 => text(value * 1000.0, "mohm"),
        Kind::Resistance => text(value, "ohm"),
        Kind::Duration if value >= 8766.0 => text(value / 8766.0, "years"),
        Kind::Share => text(value * 100.0, "%"),
        Kind::Rating => text(value, ""),
        kind => text(value, units(kind).first().copied().unwrap_or("")),
    }
}

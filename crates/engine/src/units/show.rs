//! Shows quantities in the reader's units, rounded as a person would write them.

use super::{Area, Current, Force, Length, Mass, Resistance, Temperature, Torque, Voltage};

/// Which units a reader wants to see.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSystem {
    /// Inches, pounds, Fahrenheit, AWG.
    Us,
    /// Millimetres, kilograms, Celsius, mm².
    Metric,
}

/// A number with at most `digits` decimals, without trailing zeros and without a negative zero.
#[must_use]
pub fn decimal(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    if text == "-0" { "0".to_owned() } else { text }
}

/// A number with exactly `digits` decimals and without a negative zero.
#[must_use]
pub fn fixed(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    if text.starts_with('-') && text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        text[1..].to_owned()
    } else {
        text
    }
}

/// A probability as a person says it; the figure stands beside it.
#[must_use]
pub fn sure(probability: f64) -> &'static str {
    match probability {
        p if 0.95 <= p => "almost certain",
        p if 0.80 <= p => "very likely",
        p if 0.50 <= p => "likely",
        p if 0.20 <= p => "possible",
        _ => "not ruled out",
    }
}

/// A workshop length: whole millimetres, or inches to the nearest sixteenth.
#[must_use]
pub fn length(value: Length, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{} mm", fixed(value.as_mm(), 0)),
        UnitSystem::Us => sixteenths(value),
    }
}

/// Inches to the nearest sixteenth, as a tape shows them.
fn sixteenths(value: Length) -> String {
    let total = (value.as_inches().abs() * 16.0).round();
    let sign = if value.as_mm() < 0.0 && total > 0.0 { "-" } else { "" };
    let whole = (total / 16.0).floor();
    let mut over = total - whole * 16.0;
    let mut under = 16.0;
    while over > 0.0 && (over / 2.0).fract().abs() < 0.25 {
        over /= 2.0;
        under /= 2.0;
    }
    match (whole > 0.0, over > 0.0) {
        (true, true) => format!("{sign}{whole:.0} {over:.0}/{under:.0} in"),
        (false, true) => format!("{sign}{over:.0}/{under:.0} in"),
        _ => format!("{sign}{whole:.0} in"),
    }
}

/// A route length: metres or feet.
#[must_use]
pub fn route(value: Length, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{} m", decimal(value.as_m(), 2)),
        UnitSystem::Us => format!("{} ft", decimal(value.as_feet(), 1)),
    }
}

/// A distance to drive: kilometres or miles, whole ones.
#[must_use]
pub fn far(value: Length, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{} km", decimal(value.as_m() / 1000.0, 0)),
        UnitSystem::Us => format!("{} miles", decimal(value.as_feet() / 5280.0, 0)),
    }
}

/// A mass.
#[must_use]
pub fn mass(value: Mass, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{} kg", decimal(value.as_kg(), 1)),
        UnitSystem::Us => format!("{} lb", fixed(value.as_pounds(), 0)),
    }
}

/// A mass as a scale under a rig shows it: whole kilograms or pounds.
#[must_use]
pub fn weight(value: Mass, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{} kg", fixed(value.as_kg(), 0)),
        UnitSystem::Us => format!("{} lb", fixed(value.as_pounds(), 0)),
    }
}

/// A force, to the ten newtons or pounds that a fastener can be judged by.
#[must_use]
pub fn force(value: Force, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{} N", fixed((value.as_newtons() / 10.0).round() * 10.0, 0)),
        UnitSystem::Us => format!("{} lbf", fixed(value.as_pounds_force(), 0)),
    }
}

/// An opening to be cut, rounded up: whole square centimetres, or tenths of a square inch.
#[must_use]
pub fn opening(value: Area, system: UnitSystem) -> String {
    // What is a whole number but for the last bits of the arithmetic is not pushed up by them.
    let up = |v: f64| (v - 1e-9).ceil();
    match system {
        UnitSystem::Metric => format!("{} cm²", fixed(up(value.as_cm2()), 0)),
        UnitSystem::Us => format!("{} in²", decimal(up(value.as_in2() * 10.0) / 10.0, 1)),
    }
}

/// A temperature.
#[must_use]
pub fn temperature(value: Temperature, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{} °C", decimal(value.as_celsius(), 1)),
        UnitSystem::Us => format!("{} °F", fixed(value.as_fahrenheit(), 0)),
    }
}

/// A torque.
#[must_use]
pub fn torque(value: Torque, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{} N m", decimal(value.as_newton_metres(), 1)),
        UnitSystem::Us => format!("{} lb-in", fixed(value.as_pound_inches(), 0)),
    }
}

/// A current: whole amps above ten, tenths above one, then hundredths.
#[must_use]
pub fn current(value: Current) -> String {
    let amps = value.as_amps();
    let digits = if amps.abs() >= 9.95 {
        0
    } else if amps.abs() >= 0.995 {
        1
    } else {
        2
    };
    format!("{} A", fixed(amps, digits))
}

/// A voltage to the hundredth, or in millivolts below a tenth of a volt.
#[must_use]
pub fn voltage(value: Voltage) -> String {
    if value.as_volts().abs() < 0.1 {
        format!("{} mV", decimal(value.as_millivolts(), 1))
    } else {
        format!("{} V", fixed(value.as_volts(), 2))
    }
}

/// A resistance in milliohms, or microohms below a tenth of a milliohm.
#[must_use]
pub fn resistance(value: Resistance) -> String {
    if value.as_milliohms().abs() < 0.1 {
        format!("{} µΩ", decimal(value.as_microohms(), 0))
    } else {
        format!("{} mΩ", decimal(value.as_milliohms(), 2))
    }
}

#[cfg(test)]
mod tests {
    use super::{UnitSystem, current, decimal, far, fixed, length};
    use crate::units::{Current, Length};

    #[test]
    fn a_drive_is_told_in_the_readers_own_unit() {
        // Hand worked: 38 km over 1.609344 km a mile is 23.6.
        let way = Length::m(38_000.0);
        assert_eq!(far(way, UnitSystem::Metric), "38 km");
        assert_eq!(far(way, UnitSystem::Us), "24 miles");
    }

    #[test]
    fn a_tape_reads_in_sixteenths() {
        for (mm, shown) in
            [(25.4, "1 in"), (7.9375, "5/16 in"), (263.525, "10 3/8 in"), (0.0, "0 in")]
        {
            assert_eq!(length(Length::mm(mm), UnitSystem::Us), shown, "{mm} mm");
        }
        assert_eq!(length(Length::mm(-25.4), UnitSystem::Us), "-1 in", "a shortfall");
    }

    #[test]
    fn no_negative_zero_is_shown() {
        assert_eq!(decimal(-0.001, 2), "0", "decimal");
        assert_eq!(fixed(-0.001, 2), "0.00", "fixed");
        assert_eq!(current(Current::amps(-0.0)), "0.00 A", "current");
    }
}

//! Reads quantities as an owner writes them: `55 in`, `4 ft 2 in`, `5/16 in`, `2/0 AWG`,
//! `190 Ah at 20 h`, `68 F`. Every error says what was expected in that place.

use super::capacity::{Capacity, Rating};
use super::conductor::{ConductorSize, Gauge, MetricSize};
use super::{
    Angle, Area, Current, Duration, Energy, Length, Mass, Power, Resistance, Temperature, Torque,
    Voltage,
};

/// Why a text is not the quantity that belongs here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ParseError {
    /// What kind of quantity belongs here, for example "a length".
    pub wanted: &'static str,
    /// The text as written.
    pub text: String,
    /// What is wrong with it, as a full sentence.
    pub says: String,
    /// How to write it, for example `"55 in" or "1.4 m"`.
    pub write: &'static str,
}

/// What a quantity is called, how it is written, and its units with their factor to the base unit.
struct Kind {
    wanted: &'static str,
    write: &'static str,
    units: &'static [(&'static str, f64)],
}

const LENGTH: Kind = Kind {
    wanted: "a length",
    write: "\"55 in\", \"4 ft 2 in\", \"1.4 m\" or \"318 mm\"",
    units: &[
        ("mm", 1.0),
        ("cm", 10.0),
        ("m", 1000.0),
        ("in", 25.4),
        ("inch", 25.4),
        ("inches", 25.4),
        ("\"", 25.4),
        ("ft", 304.8),
        ("foot", 304.8),
        ("feet", 304.8),
        ("'", 304.8),
        ("yd", 914.4),
        ("km", 1_000_000.0),
    ],
};
const AREA: Kind = Kind {
    wanted: "an area",
    write: "\"35 mm2\" or \"11 cm2\"",
    units: &[
        ("mm2", 1.0),
        ("mm²", 1.0),
        ("cm2", 100.0),
        ("cm²", 100.0),
        ("m2", 1_000_000.0),
        ("in2", 645.16),
        ("sq in", 645.16),
    ],
};
const CURRENT: Kind = Kind {
    wanted: "a current",
    write: "\"147 A\" or \"20 mA\"",
    units: &[
        ("A", 1.0),
        ("amp", 1.0),
        ("amps", 1.0),
        ("ampere", 1.0),
        ("amperes", 1.0),
        ("mA", 0.001),
        ("kA", 1000.0),
    ],
};
const VOLTAGE: Kind = Kind {
    wanted: "a voltage",
    write: "\"12.7 V\" or \"30 mV\"",
    units: &[("V", 1.0), ("volt", 1.0), ("volts", 1.0), ("mV", 0.001), ("kV", 1000.0)],
};
const RESISTANCE: Kind = Kind {
    wanted: "a resistance",
    write: "\"3.2 mohm\" or \"0.1 mohm\"",
    units: &[
        ("ohm", 1.0),
        ("ohms", 1.0),
        ("Ω", 1.0),
        ("mohm", 0.001),
        ("milliohm", 0.001),
        ("mΩ", 0.001),
        ("uohm", 0.000_001),
        ("microohm", 0.000_001),
        ("µohm", 0.000_001),
        ("µΩ", 0.000_001),
    ],
};
const POWER: Kind = Kind {
    wanted: "a power",
    write: "\"1500 W\", \"3 kW\" or \"0.5 hp\"",
    units: &[
        ("W", 1.0),
        ("watt", 1.0),
        ("watts", 1.0),
        ("kW", 1000.0),
        ("VA", 1.0),
        ("hp", 745.699_871_582_270_2),
    ],
};
const ENERGY: Kind = Kind {
    wanted: "an energy",
    write: "\"461 Wh\" or \"1.6 kWh\"",
    units: &[("Wh", 1.0), ("kWh", 1000.0)],
};
const MASS: Kind = Kind {
    wanted: "a mass",
    write: "\"27 kg\" or \"60 lb\"",
    units: &[
        ("kg", 1.0),
        ("g", 0.001),
        ("lb", 0.453_592_37),
        ("lbs", 0.453_592_37),
        ("pound", 0.453_592_37),
        ("pounds", 0.453_592_37),
        ("oz", 0.028_349_523_125),
        ("t", 1000.0),
    ],
};
const TORQUE: Kind = Kind {
    wanted: "a torque",
    write: "\"11 Nm\" or \"100 lb-in\"",
    units: &[
        ("Nm", 1.0),
        ("N m", 1.0),
        ("lb-in", 0.112_984_829_027_616_7),
        ("in-lb", 0.112_984_829_027_616_7),
        ("lb-ft", 1.355_817_948_331_400_4),
        ("ft-lb", 1.355_817_948_331_400_4),
    ],
};
const DURATION: Kind = Kind {
    wanted: "a time",
    write: "\"5 years\", \"20 h\" or \"30 min\"",
    units: &[
        ("h", 1.0),
        ("hour", 1.0),
        ("hours", 1.0),
        ("min", 1.0 / 60.0),
        ("minutes", 1.0 / 60.0),
        ("s", 1.0 / 3600.0),
        ("seconds", 1.0 / 3600.0),
        ("day", 24.0),
        ("days", 24.0),
        ("week", 168.0),
        ("weeks", 168.0),
        ("month", 730.5),
        ("months", 730.5),
        ("year", 8766.0),
        ("years", 8766.0),
    ],
};
const ANGLE: Kind = Kind {
    wanted: "an angle",
    write: "\"90 deg\"",
    units: &[("deg", 1.0), ("degree", 1.0), ("degrees", 1.0), ("°", 1.0)],
};
const SHARE: Kind = Kind {
    wanted: "a share",
    write: "\"50 %\" or \"0.5\"",
    units: &[("%", 0.01), ("percent", 0.01), ("", 1.0)],
};

fn fail<T>(kind: &Kind, text: &str, says: String) -> Result<T, ParseError> {
    Err(ParseError { wanted: kind.wanted, text: text.to_owned(), says, write: kind.write })
}

/// Splits off a number at the start: `3.2`, `-5`, `5/16`, `10 3/8`. Returns it with the rest.
fn leading_number(text: &str) -> Option<(f64, &str)> {
    let (first, rest) = plain_number(text)?;
    if let Some(below) = rest.strip_prefix('/') {
        let (divisor, rest) = plain_number(below)?;
        return (divisor > 0.0).then_some((first / divisor, rest));
    }
    // "10 3/8": a whole number, a space, a fraction below one.
    let after = rest.trim_start();
    if after.len() < rest.len()
        && let Some((over, tail)) = plain_number(after)
        && let Some(below) = tail.strip_prefix('/')
        && let Some((divisor, tail)) = plain_number(below)
        && over > 0.0
        && divisor > over
    {
        let sign = if first < 0.0 { -1.0 } else { 1.0 };
        return Some((first + sign * over / divisor, tail));
    }
    Some((first, rest))
}

fn plain_number(text: &str) -> Option<(f64, &str)> {
    let mut end = 0;
    for (at, c) in text.char_indices() {
        let sign = at == 0 && (c == '-' || c == '+');
        if c.is_ascii_digit() || c == '.' || sign {
            end = at + c.len_utf8();
        } else {
            break;
        }
    }
    let value: f64 = text[..end].parse().ok()?;
    value.is_finite().then_some((value, &text[end..]))
}

/// Cuts the unit word that stands at the start of `text`.
fn leading_unit(text: &str) -> (&str, &str) {
    let end = text.find(|c: char| c.is_ascii_digit() && c != '2').unwrap_or(text.len());
    // "mm2" and "cm2" carry a digit; a "2" after a space begins a new number.
    let word = &text[..end];
    let end = word.find(" 2").unwrap_or(end);
    let word = text[..end].trim_end();
    (word, &text[word.len()..])
}

fn measure(kind: &Kind, text: &str) -> Result<f64, ParseError> {
    let mut rest = text.trim();
    if rest.is_empty() {
        return fail(kind, text, "Nothing is written here.".to_owned());
    }
    let mut total = 0.0;
    let mut sign = 1.0;
    let mut terms = 0;
    while !rest.is_empty() {
        let Some((value, after)) = leading_number(rest) else {
            return fail(kind, text, format!("\"{rest}\" does not begin with a number."));
        };
        if after.starts_with(',') {
            let says = "A comma is read neither as a decimal point nor as thousands.".to_owned();
            return fail(kind, text, says);
        }
        let (word, tail) = leading_unit(after.trim_start());
        let Some(factor) = kind.units.iter().find(|u| u.0 == word).map(|u| u.1) else {
            return fail(kind, text, unit_trouble(kind, word));
        };
        if terms == 0 && rest.starts_with('-') {
            sign = -1.0;
        }
        total += sign * value.abs() * factor;
        terms += 1;
        rest = tail.trim_start();
        if terms > 3 {
            return fail(kind, text, "More than three parts are written here.".to_owned());
        }
    }
    if total.is_finite() && total.abs() < 1e12 {
        Ok(total)
    } else {
        fail(kind, text, "The number is too large to be meant.".to_owned())
    }
}

fn unit_trouble(kind: &Kind, word: &str) -> String {
    if word.is_empty() {
        return "The unit is missing.".to_owned();
    }
    let same = kind.units.iter().find(|u| u.0.eq_ignore_ascii_case(word));
    match same {
        Some((meant, _)) => format!("\"{word}\" is not a unit here; \"{meant}\" is."),
        None => format!("\"{word}\" is not a unit of {}.", kind.wanted.trim_start_matches("a ")),
    }
}

macro_rules! reader {
    ($(#[$doc:meta])* $name:ident, $kind:ident, $out:ty, $make:expr) => {
        $(#[$doc])*
        ///
        /// # Errors
        /// Says what is wrong with the text and how to write it.
        pub fn $name(text: &str) -> Result<$out, ParseError> {
            measure(&$kind, text).map($make)
        }
    };
}

reader!(
    /// Reads a length.
    length, LENGTH, Length, Length::mm
);
reader!(
    /// Reads an area.
    area, AREA, Area, Area::mm2
);
reader!(
    /// Reads a current.
    current, CURRENT, Current, Current::amps
);
reader!(
    /// Reads a voltage.
    voltage, VOLTAGE, Voltage, Voltage::volts
);
reader!(
    /// Reads a resistance.
    resistance, RESISTANCE, Resistance, Resistance::ohms
);
reader!(
    /// Reads a power.
    power, POWER, Power, Power::watts
);
reader!(
    /// Reads an energy.
    energy, ENERGY, Energy, Energy::watt_hours
);
reader!(
    /// Reads a mass.
    mass, MASS, Mass, Mass::kg
);
reader!(
    /// Reads a torque.
    torque, TORQUE, Torque, Torque::newton_metres
);
reader!(
    /// Reads a span of time.
    duration, DURATION, Duration, Duration::hours
);
reader!(
    /// Reads an angle.
    angle, ANGLE, Angle, Angle::degrees
);
reader!(
    /// Reads a share: a percentage, or a number from 0 to 1.
    share, SHARE, f64, std::convert::identity
);

const TEMPERATURE: Kind =
    Kind { wanted: "a temperature", write: "\"20 C\" or \"68 F\"", units: &[] };

/// Reads a temperature.
///
/// # Errors
/// Says what is wrong with the text and how to write it.
pub fn temperature(text: &str) -> Result<Temperature, ParseError> {
    let Some((value, rest)) = leading_number(text.trim()) else {
        return fail(&TEMPERATURE, text, "It does not begin with a number.".to_owned());
    };
    if value.abs() > 2000.0 {
        return fail(&TEMPERATURE, text, "The number is too large to be meant.".to_owned());
    }
    match rest.trim() {
        "C" | "°C" | "degC" => Ok(Temperature::celsius(value)),
        "F" | "°F" | "degF" => Ok(Temperature::fahrenheit(value)),
        "" => fail(&TEMPERATURE, text, "The unit is missing.".to_owned()),
        other => fail(&TEMPERATURE, text, format!("\"{other}\" is not a unit of temperature.")),
    }
}

const RATING: Kind = Kind {
    wanted: "a battery rating",
    write: "\"190 Ah at 20 h\", \"115 min RC\" or \"650 CCA\"",
    units: &[],
};

/// Reads a battery rating; amp-hours without their hour rate are refused.
///
/// # Errors
/// Says what is wrong with the text and how to write it.
pub fn rating(text: &str) -> Result<Rating, ParseError> {
    let Some((value, rest)) = leading_number(text.trim()) else {
        return fail(&RATING, text, "It does not begin with a number.".to_owned());
    };
    if !(0.0..1e6).contains(&value) {
        return fail(&RATING, text, "The number cannot be meant.".to_owned());
    }
    let rest = rest.trim();
    if let Some(tail) = rest.strip_prefix("Ah") {
        let tail = tail.trim();
        let Some(rate) = tail.strip_prefix("at") else {
            let says = "Amp-hours need their hour rate: the same battery gives fewer at a \
                        higher current."
                .to_owned();
            return fail(&RATING, text, says);
        };
        let Ok(hours) = duration(rate.trim()) else {
            return fail(&RATING, text, format!("\"{}\" is not an hour rate.", rate.trim()));
        };
        if hours.as_hours() <= 0.0 {
            return fail(&RATING, text, "The hour rate must be above zero.".to_owned());
        }
        return Ok(Rating::Capacity(Capacity::amp_hours_at(value, hours)));
    }
    match rest {
        "min RC" | "RC" | "min" | "minutes RC" => Ok(Rating::Reserve(Duration::minutes(value))),
        "CCA" | "A CCA" => Ok(Rating::Cranking(Current::amps(value))),
        other => fail(&RATING, text, format!("\"{other}\" is not a battery rating.")),
    }
}

const SIZE: Kind = Kind {
    wanted: "a conductor size",
    write: "\"2/0 AWG\", \"2 AWG boat cable\" or \"35 mm2\"",
    units: &[],
};

/// Reads the size printed on a cable's jacket.
///
/// # Errors
/// Says what is wrong with the text and how to write it.
pub fn conductor_size(text: &str) -> Result<ConductorSize, ParseError> {
    let trimmed = text.trim();
    if let Some(number) = trimmed.strip_suffix("mm2").or_else(|| trimmed.strip_suffix("mm²")) {
        let size = number.trim().parse().ok().and_then(MetricSize::mm2);
        return match size {
            Some(size) => Ok(ConductorSize::Metric(size)),
            None => fail(&SIZE, text, format!("\"{}\" is not a size in mm².", number.trim())),
        };
    }
    let boat = ["boat cable", "boat", "battery cable", "SAE"]
        .into_iter()
        .find_map(|word| trimmed.strip_suffix(word))
        .map(str::trim_end);
    let body = boat.unwrap_or(trimmed);
    let body = body.strip_suffix("AWG").unwrap_or(body).trim();
    let body = body.strip_prefix('#').unwrap_or(body);
    let gauge_said = trimmed.contains("AWG") || boat.is_some();
    match Gauge::from_text(body) {
        Some(_) if !gauge_said => {
            fail(&SIZE, text, "It does not say whether this is AWG or mm².".to_owned())
        }
        Some(gauge) if boat.is_some() => Ok(ConductorSize::Boat(gauge)),
        Some(gauge) => Ok(ConductorSize::Awg(gauge)),
        None => fail(&SIZE, text, format!("\"{trimmed}\" is not a conductor size.")),
    }
}

#[cfg(test)]
mod tests {
    use super::{Rating, conductor_size, current, length, rating, share, temperature, torque};

    fn check_length(text: &str, mm: f64) {
        let got = length(text).map(super::Length::as_mm);
        let near = got.as_ref().is_ok_and(|v| (v - mm).abs() < 1e-6);
        assert!(near, "{text}: {got:?} instead of {mm} mm");
    }

    #[test]
    fn lengths_as_people_write_them() {
        check_length("55 in", 1397.0);
        check_length("4 ft 2 in", 1270.0);
        check_length("4' 2\"", 1270.0);
        check_length("5/16 in", 7.9375);
        check_length("10 3/8 in", 263.525);
        check_length("1.4 m", 1400.0);
        check_length("318mm", 318.0);
        check_length("-0.5 m", -500.0);
        check_length("2 ft 2 in", 660.4);
    }

    fn check_refusal(text: &str, part: &str) {
        let error = length(text).expect_err("this is no length");
        assert!(error.says.contains(part), "{text}: \"{}\" lacks \"{part}\"", error.says);
    }

    #[test]
    fn refusals_say_what_is_wrong() {
        check_refusal("55", "unit is missing");
        check_refusal("1,4 m", "comma");
        check_refusal("55 MM", "\"mm\" is");
        check_refusal("long", "does not begin with a number");
        check_refusal("", "Nothing");
        check_refusal("5 kg", "not a unit");
    }

    #[test]
    fn electrical_texts() {
        assert!((current("0.147 kA").expect("kA").as_amps() - 147.0).abs() < 1e-9, "kA");
        assert!((share("50 %").expect("share") - 0.5).abs() < 1e-12, "percent");
        let warm = temperature("68 F").expect("fahrenheit").as_celsius();
        assert!((warm - 20.0).abs() < 1e-9, "68 F is 20 C, not {warm}");
        let tight = torque("100 lb-in").expect("torque").as_newton_metres();
        assert!((tight - 11.298).abs() < 0.001, "100 lb-in is 11.3 N m, not {tight}");
    }

    #[test]
    fn ratings_need_their_basis() {
        let Ok(Rating::Capacity(c)) = rating("190 Ah at 20 h") else {
            panic!("190 Ah at 20 h is a capacity");
        };
        assert!((c.rated_current().as_amps() - 9.5).abs() < 1e-12, "20 h rate is 9.5 A");
        assert!(rating("190 Ah").expect_err("no rate").says.contains("hour rate"), "rate named");
        assert!(matches!(rating("115 min RC"), Ok(Rating::Reserve(_))), "reserve minutes");
        assert!(matches!(rating("650 CCA"), Ok(Rating::Cranking(_))), "cranking amps");
    }

    #[test]
    fn sizes_keep_their_family() {
        for (text, shown) in [
            ("2/0 AWG", "2/0 AWG"),
            ("#2 AWG", "2 AWG"),
            ("2 AWG boat cable", "2 AWG boat cable"),
            ("35 mm2", "35 mm²"),
            ("2.5mm²", "2.5 mm²"),
        ] {
            let got = conductor_size(text).map(|s| s.to_string());
            assert_eq!(got.as_deref(), Ok(shown), "{text}");
        }
        assert!(conductor_size("35").expect_err("bare").says.contains("AWG or mm²"), "bare number");
    }
}

//! What a meter showed, as a text with its unit.

use super::says;
use crate::fault::Trouble;
use crate::measure::{meant, measured};
use crate::schema::Kind;
use crate::words;
use engine::units::reading::Quantity;

/// A figure in the base unit of what it is of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Figure {
    /// In volts, amps or kilograms.
    pub(super) base: f64,
    /// The unit it was written in.
    pub(super) quantity: Quantity,
    /// Amps that flowed at that moment [A].
    pub(super) amps: Option<f64>,
}

/// Beyond these no meter and no scale of this job goes [V], [A], [kg].
const VOLTS_MOST: f64 = 1000.0;
const AMPS_MOST: f64 = 10_000.0;
const KILOGRAMS_MOST: f64 = 50_000.0;

/// The text with plain signs: a printed minus is a minus, a letter of another width is none.
fn plain(text: &str) -> String {
    text.trim().replace(['\u{2212}', '\u{2013}'], "-").replace('\u{a0}', " ")
}

/// Whether nothing was written there: no text, or only the unit that stood there before.
pub(super) fn is_blank(text: &str) -> bool {
    let left = plain(text).replace(['_', '.', ' '], "");
    ["", "V", "mV", "A", "kg", "lb"].contains(&left.as_str())
}

/// A meter out of its range shows letters.
fn is_overload(text: &str) -> bool {
    let left: String = text.chars().filter(char::is_ascii_alphanumeric).collect();
    ["ol", "0l", "over", "overload", "err"].contains(&left.to_lowercase().as_str())
}

/// Reads a figure. `known` is what the reading is of, where that is known; `subject` names it.
pub(super) fn read(subject: &str, known: Option<Quantity>, text: &str) -> Result<Figure, Trouble> {
    let text = plain(text);
    if is_overload(&text) {
        return Err(says::overload(subject));
    }
    let bare = text.parse::<f64>().is_ok();
    if bare {
        return Err(says::no_unit(subject, &text, known));
    }
    let kind = kind_of(known, &text);
    let base = match measured(kind, &text) {
        Ok(base) => base,
        Err(_) if ALL.into_iter().any(|other| measured(other, &text).is_ok()) => {
            return Err(says::other_kind(subject, &text, kind));
        }
        Err(error) => {
            return Err(match meant(kind, &error) {
                Some(right) => words::unit_meant(subject, &error, &right),
                None => words::quantity(subject, &error),
            });
        }
    };
    let (most, unit) = match kind {
        Kind::Current => (AMPS_MOST, "A"),
        Kind::Mass => (KILOGRAMS_MOST, "kg"),
        _ => (VOLTS_MOST, "V"),
    };
    if !base.is_finite() || most < base.abs() {
        return Err(says::beyond(subject, &text, most, unit));
    }
    let quantity = match kind {
        Kind::Current => Quantity::Amps,
        Kind::Mass if text.contains("lb") => Quantity::Pounds,
        Kind::Mass => Quantity::Kilograms,
        _ if text.contains("mV") => Quantity::Millivolts,
        _ => Quantity::Volts,
    };
    Ok(Figure { base, quantity, amps: None })
}

/// What a meter, a clamp or a scale shows.
const ALL: [Kind; 3] = [Kind::Voltage, Kind::Current, Kind::Mass];

/// The kind that a reading has; of an unknown one, the first that its text is one of.
fn kind_of(known: Option<Quantity>, text: &str) -> Kind {
    match known {
        Some(Quantity::Amps) => Kind::Current,
        Some(Quantity::Kilograms | Quantity::Pounds) => Kind::Mass,
        Some(Quantity::Volts | Quantity::Millivolts) => Kind::Voltage,
        None => {
            let fits = |kind: &Kind| measured(*kind, text).is_ok();
            ALL.into_iter().find(fits).unwrap_or(Kind::Voltage)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{is_blank, read};
    use engine::units::reading::Quantity;

    #[test]
    fn a_meter_is_read_as_it_is_written_down() {
        let check = |text: &str, known, base: f64, quantity| {
            let got = read("A1", known, text).expect("a figure");
            assert!((got.base - base).abs() < 1e-12, "{text}: {}", got.base);
            assert_eq!(got.quantity, quantity, "{text}");
        };
        check("6.31 V", None, 6.31, Quantity::Volts);
        check("-6.31 V", Some(Quantity::Volts), -6.31, Quantity::Volts);
        check("\u{2212}12 mV", None, -0.012, Quantity::Millivolts);
        check("6310 mV", Some(Quantity::Volts), 6.31, Quantity::Millivolts);
        check("49.5 A", None, 49.5, Quantity::Amps);
        check("0.3 A", Some(Quantity::Amps), 0.3, Quantity::Amps);
        check("100 lb", Some(Quantity::Kilograms), 45.359_237, Quantity::Pounds);
    }

    #[test]
    fn what_is_no_figure_is_told() {
        for (text, known) in [
            ("OL", None),
            ("6.31", Some(Quantity::Volts)),
            ("6,31 V", Some(Quantity::Volts)),
            ("12 A", Some(Quantity::Volts)),
            ("12 V", Some(Quantity::Amps)),
            ("5000 V", None),
            ("six", None),
            ("1e400 V", None),
        ] {
            let trouble = read("A1", known, text).expect_err(text);
            assert!(!trouble.says.is_empty() && !trouble.write.is_empty(), "{text} is told");
        }
    }

    #[test]
    fn a_place_left_blank_was_not_read() {
        for text in ["", " V", "____ mV", "   ", "A"] {
            assert!(is_blank(text), "{text}");
        }
        assert!(!is_blank("0 V"), "nought is a reading");
    }
}

//! What a meter showed, as a text with its unit.

use super::says;
use crate::fault::Trouble;
use crate::measure::{meant, measured};
use crate::schema::Kind;
use crate::words;
use engine::units::reading::Quantity;

/// A figure in volts or amps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Figure {
    /// In volts or amps.
    pub(super) base: f64,
    /// The unit it was written in.
    pub(super) quantity: Quantity,
    /// Amps that flowed at that moment [A].
    pub(super) amps: Option<f64>,
}

/// Beyond these no meter of this job goes [V], [A].
const VOLTS_MOST: f64 = 1000.0;
const AMPS_MOST: f64 = 10_000.0;

/// The text with plain signs: a printed minus is a minus, a letter of another width is none.
fn plain(text: &str) -> String {
    text.trim().replace(['\u{2212}', '\u{2013}'], "-").replace('\u{a0}', " ")
}

/// Whether nothing was written there: no text, or only the unit that stood there before.
pub(super) fn is_blank(text: &str) -> bool {
    let left = plain(text).replace(['_', '.', ' '], "");
    ["", "V", "mV", "A"].contains(&left.as_str())
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
    let volts = measured(Kind::Voltage, &text);
    let amps = measured(Kind::Current, &text);
    let is_amps = match known {
        Some(quantity) => quantity == Quantity::Amps,
        None => volts.is_err() && amps.is_ok(),
    };
    let (wanted, other) = if is_amps { (amps, volts) } else { (volts, amps) };
    let kind = if is_amps { Kind::Current } else { Kind::Voltage };
    let base = match (wanted, other) {
        (Ok(base), _) => base,
        (Err(_), Ok(_)) => return Err(says::other_kind(subject, &text, is_amps)),
        (Err(error), Err(_)) => {
            return Err(match meant(kind, &error) {
                Some(right) => words::unit_meant(subject, &error, &right),
                None => words::quantity(subject, &error),
            });
        }
    };
    let most = if is_amps { AMPS_MOST } else { VOLTS_MOST };
    if !base.is_finite() || most < base.abs() {
        let unit = if is_amps { "A" } else { "V" };
        return Err(says::beyond(subject, &text, most, unit));
    }
    let millivolts = !is_amps && text.contains("mV");
    let quantity = match (is_amps, millivolts) {
        (true, _) => Quantity::Amps,
        (false, true) => Quantity::Millivolts,
        (false, false) => Quantity::Volts,
    };
    Ok(Figure { base, quantity, amps: None })
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

//! What comes through a long thin line from a source of steady volts: a tow plug, a dc-dc charger.

/// Amps that flow from one source of steady volts to another through a resistance.
///
/// # Formula
/// I = max(0, (U - V) / R)
/// # Symbols
/// - `source_v`: U, volts at the far end, engine running [V]
/// - `posts_v`: V, volts at the posts of the bank [V]
/// - `ohm`: R, out and back, plugs and joints included [ohm]
/// - returns I [A]
/// # Valid
/// Steady volts at both ends; nothing flows back. A line without resistance is refused by returning
/// nothing: no such line exists.
/// # Source
/// tow-line-articles, the drop of a tow vehicle's charge line, read; physics, Ohm's law, computed
/// # Checked by
/// `the_line_of_the_trailer`; it cannot detect an alternator that falls under load
#[must_use]
pub fn line_amps(source_v: f64, posts_v: f64, ohm: f64) -> f64 {
    if ohm <= 0.0 { 0.0 } else { ((source_v - posts_v) / ohm).max(0.0) }
}

/// Most power that a device with a low-volts limit can take through a line.
///
/// # Formula
/// P = V (U - V) / R with V = max(Vmin, U / 2)
/// # Symbols
/// - `source_v`: U, volts at the far end [V]
/// - `least_v`: Vmin, volts under which the device stops [V]
/// - `ohm`: R, out and back [ohm]
/// - returns P, at the device [W]; nothing where U does not reach Vmin
/// # Valid
/// Steady. At half the volts the line gives all it can.
/// # Source
/// physics, largest power of a source with resistance, computed
/// # Checked by
/// `a_converter_pulls_more_through_the_same_line`
#[must_use]
pub fn line_watts(source_v: f64, least_v: f64, ohm: f64) -> f64 {
    let at_v = least_v.max(source_v / 2.0);
    at_v * line_amps(source_v, at_v, ohm)
}

#[cfg(test)]
mod tests {
    use super::{line_amps, line_watts};

    #[test]
    fn the_line_of_the_trailer() {
        // Hand worked: 10 AWG, 9 m each way, 59 mohm and 6 mohm of plugs; 0.65 V is lost at 10 A.
        let ohm = 0.059 + 0.006;
        assert!((line_amps(13.85, 13.2, ohm) - 10.0).abs() < 1e-9, "0.65 V drives 10 A");
        assert!(line_amps(13.0, 13.2, ohm).abs() < 1e-12, "nothing flows back");
    }

    #[test]
    fn a_converter_pulls_more_through_the_same_line() {
        // Hand worked: 11 V kept of 14 V over 65 mohm: 3 / 0.065 = 46.15 A, 507.7 W.
        assert!((line_watts(14.0, 11.0, 0.065) - 507.69).abs() < 0.01, "at its lowest volts");
        // Under half the volts more amps only lose more: 7 V and 107.7 A are the most.
        let most = line_watts(14.0, 1.0, 0.065);
        assert!((most - 7.0 * 7.0 / 0.065).abs() < 1e-6, "{most}");
    }
}

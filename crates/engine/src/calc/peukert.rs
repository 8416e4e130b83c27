//! Peukert's law, shown beside the two wells: one exponent does not span 100 h to 1 h.

use crate::number::{ln, pow};

/// Hours a battery lasts at a steady current.
///
/// # Formula
/// t = R (C/(R I))^n
/// # Symbols
/// - `amp_hours`: C at the hour rate R [Ah]
/// - `rate_h`: R [h]
/// - `exponent`: n [1]
/// - `current_a`: I [A]
/// - returns t [h]
/// # Valid
/// Near the two rates that gave n; at lower currents it promises too much.
/// # Source
/// physics: the law as two public pages print it, read
/// # Checked by
/// O119
#[must_use]
pub fn hours(amp_hours: f64, rate_h: f64, exponent: f64, current_a: f64) -> f64 {
    rate_h * pow(amp_hours / (rate_h * current_a), exponent)
}

/// The exponent of two ratings.
///
/// # Formula
/// n = ln(t2/t1)/ln(I1/I2), I = C/t
/// # Symbols
/// - `short`, `long`: hours and amp-hours [h], [Ah]
/// - returns n [1]
/// # Valid
/// Two different rates.
/// # Source
/// physics: the law as two public pages print it, read
/// # Checked by
/// O119
#[must_use]
pub fn exponent(short: (f64, f64), long: (f64, f64)) -> f64 {
    let ((t1, c1), (t2, c2)) = (short, long);
    ln(t2 / t1) / ln((c1 / t1) / (c2 / t2))
}

#[cfg(test)]
mod tests {
    use super::{exponent, hours};
    use crate::tables::oracles::battery_oracle;

    #[test]
    fn hours_and_exponents_at_the_printed_points() {
        battery_oracle("O119", "25 A").check(hours(100.0, 20.0, 1.25, 25.0));
        battery_oracle("O119", "10 A").check(hours(100.0, 20.0, 1.3, 10.0));
        for name in ["170 Ah GC8", "generic 220 Ah", "225 Ah GC2"] {
            let row = battery_oracle("O119", &format!("exponent of the {name}"));
            let pair = |t: &str, c: &str| (row.input(t), row.input(c));
            row.check(exponent(pair("t1_h", "ah1"), pair("t2_h", "ah2")));
        }
        let there = exponent((5.0, 145.0), (20.0, 170.0));
        assert!((hours(170.0, 20.0, there, 29.0) - 5.0).abs() < 1e-9, "back to the short rate");
    }
}

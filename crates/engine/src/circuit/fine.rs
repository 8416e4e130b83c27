//! A number carried in two parts, so that a small difference of large numbers keeps its digits.
//!
//! A joint of one micro-ohm inside a 48 V bank drops microvolts between two nodes that both stand
//! near 50 V. One `f64` keeps that drop to about seven femtovolts, which is seven nanoamperes
//! through the joint: too coarse for a bank at rest. Two parts keep it exactly enough.

/// The unevaluated sum `high + low`, where `low` is smaller than the last digit of `high`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Fine {
    high: f64,
    low: f64,
}

impl Fine {
    /// The nearest plain number.
    #[must_use]
    pub fn value(self) -> f64 {
        self.high + self.low
    }

    /// This number with a plain number added.
    #[must_use]
    pub fn plus(self, addend: f64) -> Self {
        let (high, error) = exact_sum(self.high, addend);
        // Adding the two leftovers and renormalising keeps `low` below the last digit of `high`.
        let (high, low) = exact_sum(high, error + self.low);
        Self { high, low }
    }

    /// `self - other + offset`, rounded once at the end.
    #[must_use]
    pub fn above(self, other: Self, offset: f64) -> f64 {
        let (difference, error_difference) = exact_sum(self.high, -other.high);
        let (total, error_total) = exact_sum(difference, offset);
        total + (error_total + (error_difference + (self.low - other.low)))
    }
}

/// The rounded sum of two numbers and the part that rounding lost; both are exact together.
fn exact_sum(a: f64, b: f64) -> (f64, f64) {
    let sum = a + b;
    let b_seen = sum - a;
    let a_seen = sum - b_seen;
    (sum, (a - a_seen) + (b - b_seen))
}

#[cfg(test)]
mod tests {
    use super::Fine;

    #[test]
    fn a_microvolt_correction_survives_beside_fifty_volts() {
        // Hand worked: 50 + 1e-20 is 50 in one f64; in two parts the difference to 50 is 1e-20.
        let fifty = Fine::default().plus(50.0);
        let raised = fifty.plus(1e-20);
        assert!((raised.above(fifty, 0.0) - 1e-20).abs() < 1e-35, "the low part is kept");
        assert!((raised.value() - 50.0).abs() < 1e-15, "the plain value rounds");
    }

    #[test]
    fn an_offset_cancels_without_loss() {
        // Hand worked: 12.7 - 12.7 is nothing, so the drop is the 3e-19 that was added.
        let plus_post = Fine::default().plus(12.7).plus(-3e-19);
        let drop = Fine::default().above(plus_post, 12.7);
        assert!((drop - 3e-19).abs() < 1e-33, "got {drop:e}");
    }
}

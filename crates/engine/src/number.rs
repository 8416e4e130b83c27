//! Transcendental functions that give the same bits on every system.
//!
//! The system's C library rounds these differently from place to place; `libm` is one
//! implementation everywhere, so the same design gives the same bytes.

/// Sine of an angle in radians.
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Angle of the point (x, y) in radians.
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Angle whose sine is x, in radians.
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Angle whose cosine is x, in radians.
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// e to the power x.
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Natural logarithm.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// x to the power y.
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Length of the vector (x, y).
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Linear interpolation in rows sorted by their first column; clamps at both ends.
///
/// Returns `None` for an empty table.
#[must_use]
pub fn interpolate(rows: &[(f64, f64)], x: f64) -> Option<f64> {
    let first = rows.first()?;
    let last = rows.last()?;
    if x <= first.0 {
        return Some(first.1);
    }
    for pair in rows.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if x <= b.0 {
            return Some(a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0));
        }
    }
    Some(last.1)
}

#[cfg(test)]
mod tests {
    use super::interpolate;

    #[test]
    fn interpolation_clamps_and_is_linear_between_rows() {
        let rows = [(0.0, 10.0), (2.0, 14.0), (3.0, 20.0)];
        for (x, want) in [(-1.0, 10.0), (1.0, 12.0), (2.5, 17.0), (9.0, 20.0)] {
            let got = interpolate(&rows, x).expect("rows are there");
            assert!((got - want).abs() < 1e-12, "at {x}: {got} instead of {want}");
        }
        assert_eq!(interpolate(&[], 1.0), None, "an empty table has no answer");
    }
}

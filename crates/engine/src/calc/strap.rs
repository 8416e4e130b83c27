//! A strap over a block: what it holds down, and how tight it is for that.

use crate::number::sin;
use crate::tables::limits::Limits;
use crate::units::{Angle, Force};

/// Upward force that straps over a block hold.
///
/// # Formula
/// F = n k T sin(a)
/// # Symbols
/// - `limits`: k, legs of a strap
/// - `count`: n, straps
/// - `tension`: T, what one leg may bear: the lesser of strap and end fitting [N]
/// - `angle`: a, between strap and floor [degree]
/// - returns F [N]
/// # Valid
/// The strap lies on the block and both legs pull alike. What it holds sideways is friction and is not counted.
/// # Source
/// physics, sum of the two upright parts, computed
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn strap_hold(limits: &Limits, count: u32, tension: Force, angle: Angle) -> Force {
    let legs = limits.value("strap-legs").value;
    tension * (f64::from(count) * legs * sin(angle.as_degrees().to_radians()).max(0.0))
}

/// Tension in each leg of straps that hold an upward force.
///
/// # Formula
/// T = F / (n k sin(a))
/// # Symbols
/// - `limits`: k, legs of a strap
/// - `count`: n, straps
/// - `force`: F, upward [N]
/// - `angle`: a, between strap and floor [degree]
/// - returns T [N], or nothing for a strap that lies flat or no strap
/// # Valid
/// As for [`strap_hold`].
/// # Source
/// physics, sum of the two upright parts, computed
/// # Checked by
/// The way back from [`strap_hold`] below.
#[must_use]
pub fn strap_tension(limits: &Limits, count: u32, force: Force, angle: Angle) -> Option<Force> {
    let one = strap_hold(limits, count, Force::newtons(1.0), angle).as_newtons();
    // Below this the strap lies flat and no tension in it holds anything down.
    (1e-6 < one).then(|| force / one)
}

#[cfg(test)]
mod tests {
    use super::{strap_hold, strap_tension};
    use crate::tables::Tables;
    use crate::units::{Angle, Force};

    #[test]
    fn two_straps_at_seventy_degrees() {
        // Hand worked: 2 straps * 2 legs * 1000 N * sin 70 deg (0.9396926) = 3758.8 N.
        let limits = Tables::load().unwrap_or_else(|e| panic!("{e}")).limits;
        let angle = Angle::degrees(70.0);
        let got = strap_hold(&limits, 2, Force::newtons(1000.0), angle);
        assert!((got.as_newtons() - 3758.8).abs() < 0.1, "{got:?}");
        let back = strap_tension(&limits, 2, got, angle).expect("a strap that stands");
        assert!(back.near(Force::newtons(1000.0), Force::newtons(1e-6)), "{back:?}");
        assert!(strap_tension(&limits, 0, got, angle).is_none(), "no strap has no tension");
        assert!(strap_tension(&limits, 2, got, Angle::degrees(0.0)).is_none(), "a flat strap");
    }
}

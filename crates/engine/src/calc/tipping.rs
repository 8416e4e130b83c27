//! A sideways push on a box that is held at its foot.

use crate::units::{Force, Length};

/// Sideways force through the middle of a box at which the fasteners of one side give way.
///
/// # Formula
/// F = (T b + W b / 2) / h
/// # Symbols
/// - `row`: T, what the fasteners along one side hold upward together [N]
/// - `weight`: W, of box and contents [N]
/// - `spread`: b, from those fasteners to the far edge about which the box tips [mm]
/// - `middle`: h, height of the middle of the mass over the floor [mm]
/// - returns F [N]
/// # Valid
/// A stiff box on a stiff floor, its mass in the middle, the push steady.
/// # Source
/// physics, moments about the far edge, computed
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn tipping_force(row: Force, weight: Force, spread: Length, middle: Length) -> Force {
    (row + weight / 2.0) * (spread / middle)
}

#[cfg(test)]
mod tests {
    use super::tipping_force;
    use crate::units::{Force, Length};

    #[test]
    fn a_box_twice_as_wide_as_its_middle_is_high() {
        // Hand worked: (400 N * 300 mm + 1000 N * 300 mm / 2) / 200 mm = 1350 N.
        let got = tipping_force(
            Force::newtons(400.0),
            Force::newtons(1000.0),
            Length::mm(300.0),
            Length::mm(200.0),
        );
        assert!(got.near(Force::newtons(1350.0), Force::newtons(1e-9)), "{got:?}");
    }
}

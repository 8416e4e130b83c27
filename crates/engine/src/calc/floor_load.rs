//! What a box asks of the floor it stands on.

use crate::units::{Length, Mass};

/// Mass per area under a box that stands on its whole base.
///
/// # Formula
/// q = m / (a * b)
/// # Symbols
/// - `mass`: m, of the box with everything in it [kg]
/// - `length`: a, outside [m]
/// - `width`: b, outside [m]
/// - returns q [kg/m2]
/// # Valid
/// A box without feet. Whether the floor bears it is for a builder to judge: joists, span and rot count.
/// # Source
/// physics, mass over area, computed
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn floor_load_kg_m2(mass: Mass, length: Length, width: Length) -> f64 {
    mass.as_kg() / (length.as_m() * width.as_m())
}

#[cfg(test)]
mod tests {
    use super::floor_load_kg_m2;
    use crate::units::{Length, Mass};

    #[test]
    fn a_box_presses_with_its_mass_over_its_base() {
        // Hand worked: 103 kg on 0.974 m x 0.484 m = 0.4714 m2: 218.5 kg/m2.
        let load = floor_load_kg_m2(Mass::kg(103.0), Length::mm(974.0), Length::mm(484.0));
        assert!((load - 218.5).abs() < 0.05, "{load} kg/m2");
    }
}

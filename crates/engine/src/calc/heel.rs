//! How a mass off the centreline leans a boat.

use crate::number::atan2;
use crate::units::{Angle, Length, Mass};

/// Moment of a mass about the centreline or the middle of the waterline.
///
/// # Formula
/// M = m * y
/// # Symbols
/// - `mass`: m, below zero when it is taken out [kg]
/// - `arm`: y, from the line, with its sign [m]
/// - returns M [kg m]
/// # Valid
/// Small angles, at which the arm does not change.
/// # Source
/// physics, moment of a weight, computed
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn moment_kg_m(mass: Mass, arm: Length) -> f64 {
    mass.as_kg() * arm.as_m()
}

/// Angle to which a sideways moment heels a boat.
///
/// # Formula
/// tan(h) = M / (D * GM)
/// # Symbols
/// - `moment_kg_m`: M [kg m]
/// - `displacement`: D, mass of the boat as she floats [kg]
/// - `metacentric_height`: GM [m]
/// - returns h
/// # Valid
/// The first few degrees, where GM stands for the stiffness; GM from the builder's or a surveyor's papers.
/// # Source
/// physics, righting moment at a small angle, computed
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn heel(moment_kg_m: f64, displacement: Mass, metacentric_height: Length) -> Angle {
    let stiffness = displacement.as_kg() * metacentric_height.as_m();
    Angle::degrees(atan2(moment_kg_m, stiffness).to_degrees())
}

#[cfg(test)]
mod tests {
    use super::{heel, moment_kg_m};
    use crate::units::{Length, Mass};

    #[test]
    fn the_bindery_boat_leans_to_its_bank() {
        // Hand worked: 432 kg at 0.75 m is 324 kg m. 18 t at GM 0.6 m: 324 / 10,800 = 0.03, 1.72 deg.
        let moment = moment_kg_m(Mass::kg(432.0), Length::m(0.75));
        assert!((moment - 324.0).abs() < 1e-9, "{moment} kg m");
        let angle = heel(moment, Mass::kg(18_000.0), Length::m(0.6)).as_degrees();
        assert!((angle - 1.718).abs() < 0.001, "{angle} degrees");
    }
}

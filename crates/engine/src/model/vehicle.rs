//! Plates, distances and weights of what carries the bank.

use crate::units::{Length, Mass};

/// Masses and distances, as measured or as on the plates.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Vehicle {
    /// Ball to axle.
    pub ball_to_axle: Option<Length>,
    /// Measured on the ball now.
    pub ball_now: Option<Mass>,
    /// Measured gross now.
    pub gross_now: Option<Mass>,
    /// Measured on the axle now.
    pub axle_now: Option<Mass>,
    /// Plate of the hitch.
    pub hitch_max: Option<Mass>,
    /// Plate of the gross.
    pub gross_max: Option<Mass>,
    /// Plate of the axle.
    pub axle_max: Option<Mass>,
    /// Limit of the tow vehicle.
    pub towbar_max: Option<Mass>,
    /// Masses taken out at the work, with how far behind the ball they were.
    pub taken_out: Vec<(String, Mass, Length)>,
    /// Limit of sideways moment the owner accepts, in kg m.
    pub list_max_kg_m: Option<f64>,
}

//! Plates, distances and weights of what carries the bank.

use super::part::Spot;
use crate::units::{Length, Mass};

/// A mass taken out at the work.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenOut {
    /// Its name.
    pub name: String,
    /// Its mass.
    pub mass: Mass,
    /// Where it was.
    pub spot: Spot,
    /// The stage at which it leaves; `None` means with the first new bank.
    pub stage: Option<String>,
}

/// One axle, or a pair that shares its load.
#[derive(Clone, Debug, PartialEq)]
pub struct Axle {
    /// Its name.
    pub name: String,
    /// How far behind the front axle it stands.
    pub at: Option<Length>,
    /// Measured on it now.
    pub now: Option<Mass>,
    /// Its plate.
    pub max: Option<Mass>,
}

/// Masses and distances, as measured or as on the plates.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Vehicle {
    /// Ball to axle; to the middle of the axles where there are two.
    pub ball_to_axle: Option<Length>,
    /// Measured on the ball now.
    pub ball_now: Option<Mass>,
    /// Measured gross now.
    pub gross_now: Option<Mass>,
    /// Measured on the axle now.
    pub axle_now: Option<Mass>,
    /// Plate of the hitch.
    pub hitch_max: Option<Mass>,
    /// Mark on the tow ball.
    pub ball_max: Option<Mass>,
    /// Plate of the coupling.
    pub coupler_max: Option<Mass>,
    /// Limit of the tow vehicle.
    pub towbar_max: Option<Mass>,
    /// Plate of the gross.
    pub gross_max: Option<Mass>,
    /// Plate of the axle.
    pub axle_max: Option<Mass>,
    /// What may be loaded, by plate or papers.
    pub payload_max: Option<Mass>,
    /// Mass empty, by the papers.
    pub empty: Option<Mass>,
    /// Front axle to rear axle.
    pub wheelbase: Option<Length>,
    /// Single axles, from the front.
    pub axles: Vec<Axle>,
    /// Masses taken out at the work.
    pub taken_out: Vec<TakenOut>,
    /// Mass of the boat as she floats.
    pub displacement: Option<Mass>,
    /// Metacentric height, from the builder's or a surveyor's papers.
    pub metacentric_height: Option<Length>,
    /// Limit of sideways moment the owner accepts, in kg m.
    pub list_max_kg_m: Option<f64>,
}

impl Vehicle {
    /// Front axle to rear axle, as stated or as the places of two axles say.
    #[must_use]
    pub fn axles_apart(&self) -> Option<Length> {
        let apart = match self.axles.as_slice() {
            [front, rear] => rear.at.map(|r| r - front.at.unwrap_or(Length::ZERO)),
            _ => None,
        };
        self.wheelbase.or(apart).filter(|w| w.as_mm() > 0.0)
    }
}

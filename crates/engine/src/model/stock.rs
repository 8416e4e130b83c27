//! What is in hand, what the shop sells, and the owner's limits.

use crate::units::conductor::ConductorSize;
use crate::units::{Length, Mass};

/// A length of cable in hand.
#[derive(Clone, Debug, PartialEq)]
pub struct CableInHand {
    /// Its name.
    pub name: String,
    /// Its size.
    pub size: ConductorSize,
    /// Its length.
    pub length: Length,
    /// Colour of its jacket.
    pub colour: Option<String>,
}

/// A length of cable that a shop sells.
#[derive(Clone, Debug, PartialEq)]
pub struct CableSold {
    /// Its name.
    pub name: String,
    /// Its size.
    pub size: ConductorSize,
    /// A fixed length, or the step when it is sold off the reel.
    pub length: Length,
    /// Longest piece off the reel; `None` when the length is fixed.
    pub up_to: Option<Length>,
    /// Price of one length or step.
    pub price: Option<f64>,
    /// Colour of its jacket; `None` fits both poles.
    pub colour: Option<String>,
}

/// Everything in hand or on sale.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Stock {
    /// Cable in hand.
    pub cable: Vec<CableInHand>,
    /// Cable on sale.
    pub sold: Vec<CableSold>,
    /// Tools in hand, by name.
    pub tools: Vec<String>,
    /// Insulation class of the cable on sale or in hand, where one figure fits all, in °C.
    pub insulation_c: Option<f64>,
}

/// The owner's limits.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Limits {
    /// Money for the whole work.
    pub budget: Option<f64>,
    /// Mass that may be added.
    pub mass: Option<Mass>,
    /// Share of the bank's volts that may be lost to important loads, 0 to 1.
    pub drop: Option<f64>,
}

//! The mains side as far as an owner must know it. All work on it ends at a licensed electrician.

use crate::units::Power;

/// One mains circuit that the inverter can feed.
#[derive(Clone, Debug, PartialEq)]
pub struct MainsCircuit {
    /// Its name.
    pub name: String,
    /// Power it can take.
    pub power: Option<Power>,
    /// Can start by itself: fridge, water heater, air conditioning.
    pub automatic: Option<bool>,
    /// Fed by the inverter.
    pub on_inverter: Option<bool>,
}

/// How often neutral and earth meet, in each state of supply.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Bonds {
    /// On the shore lead.
    pub shore: Option<u32>,
    /// On the generator.
    pub generator: Option<u32>,
    /// On the inverter.
    pub inverter: Option<u32>,
}

/// The mains side.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Mains {
    /// Sources there are: `shore`, `generator`, `inverter`.
    pub sources: Vec<String>,
    /// What keeps two sources apart: `switch` (changeover, all poles), `built-in`, `plug`, `none`.
    pub changeover: Option<String>,
    /// Neutral and earth in each state.
    pub bonds: Bonds,
    /// An RCD or GFCI guards the sockets.
    pub rcd: Option<bool>,
    /// Circuits.
    pub circuits: Vec<MainsCircuit>,
}

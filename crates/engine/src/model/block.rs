//! A block model: one case as bought.

use crate::units::capacity::{Capacity, Rating};
use crate::units::{
    BlockVoltage, CellVoltage, Current, Duration, Length, Mass, Resistance, Temperature, Torque,
    Voltage,
};

/// The chemistry of a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chemistry {
    /// Free acid, caps, needs water and air.
    Flooded,
    /// Acid held in a mat.
    Agm,
    /// Acid held in a jelly.
    Gel,
    /// Lithium iron phosphate.
    Lfp,
}

impl Chemistry {
    /// Every chemistry.
    pub const ALL: [Self; 4] = [Self::Flooded, Self::Agm, Self::Gel, Self::Lfp];

    /// The word used in the design file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Flooded => "flooded",
            Self::Agm => "AGM",
            Self::Gel => "gel",
            Self::Lfp => "LFP",
        }
    }

    /// Whether it is lead and acid.
    #[must_use]
    pub const fn is_lead(self) -> bool {
        !matches!(self, Self::Lfp)
    }

    /// Nominal volts of one cell.
    #[must_use]
    pub fn nominal_cell(self) -> CellVoltage {
        CellVoltage::volts(if self.is_lead() { 2.0 } else { 3.2 })
    }
}

/// Where a post stands on the case, from the case's left near corner with its length along x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PostAt {
    /// Along the length.
    pub x: Length,
    /// Along the width.
    pub y: Length,
}

/// A block model as bought; several blocks of a bank share one.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockModel {
    /// The name used in the file.
    pub name: String,
    /// Its chemistry.
    pub chemistry: Option<Chemistry>,
    /// Nominal volts on the label.
    pub volts: Option<BlockVoltage>,
    /// The label's rating.
    pub rating: Option<Rating>,
    /// Capacities at other hour rates from the maker's sheet.
    pub rates: Vec<Capacity>,
    /// Internal resistance when full, new and at 25 °C.
    pub resistance: Option<Resistance>,
    /// Short-circuit current from the maker's sheet.
    pub short_circuit: Option<Current>,
    /// Cold cranking amps, for the older interrupt table.
    pub cranking: Option<Current>,
    /// Mass of one block.
    pub mass: Option<Mass>,
    /// Case group name, such as GC2.
    pub case: Option<String>,
    /// Length of the case.
    pub length: Option<Length>,
    /// Width of the case.
    pub width: Option<Length>,
    /// Height over posts and caps.
    pub height: Option<Length>,
    /// Height of the case itself, without posts and caps.
    pub case_height: Option<Length>,
    /// Height of the raised handles or rope above the floor of the case.
    pub handle_height: Option<Length>,
    /// Where the plus post stands.
    pub plus_at: Option<PostAt>,
    /// Where the minus post stands.
    pub minus_at: Option<PostAt>,
    /// Diameter of the terminal stud.
    pub stud: Option<Length>,
    /// Terminal kind in the owner's words: stud, flag, SAE post, wing nut.
    pub terminal: Option<String>,
    /// Torque from the block's own sheet.
    pub torque: Option<Torque>,
    /// Largest discharge current the maker allows.
    pub discharge_max: Option<Current>,
    /// Largest charge current the maker allows.
    pub charge_max: Option<Current>,
    /// Absorption volts per block from the maker's sheet.
    pub absorption: Option<Voltage>,
    /// Float volts per block from the maker's sheet.
    pub float: Option<Voltage>,
    /// Cell temperature under which its own board refuses charge.
    pub lockout_below: Option<Temperature>,
    /// Maker's limit on the volts between two blocks before they are joined.
    pub join_within: Option<Voltage>,
    /// Price of one, invented or the owner's.
    pub price: Option<f64>,
    /// Time since it was made.
    pub age: Option<Duration>,
}

impl BlockModel {
    /// A model of which nothing but the name is known.
    #[must_use]
    pub fn named(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            chemistry: None,
            volts: None,
            rating: None,
            rates: Vec::new(),
            resistance: None,
            short_circuit: None,
            cranking: None,
            mass: None,
            case: None,
            length: None,
            width: None,
            height: None,
            case_height: None,
            handle_height: None,
            plus_at: None,
            minus_at: None,
            stud: None,
            terminal: None,
            torque: None,
            discharge_max: None,
            charge_max: None,
            absorption: None,
            float: None,
            lockout_below: None,
            join_within: None,
            price: None,
            age: None,
        }
    }
}

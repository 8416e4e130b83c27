//! The rig, the practice it follows, and where it stands.

use crate::finding::Gate;
use crate::units::show::UnitSystem;
use crate::units::{Length, Temperature};

/// What kind of rig lives off the bank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RigKind {
    /// A towable trailer or caravan.
    Trailer,
    /// A van or other driven vehicle.
    Van,
    /// A boat.
    Boat,
    /// A cabin.
    Cabin,
}

impl RigKind {
    /// The word used in the design file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Trailer => "trailer",
            Self::Van => "van",
            Self::Boat => "boat",
            Self::Cabin => "cabin",
        }
    }

    /// Whether a rig of this kind ever comes to a gate: a cabin is not towed, a van not sailed.
    #[must_use]
    pub const fn meets(self, gate: Gate) -> bool {
        match gate {
            Gate::Buy | Gate::Energise | Gate::Charge => true,
            Gate::Tow => matches!(self, Self::Trailer | Self::Van),
            Gate::Sail => matches!(self, Self::Boat),
        }
    }

    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Trailer, Self::Van, Self::Boat, Self::Cabin];
}

/// Which set of published rules, tables, colours and units applies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Practice {
    /// Trailers, campers and vans in the United States.
    UsTrailer,
    /// Boats in the United States.
    UsBoat,
    /// Cabins in the United States.
    UsCabin,
    /// Trailers, caravans and vans in Europe.
    EuVehicle,
    /// Boats in Europe.
    EuBoat,
    /// Cabins in Europe.
    EuCabin,
}

impl Practice {
    /// Every practice.
    pub const ALL: [Self; 6] = [
        Self::UsTrailer,
        Self::UsBoat,
        Self::UsCabin,
        Self::EuVehicle,
        Self::EuBoat,
        Self::EuCabin,
    ];

    /// The word used in the design file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::UsTrailer => "us-trailer",
            Self::UsBoat => "us-boat",
            Self::UsCabin => "us-cabin",
            Self::EuVehicle => "eu-vehicle",
            Self::EuBoat => "eu-boat",
            Self::EuCabin => "eu-cabin",
        }
    }

    /// Whether the rules of this practice are of the United States.
    #[must_use]
    pub const fn is_us(self) -> bool {
        matches!(self, Self::UsTrailer | Self::UsBoat | Self::UsCabin)
    }

    /// Whether this practice is for boats.
    #[must_use]
    pub const fn is_boat(self) -> bool {
        matches!(self, Self::UsBoat | Self::EuBoat)
    }
}

/// The rig itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Rig {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: RigKind,
    /// Which rules apply.
    pub practice: Practice,
    /// Which units the reader wants.
    pub units: UnitSystem,
    /// What it is used for, in one sentence.
    pub purpose: Option<String>,
    /// Whether a petrol engine is built in (boats: US law applies).
    pub petrol_inboard: Option<bool>,
    /// Whether it has electric brakes with a breakaway switch.
    pub electric_brakes: Option<bool>,
    /// Whether the insurer was told of the work.
    pub insurer_told: Option<bool>,
    /// Whether any permit that is needed was asked for.
    pub permit: Option<bool>,
    /// Who does the mains work, where it is known to be licensed.
    pub mains_by: Option<String>,
    /// Kilometres to the nearest shop for a forgotten tool.
    pub shop_distance: Option<Length>,
    /// Revision of the drawing.
    pub revision: Option<String>,
}

/// Where the rig stands when it lives off the bank.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Name of the place.
    pub name: Option<String>,
    /// Latitude, north positive, in degrees.
    pub latitude_deg: Option<f64>,
    /// Longitude, east positive, in degrees.
    pub longitude_deg: Option<f64>,
    /// Height above the sea.
    pub altitude: Option<Length>,
    /// Heights of the horizon in degrees at twelve bearings, north first, every 30 degrees east.
    pub horizon_deg: Vec<f64>,
    /// The owner's own weather file, beside the design.
    pub weather: Option<String>,
    /// Coldest the bank or the array sees.
    pub coldest: Option<Temperature>,
    /// Warmest the bank sees.
    pub warmest: Option<Temperature>,
    /// Peak sun hours of a flat plane, kWh/m2 a day, by month, January first, where the owner has them.
    pub sun_hours: Vec<f64>,
}

impl Place {
    /// A place of which only the coordinates are known [degrees, north and east positive].
    #[must_use]
    pub const fn at(latitude: f64, longitude: f64) -> Self {
        Self {
            name: None,
            latitude_deg: Some(latitude),
            longitude_deg: Some(longitude),
            altitude: None,
            horizon_deg: Vec::new(),
            weather: None,
            coldest: None,
            warmest: None,
            sun_hours: Vec::new(),
        }
    }
}

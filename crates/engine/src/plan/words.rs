//! Which word a reader of each country knows a thing by: one set is kept through the whole book.

use crate::model::device::Device;
use crate::model::rig::{Rig, RigKind};

/// The words of one reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Words {
    us: bool,
    kind: RigKind,
}

impl Words {
    /// The words for a rig.
    #[must_use]
    pub const fn of(rig: &Rig) -> Self {
        Self { us: rig.practice.is_us(), kind: rig.kind }
    }

    const fn pick(self, us: &'static str, uk: &'static str) -> &'static str {
        if self.us { us } else { uk }
    }

    /// The hand-operated switch that cuts the bank off.
    #[must_use]
    pub const fn isolator(self) -> &'static str {
        self.pick("battery disconnect", "isolator")
    }

    /// The tool that turns a nut.
    #[must_use]
    pub const fn spanner(self) -> &'static str {
        self.pick("wrench", "spanner")
    }

    /// The tools that turn nuts, on a list.
    #[must_use]
    pub const fn spanners(self) -> &'static str {
        self.pick("wrenches or sockets, handles taped", "spanners or sockets, handles taped")
    }

    /// The frame, hull or soil that the minus is tied to once.
    #[must_use]
    pub const fn chassis(self) -> &'static str {
        match self.kind {
            RigKind::Trailer | RigKind::Van => self.pick("chassis ground", "chassis earth"),
            RigKind::Boat => self.pick("engine or bonding ground", "engine or bonding earth"),
            RigKind::Cabin => self.pick("ground rod", "earth electrode"),
        }
    }

    /// Mains from outside.
    #[must_use]
    pub const fn shore(self) -> &'static str {
        match self.kind {
            RigKind::Boat => self.pick("shore power cord", "shore lead"),
            RigKind::Trailer | RigKind::Van => self.pick("shore power cord", "hook-up lead"),
            RigKind::Cabin => self.pick("grid power", "grid supply"),
        }
    }

    /// House-voltage alternating current.
    #[must_use]
    pub const fn mains(self) -> &'static str {
        self.pick("house-voltage AC", "mains")
    }

    /// Downward load on the ball.
    #[must_use]
    pub const fn ball_load(self) -> &'static str {
        self.pick("tongue weight", "noseweight")
    }

    /// The joint part that sits on the ball.
    #[must_use]
    pub const fn coupling(self) -> &'static str {
        self.pick("coupler", "coupling head")
    }

    /// What steadies a parked trailer.
    #[must_use]
    pub const fn stands(self) -> &'static str {
        self.pick("stabilizer stands", "corner steadies or stands")
    }

    /// What brakes the trailer when it comes off.
    #[must_use]
    pub const fn breakaway(self) -> &'static str {
        self.pick("breakaway switch", "breakaway cable")
    }

    /// The device that trips on current to earth.
    #[must_use]
    pub const fn residual_device(self) -> &'static str {
        self.pick("GFCI", "RCD")
    }

    /// The side that the house-voltage earth is called.
    #[must_use]
    pub const fn earth(self) -> &'static str {
        self.pick("ground", "earth")
    }

    /// The cable that joins trailer and tow vehicle.
    #[must_use]
    pub const fn tow_plug(self) -> &'static str {
        "tow plug"
    }

    /// What cooks and heats.
    #[must_use]
    pub const fn gas(self) -> &'static str {
        self.pick("propane", "gas")
    }

    /// Whether the rig hangs on a tow ball.
    #[must_use]
    pub const fn is_towed(self) -> bool {
        matches!(self.kind, RigKind::Trailer)
    }

    /// Whether the rig floats.
    #[must_use]
    pub const fn floats(self) -> bool {
        matches!(self.kind, RigKind::Boat)
    }

    /// Whether the rig stands on wheels.
    #[must_use]
    pub const fn has_wheels(self) -> bool {
        matches!(self.kind, RigKind::Trailer | RigKind::Van)
    }

    /// What the rig is called in a sentence.
    #[must_use]
    pub const fn rig(self) -> &'static str {
        match self.kind {
            RigKind::Trailer => self.pick("trailer", "trailer or caravan"),
            RigKind::Van => "van",
            RigKind::Boat => "boat",
            RigKind::Cabin => "cabin",
        }
    }
}

/// A device's name with the word of its kind, once.
#[must_use]
pub fn with_kind(device: &Device) -> String {
    let (kind, name) = (device.kind.word(), &device.part.name);
    if name.contains(kind) { name.clone() } else { format!("{kind} {name}") }
}

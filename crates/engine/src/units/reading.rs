//! What a meter or a scale shows, and in which unit it is written down.

/// What a reading is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Direct volts.
    Volts,
    /// Direct millivolts.
    Millivolts,
    /// Direct amps.
    Amps,
    /// Kilograms.
    Kilograms,
    /// Pounds.
    Pounds,
}

impl Quantity {
    /// The unit printed after the figure.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Volts => "V",
            Self::Millivolts => "mV",
            Self::Amps => "A",
            Self::Kilograms => "kg",
            Self::Pounds => "lb",
        }
    }

    /// Decimals that an owner's meter shows.
    #[must_use]
    pub const fn digits(self) -> usize {
        match self {
            Self::Volts => 2,
            Self::Millivolts | Self::Amps => 1,
            Self::Kilograms | Self::Pounds => 0,
        }
    }
}

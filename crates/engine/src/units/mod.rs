//! Quantities as own types: made and read by unit name, never as bare numbers.
//!
//! The classic slips of this trade do not compile: a one-way length is not an out-and-back
//! length, an ampere rating is not an interrupt rating, amp-hours carry their hour rate, a
//! temperature is not a temperature step, cell volts are not block volts or bank volts, and a
//! gauge number of building wire is not the same gauge of boat cable.

pub mod capacity;
pub mod conductor;
pub mod parse;
pub mod reading;
pub mod show;

use std::ops::{Add, Div, Mul, Neg, Sub};

/// Makes a quantity: a finite number held in one base unit.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $base:literal, { $($(#[$udoc:meta])* $unit:ident, $as_unit:ident = $factor:expr;)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            $(
                $(#[$udoc])*
                #[must_use]
                pub fn $unit(value: f64) -> Self {
                    assert!(value.is_finite(), concat!(stringify!($name), " must be a finite number"));
                    Self(value * $factor)
                }

                /// Reads it back in the unit of the constructor of the same name.
                #[must_use]
                pub const fn $as_unit(self) -> f64 {
                    self.0 / $factor
                }
            )+

            /// The larger of the two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                if self.0 < other.0 { other } else { self }
            }

            /// The smaller of the two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                if other.0 < self.0 { other } else { self }
            }

            /// Size without sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// Whether two values agree to a stated tolerance.
            #[must_use]
            pub fn near(self, other: Self, tolerance: Self) -> bool {
                (self.0 - other.0).abs() <= tolerance.0
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(Self::ZERO, Add::add)
            }
        }
    };
}

quantity!(
    /// A length. Along a lead use [`OneWay`] or [`RoundTrip`].
    Length, "mm", {
        /// Millimetres.
        mm, as_mm = 1.0;
        /// Centimetres.
        cm, as_cm = 10.0;
        /// Metres.
        m, as_m = 1000.0;
        /// Inches.
        inches, as_inches = 25.4;
        /// Feet.
        feet, as_feet = 304.8;
    }
);
quantity!(
    /// A cross-section of metal or an opening.
    Area, "mm2", {
        /// Square millimetres.
        mm2, as_mm2 = 1.0;
        /// Square centimetres.
        cm2, as_cm2 = 100.0;
        /// Square inches.
        in2, as_in2 = 645.16;
    }
);
quantity!(
    /// A current, or the ampere rating of a part. For what a fuse can break see [`Interrupt`].
    Current, "A", {
        /// Amperes.
        amps, as_amps = 1.0;
        /// Milliamperes.
        milliamps, as_milliamps = 0.001;
    }
);
quantity!(
    /// The largest fault current a device can break safely; not its ampere rating.
    Interrupt, "A", {
        /// Amperes.
        amps, as_amps = 1.0;
        /// Kiloamperes.
        kiloamps, as_kiloamps = 1000.0;
    }
);
quantity!(
    /// A voltage between two points of a circuit.
    Voltage, "V", {
        /// Volts.
        volts, as_volts = 1.0;
        /// Millivolts.
        millivolts, as_millivolts = 0.001;
    }
);
quantity!(
    /// Voltage of one cell.
    CellVoltage, "V", {
        /// Volts per cell.
        volts, as_volts = 1.0;
    }
);
quantity!(
    /// Voltage of one block, as bought.
    BlockVoltage, "V", {
        /// Volts per block.
        volts, as_volts = 1.0;
    }
);
quantity!(
    /// Voltage of the whole bank.
    BankVoltage, "V", {
        /// Volts of the bank.
        volts, as_volts = 1.0;
    }
);
quantity!(
    /// A resistance.
    Resistance, "ohm", {
        /// Ohms.
        ohms, as_ohms = 1.0;
        /// Milliohms.
        milliohms, as_milliohms = 0.001;
        /// Microohms.
        microohms, as_microohms = 0.000_001;
    }
);
quantity!(
    /// A power.
    Power, "W", {
        /// Watts.
        watts, as_watts = 1.0;
        /// Kilowatts.
        kilowatts, as_kilowatts = 1000.0;
        /// Mechanical horsepower of 550 foot-pounds a second.
        horsepower, as_horsepower = 745.699_871_582_270_2;
    }
);
quantity!(
    /// An energy.
    Energy, "Wh", {
        /// Watt-hours.
        watt_hours, as_watt_hours = 1.0;
        /// Kilowatt-hours.
        kilowatt_hours, as_kilowatt_hours = 1000.0;
    }
);
quantity!(
    /// A mass.
    Mass, "kg", {
        /// Kilograms.
        kg, as_kg = 1.0;
        /// Pounds.
        pounds, as_pounds = 0.453_592_37;
    }
);
quantity!(
    /// A force.
    Force, "N", {
        /// Newtons.
        newtons, as_newtons = 1.0;
        /// Pounds-force.
        pounds_force, as_pounds_force = 4.448_221_615_260_5;
        /// The weight of a kilogram under standard gravity.
        kilograms_force, as_kilograms_force = 9.806_65;
    }
);
quantity!(
    /// A flow of air.
    AirFlow, "m3/h", {
        /// Cubic metres an hour.
        cubic_metres_an_hour, as_cubic_metres_an_hour = 1.0;
    }
);
quantity!(
    /// A tightening torque.
    Torque, "N m", {
        /// Newton metres.
        newton_metres, as_newton_metres = 1.0;
        /// Pound-force inches.
        pound_inches, as_pound_inches = 0.112_984_829_027_616_7;
        /// Pound-force feet.
        pound_feet, as_pound_feet = 1.355_817_948_331_400_4;
    }
);
quantity!(
    /// A span of time.
    Duration, "h", {
        /// Hours.
        hours, as_hours = 1.0;
        /// Minutes.
        minutes, as_minutes = 1.0 / 60.0;
        /// Seconds.
        seconds, as_seconds = 1.0 / 3600.0;
        /// Days of 24 hours.
        days, as_days = 24.0;
        /// Months of a twelfth of a year.
        months, as_months = 730.5;
        /// Years of 365.25 days.
        years, as_years = 8766.0;
    }
);
quantity!(
    /// A difference of two temperatures, in kelvin.
    TemperatureStep, "K", {
        /// Kelvin.
        kelvin, as_kelvin = 1.0;
    }
);
quantity!(
    /// An angle.
    Angle, "degree", {
        /// Degrees.
        degrees, as_degrees = 1.0;
    }
);

/// A temperature on the Celsius scale; a difference of two is a [`TemperatureStep`].
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// Degrees Celsius.
    #[must_use]
    pub fn celsius(value: f64) -> Self {
        assert!(value.is_finite(), "a temperature must be a finite number");
        Self(value)
    }

    /// Degrees Fahrenheit.
    #[must_use]
    pub fn fahrenheit(value: f64) -> Self {
        Self::celsius((value - 32.0) / 1.8)
    }

    /// Reads degrees Celsius.
    #[must_use]
    pub const fn as_celsius(self) -> f64 {
        self.0
    }

    /// Reads degrees Fahrenheit.
    #[must_use]
    pub const fn as_fahrenheit(self) -> f64 {
        self.0 * 1.8 + 32.0
    }
}

impl Sub for Temperature {
    type Output = TemperatureStep;
    fn sub(self, other: Self) -> TemperatureStep {
        TemperatureStep::kelvin(self.0 - other.0)
    }
}

impl Add<TemperatureStep> for Temperature {
    type Output = Self;
    fn add(self, step: TemperatureStep) -> Self {
        Self(self.0 + step.as_kelvin())
    }
}

/// Length of a lead's route, counted once.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct OneWay(Length);

/// Length of conductor out and back.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct RoundTrip(Length);

impl OneWay {
    /// A route counted once.
    #[must_use]
    pub const fn new(route: Length) -> Self {
        Self(route)
    }

    /// The length along the route.
    #[must_use]
    pub const fn length(self) -> Length {
        self.0
    }

    /// Out and back along the same route.
    #[must_use]
    pub fn out_and_back(self) -> RoundTrip {
        RoundTrip(self.0 * 2.0)
    }
}

impl RoundTrip {
    /// Total conductor length, out and back together.
    #[must_use]
    pub const fn new(conductor: Length) -> Self {
        Self(conductor)
    }

    /// The total conductor length.
    #[must_use]
    pub const fn length(self) -> Length {
        self.0
    }
}

impl Mul<Resistance> for Current {
    type Output = Voltage;
    fn mul(self, resistance: Resistance) -> Voltage {
        Voltage::volts(self.as_amps() * resistance.as_ohms())
    }
}

impl Mul<Voltage> for Current {
    type Output = Power;
    fn mul(self, voltage: Voltage) -> Power {
        Power::watts(self.as_amps() * voltage.as_volts())
    }
}

impl Force {
    /// The weight of a mass.
    #[must_use]
    pub fn weight_of(mass: Mass) -> Self {
        Self::kilograms_force(mass.as_kg())
    }
}

impl BlockVoltage {
    /// Bank volts of blocks in series.
    #[must_use]
    pub fn in_series(self, blocks: u32) -> BankVoltage {
        BankVoltage::volts(self.as_volts() * f64::from(blocks))
    }
}

impl CellVoltage {
    /// Block volts of cells in series.
    #[must_use]
    pub fn in_block(self, cells: u32) -> BlockVoltage {
        BlockVoltage::volts(self.as_volts() * f64::from(cells))
    }
}

impl BankVoltage {
    /// The same as a plain circuit voltage.
    #[must_use]
    pub fn voltage(self) -> Voltage {
        Voltage::volts(self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::{BlockVoltage, Length, OneWay, Temperature, Torque};

    #[test]
    fn units_convert_by_definition() {
        // International yard and pound agreement of 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg.
        assert!(Length::feet(4.0).near(Length::mm(1219.2), Length::mm(1e-9)), "4 ft is 1219.2 mm");
        assert!((Temperature::fahrenheit(-40.0).as_celsius() + 40.0).abs() < 1e-9, "-40 is -40");
        // 0.45359237 kg * 9.80665 m/s2 * 0.0254 m, hand worked.
        let torque = Torque::pound_inches(1.0).as_newton_metres();
        assert!((torque - 0.112_984_829).abs() < 1e-9, "one pound-inch is {torque} N m");
    }

    #[test]
    fn out_and_back_is_twice_one_way() {
        let route = OneWay::new(Length::m(3.0));
        let both = route.out_and_back().length();
        assert!(both.near(Length::m(6.0), Length::mm(1e-9)), "3 m one way is 6 m out and back");
    }

    #[test]
    fn blocks_in_series_make_the_bank() {
        let bank = BlockVoltage::volts(6.0).in_series(4);
        assert!((bank.as_volts() - 24.0).abs() < 1e-12, "four 6 V blocks are 24 V");
    }
}

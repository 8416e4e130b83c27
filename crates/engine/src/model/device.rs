//! Devices: everything between the bank and what uses or feeds it.

use super::lead::Terminal;
use super::part::{Part, PlanPoint, Spot};
use crate::units::{
    Current, Duration, Interrupt, Length, Mass, Power, Resistance, Temperature, Torque, Voltage,
};

/// What a device is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DeviceKind {
    /// A fuse.
    Fuse,
    /// A circuit breaker.
    Breaker,
    /// A hand-operated battery isolator.
    Isolator,
    /// The measuring resistor of a battery monitor.
    Shunt,
    /// A common bar for several leads.
    Busbar,
    /// A fuse panel that feeds the 12, 24 or 48 V loads.
    Panel,
    /// An inverter, or an inverter with charger.
    Inverter,
    /// A mains battery charger or converter.
    Charger,
    /// A solar charge controller.
    SolarController,
    /// A charger fed by another battery.
    DcDc,
    /// An alternator.
    Alternator,
    /// The charge line of a tow plug.
    TowLine,
    /// A converter that makes a lower direct voltage for some loads.
    StepDown,
    /// A generator.
    Generator,
    /// The breakaway switch of electric trailer brakes.
    Breakaway,
    /// The protection board of an LFP bank.
    Bms,
    /// The pre-charge resistor and switch of a large inverter.
    Precharge,
    /// The point where the negative meets chassis, hull or earth.
    Bond,
    /// A single load wired straight to the DC side.
    Equipment,
    /// A gas or smoke alarm.
    Alarm,
}

impl DeviceKind {
    /// Every kind with the word used in the design file.
    pub const WORDS: [(&'static str, Self); 20] = [
        ("fuse", Self::Fuse),
        ("breaker", Self::Breaker),
        ("isolator", Self::Isolator),
        ("shunt", Self::Shunt),
        ("busbar", Self::Busbar),
        ("panel", Self::Panel),
        ("inverter", Self::Inverter),
        ("charger", Self::Charger),
        ("solar controller", Self::SolarController),
        ("dc-dc", Self::DcDc),
        ("alternator", Self::Alternator),
        ("tow line", Self::TowLine),
        ("step-down", Self::StepDown),
        ("generator", Self::Generator),
        ("breakaway", Self::Breakaway),
        ("bms", Self::Bms),
        ("precharge", Self::Precharge),
        ("bond", Self::Bond),
        ("equipment", Self::Equipment),
        ("alarm", Self::Alarm),
    ];

    /// The word used in the design file.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|w| w.1 == self).map_or("device", |w| w.0)
    }

    /// Has an in and an out stud and passes the current through.
    #[must_use]
    pub const fn passes_through(self) -> bool {
        matches!(
            self,
            Self::Fuse | Self::Breaker | Self::Isolator | Self::Shunt | Self::Bms | Self::Precharge
        )
    }

    /// Opens by itself on overcurrent.
    #[must_use]
    pub const fn is_overcurrent(self) -> bool {
        matches!(self, Self::Fuse | Self::Breaker)
    }

    /// Takes current from the bank between its plus and minus studs.
    #[must_use]
    pub const fn is_load(self) -> bool {
        matches!(
            self,
            Self::Panel
                | Self::Inverter
                | Self::StepDown
                | Self::Breakaway
                | Self::Equipment
                | Self::Alarm
        )
    }

    /// Gives current to the bank between its plus and minus studs.
    #[must_use]
    pub const fn is_charge_source(self) -> bool {
        matches!(
            self,
            Self::Charger | Self::SolarController | Self::DcDc | Self::Alternator | Self::TowLine
        )
    }
}

/// A device as the owner gave it. What does not belong to its kind stays `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct Device {
    /// Name, stage, price.
    pub part: Part,
    /// What it is.
    pub kind: DeviceKind,
    /// Ampere rating: of a fuse, a switch, a bar; the output of a charger; the input of a panel.
    pub rating: Option<Current>,
    /// Fuse family in the words of the fuse table, such as `class T`.
    pub family: Option<String>,
    /// Largest fault it can break at the bank's volts.
    pub interrupt: Option<Interrupt>,
    /// Largest direct voltage it is marked for.
    pub volts_max: Option<Voltage>,
    /// Marked for direct current.
    pub dc_rated: Option<bool>,
    /// Works one way round only.
    pub polarised: Option<bool>,
    /// Marked as ignition-protected.
    pub ignition_protected: Option<bool>,
    /// Resistance between its studs.
    pub resistance: Option<Resistance>,
    /// Diameter of its studs.
    pub stud: Option<Length>,
    /// Torque from its own sheet.
    pub torque: Option<Torque>,
    /// Mounted directly on a post or stud.
    pub mounted_on: Option<Terminal>,
    /// Where its stud, or the first of two, lies on the plan.
    pub at: Option<PlanPoint>,
    /// Lies inside the battery box or compartment.
    pub in_box: Option<bool>,
    /// Can be reached at once.
    pub reachable: Option<bool>,
    /// Steady power: an inverter's output, a generator's output.
    pub power: Option<Power>,
    /// Short overload: an inverter's.
    pub surge: Option<Power>,
    /// Power it takes when it does nothing.
    pub idle: Option<Power>,
    /// Output over input, 0 to 1.
    pub efficiency: Option<f64>,
    /// Volts at its own studs at which it drops out.
    pub cut_off: Option<Voltage>,
    /// Volts it charges to, at its own studs.
    pub absorption: Option<Voltage>,
    /// Volts it floats at.
    pub float: Option<Voltage>,
    /// Volts it equalises at; `None` when it never does.
    pub equalise: Option<Voltage>,
    /// Largest volts at its input: a solar controller's.
    pub input_max: Option<Voltage>,
    /// Shifts its set points with battery temperature.
    pub compensated: Option<bool>,
    /// Which mains circuit feeds it: `shore` or `inverter`.
    pub fed_by: Option<String>,
    /// Has its own switch from mains to inverter.
    pub transfer: Option<bool>,
    /// Solar controller of the voltage-converting kind.
    pub mppt: Option<bool>,
    /// Distance to the nearest opening of the living space: a generator's.
    pub distance: Option<Length>,
    /// Exhaust points away from every opening.
    pub exhaust_away: Option<bool>,
    /// Keeps living when the isolator is off, on purpose.
    pub always_live: Option<bool>,
    /// Mass.
    pub mass: Option<Mass>,
    /// Where it sits in the rig.
    pub spot: Spot,
    /// Coldest ambient it works in.
    pub ambient_min: Option<Temperature>,
    /// Time it can carry its surge.
    pub surge_time: Option<Duration>,
    /// Cell temperature under which it refuses to charge.
    pub lockout_below: Option<Temperature>,
    /// Time it holds absorption at most.
    pub absorption_time: Option<Duration>,
    /// Amps at which it ends absorption.
    pub tail: Option<Current>,
    /// Volts under which it begins a new charge, or a generator starts.
    pub resume: Option<Voltage>,
    /// Where it measures: `posts`, over wires of its own, or `studs`.
    pub sense: Option<String>,
    /// Has a profile against sulphate switched on.
    pub desulphate: Option<bool>,
    /// Keeps to an amps limit of its own: an alternator's regulator.
    pub limiter: Option<bool>,
    /// A relay or converter parts it from the vehicle's battery when the engine stands.
    pub relay: Option<bool>,
    /// Volts of the vehicle that feeds it, engine running.
    pub fed_volts: Option<Voltage>,
    /// One-way length of the vehicle's own line, up to the plug.
    pub length: Option<Length>,
}

impl Device {
    /// A device of which nothing but name and kind is known.
    #[must_use]
    pub fn named(name: &str, kind: DeviceKind) -> Self {
        Self {
            part: Part { name: name.to_owned(), ..Part::default() },
            kind,
            rating: None,
            family: None,
            interrupt: None,
            volts_max: None,
            dc_rated: None,
            polarised: None,
            ignition_protected: None,
            resistance: None,
            stud: None,
            torque: None,
            mounted_on: None,
            at: None,
            in_box: None,
            reachable: None,
            power: None,
            surge: None,
            idle: None,
            efficiency: None,
            cut_off: None,
            absorption: None,
            float: None,
            equalise: None,
            input_max: None,
            compensated: None,
            fed_by: None,
            transfer: None,
            mppt: None,
            distance: None,
            exhaust_away: None,
            always_live: None,
            mass: None,
            spot: Spot::default(),
            ambient_min: None,
            surge_time: None,
            lockout_below: None,
            absorption_time: None,
            tail: None,
            resume: None,
            sense: None,
            desulphate: None,
            limiter: None,
            relay: None,
            fed_volts: None,
            length: None,
        }
    }
}

//! Takes single values out of an understood table.

use crate::value::{RawTakeOff, Value};
use crate::walk::Node;
use engine::model::lead::Terminal;
use engine::model::load::Span;
use engine::model::part::{Part, PlanPoint, Spot, Turn};
use engine::units::capacity::{Capacity, Rating};
use engine::units::conductor::ConductorSize;
use engine::units::{
    Angle, Area, BlockVoltage, Current, Duration, Energy, Interrupt, Length, Mass, Power,
    Resistance, Temperature, Torque, Voltage,
};

impl Node {
    fn value(&self, key: &str) -> Option<&Value> {
        self.cells.get(key).map(|cell| &cell.value)
    }

    pub(crate) fn text(&self, key: &str) -> Option<String> {
        match self.value(key)? {
            Value::Text(text) => Some(text.clone()),
            _ => None,
        }
    }

    pub(crate) fn number(&self, key: &str) -> Option<f64> {
        match self.value(key)? {
            Value::Number(number) => Some(*number),
            _ => None,
        }
    }

    pub(crate) fn whole(&self, key: &str) -> Option<u32> {
        match self.value(key)? {
            Value::Whole(whole) => Some(*whole),
            _ => None,
        }
    }

    pub(crate) fn flag(&self, key: &str) -> Option<bool> {
        match self.value(key)? {
            Value::Flag(flag) => Some(*flag),
            _ => None,
        }
    }

    /// A quantity in the base unit of its kind.
    pub(crate) fn quantity(&self, key: &str) -> Option<f64> {
        match self.value(key)? {
            Value::Quantity(value) => Some(*value),
            _ => None,
        }
    }

    pub(crate) fn length(&self, key: &str) -> Option<Length> {
        self.quantity(key).map(Length::mm)
    }

    pub(crate) fn area(&self, key: &str) -> Option<Area> {
        self.quantity(key).map(Area::mm2)
    }

    pub(crate) fn current(&self, key: &str) -> Option<Current> {
        self.quantity(key).map(Current::amps)
    }

    pub(crate) fn interrupt(&self, key: &str) -> Option<Interrupt> {
        self.quantity(key).map(Interrupt::amps)
    }

    pub(crate) fn voltage(&self, key: &str) -> Option<Voltage> {
        self.quantity(key).map(Voltage::volts)
    }

    pub(crate) fn block_voltage(&self, key: &str) -> Option<BlockVoltage> {
        self.quantity(key).map(BlockVoltage::volts)
    }

    pub(crate) fn resistance(&self, key: &str) -> Option<Resistance> {
        self.quantity(key).map(Resistance::ohms)
    }

    pub(crate) fn power(&self, key: &str) -> Option<Power> {
        self.quantity(key).map(Power::watts)
    }

    pub(crate) fn energy(&self, key: &str) -> Option<Energy> {
        self.quantity(key).map(Energy::watt_hours)
    }

    pub(crate) fn mass(&self, key: &str) -> Option<Mass> {
        self.quantity(key).map(Mass::kg)
    }

    pub(crate) fn torque(&self, key: &str) -> Option<Torque> {
        self.quantity(key).map(Torque::newton_metres)
    }

    pub(crate) fn duration(&self, key: &str) -> Option<Duration> {
        self.quantity(key).map(Duration::hours)
    }

    pub(crate) fn angle(&self, key: &str) -> Option<Angle> {
        self.quantity(key).map(Angle::degrees)
    }

    pub(crate) fn temperature(&self, key: &str) -> Option<Temperature> {
        self.quantity(key).map(Temperature::celsius)
    }

    /// A share is a plain number in the quantity's place.
    pub(crate) fn share(&self, key: &str) -> Option<f64> {
        self.quantity(key)
    }

    pub(crate) fn rating(&self, key: &str) -> Option<Rating> {
        match self.value(key)? {
            Value::Rating(rating) => Some(*rating),
            _ => None,
        }
    }

    pub(crate) fn ratings(&self, key: &str) -> Vec<Capacity> {
        match self.value(key) {
            Some(Value::Ratings(capacities)) => capacities.clone(),
            _ => Vec::new(),
        }
    }

    pub(crate) fn size(&self, key: &str) -> Option<ConductorSize> {
        match self.value(key)? {
            Value::Size(size) => Some(*size),
            _ => None,
        }
    }

    pub(crate) fn turn(&self, key: &str) -> Option<Turn> {
        match self.value(key)? {
            Value::Turn(turn) => Some(*turn),
            _ => None,
        }
    }

    pub(crate) fn points(&self, key: &str) -> Vec<PlanPoint> {
        match self.value(key) {
            Some(Value::Points(points)) => points.clone(),
            _ => Vec::new(),
        }
    }

    pub(crate) fn point(&self, key: &str) -> Option<PlanPoint> {
        self.points(key).first().copied()
    }

    pub(crate) fn numbers(&self, key: &str) -> Vec<f64> {
        match self.value(key) {
            Some(Value::Numbers(numbers)) => numbers.clone(),
            _ => Vec::new(),
        }
    }

    /// From one hour or month to another.
    pub(crate) fn stretch(&self, key: &str) -> Option<Span> {
        match self.value(key)? {
            Value::Stretch(span) => Some(*span),
            _ => None,
        }
    }

    pub(crate) fn texts(&self, key: &str) -> Vec<String> {
        match self.value(key) {
            Some(Value::Texts(texts)) => texts.iter().map(|t| t.text.clone()).collect(),
            _ => Vec::new(),
        }
    }

    pub(crate) fn terminal(&self, key: &str) -> Option<Terminal> {
        match self.value(key)? {
            Value::Terminal(terminal) => Some(terminal.clone()),
            _ => None,
        }
    }

    pub(crate) fn raw_takeoff(&self) -> Option<&RawTakeOff> {
        match self.value("takeoff")? {
            Value::TakeOff(takeoff) => Some(takeoff),
            _ => None,
        }
    }

    /// Where a mass sits in the rig.
    pub(crate) fn spot(&self) -> Spot {
        Spot {
            behind_ball: self.length("behind_ball"),
            behind_front_axle: self.length("behind_front_axle"),
            off_centre: self.length("off_centre"),
            ahead_of_middle: self.length("ahead_of_middle"),
        }
    }

    /// The keys that every part has.
    pub(crate) fn part(&self) -> Part {
        Part {
            name: if self.name.is_empty() { self.table.path.to_owned() } else { self.name.clone() },
            stage: self.text("stage"),
            until: self.text("until"),
            have: self.flag("have").unwrap_or(false),
            price: self.number("price"),
            note: self.text("note"),
        }
    }
}

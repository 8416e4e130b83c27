//! What the loads take from the bank's posts, hour by hour, on a trip or in a month: duty, time of
//! day, season, what inverters and converters lose, and what the leads lose.

use super::chain::line_ohm;
use crate::facts::device::{load_amps, nominal_volts};
use crate::finding::Assumed;
use crate::model::design::Design;
use crate::model::device::{Device, DeviceKind};
use crate::model::load::{Load, Span, Trip};
use crate::study::Study;
use crate::tables::Tables;
use crate::tables::load::InverterModel;
use crate::units::show;

/// One load's part of a day.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadPart {
    /// The load, or the device that takes it for itself.
    pub name: String,
    /// Energy a day at the posts [Wh].
    pub wh: f64,
}

/// One day of loads at the bank's posts.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadDay {
    /// Mean power in each hour, from midnight [W].
    pub watts: [f64; 24],
    /// What makes it up, in file order.
    pub parts: Vec<LoadPart>,
    /// Volts at the posts under which the first load drops out while it runs, lead drop included;
    /// nothing where none has a cut-off [V].
    pub cut_off_v: f64,
    /// Volts at the posts under which the hardest start trips its device [V].
    pub start_cut_off_v: f64,
    /// The largest amps for a moment: the hardest start on top of the hour's mean [A].
    pub surge_a: f64,
    /// Loads of which neither power nor energy is known.
    pub unknown: Vec<String>,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
}

impl LoadDay {
    /// The day of a trip.
    #[must_use]
    pub fn of_trip(study: &Study, tables: &Tables, trip: &Trip) -> Self {
        let all = trip.loads.is_empty();
        let runs = |load: &Load| {
            let named = trip.loads.contains(&load.part.name) || load.standby == Some(true);
            (all || named) && in_season(load, trip.month)
        };
        Self::of(study, tables, &runs)
    }

    /// A day of a month in which every load runs that has its season then.
    #[must_use]
    pub fn of_month(study: &Study, tables: &Tables, month: u32) -> Self {
        Self::of(study, tables, &|load| in_season(load, Some(month)))
    }

    /// A day with the loads that are wanted.
    #[must_use]
    pub fn of(study: &Study, tables: &Tables, wanted: &dyn Fn(&Load) -> bool) -> Self {
        let nominal_v = nominal_volts(&study.design).map_or(12.0, |v| v.as_volts());
        let mut day = Day { study, tables, nominal_v, sum: Self::empty() };
        for load in study.design.loads.iter().filter(|l| wanted(l)) {
            day.load(load);
        }
        day.idle(wanted);
        day.sum
    }

    /// Energy of the day [Wh].
    #[must_use]
    pub fn wh(&self) -> f64 {
        self.watts.iter().sum()
    }

    const fn empty() -> Self {
        Self {
            watts: [0.0; 24],
            parts: Vec::new(),
            cut_off_v: 0.0,
            start_cut_off_v: 0.0,
            surge_a: 0.0,
            unknown: Vec::new(),
            assumed: Vec::new(),
        }
    }
}

fn in_season(load: &Load, month: Option<u32>) -> bool {
    month.zip(load.months).is_none_or(|(month, span)| span.holds_month(month))
}

/// The whole day.
const ALL_DAY: Span = Span { from: 0.0, to: 24.0 };

struct Day<'a> {
    study: &'a Study,
    tables: &'a Tables,
    nominal_v: f64,
    sum: LoadDay,
}

/// How a device turns the power of what hangs on it into power at its own studs.
struct Fed<'a> {
    device: Option<&'a Device>,
    ohm: f64,
    law: Law,
}

enum Law {
    /// Straight through.
    Plain,
    /// The owner's or the usual efficiency.
    Share(f64),
    /// A published loss curve.
    Curve(InverterModel),
}

impl Law {
    /// Power in for a power out, what it takes at no load left aside [W].
    fn drawn(&self, watts: f64) -> f64 {
        match self {
            Self::Plain => watts,
            Self::Share(share) => watts / share.max(0.05),
            Self::Curve(model) => model.slope * watts + model.square_per_w * watts * watts,
        }
    }
}

impl<'a> Day<'a> {
    fn design(&self) -> &'a Design {
        &self.study.design
    }

    fn load(&mut self, load: &Load) {
        let name = load.part.name.clone();
        let fed = self.fed(load);
        let running = load
            .power
            .map(|p| p.as_watts())
            .or_else(|| load.current.map(|a| a.as_amps() * self.nominal_v));
        let Some((watts, hours)) = duty(load, running) else {
            self.sum.unknown.push(name);
            return;
        };
        let drawn = fed.law.drawn(watts);
        let amps = drawn / self.nominal_v;
        let at_posts = drawn + amps * amps * fed.ohm;
        self.spread(&name, at_posts * hours, load.hours.unwrap_or(ALL_DAY));
        if hours > 0.0 {
            self.floors(&fed, amps);
        }
        self.start(load, &fed, (watts, drawn));
    }

    /// The device a load hangs on and what it loses.
    fn fed(&mut self, load: &Load) -> Fed<'a> {
        let named = load.fed_from.as_deref().and_then(|d| self.design().device(d));
        let inverter = || self.design().devices_of(DeviceKind::Inverter).next();
        let device = named.or_else(|| inverter().filter(|_| load.mains == Some(true)));
        let ohm = device.and_then(|d| line_ohm(self.study, &d.part.name)).unwrap_or(0.0);
        let law = device.map_or(Law::Plain, |d| self.law(d));
        Fed { device, ohm, law }
    }

    fn law(&mut self, device: &Device) -> Law {
        if let Some(share) = device.efficiency {
            return Law::Share(share);
        }
        let (row, share) = match device.kind {
            DeviceKind::Inverter => {
                if let Some(model) = self.tables.load.inverter_models().first() {
                    self.assume(device, "efficiency", format!("the curve of a {}", model.name), {
                        model.cite.clone()
                    });
                    return Law::Curve(model.clone());
                }
                let usual = self.tables.limits.value("inverter-efficiency");
                (usual.cite, usual.value)
            }
            DeviceKind::StepDown => {
                let usual = self.tables.limits.value("step-down-efficiency");
                (usual.cite, usual.value)
            }
            _ => return Law::Plain,
        };
        self.assume(device, "efficiency", format!("{} %", show::decimal(share * 100.0, 0)), row);
        Law::Share(share)
    }

    fn assume(&mut self, device: &Device, key: &str, value: String, cite: crate::cite::Cite) {
        let path = format!("device.{}.{key}", device.part.name);
        if self.sum.assumed.iter().any(|a| a.path == path) {
            return;
        }
        self.sum.assumed.push(Assumed {
            path,
            value,
            how_to_measure: "its own sheet, or amps at the bank while a known load runs".to_owned(),
            matters: "its loss is taken every hour it runs".to_owned(),
            cite,
        });
    }

    /// Spreads energy evenly over the hours in which a load may run.
    fn spread(&mut self, name: &str, wh: f64, over: Span) {
        let shares: Vec<f64> = (0..24).map(|hour| over.share_of_hour(hour)).collect();
        let all: f64 = shares.iter().sum();
        // A span of no length is a slip; the whole day stands for it.
        let even = all <= 0.0;
        for (watts, share) in self.sum.watts.iter_mut().zip(&shares) {
            *watts += if even { wh / 24.0 } else { wh * share / all };
        }
        self.sum.parts.push(LoadPart { name: name.to_owned(), wh });
    }

    /// Volts at the posts under which the device of a load drops out while it runs.
    fn floors(&mut self, fed: &Fed<'_>, amps: f64) {
        let Some(cut_off) = fed.device.and_then(|d| self.cut_off(d)) else {
            return;
        };
        self.sum.cut_off_v = self.sum.cut_off_v.max(cut_off + amps * fed.ohm);
        self.sum.start_cut_off_v = self.sum.start_cut_off_v.max(self.sum.cut_off_v);
    }

    fn cut_off(&mut self, device: &Device) -> Option<f64> {
        if let Some(volts) = device.cut_off {
            return Some(volts.as_volts());
        }
        if device.kind != DeviceKind::Inverter {
            return None;
        }
        let share = self.tables.limits.value("inverter-cut-off-share");
        let volts = self.nominal_v * share.value;
        self.assume(device, "cut_off", format!("{} V", show::decimal(volts, 1)), share.cite);
        Some(volts)
    }

    /// The amps of a start and the volts it needs.
    fn start(&mut self, load: &Load, fed: &Fed<'_>, (watts, drawn): (f64, f64)) {
        let surge = load.surge.map_or(watts, |p| p.as_watts()).max(watts);
        let drawn = fed.law.drawn(surge).max(drawn);
        let volts = fed.device.and_then(|d| self.cut_off(d));
        let amps = drawn / volts.unwrap_or(self.nominal_v).max(1.0);
        let mean = self.sum.watts.iter().fold(0.0_f64, |a, b| a.max(*b)) / self.nominal_v;
        self.sum.surge_a = self.sum.surge_a.max(amps + mean);
        if let Some(cut_off) = volts {
            self.sum.start_cut_off_v = self.sum.start_cut_off_v.max(cut_off + amps * fed.ohm);
        }
    }

    /// What inverters, converters, controllers and alarms take for themselves.
    fn idle(&mut self, wanted: &dyn Fn(&Load) -> bool) {
        let standby = self.design().loads.iter().any(|l| l.standby == Some(true));
        for device in &self.design().devices {
            let (watts, hours) = match device.kind {
                DeviceKind::Inverter => {
                    (self.inverter_idle(device), self.idle_hours(device, wanted))
                }
                // The standby the owner measured holds the alarms and the small draws already.
                DeviceKind::Alarm if !standby => {
                    (device.rating.map(|a| a.as_amps() * self.nominal_v), 24.0)
                }
                DeviceKind::StepDown | DeviceKind::Panel | DeviceKind::Equipment => {
                    (device.idle.map(|p| p.as_watts()), 24.0)
                }
                _ => (None, 0.0),
            };
            if let Some(watts) = watts.filter(|w| *w > 0.0 && hours > 0.0) {
                let name = format!("{} at rest", device.part.name);
                self.spread(&name, watts * hours, ALL_DAY);
            }
        }
    }

    fn inverter_idle(&mut self, device: &Device) -> Option<f64> {
        if let Some(idle) = device.idle {
            return Some(idle.as_watts());
        }
        let small = device.power.and_then(|p| self.tables.load.small_inverter_idle(p));
        let (watts, cite) = match (small, self.tables.load.inverter_models().first()) {
            (Some(idle), _) => (idle.value.as_watts(), idle.cite),
            (None, Some(model)) => (model.idle.as_watts(), model.cite.clone()),
            (None, None) => return None,
        };
        self.assume(device, "idle", format!("{} W", show::decimal(watts, 0)), cite);
        Some(watts)
    }

    /// Hours in which an inverter is on and nothing runs on it: all day where something on it starts
    /// by itself, none where somebody switches it on for each load. With a loss curve what it takes
    /// at no load counts while it runs too.
    fn idle_hours(&self, inverter: &Device, wanted: &dyn Fn(&Load) -> bool) -> f64 {
        let on_it = |l: &&Load| {
            l.fed_from.as_deref() == Some(inverter.part.name.as_str())
                || (l.fed_from.is_none() && l.mains == Some(true))
        };
        let mut running = 0.0;
        let mut always = false;
        for load in self.design().loads.iter().filter(|l| wanted(l)).filter(on_it) {
            let hours = duty(load, load.power.map(|p| p.as_watts())).map_or(0.0, |d| d.1);
            running += hours;
            always |= load.automatic == Some(true) || load.standby == Some(true);
        }
        let running = running.min(24.0);
        match (always, inverter.efficiency.is_some()) {
            (true, true) => 24.0 - running,
            (true, false) => 24.0,
            (false, true) => 0.0,
            (false, false) => running,
        }
    }
}

/// Power while it runs and hours a day; a measured energy wins.
fn duty(load: &Load, running_w: Option<f64>) -> Option<(f64, f64)> {
    let daily = load.daily.map(|d| d.as_hours().min(24.0));
    if let Some(energy) = load.energy {
        let wh = energy.as_watt_hours();
        let watts = running_w.filter(|w| *w > 0.0).unwrap_or(wh / daily.unwrap_or(24.0).max(0.1));
        return Some((watts, wh / watts.max(1e-9)));
    }
    let standby = load.standby == Some(true);
    Some((running_w?, daily.or(standby.then_some(24.0))?))
}

/// Mean amps of a load over a day where it draws all the time the rig is parked.
#[must_use]
pub fn standby_amps(load: &Load, nominal_v: f64) -> Option<f64> {
    let running = load_amps(load, crate::units::Voltage::volts(nominal_v))?.as_amps();
    let hours = load.daily.map_or(24.0, |d| d.as_hours());
    let by_energy = load.energy.map(|e| e.as_watt_hours() / 24.0 / nominal_v);
    Some(by_energy.unwrap_or(running * hours / 24.0))
}

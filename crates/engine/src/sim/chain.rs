//! Every charge source as a law: the amps it gives at the volts of the posts, what it is set to and
//! what of that reaches the posts, when it runs, and how long it takes from half to full.
//!
//! Solar arrays are elsewhere; what stands here of the sun is the controller.

use super::hour::Hour;
use super::line::Line;
use super::solar_controller::SolarController;
use crate::calc::time_to_full::{Acceptance, Charge, TimeToFull, time_to_full};
use crate::circuit::operate::Supply;
use crate::cite::Cite;
use crate::finding::Assumed;
use crate::model::block::Chemistry;
use crate::model::device::{Device, DeviceKind};
use crate::study::Study;
use crate::tables::charging::Stage;
use crate::tables::{Sourced, Tables};
use crate::units::{Resistance, show};

/// What makes a source run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feed {
    /// The hook-up.
    Shore,
    /// A generator.
    Generator,
    /// The inverter, from the bank itself: it charges nothing.
    Inverter,
    /// The sun.
    Sun,
    /// The engine of the vehicle or boat.
    Engine,
}

/// What a source does at the moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// All its amps, then absorption volts.
    Absorb,
    /// Float volts.
    Float,
    /// Equalise volts.
    Equalise,
}

/// A set point with where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct SetVolts {
    /// Volts where the source measures, at 25 C [V].
    pub volts: f64,
    /// The owner's word or the table.
    pub cite: Cite,
    /// The owner said it.
    pub stated: bool,
}

/// One charge source.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: DeviceKind,
    /// What makes it run.
    pub feed: Feed,
    /// Most amps it gives [A]; endless where nothing limits it but its line.
    pub most_a: f64,
    /// Its rating is known.
    pub rated: bool,
    /// From its studs to the posts and back [ohm].
    pub ohm: f64,
    /// The line that feeds it from a vehicle.
    pub line: Option<Line>,
    /// Absorption volts; `None` where neither the owner nor a table says.
    pub absorption: Option<SetVolts>,
    /// Float volts; `None` where it has none.
    pub float: Option<SetVolts>,
    /// Equalise volts; `None` where it never does.
    pub equalise: Option<SetVolts>,
    /// Change of its set points with the cells' temperature [V/K].
    pub volts_per_kelvin: f64,
    /// It measures at the posts, over wires of its own.
    pub at_posts: bool,
    /// Cell temperature under which it refuses [C].
    pub lockout_below_c: Option<f64>,
    /// Longest absorption [h].
    pub absorb_most_h: Option<f64>,
    /// Amps that end absorption [A].
    pub tail_a: Option<f64>,
    /// What is special about it where it is a solar controller.
    pub solar: Option<SolarController>,
}

/// Every charge source of a stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    /// The sources, in file order.
    pub sources: Vec<Source>,
    /// Cells in series from post to post.
    pub cells: u32,
    /// The chemistry of the bank.
    pub chemistry: Chemistry,
    /// What the bank takes; `None` where its amp-hours are not known.
    pub acceptance: Option<Acceptance>,
    /// Hours at which a generator and driving begin [h].
    pub begins: Begins,
    /// What was assumed on the way.
    pub assumed: Vec<Assumed>,
}

/// When in the day the sources that somebody starts begin to run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Begins {
    /// A generator [h].
    pub generator_h: f64,
    /// Driving [h].
    pub driving_h: f64,
}

/// What holds in the hour for which the sources are asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct When {
    /// The hour of the day, 0 to 23.
    pub hour: u32,
    /// The hook-up is plugged in.
    pub hook_up: bool,
    /// Hours a day a generator runs [h].
    pub generator_h: f64,
    /// Hours a day of driving [h].
    pub driving_h: f64,
    /// Absorption or float.
    pub phase: Phase,
    /// Temperature of the cells [C].
    pub cell_c: f64,
    /// Volts at the posts in the hour before [V].
    pub posts_v: f64,
    /// Amps into the bank in the hour before [A].
    pub into_a: f64,
}

impl Source {
    /// Volts where it measures, in a phase and at a temperature of the cells [V].
    #[must_use]
    pub fn set_v(&self, phase: Phase, cell_c: f64) -> Option<f64> {
        let stated = match phase {
            Phase::Absorb => self.absorption.as_ref(),
            Phase::Float => self.float.as_ref().or(self.absorption.as_ref()),
            Phase::Equalise => self.equalise.as_ref(),
        };
        stated.map(|s| s.volts + self.volts_per_kelvin * (cell_c - 25.0))
    }

    /// Volts that reach the posts while so many amps flow, its set point less what the leads lose [V].
    #[must_use]
    pub fn posts_v(&self, phase: Phase, cell_c: f64, amps: f64) -> Option<f64> {
        let lost = if self.at_posts { 0.0 } else { self.ohm * amps };
        self.set_v(phase, cell_c).map(|v| v - lost)
    }

    /// Amps it gives while the posts stand at so many volts [A].
    ///
    /// # Formula
    /// I = max(0, min(Imax, (Uset - V) / R)); a tow line has U of the vehicle in place of Uset
    /// # Symbols
    /// - `posts_v`: V, volts at the posts [V]
    /// - `phase`, `cell_c`: what makes Uset, see `set_v`
    /// - Imax, its rating, or what its own line can feed [A]; R, from its studs to the posts [ohm]
    /// - returns I [A]; nothing where the cells are colder than it allows
    /// # Valid
    /// Steady. A source that measures at the posts has no R to see.
    /// # Source
    /// physics, Ohm's law with a limit, computed
    /// # Checked by
    /// `a_charger_gives_all_until_its_set_point`
    #[must_use]
    pub fn amps_at(&self, posts_v: f64, phase: Phase, cell_c: f64) -> f64 {
        if self.lockout_below_c.is_some_and(|c| cell_c < c) || self.feed == Feed::Inverter {
            return 0.0;
        }
        let most_a = self.most_a.min(self.line.map_or(f64::MAX, |l| l.most_a(self, posts_v)));
        let Some(set_v) = self.set_v(phase, cell_c) else {
            return if most_a.is_finite() { most_a } else { 0.0 };
        };
        let above_v = set_v - posts_v;
        if above_v <= 0.0 {
            return 0.0;
        }
        let by_leads = if self.at_posts || self.ohm <= 0.0 { f64::MAX } else { above_v / self.ohm };
        most_a.min(by_leads)
    }

    /// Whether it runs in an hour, as a share of that hour.
    #[must_use]
    pub fn runs(&self, when: &When, begins: Begins) -> f64 {
        let within = |from: f64, span: f64| {
            let hour = f64::from(when.hour);
            // A run that goes on past midnight is finished the next morning.
            let overlap = |low: f64, high: f64| ((hour + 1.0).min(high) - hour.max(low)).max(0.0);
            overlap(from, from + span) + overlap(from - 24.0, from + span - 24.0)
        };
        match self.feed {
            Feed::Shore => f64::from(u8::from(when.hook_up)),
            Feed::Generator => within(begins.generator_h, when.generator_h.min(24.0)),
            Feed::Engine => within(begins.driving_h, when.driving_h.min(24.0)),
            Feed::Inverter | Feed::Sun => 0.0,
        }
    }
}

impl Chain {
    /// The charge sources of a stage.
    #[must_use]
    pub fn of(study: &Study, tables: &Tables) -> Self {
        let mut assumed = Vec::new();
        let first = study.facts.blocks.first();
        let in_string = study.facts.blocks.iter().filter(|b| b.id.string == 0);
        let cells: u32 = in_string.map(|b| b.cells).sum();
        let chemistry = first.map_or(Chemistry::Flooded, |b| b.chemistry);
        let bank = Bank { cells, chemistry };
        let devices = study.design.devices.iter();
        let sources = devices
            .filter(|d| gives(d))
            .map(|d| source(study, tables, (d, bank), &mut assumed))
            .collect();
        let value = |id: &str| tables.limits.value(id).value;
        let begins = Begins {
            generator_h: value("generator-start-hour"),
            driving_h: value("driving-start-hour"),
        };
        let acceptance = acceptance(study, tables, chemistry);
        Self { sources, cells, chemistry, acceptance, begins, assumed }
    }

    /// The word of the tables for the bank's chemistry.
    #[must_use]
    pub fn table_word(&self) -> &'static str {
        table_word(self.chemistry)
    }

    /// A source by name.
    #[must_use]
    pub fn source(&self, name: &str) -> Option<&Source> {
        self.sources.iter().find(|s| s.name == name)
    }

    /// Puts what the sources offer in an hour into what the bank is given: `set_v`, `other_a` and
    /// `sun_max_a`. Load, sun, cut-off and temperature are left as they are.
    ///
    /// The volts held are the highest that any source that runs lets through its leads at the amps
    /// of the hour before; where none runs they are those of the solar controllers, else nothing.
    #[must_use]
    pub fn hour(&self, when: &When, before: Hour) -> Hour {
        let (mut set_v, mut other_a, mut sun_max_a) = (0.0_f64, 0.0, 0.0);
        for source in &self.sources {
            if source.feed == Feed::Inverter
                || source.lockout_below_c.is_some_and(|c| when.cell_c < c)
            {
                continue;
            }
            let share = source.runs(when, self.begins);
            let held = source.posts_v(when.phase, when.cell_c, when.into_a.min(source.most_a));
            if source.feed == Feed::Sun {
                sun_max_a += source.most_a;
                set_v = set_v.max(held.unwrap_or(0.0));
            } else if 0.0 < share {
                other_a += share * source.amps_at(when.posts_v, when.phase, when.cell_c);
                set_v = set_v.max(held.unwrap_or(0.0));
            }
        }
        Hour { set_v, other_a, sun_max_a, cell_c: when.cell_c, ..before }
    }

    /// Hours from half to full on one source, loads taking so many amps meanwhile; `None` where the
    /// bank's amp-hours or the source's amps are not known.
    #[must_use]
    pub fn half_to_full(&self, tables: &Tables, amps: f64, load_a: f64) -> Option<TimeToFull> {
        let acceptance = self.acceptance?;
        let value = |id: &str| tables.limits.value(id).value;
        let charge = Charge {
            source_a: amps,
            load_a,
            from: value("charge-half"),
            to: value("charge-full"),
            hours_most: value("charge-hours-most"),
        };
        Some(time_to_full(tables, acceptance, charge))
    }
}

/// The bank as the sources see it.
#[derive(Clone, Copy)]
struct Bank {
    cells: u32,
    chemistry: Chemistry,
}

/// The word of the tables for a chemistry.
#[must_use]
pub const fn table_word(chemistry: Chemistry) -> &'static str {
    match chemistry {
        Chemistry::Flooded => "flooded",
        Chemistry::Agm => "agm",
        Chemistry::Gel => "gel",
        Chemistry::Lfp => "lfp",
    }
}

/// A charge source, or an inverter that charges too.
fn gives(device: &Device) -> bool {
    let charges = device.kind == DeviceKind::Inverter && device.absorption.is_some();
    device.kind.is_charge_source() || charges
}

fn feed(device: &Device) -> Feed {
    match (device.kind, device.fed_by.as_deref()) {
        (DeviceKind::SolarController, _) => Feed::Sun,
        (DeviceKind::Alternator | DeviceKind::TowLine | DeviceKind::DcDc, _) => Feed::Engine,
        (_, Some("generator")) => Feed::Generator,
        (DeviceKind::Charger, Some("inverter")) => Feed::Inverter,
        _ => Feed::Shore,
    }
}

fn source(
    study: &Study,
    tables: &Tables,
    (device, bank): (&Device, Bank),
    assumed: &mut Vec<Assumed>,
) -> Source {
    let name = &device.part.name;
    let ohm = line_ohm(study, name).unwrap_or(0.0);
    let tow = device.kind == DeviceKind::TowLine;
    let line = Line::of(study, tables, device, assumed);
    let set = |stated: Option<crate::units::Voltage>, stage: Stage| {
        set_volts(study, tables, (stated, stage), bank)
    };
    let mut absorption = set(device.absorption, Stage::Absorption);
    if let Some(line) = line.filter(|_| tow) {
        // Nothing in a plain tow line holds volts: it is the vehicle's own.
        let stated = device.fed_volts.is_some() || device.absorption.is_some();
        let volts = device.absorption.map_or(line.source_v, |v| v.as_volts());
        let cite = Cite::practice("volts of the vehicle");
        absorption = Some(SetVolts { volts, cite, stated });
    }
    let rated = device.rating.is_some();
    let rating = device.rating.map(|a| a.as_amps());
    let mut most_a = rating.unwrap_or(if tow { f64::MAX } else { 0.0 });
    if device.kind == DeviceKind::Inverter {
        // The rating of an inverter that charges too is that of its charger.
        most_a = rating.unwrap_or(0.0);
    }
    Source {
        name: name.clone(),
        kind: device.kind,
        feed: feed(device),
        most_a,
        rated,
        ohm,
        line,
        absorption,
        float: if tow { None } else { set(device.float, Stage::Float) },
        equalise: device.equalise.and_then(|v| set(Some(v), Stage::Equalise)),
        volts_per_kelvin: compensation(tables, device, bank, assumed),
        at_posts: device.sense.as_deref() == Some("posts"),
        lockout_below_c: device.lockout_below.map(|t| t.as_celsius()),
        absorb_most_h: device.absorption_time.map(|t| t.as_hours()),
        tail_a: device.tail.map(|a| a.as_amps()),
        solar: (device.kind == DeviceKind::SolarController)
            .then(|| SolarController::of(tables, device, assumed)),
    }
}

/// A set point: the owner's for the source, else the maker's for the block, else the table's.
fn set_volts(
    study: &Study,
    tables: &Tables,
    (stated, stage): (Option<crate::units::Voltage>, Stage),
    bank: Bank,
) -> Option<SetVolts> {
    let owner = |volts: f64, stated: bool| SetVolts {
        volts,
        cite: Cite::new("owner", "the design file", crate::cite::Status::Read),
        stated,
    };
    if let Some(volts) = stated {
        return Some(owner(volts.as_volts(), true));
    }
    let block = study.design.bank().and_then(|b| {
        let model = study.design.block_model(&b.block)?;
        let per_block = match stage {
            Stage::Absorption => model.absorption,
            Stage::Float => model.float,
            Stage::Equalise => None,
        };
        Some(per_block?.as_volts() * f64::from(b.series))
    });
    if let Some(volts) = block {
        return Some(owner(volts, false));
    }
    let row = tables.charging.set_point(table_word(bank.chemistry), stage)?;
    let cell = f64::midpoint(row.low.as_volts(), row.high.as_volts());
    let volts = cell * f64::from(bank.cells);
    Some(SetVolts { volts, cite: row.cite.clone(), stated: false })
}

/// How the set points of a source move with temperature [V/K].
fn compensation(tables: &Tables, device: &Device, bank: Bank, assumed: &mut Vec<Assumed>) -> f64 {
    if device.compensated != Some(true) || !bank.chemistry.is_lead() {
        return 0.0;
    }
    let usual = tables.limits.value("compensation-usual");
    assumed.push(Assumed {
        path: format!("device.{}.compensated", device.part.name),
        value: format!("{} mV per kelvin and cell", show::decimal(usual.value, 0)),
        how_to_measure: "its own sheet; other sources say -3".to_owned(),
        matters: "0.3 V at 12 V between 25 °C and 15 °C".to_owned(),
        cite: usual.cite,
    });
    usual.value / 1000.0 * f64::from(bank.cells)
}

/// What a bank takes, from its label; its 10 h amp-hours follow the table of the nearest block.
fn acceptance(study: &Study, tables: &Tables, chemistry: Chemistry) -> Option<Acceptance> {
    let bank = study.design.bank()?;
    let rating = study.design.block_model(&bank.block)?.rating?;
    let amp_hours = rating.capacity()?.in_parallel(bank.parallel).as_amp_hours();
    let of_20_h = ten_over_twenty(tables)?;
    Some(Acceptance {
        amp_hours,
        ten_hour_amps: amp_hours * of_20_h.value / 10.0,
        lead: chemistry.is_lead(),
    })
}

/// Amp-hours at 10 h over those at 20 h of the golf-cart blocks most banks here are made of.
fn ten_over_twenty(tables: &Tables) -> Option<Sourced<f64>> {
    let curve = tables.battery.rate_curves().iter().find(|c| c.name.contains("GC2"))?;
    let (ten, twenty) = (curve.at(10.0)?, curve.at(20.0)?);
    Some(ten.map(|ah| ah / twenty.value))
}

/// Resistance from a device's studs to the posts of the bank and back: what the network shows at the
/// device less what it shows at the posts [ohm].
#[must_use]
pub fn line_ohm(study: &Study, device: &str) -> Option<f64> {
    let at = study.netlist.device_terminals(device)?;
    let bank = study.netlist.bank?;
    let factored = study.netlist.network.factor().ok()?;
    let seen = |name: &str, at| Supply::new(&factored, name, at).ok().map(|s| s.thevenin().ohm);
    let (device_ohm, bank_ohm) = (seen(device, at)?, seen("posts", bank)?);
    Some(Resistance::ohms((device_ohm - bank_ohm).max(0.0)).as_ohms())
}

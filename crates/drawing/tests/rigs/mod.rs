//! The demo rigs and banks of every size, worked through.
#![allow(dead_code, reason = "each test file uses its own part of this")]

use drawing::pictures::charge_curve::{ChargeCurve, charge_curve};
use drawing::pictures::night_calendar::{NightCalendar, night_calendar};
use drawing::pictures::night_chances::{NightChances, night_chances};
use drawing::pictures::thermometer::{Thermometer, thermometer};
use drawing::pictures::voltage_ladder::{VoltageLadder, voltage_ladder};
use drawing::pictures::worst_week::{WorstWeek, worst_week};
use drawing::pictures::{Setting, Subject};
use drawing::scene::Scene;
use engine::circuit::share::{Draw, Share};
use engine::draws::ladder::Ladder;
use engine::facts::Ambient;
use engine::model::design::Design;
use engine::sim::chain::Chain;
use engine::sim::charge_course::ChargeCourse;
use engine::sim::frost::Frost;
use engine::sim::nights::{Ask, Nights, NightsError};
use engine::study::Study;
use engine::tables::Tables;
use engine::tables::climate::Climate;
use engine::units::{Current, Temperature};
use std::sync::LazyLock;

static TABLES: LazyLock<Tables> = LazyLock::new(|| Tables::load().expect("the tables are whole"));

/// The demo rigs by name.
pub(crate) const DEMOS: [(&str, &str); 3] = [
    ("alder-fen", include_str!("../../../../examples/alder-fen.toml")),
    ("withy-reach", include_str!("../../../../examples/withy-reach.toml")),
    ("rime-hollow", include_str!("../../../../examples/rime-hollow.toml")),
];

/// A rig at one stage, with the share of a stated draw.
pub(crate) struct Worked {
    pub(crate) study: Study,
    pub(crate) share: Option<Share>,
}

impl Worked {
    pub(crate) fn subject(&self) -> Subject<'_> {
        Subject::of(&self.study)
    }

    /// Works a design through at a stage, with a draw of so many amps.
    pub(crate) fn of(whole: &Design, stage: usize, amps: f64) -> Self {
        let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
        let study = Study::of(whole, stage, &TABLES, ambient).expect("the tables are whole");
        let share = study.share(&Draw::Amps(Current::amps(amps))).ok();
        Self { study, share }
    }
}

/// The nights of a stage of a design, over few years: the pictures are tested here, not the weather.
pub(crate) fn nights(whole: &Design, stage: usize) -> (Study, Result<Nights, NightsError>) {
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let study = Study::of(whole, stage, &TABLES, ambient).expect("the tables are whole");
    let climate = Climate::embedded().expect("the map is whole");
    let ask = Ask { place: None, month: None, years: 32, seed: 1, recorded: None, progress: None };
    let nights = Nights::of(&study, whole, &TABLES, &climate, &ask);
    (study, nights)
}

/// Every picture of nights, volts, charge and frost that a stage has, by name.
pub(crate) fn night_pictures(
    whole: &Design,
    stage: usize,
    setting: &Setting,
) -> Vec<(String, Scene)> {
    let (study, nights) = nights(whole, stage);
    let of = (whole.rig.name.as_str(), whole.stages[stage].name.as_str());
    let mut all = Vec::new();
    let mut add = |name: &str, scene: Scene| all.push((name.to_owned(), scene));
    if let Ok(nights) = &nights {
        add("calendar", night_calendar(&NightCalendar { nights, of, setting }));
        add("chances", night_chances(&NightChances { nights, of, setting }));
        let week = nights.worst_week.as_ref().expect("a week is kept");
        add("week", worst_week(&WorstWeek { nights, week, begins_h: 18.0, of, setting }));
        if let Some(frost) = &Frost::of(nights, &TABLES) {
            add(
                "frost",
                thermometer(&Thermometer { frost, log: None, units: whole.rig.units, of, setting }),
            );
        }
    }
    let ladder = study.discharge.as_ref().ok().and_then(|share| Ladder::of(&study, share));
    if let Some(ladder) = &ladder {
        add("ladder", voltage_ladder(&VoltageLadder { ladder, of, setting }));
    }
    for course in &ChargeCourse::all(&Chain::of(&study, &TABLES), &TABLES) {
        let name = format!("charge-{}", course.source);
        add(&name, charge_curve(&ChargeCurve { course, of, setting }));
    }
    all
}

/// A demo as found, at the stage that brings the bank, and complete; the stages between add only what
/// hangs on the bars.
pub(crate) fn demo(text: &str) -> Vec<Worked> {
    let design = design_file::read::read(text).design.expect("a demo reads");
    let last = design.stages.len() - 1;
    [0, 1, last].map(|stage| Worked::of(&design, stage, 147.0)).into()
}

/// A bank of golf-cart blocks in a box as large as it needs.
pub(crate) fn bank(series: u32, parallel: u32, takeoff: &str) -> Worked {
    bank_with(series, parallel, takeoff, "")
}

/// The same with more of a design file after it.
pub(crate) fn bank_with(series: u32, parallel: u32, takeoff: &str, more: &str) -> Worked {
    let text = format!(
        "format = 1\n[rig]\nname = \"bench\"\nkind = \"trailer\"\npractice = \"us-trailer\"\n\
         units = \"metric\"\n[stage.bank]\nnote = \"all\"\n[block.gc6]\nchemistry = \"flooded\"\n\
         volts = \"6 V\"\nrating = \"190 Ah at 20 h\"\nresistance = \"3.2 mohm\"\ncase = \"GC2\"\n\
         stud = \"8 mm\"\n[[bank]]\nblock = \"gc6\"\nseries = {series}\nparallel = {parallel}\n\
         takeoff = {takeoff}\nlink = \"2/0 AWG\"\n[lead.plus]\nfrom = \"bank +\"\nto = \"main in\"\n\
         size = \"2/0 AWG\"\n[lead.minus]\nfrom = \"bank -\"\nto = \"shunt in\"\nsize = \"2/0 AWG\"\n\
         [device.main]\nkind = \"fuse\"\nrating = \"225 A\"\n[device.shunt]\nkind = \"shunt\"\n{more}"
    );
    let read = design_file::read::read(&text);
    let design = read.design.unwrap_or_else(|| panic!("the bench reads: {:?}", read.faults));
    Worked::of(&design, 0, 100.0)
}

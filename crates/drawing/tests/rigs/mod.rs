//! The demo rigs and banks of every size, worked through.

use drawing::pictures::Subject;
use engine::circuit::share::{Draw, Share};
use engine::facts::Ambient;
use engine::model::design::Design;
use engine::study::Study;
use engine::tables::Tables;
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

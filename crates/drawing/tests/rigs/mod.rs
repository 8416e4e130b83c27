//! The demo rigs and banks of every size, worked through as far as the pictures need.

use drawing::pictures::Subject;
use engine::circuit::netlist::{Fitted, LeadOhms, Netlist};
use engine::circuit::share::{Draw, MainConsumer, Share, ShareInput};
use engine::circuit::wiring::Wiring;
use engine::cite::Status;
use engine::facts::{Ambient, Facts};
use engine::layout::{Layout, lay_out};
use engine::model::design::Design;
use engine::sizing::answer::LeadAnswer;
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

/// A rig at one stage.
pub(crate) struct Worked {
    pub(crate) design: Design,
    pub(crate) stage: usize,
    pub(crate) wiring: Wiring,
    pub(crate) layout: Layout,
    pub(crate) leads: Vec<LeadAnswer>,
    pub(crate) share: Option<Share>,
}

impl Worked {
    pub(crate) fn subject(&self) -> Subject<'_> {
        Subject {
            design: &self.design,
            stage: self.stage,
            wiring: &self.wiring,
            layout: &self.layout,
            leads: &self.leads,
        }
    }

    /// Works a design through at a stage, with a draw of so many amps.
    pub(crate) fn of(whole: &Design, stage: usize, amps: f64) -> Self {
        let design = whole.at_stage(stage);
        let wiring = Wiring::of(&design);
        let links = design.bank().and_then(|b| b.link_size);
        let size = |id: &str| {
            let lead = wiring.lead(id)?;
            lead.stated.size.or(links.filter(|_| lead.role.is_link()))
        };
        let layout = lay_out(&design, &wiring, &TABLES, &size);
        let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
        let facts = Facts::of(&design, &TABLES, ambient);
        // Any resistance in proportion to length will do: the pictures show a share, they do not judge it.
        let ohms: Vec<LeadOhms> = layout
            .leads
            .iter()
            .map(|l| LeadOhms {
                from_joint: 1e-4,
                conductor: 0.26e-6 * l.length.made.length().as_mm().max(1.0),
                to_joint: 1e-4,
            })
            .collect();
        let netlist = Netlist::of(&design, &wiring, &facts, &ohms, &Fitted::ALL);
        let consumer = MainConsumer { device: None, cut_off: None };
        let input = ShareInput {
            design: &design,
            wiring: &wiring,
            netlist: &netlist,
            consumer: &consumer,
            status: Status::Computed,
        };
        let share = Share::of(&input, &Draw::Amps(Current::amps(amps))).ok();
        Self { stage, wiring, layout, leads: Vec::new(), share, design }
    }
}

/// A demo at each of its stages.
pub(crate) fn demo(text: &str) -> Vec<Worked> {
    let design = design_file::read::read(text).design.expect("a demo reads");
    (0..design.stages.len()).map(|stage| Worked::of(&design, stage, 147.0)).collect()
}

/// A bank of golf-cart blocks in a box as large as it needs.
pub(crate) fn bank(series: u32, parallel: u32, takeoff: &str) -> Worked {
    let text = format!(
        "format = 1\n[rig]\nname = \"bench\"\nkind = \"trailer\"\npractice = \"us-trailer\"\n\
         units = \"metric\"\n[stage.bank]\nnote = \"all\"\n[block.gc6]\nchemistry = \"flooded\"\n\
         volts = \"6 V\"\nrating = \"190 Ah at 20 h\"\nresistance = \"3.2 mohm\"\ncase = \"GC2\"\n\
         stud = \"8 mm\"\n[[bank]]\nblock = \"gc6\"\nseries = {series}\nparallel = {parallel}\n\
         takeoff = {takeoff}\nlink = \"2/0 AWG\"\n[lead.plus]\nfrom = \"bank +\"\nto = \"main in\"\n\
         size = \"2/0 AWG\"\n[lead.minus]\nfrom = \"bank -\"\nto = \"shunt in\"\nsize = \"2/0 AWG\"\n\
         [device.main]\nkind = \"fuse\"\nrating = \"225 A\"\n[device.shunt]\nkind = \"shunt\"\n"
    );
    let read = design_file::read::read(&text);
    let design = read.design.unwrap_or_else(|| panic!("the bench reads: {:?}", read.faults));
    Worked::of(&design, 0, 100.0)
}

//! What may be wrong with a rig: each joint in turn, each block, each link on another post.

use design_file::edit::set;
use design_file::read::read;
use engine::circuit::wiring::WiredLead;
use engine::facts::Ambient;
use engine::model::bank::{Bank, BlockId};
use engine::model::lead::Terminal;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Fault {
    /// Nothing.
    Healthy,
    /// More resistance in one joint, by its name `5.from` [mohm].
    Joint { lead: String, end: &'static str, more_mohm: f64 },
    /// A block the wrong way round.
    Reversed(BlockId),
    /// A block of so many times its resistance.
    Weak(BlockId, f64),
    /// A block at this state of charge.
    Undercharged(BlockId, f64),
    /// A link of which one end is bolted to another post.
    Moved { lead: String, end: &'static str, to: Terminal },
}

impl Fault {
    /// Its kind, for the counts.
    pub(crate) fn kind(&self) -> String {
        match self {
            Self::Healthy => "healthy".to_owned(),
            Self::Joint { more_mohm, .. } => format!("joint +{more_mohm} mohm"),
            Self::Reversed(_) => "reversed".to_owned(),
            Self::Weak(_, times) => format!("weak x{times}"),
            Self::Undercharged(_, soc) => format!("undercharged {soc}"),
            Self::Moved { .. } => "moved".to_owned(),
        }
    }

    /// The part it sits in, by the owner's name.
    pub(crate) fn part(&self) -> String {
        match self {
            Self::Healthy => String::new(),
            Self::Joint { lead, end, .. } => format!("{lead}.{end}"),
            Self::Reversed(id) | Self::Weak(id, _) | Self::Undercharged(id, _) => id.to_string(),
            Self::Moved { lead, end, to } => format!("{lead}.{end} on {to}"),
        }
    }
}

/// A demo at one stage, as drawn.
pub(crate) struct Demo {
    pub(crate) name: &'static str,
    text: &'static str,
    stage: &'static str,
    pub(crate) study: Study,
    /// Everything that may be wrong with it, sound first.
    pub(crate) faults: Vec<Fault>,
}

/// The demos with the stage that is proved: the first at which the bank has a load worth a test.
const DEMOS: [(&str, &str, &str); 3] = [
    ("Alder Fen", include_str!("../../../../examples/alder-fen.toml"), "bank"),
    ("Withy Reach", include_str!("../../../../examples/withy-reach.toml"), "bank"),
    ("Rime Hollow", include_str!("../../../../examples/rime-hollow.toml"), "inverter"),
];

/// Severities of the issue for joints [mohm]; times of the resistance; states of charge.
const JOINTS: [f64; 3] = [0.5, 2.0, 10.0];
const WEAK: [f64; 3] = [2.0, 3.0, 5.0];
const CHARGES: [f64; 3] = [0.6, 0.4, 0.2];

impl Demo {
    pub(crate) fn all(tables: &Tables) -> Vec<Self> {
        DEMOS.iter().map(|demo| Self::of(demo, tables)).collect()
    }

    fn of(demo: &(&'static str, &'static str, &'static str), tables: &Tables) -> Self {
        let (name, text, stage) = *demo;
        let study = studied(text, stage, tables);
        let faults = faults_of(&study);
        Self { name, text, stage, study, faults }
    }

    /// The design with the fault in it, through the design file's own edits. A link that the bank's
    /// shape implies has no ends in the file; its move is made in the wiring by [`moved`].
    ///
    /// The rig was built as it was drawn before anybody knew of the fault: leads and fuses keep the
    /// sizes of the sound plan, which would otherwise be chosen anew round a bad joint.
    pub(crate) fn with(&self, fault: &Fault, tables: &Tables) -> Study {
        let edit = |path: &str, value: &str| {
            let text = set(self.text, path, value, Some(self.stage));
            let text = text.unwrap_or_else(|f| panic!("{}: {path}: {}", self.name, f.says));
            let mut study = studied(&text, self.stage, tables);
            for (built, drawn) in study.ohms.iter_mut().zip(&self.study.ohms) {
                built.conductor = drawn.conductor;
            }
            study.facts.devices.clone_from(&self.study.facts.devices);
            study
        };
        match fault {
            Fault::Healthy | Fault::Moved { .. } => self.study.clone(),
            Fault::Joint { lead, end, more_mohm } => {
                let place = self.study.wiring.leads.iter().position(|l| l.id == *lead);
                let ohms = self.study.ohms[place.expect("the lead is there")];
                let now = if *end == "from" { ohms.from_joint } else { ohms.to_joint };
                let value = format!("{} mohm", now * 1000.0 + more_mohm);
                edit(&format!("joint.\"{lead}\".{end}"), &value)
            }
            Fault::Reversed(id) => edit(&format!("bank.{id}.reversed"), "true"),
            Fault::Weak(id, times) => {
                let facts = self.study.facts.block(*id).expect("the block is there");
                let value = format!("{} mohm", facts.resistance.as_ohms() * 1000.0 * times);
                edit(&format!("bank.{id}.resistance"), &value)
            }
            Fault::Undercharged(id, soc) => edit(&format!("bank.{id}.soc"), &soc.to_string()),
        }
    }
}

fn studied(text: &str, stage: &str, tables: &Tables) -> Study {
    let read = read(text);
    assert!(!read.has_errors(), "the design reads: {:?}", read.faults);
    let whole = read.design.expect("a design without errors is there");
    let index = whole.stage_index(stage).expect("the stage is planned");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    Study::of(&whole, index, tables, ambient).expect("the tables answer")
}

/// The wiring with the fault's link on its wrong post.
pub(crate) fn moved(leads: &mut [WiredLead], fault: &Fault) {
    if let Fault::Moved { lead, end, to } = fault {
        let link = leads.iter_mut().find(|l| l.id == *lead).expect("the link is there");
        let at = if *end == "from" { &mut link.from } else { &mut link.to };
        *at = to.clone();
    }
}

fn faults_of(study: &Study) -> Vec<Fault> {
    let mut all = vec![Fault::Healthy];
    for lead in &study.wiring.leads {
        for end in ["from", "to"] {
            for more_mohm in JOINTS {
                all.push(Fault::Joint { lead: lead.id.clone(), end, more_mohm });
            }
        }
    }
    let bank = study.design.bank().expect("every demo has a bank");
    for id in bank.block_ids() {
        all.push(Fault::Reversed(id));
        all.extend(WEAK.map(|times| Fault::Weak(id, times)));
        all.extend(CHARGES.map(|soc| Fault::Undercharged(id, soc)));
    }
    for lead in study.wiring.leads.iter().filter(|l| l.role.is_link()) {
        for (end, at, other) in [("from", &lead.from, &lead.to), ("to", &lead.to, &lead.from)] {
            for to in near_posts(bank, at).into_iter().filter(|to| to != other) {
                all.push(Fault::Moved { lead: lead.id.clone(), end, to });
            }
        }
    }
    all
}

/// The posts that a hand takes for this one: the other post of the block, and the same post of the
/// blocks before, behind and beside it.
fn near_posts(bank: &Bank, at: &Terminal) -> Vec<Terminal> {
    let Terminal::Post { block, plus } = at else { return Vec::new() };
    let post = |string: u32, place: u32, plus: bool| {
        let inside = string < bank.parallel && place < bank.series;
        inside.then_some(Terminal::Post { block: BlockId { string, place }, plus })
    };
    [
        post(block.string, block.place, !plus),
        block.place.checked_sub(1).and_then(|place| post(block.string, place, *plus)),
        post(block.string, block.place + 1, *plus),
        block.string.checked_sub(1).and_then(|string| post(string, block.place, *plus)),
        post(block.string + 1, block.place, *plus),
    ]
    .into_iter()
    .flatten()
    .collect()
}

//! Names that must lead somewhere: stages, block models, devices, loads, posts and studs.

use crate::build;
use crate::fault::Trouble;
use crate::schema::{Kind, Names, joined};
use crate::syntax;
use crate::terminals;
use crate::value::{RawTakeOff, Value};
use crate::walk::{Cell, Node, Walk};
use crate::words;
use engine::model::as_built::Measured;
use engine::model::bank::{Bank, BlockId};
use engine::model::design::Design;
use engine::model::device::DeviceKind;
use engine::model::lead::{Pole, Terminal};
use std::ops::Range;

/// Everything that a name may lead to.
struct Known {
    stages: Vec<String>,
    blocks: Vec<String>,
    /// The kind of a device is `None` where its word was not understood.
    devices: Vec<(String, Option<DeviceKind>)>,
    loads: Vec<String>,
    /// Every bank with its shape; empty when a bank's shape was not understood.
    banks: Vec<Bank>,
}

impl Known {
    fn of(root: &Node, design: &Design) -> Self {
        let names = |path: &str| -> Vec<String> { root.of(path).map(|n| n.name.clone()).collect() };
        let shaped = |bank: &Node| bank.whole("series").and(bank.whole("parallel")).is_some();
        let sure = root.of("bank").all(shaped) && root.of("bank").count() == design.banks.len();
        Self {
            stages: design.stages.iter().map(|s| s.name.clone()).collect(),
            blocks: names("block.*"),
            devices: root
                .of("device.*")
                .map(|d| (d.name.clone(), d.text("kind").map(|_| build::device::kind(d))))
                .collect(),
            loads: names("load.*"),
            banks: if sure { design.banks.clone() } else { Vec::new() },
        }
    }

    fn device(&self, name: &str) -> Option<Option<DeviceKind>> {
        self.devices.iter().find(|d| d.0 == name).map(|d| d.1)
    }

    /// Every stud there is, as a lead would name it.
    fn studs(&self) -> Vec<String> {
        let mut studs = vec!["bank +".to_owned(), "bank -".to_owned()];
        for (name, kind) in &self.devices {
            let Some(kind) = kind else {
                continue;
            };
            studs.extend(terminals::poles(*kind).iter().map(|p| terminals::written(name, *p)));
        }
        studs
    }
}

/// Checks every name of the file.
pub(crate) fn check(walk: &mut Walk<'_>, root: &Node, design: &Design) {
    let known = Known::of(root, design);
    let mut refs = Refs { walk, known };
    refs.node(root);
    refs.devices(root);
    refs.leads(root, design);
    refs.as_built(root);
    refs.banks(root);
}

struct Refs<'w, 'l> {
    walk: &'w mut Walk<'l>,
    known: Known,
}

/// Where a name stands, and how a sentence calls the place.
struct Here<'a> {
    subject: &'a str,
    path: &'a str,
    span: Range<usize>,
}

impl Refs<'_, '_> {
    fn say(&mut self, here: &Here<'_>, trouble: Trouble) {
        self.walk.fault(trouble, here.path, here.span.clone());
    }

    fn node(&mut self, node: &Node) {
        for (key, cell) in &node.cells {
            self.cell(node, key, cell);
        }
        for child in &node.children {
            self.node(child);
        }
    }

    fn cell(&mut self, node: &Node, key: &str, cell: &Cell) {
        let Some(field) = node.table.field(key) else {
            return;
        };
        let subject = format!("{}, {key}", node.subject());
        let path = joined(&node.path, key);
        let here = Here { subject: &subject, path: &path, span: cell.span.clone() };
        match (&cell.value, field.kind) {
            (Value::Text(name), Kind::Name(names)) => self.name(&here, names, name),
            (Value::Texts(names), Kind::Loads) => {
                for name in names {
                    let here = Here { span: name.span.clone(), ..here };
                    self.one_of(&here, "load", &name.text, &self.known.loads.clone());
                }
            }
            (Value::Terminal(terminal), _) => self.terminal(&here, terminal),
            (Value::TakeOff(RawTakeOff::Two { plus, minus }), _) => {
                let bank = self.known.banks.iter().find(|b| b.path == node.path).cloned();
                for side in [plus, minus] {
                    let here = Here { span: side.span.clone(), ..here };
                    match Terminal::from_text(&side.text) {
                        Some(Terminal::Post { block, .. }) => {
                            self.block(&here, block, bank.as_slice());
                        }
                        Some(stud) => self.terminal(&here, &stud),
                        None => {}
                    }
                }
            }
            _ => {}
        }
    }

    fn name(&mut self, here: &Here<'_>, names: Names, name: &str) {
        let of_kind = |kind: DeviceKind| -> Vec<String> {
            let same = self.known.devices.iter().filter(|d| d.1 == Some(kind));
            same.map(|d| d.0.clone()).collect()
        };
        let (what, known) = match names {
            Names::Stage => ("stage", self.known.stages.clone()),
            Names::Block => ("block model", self.known.blocks.clone()),
            Names::Controller => ("solar controller", of_kind(DeviceKind::SolarController)),
            Names::Device => ("device", self.known.devices.iter().map(|d| d.0.clone()).collect()),
        };
        if names == Names::Controller
            && let Some(kind) = self.known.device(name)
        {
            if let Some(kind) = kind.filter(|k| *k != DeviceKind::SolarController) {
                let trouble = words::not_a_controller(here.subject, name, kind.word(), &known);
                self.say(here, trouble);
            }
            return;
        }
        self.one_of(here, what, name, &known);
    }

    fn one_of(&mut self, here: &Here<'_>, what: &str, name: &str, known: &[String]) {
        if known.iter().any(|k| k == name) || syntax::spoke_of(self.walk.lost, name) {
            return;
        }
        let trouble = words::leads_nowhere(here.subject, what, name, known);
        self.say(here, trouble);
    }

    fn terminal(&mut self, here: &Here<'_>, terminal: &Terminal) {
        match terminal {
            Terminal::Post { block, .. } => {
                let banks = self.known.banks.clone();
                self.block(here, *block, &banks);
            }
            Terminal::Stud { device, pole } => self.stud(here, device, *pole),
        }
    }

    /// A block must be in at least one of the banks.
    fn block(&mut self, here: &Here<'_>, block: BlockId, banks: &[Bank]) {
        let inside = |b: &Bank| block.string < b.parallel && block.place < b.series;
        if banks.is_empty() || banks.iter().any(inside) {
            return;
        }
        // The largest bank is the one a slip is measured against.
        let Some(bank) = banks.iter().max_by_key(|b| b.count()) else {
            return;
        };
        let last = BlockId { string: bank.parallel - 1, place: bank.series - 1 };
        let trouble = words::outside_the_bank(
            here.subject,
            &block.to_string(),
            (bank.series, bank.parallel),
            &last.to_string(),
        );
        self.say(here, trouble);
    }

    fn stud(&mut self, here: &Here<'_>, device: &str, pole: Pole) {
        let written = terminals::written(device, pole);
        if device == "bank" {
            if !matches!(pole, Pole::Plus | Pole::Minus) {
                let studs = ["bank +".to_owned(), "bank -".to_owned()];
                let trouble = words::no_such_stud(here.subject, &written, "the bank", &studs);
                self.say(here, trouble);
            }
            return;
        }
        let Some(kind) = self.known.device(device) else {
            if !syntax::spoke_of(self.walk.lost, device) {
                let trouble = words::no_such_terminal(here.subject, &written, &self.known.studs());
                self.say(here, trouble);
            }
            return;
        };
        // A device whose kind was not understood may have any stud.
        let Some(kind) = kind else {
            return;
        };
        let poles = terminals::poles(kind);
        if poles.contains(&pole) {
            return;
        }
        let studs: Vec<String> = poles.iter().map(|p| terminals::written(device, *p)).collect();
        let what = format!("{device}, {} {},", words::article(kind.word()), kind.word());
        let trouble = words::no_such_stud(here.subject, &written, &what, &studs);
        self.say(here, trouble);
    }

    fn devices(&mut self, root: &Node) {
        for node in root.of("device.*") {
            let subject = node.subject();
            let here = Here { subject: &subject, path: &node.path, span: node.span.clone() };
            let sign = node.name.rsplit(' ').next().unwrap_or("");
            let ends_as_stud =
                node.name.contains(' ') && matches!(sign, "+" | "-" | "−" | "in" | "out");
            if node.name == "bank" || BlockId::from_text(&node.name).is_some() || ends_as_stud {
                self.say(&here, words::name_taken(&subject));
            }
            if node.text("kind").is_none() {
                continue;
            }
            let kind = build::device::kind(node);
            for (key, cell) in &node.cells {
                let only = node.table.field(key).map_or(&[][..], |f| f.only);
                if only.is_empty() || only.contains(&kind) {
                    continue;
                }
                let owners: Vec<&str> = only.iter().map(|k| k.word()).collect();
                let trouble = words::not_of_kind(&subject, kind.word(), key, &owners);
                let path = joined(&node.path, key);
                self.walk.fault(trouble, &path, cell.span.clone());
            }
        }
    }

    /// A lead has two ends, or none and the number of a link.
    fn leads(&mut self, root: &Node, design: &Design) {
        let links = links(design);
        for node in root.of("lead.*").chain(root.of("joint.*")) {
            let subject = node.subject();
            let here = Here { subject: &subject, path: &node.path, span: node.span.clone() };
            let joint = node.table.path == "joint.*";
            let says = |key: &str| node.keys.iter().any(|k| k == key);
            let name = node.name.as_str();
            match (says("from"), says("to"), joint) {
                (true, true, false) => self.same_ends(node, &here),
                (true, false, false) => self.say(&here, words::one_end(&subject, "from", "to")),
                (false, true, false) => self.say(&here, words::one_end(&subject, "to", "from")),
                _ => {
                    let own = root.of("lead.*").any(|l| joint && l.name == name);
                    let unsure = self.known.banks.is_empty() && !design.banks.is_empty();
                    if own || unsure || links.iter().any(|l| l == name) {
                        continue;
                    }
                    let trouble = words::no_such_link(name, joint, &links, &owners(root));
                    if !syntax::spoke_of(self.walk.lost, &format!("lead.{name}")) {
                        self.say(&here, trouble);
                    }
                }
            }
        }
    }

    fn same_ends(&mut self, node: &Node, here: &Here<'_>) {
        let (from, to) = (node.terminal("from"), node.terminal("to"));
        if let (Some(from), Some(to)) = (from, to)
            && from == to
            && !matches!(from, Terminal::Stud { pole: Pole::Bar, .. })
        {
            self.say(here, words::same_ends(here.subject));
        }
    }

    fn as_built(&mut self, root: &Node) {
        for built in root.of("as_built") {
            for node in built.of("as_built.post.*") {
                let subject = format!("as built, post \"{}\"", node.name);
                let here = Here { subject: &subject, path: &node.path, span: node.span.clone() };
                match terminals::read(&node.name) {
                    Ok(terminal) => self.terminal(&here, &terminal),
                    Err(trouble) => self.say(&here, trouble(&subject)),
                }
            }
            for node in built.of("as_built.volts") {
                for (key, cell) in &node.cells {
                    if Measured::from_text(key).is_none() {
                        let path = joined(&node.path, key);
                        self.walk.fault(words::not_measured(key), &path, cell.span.clone());
                    }
                }
            }
        }
    }

    fn banks(&mut self, root: &Node) {
        let mut stages: Vec<String> = Vec::new();
        for node in root.of("bank") {
            for block in node.of("bank.*") {
                let subject = block.subject();
                let here = Here { subject: &subject, path: &block.path, span: block.span.clone() };
                let own = self.known.banks.iter().find(|b| b.path == node.path).cloned();
                if let Some(id) = BlockId::from_text(&block.name) {
                    self.block(&here, id, own.as_slice());
                }
            }
            let stage = node
                .text("stage")
                .unwrap_or_else(|| self.known.stages.first().cloned().unwrap_or_default());
            let here = Here { subject: "bank", path: &node.path, span: node.span.clone() };
            if stages.contains(&stage) {
                self.say(&here, words::two_banks(&stage));
            }
            stages.push(stage);
        }
        for node in root.children.iter().filter(|n| n.table.part) {
            let at = |key: &str| {
                node.text(key).and_then(|s| self.known.stages.iter().position(|k| *k == s))
            };
            let (from, until) = (at("stage").unwrap_or(0), at("until"));
            if until.is_some_and(|u| u <= from) {
                let subject = node.subject();
                let here = Here { subject: &subject, path: &node.path, span: node.span.clone() };
                self.say(&here, words::out_before_in(&subject));
            }
        }
    }
}

/// The names of the owner's own leads.
fn owners(root: &Node) -> Vec<String> {
    root.of("lead.*")
        .filter(|l| l.keys.iter().any(|k| k == "from"))
        .map(|l| l.name.clone())
        .collect()
}

/// The numbers of the links that the banks imply: from 1 on, less the names that the owner's own
/// leads carry.
fn links(design: &Design) -> Vec<String> {
    let count = design.banks.iter().map(link_count).max().unwrap_or(0);
    let own: Vec<&str> = design
        .leads
        .iter()
        .filter(|l| l.from.is_some() && l.to.is_some())
        .map(|l| l.part.name.as_str())
        .collect();
    let free = |name: &String| !own.contains(&name.as_str());
    (1_u32..).map(|n| n.to_string()).filter(free).take(count).collect()
}

/// Links of a bank: the series links of every string, then those between the strings or, with
/// busbars, two leads for each string.
fn link_count(bank: &Bank) -> usize {
    let bars = matches!(bank.takeoff, engine::model::bank::TakeOff::Busbars { .. });
    let series = bank.series.saturating_sub(1) * bank.parallel;
    let across = if bars { 2 * bank.parallel } else { 2 * bank.parallel.saturating_sub(1) };
    usize::try_from(series + across).unwrap_or(usize::MAX)
}

//! Everything known here that may be wrong, one thing at a time, each in as many sizes as it takes
//! to find its size later, and how often it is met.
//!
//! How often is common practice without a source: rows `prove-odds-*` of `data/rules/limits.csv`.

use super::model::{Case, Free};
use super::net::{Branch, Laid};
use super::sheet::Sheet;
use super::{FaultKind, Part, Test};
use crate::calc::block_resistance::factor_of_charge;
use crate::circuit::wiring::LeadRole;
use crate::model::bank::BlockId;
use crate::model::lead::Terminal;
use crate::number::interpolate;
use crate::study::Study;
use crate::tables::Tables;

/// How a fault grows with its size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Size {
    /// It has none: it is there or not.
    Whole,
    /// Resistance beyond what was planned, in a branch [ohm].
    Extra(usize),
    /// Resistance as a multiple of what was planned.
    Times(usize),
    /// Rest volts missing from a block [V]; its resistance rises meanwhile.
    Missing(usize),
    /// The clamp shows this much with nothing in its jaw [A].
    Zero,
}

/// One thing that may be wrong.
pub(super) struct Fault {
    /// In which part.
    pub(super) part: Part,
    /// What.
    pub(super) kind: FaultKind,
    /// How often it is met, over how often nothing is wrong.
    pub(super) odds: f64,
    /// Its sizes, rising; one for a fault without size.
    pub(super) sizes: Vec<f64>,
    /// What its size is.
    pub(super) size: Size,
    /// The circuit at a size is made from this.
    moved: Vec<(usize, Option<Branch>)>,
    /// Blocks that stand the wrong way round.
    turned: Vec<usize>,
    /// How many times its resistance a block has with these volts missing.
    flat: Vec<(f64, f64)>,
    /// The clamp sits the wrong way round.
    clamp_turned: bool,
    /// Nothing may be closed, loaded or charged while this is suspected.
    pub(super) gate: bool,
    /// Where the moved end belongs and where it lies, for a moved lead.
    pub(super) lies_on: Option<(Terminal, Terminal)>,
}

impl Fault {
    fn whole(part: Part, kind: FaultKind) -> Self {
        Self {
            part,
            kind,
            odds: 0.0,
            sizes: vec![1.0],
            size: Size::Whole,
            moved: Vec::new(),
            turned: Vec::new(),
            flat: Vec::new(),
            clamp_turned: false,
            gate: kind.is_gate(),
            lies_on: None,
        }
    }

    fn sized(part: Part, kind: FaultKind, size: Size, sizes: Vec<f64>) -> Self {
        Self { size, sizes, ..Self::whole(part, kind) }
    }

    /// The rig with this wrong, this large.
    pub(super) fn case(&self, sheet: &Sheet, size: f64) -> Case {
        let mut case = Case::sound(sheet);
        case.moved.clone_from(&self.moved);
        let planned = &sheet.rig.values;
        for block in &self.turned {
            let branch = sheet.rig.blocks[*block];
            case.values.emf[branch] = -planned.emf[branch];
        }
        if self.clamp_turned {
            case.clamp = -1.0;
        }
        match self.size {
            Size::Whole => {}
            Size::Extra(branch) => {
                case.values.ohm[branch] = planned.ohm[branch] + size;
                case.free.push(Free::Ohm(branch, size));
            }
            Size::Times(branch) => {
                case.values.ohm[branch] = planned.ohm[branch] * size;
                case.free.push(Free::Ohm(branch, planned.ohm[branch] * size));
            }
            Size::Missing(branch) => {
                case.values.emf[branch] = planned.emf[branch] - size;
                case.free.push(Free::Emf(branch, -size));
                // A flat block resists more, by the table; a dead cell by who knows what.
                let more = interpolate(&self.flat, size).unwrap_or(1.0);
                case.values.ohm[branch] = planned.ohm[branch] * more;
                if self.kind == FaultKind::DeadCell {
                    case.free.push(Free::Ohm(branch, sheet.spreads.dead_ohm * planned.ohm[branch]));
                }
            }
            Size::Zero => case.free.push(Free::Zero(size)),
        }
        case
    }
}

/// Sizes from the first to the last, each this many times the one before.
fn ladder(first: f64, last: f64, step: f64) -> Vec<f64> {
    let mut sizes = vec![first];
    let mut next = first * step;
    while next <= last * 1.0001 && sizes.len() < 40 {
        sizes.push(next);
        next *= step;
    }
    sizes
}

/// Everything that may be wrong.
pub(super) fn all(sheet: &Sheet, study: &Study, tables: &Tables) -> Vec<Fault> {
    let maker = Maker { sheet, study, tables };
    let mut faults = Vec::new();
    let odds = |id: &str| tables.limits.value(id).value;
    let mut add = |odds: f64, list: Vec<Fault>| {
        let count = list.iter().fold(0.0, |n, _| n + 1.0);
        faults.extend(list.into_iter().map(|f| Fault { odds: odds / count, ..f }));
    };
    add(odds("prove-odds-joint"), maker.joints());
    add(odds("prove-odds-thin"), maker.thin());
    add(odds("prove-odds-missing"), maker.missing());
    add(odds("prove-odds-open"), maker.open());
    add(odds("prove-odds-moved"), maker.moved());
    add(odds("prove-odds-reversed"), maker.reversed());
    add(odds("prove-odds-string"), maker.strings());
    add(odds("prove-odds-weak"), maker.weak());
    add(odds("prove-odds-charge"), maker.undercharged());
    add(odds("prove-odds-cell"), maker.dead_cells());
    let zero = Fault::sized(Part::Clamp, FaultKind::NotZeroed, Size::Zero, ladder(1.0, 16.0, 2.0));
    add(odds("prove-odds-zero"), vec![zero]);
    let mut turned = Fault::whole(Part::Clamp, FaultKind::Swapped);
    turned.clamp_turned = true;
    add(odds("prove-odds-clamp-turned"), vec![turned]);
    faults
}

struct Maker<'a> {
    sheet: &'a Sheet,
    study: &'a Study,
    tables: &'a Tables,
}

impl Maker<'_> {
    /// Whether a branch may carry current in a test.
    fn carries(&self, branch: usize) -> bool {
        self.sheet.setups.iter().any(|s| s.draw.is_some() && s.laid.carries(branch))
    }

    /// Whether a branch can move any reading at all.
    fn matters(&self, branch: usize) -> bool {
        self.sheet.setups.iter().any(|s| s.branches[branch].is_some() && s.laid.matters(branch))
    }

    fn joints(&self) -> Vec<Fault> {
        let value = |id: &str| self.tables.limits.value(id).value * 1e-3;
        let sizes = ladder(value("prove-joint-least"), value("prove-joint-most"), 1.8);
        let mut list = Vec::new();
        for (lead, branches) in self.study.wiring.leads.iter().zip(&self.sheet.rig.leads) {
            for (at_start, branch) in [(true, branches.start), (false, branches.end)] {
                if !self.carries(branch) {
                    continue;
                }
                let terminal = if at_start { lead.from.clone() } else { lead.to.clone() };
                let part = Part::Joint { lead: lead.id.clone(), at_start, terminal };
                let size = Size::Extra(branch);
                list.push(Fault::sized(part, FaultKind::LooseJoint, size, sizes.clone()));
            }
        }
        list
    }

    fn thin(&self) -> Vec<Fault> {
        let leads = self.study.wiring.leads.iter().zip(&self.sheet.rig.leads);
        leads
            .filter(|(_, b)| self.carries(b.conductor))
            .map(|(lead, b)| {
                // From one trade size under, a quarter less copper, to a tenth of it.
                let size = Size::Times(b.conductor);
                let sizes = ladder(1.26, 10.1, 1.5);
                Fault::sized(Part::Lead(lead.id.clone()), FaultKind::ThinLead, size, sizes)
            })
            .collect()
    }

    fn missing(&self) -> Vec<Fault> {
        let leads = self.study.wiring.leads.iter().zip(&self.sheet.rig.leads);
        leads
            .filter(|(_, b)| self.matters(b.conductor))
            .map(|(lead, b)| {
                let mut fault = Fault::whole(Part::Lead(lead.id.clone()), FaultKind::MissingLead);
                fault.moved.push((b.conductor, None));
                fault
            })
            .collect()
    }

    fn open(&self) -> Vec<Fault> {
        let devices = self.sheet.rig.devices.iter();
        devices
            .filter(|(_, branch)| self.matters(*branch))
            .map(|(name, branch)| {
                let mut fault = Fault::whole(Part::Device(name.clone()), FaultKind::OpenDevice);
                fault.moved.push((*branch, None));
                fault
            })
            .collect()
    }

    /// Every lead on the bank with one end on another post nearby.
    fn moved(&self) -> Vec<Fault> {
        let mut list = Vec::new();
        let leads = self.study.wiring.leads.iter().zip(&self.sheet.rig.leads);
        for (lead, branches) in leads {
            if lead.role == LeadRole::Feed
                && lead.from.block().is_none()
                && lead.to.block().is_none()
            {
                continue;
            }
            for (end, other, branch) in
                [(&lead.from, &lead.to, branches.start), (&lead.to, &lead.from, branches.end)]
            {
                for post in self.posts_near(end) {
                    let Some(place) = self.sheet.rig.terminal(&post) else { continue };
                    // On the post of its own other end it joins nothing: that is a missing lead.
                    if self.sheet.rig.terminal(other) == Some(place) {
                        continue;
                    }
                    let was = self.sheet.rig.branches[branch];
                    let now = if branch == branches.start {
                        Branch { a: place, b: was.b }
                    } else {
                        Branch { a: was.a, b: place }
                    };
                    let mut fault = Fault::whole(Part::Lead(lead.id.clone()), FaultKind::MovedLead);
                    fault.moved.push((branch, Some(now)));
                    fault.lies_on = Some((end.clone(), post));
                    fault.gate = self.burns(&fault);
                    list.push(fault);
                }
            }
        }
        list
    }

    /// Whether a lead that lies elsewhere drives a current through the bank at rest, or leaves a
    /// part of it out, so that closing or loading it is not safe.
    fn burns(&self, fault: &Fault) -> bool {
        let limit = self.tables.limits.value("prove-rest-current-most").value;
        let case = fault.case(self.sheet, 1.0);
        let largest = |flow: &super::net::Flow| {
            flow.amps.iter().fold(0.0_f64, |most, amps| most.max(amps.abs()))
        };
        self.sheet.setups.iter().filter(|s| s.test == Test::Rest).any(|setup| {
            let mut branches = setup.branches.clone();
            for (branch, place) in &fault.moved {
                branches[*branch] = *place;
            }
            let laid = Laid::of(self.sheet.rig.points, &branches, None, &[]);
            let now = largest(&laid.flow(&case.values, 0.0));
            let planned = largest(&setup.laid.flow(&self.sheet.rig.values, 0.0));
            planned + limit < now
        })
    }

    /// Posts a hand may take for another: of the same block, the next in the string, the same
    /// place in the next string.
    fn posts_near(&self, end: &Terminal) -> Vec<Terminal> {
        let Terminal::Post { block, plus } = end else { return Vec::new() };
        let mut posts = vec![Terminal::Post { block: *block, plus: !plus }];
        let near = |other: BlockId| {
            let places = other.place.abs_diff(block.place);
            let strings = other.string.abs_diff(block.string);
            places + strings == 1
        };
        for facts in self.study.facts.blocks.iter().filter(|b| near(b.id)) {
            posts.push(Terminal::Post { block: facts.id, plus: *plus });
            posts.push(Terminal::Post { block: facts.id, plus: !plus });
        }
        posts.retain(|p| self.sheet.rig.terminal(p) != self.sheet.rig.terminal(end));
        posts
    }

    fn blocks(
        &self,
        kind: FaultKind,
        make: &dyn Fn(usize) -> Option<(Size, Vec<f64>)>,
    ) -> Vec<Fault> {
        let blocks = self.study.facts.blocks.iter().enumerate();
        blocks
            .filter_map(|(index, facts)| {
                let (size, sizes) = make(index)?;
                Some(Fault::sized(Part::Block(facts.id), kind, size, sizes))
            })
            .collect()
    }

    fn reversed(&self) -> Vec<Fault> {
        let mut list = self.blocks(FaultKind::Reversed, &|_| Some((Size::Whole, vec![1.0])));
        for (index, fault) in list.iter_mut().enumerate() {
            fault.turned.push(index);
        }
        list
    }

    fn strings(&self) -> Vec<Fault> {
        let Some(bank) = self.study.design.bank().filter(|b| b.series > 1) else {
            return Vec::new();
        };
        (0..bank.parallel)
            .map(|string| {
                let mut fault = Fault::whole(Part::String(string), FaultKind::StringBackwards);
                let blocks = self.study.facts.blocks.iter().enumerate();
                fault.turned = blocks.filter(|(_, b)| b.id.string == string).map(|b| b.0).collect();
                fault
            })
            .collect()
    }

    fn weak(&self) -> Vec<Fault> {
        self.blocks(FaultKind::Weak, &|index| {
            Some((Size::Times(self.sheet.rig.blocks[index]), ladder(1.4, 12.0, 1.35)))
        })
    }

    fn undercharged(&self) -> Vec<Fault> {
        let mut list = self.blocks(FaultKind::Undercharged, &|index| {
            let whole = self.missing_at(index, 0.0)?;
            let branch = self.sheet.rig.blocks[index];
            // Where the curve of rest volts is flat, a block far down lacks little yet; under a tenth
            // of its charge nobody leaves one.
            let facts = self.study.facts.blocks.get(index)?;
            let least = self.missing_at(index, 0.85 * facts.soc)?.max(0.01 * whole);
            let most = 1.3 * self.missing_at(index, 0.1 * facts.soc)?;
            let sizes = || ladder(least, most.max(least), 1.4);
            (whole > 0.0).then(|| (Size::Missing(branch), sizes()))
        });
        for (fault, (index, facts)) in
            list.iter_mut().zip(self.study.facts.blocks.iter().enumerate())
        {
            if !facts.chemistry.is_lead() {
                continue;
            }
            let planned = factor_of_charge(self.tables, facts.soc).value;
            for share in [1.0, 0.8, 0.6, 0.4, 0.2, 0.0] {
                let soc = share * facts.soc;
                let more = factor_of_charge(self.tables, soc).value / planned;
                fault.flat.push((self.missing_at(index, soc).unwrap_or(0.0), more));
            }
        }
        list
    }

    /// Volts a block lacks at another charge than stated.
    fn missing_at(&self, index: usize, soc: f64) -> Option<f64> {
        let facts = self.study.facts.blocks.get(index)?;
        let volts = |soc: f64| {
            let cell = self.tables.battery.rest_voltage(facts.chemistry.word(), soc * 100.0);
            cell.map(|c| c.value.as_volts() * f64::from(facts.cells))
        };
        Some(volts(facts.soc)? - volts(soc)?)
    }

    fn dead_cells(&self) -> Vec<Fault> {
        self.blocks(FaultKind::DeadCell, &|index| {
            let facts = self.study.facts.blocks.get(index)?;
            let cell = facts.emf.as_volts() / f64::from(facts.cells.max(1));
            let branch = self.sheet.rig.blocks[index];
            (cell > 0.0).then(|| (Size::Missing(branch), vec![cell]))
        })
    }
}

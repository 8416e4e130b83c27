//! The largest steady current of every lead: all loads together, each load alone, and all charge
//! sources together, each solved in the whole network with the sizes of the moment.

use crate::circuit::netlist::{Fitted, LeadOhms, Netlist};
use crate::circuit::network::{Injection, Terminals};
use crate::circuit::solve::{Factored, Solution};
use crate::facts::device::DeviceCurrent;
use crate::sizing::SizingInput;
use crate::units::{Current, show};
use std::collections::BTreeMap;

/// The largest current of one lead and when it flows.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LeadAmps {
    pub(super) amps: f64,
    pub(super) why: String,
}

/// What flows when.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Flows {
    /// The largest of each lead, in wiring order.
    pub(super) leads: Vec<LeadAmps>,
    /// Each lead with all loads running, in wiring order.
    pub(super) loads: Vec<f64>,
    /// Each lead with all charge sources giving, in wiring order.
    pub(super) sources: Vec<f64>,
    /// The largest current through each device with a resistance of its own.
    pub(super) devices: BTreeMap<String, f64>,
    /// The largest current of each string.
    pub(super) strings: BTreeMap<u32, f64>,
    /// Current of a dead short between the far end of each lead and the other pole, where known.
    pub(super) shorts: Vec<Option<f64>>,
}

/// Which devices draw.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    AllLoads,
    OneLoad,
    AllSources,
}

impl Flows {
    /// Solves every case. A network without an answer leaves the currents at nothing: the share of
    /// the study names the part at fault.
    ///
    /// `shorts` are those of sizes near these, where they are known already.
    pub(super) fn of(
        input: &SizingInput<'_>,
        ohms: &[LeadOhms],
        far: &[FarEnd],
        shorts: Option<&[Option<f64>]>,
    ) -> Self {
        let count = input.wiring.leads.len();
        let idle = LeadAmps { amps: 0.0, why: "nothing on it draws a known current".to_owned() };
        let mut flows = Self {
            leads: vec![idle; count],
            loads: vec![0.0; count],
            sources: vec![0.0; count],
            devices: BTreeMap::new(),
            strings: BTreeMap::new(),
            shorts: vec![None; count],
        };
        let netlist = Netlist::of(input.design, input.wiring, input.facts, ohms, &Fitted::ALL);
        let Ok(factored) = netlist.network.factor() else {
            return flows;
        };
        let (mut loads, mut sources) = (Vec::new(), Vec::new());
        for item in input.currents {
            let Some(draw) = draw_of(&netlist, item) else {
                continue;
            };
            // A device that no conductor joins to the bank draws nothing from it.
            let Ok(alone) = factored.solve_with(std::slice::from_ref(&draw)) else {
                continue;
            };
            if 0.0 <= draw.amp {
                let why = format!("{}: {}", item.device, item.current.why);
                flows.take(&netlist, Kind::OneLoad, &why, &alone);
                loads.push(draw);
            } else {
                sources.push(draw);
            }
        }
        let all = [(Kind::AllLoads, "loads", loads), (Kind::AllSources, "charge sources", sources)];
        for (kind, what, draws) in all {
            if draws.is_empty() {
                continue;
            }
            if let Ok(solution) = factored.solve_with(&draws) {
                flows.take(&netlist, kind, &together(what, &draws), &solution);
            }
        }
        let known = shorts.map(<[Option<f64>]>::to_vec);
        flows.shorts = known.unwrap_or_else(|| self::shorts(&netlist, &factored, far));
        flows
    }

    fn take(&mut self, netlist: &Netlist, kind: Kind, why: &str, solution: &Solution) {
        for (n, lead) in netlist.leads.iter().enumerate() {
            let amps = solution.current_a(lead.conductor).abs();
            match kind {
                Kind::AllLoads => self.loads[n] = amps,
                Kind::AllSources => self.sources[n] = amps,
                Kind::OneLoad => {}
            }
            // A hundredth of an amp more is no reason to tell another story.
            if self.leads[n].amps + 0.01 < amps {
                self.leads[n] = LeadAmps { amps, why: why.to_owned() };
            }
        }
        for (name, element) in &netlist.devices {
            let amps = solution.current_a(*element).abs();
            let most = self.devices.entry(name.clone()).or_insert(0.0);
            *most = most.max(amps);
        }
        for (id, element) in netlist.blocks.iter().filter(|(id, _)| id.place == 0) {
            let amps = solution.current_a(*element).abs();
            let most = self.strings.entry(id.string).or_insert(0.0);
            *most = most.max(amps);
        }
    }
}

fn draw_of(netlist: &Netlist, item: &DeviceCurrent) -> Option<Injection> {
    let at = netlist.device_terminals(&item.device)?;
    let amp = item.current.steady.as_amps();
    Some(Injection { name: item.device.clone(), from: at.plus, to: at.minus, amp })
}

fn together(what: &str, draws: &[Injection]) -> String {
    let list: Vec<String> = draws
        .iter()
        .map(|d| format!("{} {}", d.name, show::current(Current::amps(d.amp.abs()))))
        .collect();
    format!("all {what} together ({})", list.join(", "))
}

/// Where the far end of a lead is shorted to, for the current it must survive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum FarEnd {
    /// The lead's `from` end, to the bank's minus or, on the minus side, its plus.
    From {
        /// The lead lies on the minus side.
        minus: bool,
    },
    /// The lead's `to` end.
    To {
        /// The lead lies on the minus side.
        minus: bool,
    },
    /// No short is looked at: a link, or a lead that reaches no pole.
    None,
}

fn shorts(netlist: &Netlist, factored: &Factored<'_>, far: &[FarEnd]) -> Vec<Option<f64>> {
    let Some(bank) = netlist.bank else {
        return vec![None; far.len()];
    };
    let Ok(open) = factored.solve() else {
        return vec![None; far.len()];
    };
    let mut all = Vec::with_capacity(far.len());
    for (end, lead) in far.iter().zip(&netlist.leads) {
        let ends = netlist.network.element(lead.conductor).ends();
        let at = match end {
            FarEnd::From { minus: false } => Terminals { plus: ends.0, minus: bank.minus },
            FarEnd::From { minus: true } => Terminals { plus: bank.plus, minus: ends.0 },
            FarEnd::To { minus: false } => Terminals { plus: ends.1, minus: bank.minus },
            FarEnd::To { minus: true } => Terminals { plus: bank.plus, minus: ends.1 },
            FarEnd::None => {
                all.push(None);
                continue;
            }
        };
        if factored.is_same_point(at) {
            all.push(None);
            continue;
        }
        let seen = factored.thevenin(&open, "short", at).ok();
        all.push(seen.filter(|s| 0.0 < s.ohm).map(|s| (s.open_v / s.ohm).abs()));
    }
    all
}

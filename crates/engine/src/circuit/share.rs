//! The current share: what every block, string, lead and joint carries under a stated draw.

use super::error::SolveError;
use super::netlist::Netlist;
use super::network::{Element, Injection, Terminals};
use super::operate::{Operation, State, Supply};
use super::paths::{Step, WayMap};
use super::solve::{Factored, Solution};
use super::wiring::{Polarity, Wiring};
use crate::cite::Status;
use crate::model::bank::BlockId;
use crate::model::design::Design;
use crate::model::lead::Terminal;
use crate::units::{Current, Power, Voltage, show};

/// What is asked of the bank.
#[derive(Clone, Debug, PartialEq)]
pub enum Draw {
    /// Every listed device at its own current; positive leaves the bank.
    Devices(Vec<(String, Current)>),
    /// One current in all, at the main consumer or, without one, at the take-off.
    Amps(Current),
    /// One power in all, held constant, with the low-voltage cut-off of the device that takes it.
    Watts(Power),
}

/// Where a single draw is taken, and the volts at which it drops out.
#[derive(Clone, Debug, PartialEq)]
pub struct MainConsumer {
    /// The device, or `None` for the bank's own take-off.
    pub device: Option<String>,
    /// Volts at its studs at which it drops out.
    pub cut_off: Option<Voltage>,
}

/// What became of the draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShareState {
    /// It runs.
    Solved,
    /// The device drops out on low volts.
    CutOff,
    /// The bank cannot give that power at any voltage.
    Collapsed,
}

impl ShareState {
    /// The word shown everywhere.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Solved => "solved",
            Self::CutOff => "cut_off",
            Self::Collapsed => "collapsed",
        }
    }
}

/// A string's share.
#[derive(Clone, Debug, PartialEq)]
pub struct StringShare {
    /// Its letter.
    pub id: String,
    /// Amps out of its plus end; negative charges it.
    pub amps: f64,
}

/// A block's share.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockShare {
    /// Which block.
    pub id: BlockId,
    /// Amps out of its plus post; negative charges it.
    pub amps: f64,
    /// Volts between its posts, plus above minus.
    pub volts: f64,
}

/// A lead's share.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadShare {
    /// Its name.
    pub id: String,
    /// Where it starts.
    pub from: Terminal,
    /// Where it ends.
    pub to: Terminal,
    /// Amps from its start to its end.
    pub amps: f64,
    /// Millivolts lost from stud to stud, joints included; signed like the amps.
    pub drop_mv: f64,
    /// Watts turned to heat, joints included.
    pub watts: f64,
}

/// A joint's share.
#[derive(Clone, Debug, PartialEq)]
pub struct JointShare {
    /// Its name: `4.from` or `4.to`.
    pub id: String,
    /// The post or stud it stands on.
    pub terminal: Terminal,
    /// Amps through it.
    pub amps: f64,
    /// Its resistance in microohms.
    pub micro_ohm: f64,
    /// Millivolts across it.
    pub drop_mv: f64,
}

/// A dead short between a point of the plus side and the bank's minus take-off.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Where the short is.
    pub node: String,
    /// Amps that would flow.
    pub amps: f64,
    /// How far the figure can be trusted.
    pub status: Status,
}

/// The way from the bank to a device and back.
#[derive(Clone, Debug, PartialEq)]
pub struct PathShare {
    /// The device.
    pub id: String,
    /// Leads along it, out and back.
    pub leads: Vec<String>,
    /// Amps the device takes; negative charges.
    pub amps: f64,
    /// Millivolts lost in conductors and joints, out and back; what a limit speaks of.
    pub drop_mv: f64,
    /// Millivolts lost in fuses, switches and the shunt on the way; none of the lead's fault.
    pub devices_mv: f64,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// What became of the draw.
    pub state: ShareState,
    /// The same in one sentence.
    pub says: String,
    /// Volts between the two take-off terminals.
    pub bank_volts: f64,
    /// Amps leaving the bank in all; negative charges.
    pub total_amps: f64,
    /// 100 (largest - smallest) / mean of the strings.
    pub spread_percent: f64,
    /// Strings.
    pub strings: Vec<StringShare>,
    /// Blocks.
    pub blocks: Vec<BlockShare>,
    /// Leads.
    pub leads: Vec<LeadShare>,
    /// Joints.
    pub joints: Vec<JointShare>,
    /// Paths to devices.
    pub paths: Vec<PathShare>,
    /// Amps at a dead short across the take-off.
    pub short_circuit_amps: f64,
    /// Dead shorts further out.
    pub faults: Vec<Fault>,
    /// Largest imbalance at a node over the largest branch current.
    pub balance_residual: f64,
}

/// Everything a share is computed from.
pub struct ShareInput<'a> {
    /// The design at one stage.
    pub design: &'a Design,
    /// Its leads.
    pub wiring: &'a Wiring,
    /// Its network.
    pub netlist: &'a Netlist,
    /// Where a single draw is taken.
    pub consumer: &'a MainConsumer,
    /// The weakest status behind the block figures.
    pub status: Status,
}

impl Share {
    /// Solves the network under a draw.
    ///
    /// # Errors
    /// When the network has no bank, a part has no resistance, or the node balance is not met;
    /// the error names the part.
    pub fn of(input: &ShareInput<'_>, draw: &Draw) -> Result<Self, SolveError> {
        let Some(bank) = input.netlist.bank else {
            return Err(SolveError::NoBank);
        };
        let factored = input.netlist.network.factor()?;
        let worked = work(input, &factored, bank, draw)?;
        let supply = Supply::new(&factored, "short", bank)?;
        let short = supply.thevenin();
        let short_circuit_amps = short.open_v / short.ohm;
        let faults = faults(input, &factored, bank)?;
        Ok(read_out(input, &worked, Shorts { short_circuit_amps, faults }))
    }
}

struct Shorts {
    short_circuit_amps: f64,
    faults: Vec<Fault>,
}

struct Worked {
    state: ShareState,
    says: String,
    solution: Solution,
    bank: Terminals,
    draws: Vec<(String, f64)>,
}

/// Runs the draw: fixed currents at devices, one current, or one power.
fn work(
    input: &ShareInput<'_>,
    factored: &Factored<'_>,
    bank: Terminals,
    draw: &Draw,
) -> Result<Worked, SolveError> {
    let name = input.consumer.device.clone().unwrap_or_else(|| "take-off".to_owned());
    let at = input
        .consumer
        .device
        .as_ref()
        .and_then(|d| input.netlist.device_terminals(d))
        .unwrap_or(bank);
    let cut_off_v = input.consumer.cut_off.map(Voltage::as_volts);
    match draw {
        Draw::Devices(list) => at_devices(input, factored, bank, list),
        Draw::Amps(amps) => {
            let supply = Supply::new(factored, &name, at)?;
            let state = supply.at_current(amps.as_amps(), cut_off_v)?;
            told(factored, bank, &name, (state, None))
        }
        Draw::Watts(power) => {
            let supply = Supply::new(factored, &name, at)?;
            let state = supply.at_power(power.as_watts(), cut_off_v)?;
            let limit = cut_off_v.and_then(|v| supply.power_limit(v)).map(|l| l.power_w);
            told(factored, bank, &name, (state, limit))
        }
    }
}

fn at_devices(
    input: &ShareInput<'_>,
    factored: &Factored<'_>,
    bank: Terminals,
    list: &[(String, Current)],
) -> Result<Worked, SolveError> {
    let mut devices = Vec::new();
    let mut draws = Vec::new();
    for (name, amps) in list {
        let Some(at) = input.netlist.device_terminals(name) else {
            continue;
        };
        devices.push(Injection {
            name: name.clone(),
            from: at.plus,
            to: at.minus,
            amp: amps.as_amps(),
        });
        draws.push((name.clone(), amps.as_amps()));
    }
    let solution = factored.solve_with(&devices)?;
    let says = match draws.len() {
        0 => "Nothing is connected that draws or gives current.".to_owned(),
        _ => {
            let list: Vec<String> = draws
                .iter()
                .map(|(name, amps)| format!("{name} {}", show::current(Current::amps(*amps))))
                .collect();
            format!("With {}.", list.join(", "))
        }
    };
    Ok(Worked { state: ShareState::Solved, says, solution, bank, draws })
}

fn told(
    factored: &Factored<'_>,
    bank: Terminals,
    name: &str,
    outcome: (State, Option<f64>),
) -> Result<Worked, SolveError> {
    let (state, limit_w) = outcome;
    let ran = |operation: &Operation| {
        format!(
            "{name} gets {} V at {}",
            show::fixed(operation.volts_v, 2),
            show::current(Current::amps(operation.current_a))
        )
    };
    let (state, says, solution, amps) = match state {
        State::Solved(o) => {
            let says = format!("{}.", ran(&o));
            (ShareState::Solved, says, o.solution, o.current_a)
        }
        State::CutOff { operation: o, cut_off_v } => {
            let most = limit_w.map_or(String::new(), |w| {
                format!(" It can take {} W before that.", show::fixed(w, 0))
            });
            let cut_off = show::decimal(cut_off_v, 2);
            let says =
                format!("{}, below its cut-off of {cut_off} V: it drops out.{most}", ran(&o));
            (ShareState::CutOff, says, o.solution, o.current_a)
        }
        State::Collapsed { power_max_w } => {
            let says = format!(
                "The bank and its leads can give {name} {} W at most; at more the volts collapse.",
                show::fixed(power_max_w, 0)
            );
            (ShareState::Collapsed, says, factored.solve()?, 0.0)
        }
    };
    Ok(Worked { state, says, solution, bank, draws: vec![(name.to_owned(), amps)] })
}

/// Shorts from every stud and post of the plus side to the minus take-off.
fn faults(
    input: &ShareInput<'_>,
    factored: &Factored<'_>,
    bank: Terminals,
) -> Result<Vec<Fault>, SolveError> {
    let open = factored.solve()?;
    let mut seen: Vec<Terminal> = Vec::new();
    let mut list = Vec::new();
    for lead in input.wiring.leads.iter().filter(|l| l.polarity == Polarity::Plus) {
        for terminal in [&lead.from, &lead.to] {
            let Some(node) = input.netlist.nodes.get(terminal) else {
                continue;
            };
            if seen.contains(terminal) {
                continue;
            }
            seen.push(terminal.clone());
            let at = Terminals { plus: *node, minus: bank.minus };
            if open.volts_between(at).is_none() || factored.is_same_point(at) {
                continue;
            }
            let seen_from = factored.thevenin(&open, &terminal.to_string(), at)?;
            list.push(Fault {
                node: terminal.to_string(),
                amps: seen_from.open_v / seen_from.ohm,
                status: input.status,
            });
        }
    }
    Ok(list)
}

fn read_out(input: &ShareInput<'_>, worked: &Worked, shorts: Shorts) -> Share {
    let solution = &worked.solution;
    let blocks: Vec<BlockShare> = input
        .netlist
        .blocks
        .iter()
        .map(|(id, element)| block_share(input, solution, *id, *element))
        .collect();
    let strings = string_shares(&blocks);
    let (leads, joints) = lead_shares(input, solution);
    let volts = |at: Terminals| solution.volts_between(at).unwrap_or(0.0);
    let bank_volts = volts(worked.bank);
    let ways = WayMap::of(input.design, input.wiring);
    let paths = input
        .design
        .devices
        .iter()
        .filter(|d| d.kind.is_load() || d.kind.is_charge_source())
        .filter_map(|d| {
            let at = input.netlist.device_terminals(&d.part.name)?;
            let at_device = solution.volts_between(at)?;
            let amps = worked.draws.iter().find(|w| w.0 == d.part.name).map_or(0.0, |w| w.1);
            let steps = there_and_back(&ways, &d.part.name);
            let leads = steps.iter().filter_map(Step::lead).collect();
            let lost_mv = (bank_volts - at_device) * 1000.0;
            let devices_mv = devices_mv(input, solution, &steps) * lost_mv.signum();
            let drop_mv = lost_mv - devices_mv;
            Some(PathShare { id: d.part.name.clone(), leads, amps, drop_mv, devices_mv })
        })
        .collect();
    Share {
        state: worked.state,
        says: worked.says.clone(),
        bank_volts,
        total_amps: worked.draws.iter().map(|d| d.1).sum(),
        spread_percent: spread_percent(&strings),
        strings,
        blocks,
        leads,
        joints,
        paths,
        short_circuit_amps: shorts.short_circuit_amps,
        faults: shorts.faults,
        balance_residual: solution.balance_residual(),
    }
}

/// The steps to a device and back.
fn there_and_back(ways: &WayMap, device: &str) -> Vec<Step> {
    [ways.out(device), ways.back(device)].into_iter().flatten().flatten().collect()
}

/// What the fuses, switches and the shunt on the way to a device and back lose, without sign.
fn devices_mv(input: &ShareInput<'_>, solution: &Solution, steps: &[Step]) -> f64 {
    let mut lost = 0.0;
    for step in steps {
        let Step::Device(name) = step else {
            continue;
        };
        let element = input.netlist.devices.iter().find(|d| d.0 == *name).map(|d| d.1);
        if let Some(element) = element
            && let Element::Resistance(part) = input.netlist.network.element(element)
        {
            lost += solution.current_a(element).abs() * part.ohm * 1000.0;
        }
    }
    lost
}

fn block_share(
    input: &ShareInput<'_>,
    solution: &Solution,
    id: BlockId,
    element: super::network::ElementId,
) -> BlockShare {
    let at = |terminal: &Terminal| input.netlist.nodes.get(terminal).copied();
    let posts = (at(&Terminal::plus(id)), at(&Terminal::minus(id)));
    let volts = match posts {
        (Some(plus), Some(minus)) => {
            solution.volts_between(Terminals { plus, minus }).unwrap_or(0.0)
        }
        _ => 0.0,
    };
    // A reversed block's source has its plus terminal on the string's minus side.
    let turned = match input.netlist.network.element(element) {
        Element::Source(source) => Some(source.plus) != posts.0,
        Element::Resistance(_) | Element::Injection(_) => false,
    };
    let amps = solution.current_a(element);
    BlockShare { id, amps: if turned { -amps } else { amps }, volts }
}

/// The current of a string is that of its block at the plus end.
fn string_shares(blocks: &[BlockShare]) -> Vec<StringShare> {
    blocks
        .iter()
        .filter(|b| b.id.place == 0)
        .map(|b| StringShare { id: BlockId::string_letters(b.id.string), amps: b.amps })
        .collect()
}

/// 100 (largest - smallest) / mean of the strings; nothing when the mean is nothing.
#[must_use]
pub fn spread_percent(strings: &[StringShare]) -> f64 {
    let count = strings.len();
    if count < 2 {
        return 0.0;
    }
    let most = strings.iter().map(|s| s.amps).fold(f64::MIN, f64::max);
    let least = strings.iter().map(|s| s.amps).fold(f64::MAX, f64::min);
    let mut total = 0.0;
    let mut number = 0.0;
    for string in strings {
        total += string.amps;
        number += 1.0;
    }
    let mean = f64::abs(total / number);
    if mean < 1e-9 { 0.0 } else { 100.0 * (most - least) / mean }
}

fn lead_shares(input: &ShareInput<'_>, solution: &Solution) -> (Vec<LeadShare>, Vec<JointShare>) {
    let mut leads = Vec::new();
    let mut joints = Vec::new();
    for lead in &input.netlist.leads {
        let Some(wired) = input.wiring.lead(&lead.id) else {
            continue;
        };
        let amps = solution.current_a(lead.conductor);
        leads.push(LeadShare {
            id: lead.id.clone(),
            from: wired.from.clone(),
            to: wired.to.clone(),
            amps,
            drop_mv: amps * lead.ohms.total() * 1000.0,
            watts: amps * amps * lead.ohms.total(),
        });
        let ends =
            [("from", &wired.from, lead.ohms.from_joint), ("to", &wired.to, lead.ohms.to_joint)];
        for (end, terminal, ohm) in ends {
            joints.push(JointShare {
                id: format!("{}.{end}", lead.id),
                terminal: terminal.clone(),
                amps,
                micro_ohm: ohm * 1e6,
                drop_mv: amps * ohm * 1000.0,
            });
        }
    }
    (leads, joints)
}

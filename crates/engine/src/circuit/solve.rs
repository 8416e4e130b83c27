//! What flows: node volts, the current through each element, and the proof that they add up.
//!
//! Every solve ends with a check of both laws of Kirchhoff. The law of volts holds by the way
//! currents are computed: each is taken from the volts at its two nodes. The law of currents is
//! measured at every node. A current left over at a node can move the current in no element by
//! more than itself, since a network of resistances never multiplies current; so what is left over
//! at all nodes together bounds the error of every current given here. Volts are off by no more
//! than that current times the resistance between the node and the held one.

use super::envelope::{BadPivot, Envelope};
use super::error::SolveError;
use super::fine::Fine;
use super::network::{Element, ElementId, Injection, Network, NodeId, Terminals};
use super::order::{Neighbours, reverse_cuthill_mckee};

/// The largest current left over at a node, as a part of the largest current, that is let through.
const RESIDUAL_LIMIT: f64 = 1e-9;
/// Where refinement stops; well under the limit, and above what rounding leaves at a busbar where
/// a few hundred leads meet.
const RESIDUAL_AIM: f64 = 1e-13;
/// One refinement settles every bank met so far; more are allowed for the worst mixes of joints.
const PASSES_MAX: usize = 6;
/// The current that counts as largest when less flows [A]. No meter of the trade reads a
/// microampere in a bank lead; without a floor, a bank at rest would divide noise by noise.
const CURRENT_FLOOR_A: f64 = 1e-6;

/// A conducting element as the arithmetic sees it: a current runs from `a` to `b`.
#[derive(Clone, Copy, Debug)]
struct Branch {
    element: usize,
    a: usize,
    b: usize,
    conductance_s: f64,
    /// What drives the current from a to b besides their volts [V].
    emf_v: f64,
}

/// A fixed current that leaves the network at one slot and returns at another.
#[derive(Clone, Copy, Debug)]
struct Draw {
    from: usize,
    to: usize,
    amp: f64,
}

/// A network ready to be solved for any drawn currents.
#[derive(Clone, Debug)]
pub struct Factored<'n> {
    network: &'n Network,
    /// For each node its slot: the rows of the envelope first, then one held node per island.
    slot: Vec<usize>,
    /// For each slot its island.
    island: Vec<usize>,
    branches: Vec<Branch>,
    draws: Vec<(usize, Draw)>,
    envelope: Envelope,
}

/// Volts and currents of one solve.
#[derive(Clone, Debug)]
pub struct Solution {
    /// For each node its volts above the held node of its island, and that island.
    volts: Vec<(Fine, usize)>,
    currents_a: Vec<f64>,
    balance_residual: f64,
    power: PowerBalance,
}

/// Where the power of one solve comes from and goes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerBalance {
    /// Given by the EMF of all sources; negative when they are charged on the whole [W].
    pub emf_w: f64,
    /// Turned to heat in resistances and inside sources [W].
    pub heat_w: f64,
    /// Taken by all devices; negative when they charge on the whole [W].
    pub drawn_w: f64,
}

impl PowerBalance {
    /// What is left over: given less heat less taken; rounding apart, nothing [W].
    #[must_use]
    pub fn residual_w(&self) -> f64 {
        self.emf_w - self.heat_w - self.drawn_w
    }
}

/// All that a device can know of a network through two terminals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thevenin {
    /// Volts between the terminals with the device away [V].
    pub open_v: f64,
    /// Resistance of the network between the terminals [ohm].
    pub ohm: f64,
}

/// Whether the EMFs and the devices of the network take part in a solve.
#[derive(Clone, Copy, PartialEq)]
enum Drive {
    Live,
    Dead,
}

/// Volts per slot and current per branch.
struct Flow {
    volts: Vec<Fine>,
    currents_a: Vec<f64>,
    residual: f64,
}

impl<'n> Factored<'n> {
    /// Checks, orders and factors a network.
    pub(crate) fn of(network: &'n Network) -> Result<Self, SolveError> {
        for (_, element) in network.elements() {
            check(network, element)?;
        }
        let knot = knots(network);
        let knots = knot.iter().map(|&k| k + 1).max().unwrap_or(0);
        let mut branches = Vec::new();
        let mut draws = Vec::new();
        for (id, element) in network.elements() {
            let (first, second) = element.ends();
            let (first, second) = (knot[first.index()], knot[second.index()]);
            let element_index = id.index();
            let branch = |a, b, ohm: f64, emf_v| Branch {
                element: element_index,
                a,
                b,
                conductance_s: 1.0 / ohm,
                emf_v,
            };
            match element {
                Element::Resistance(part) => branches.push(branch(first, second, part.ohm, 0.0)),
                // Inside a block a discharge current runs from the minus to the plus terminal.
                Element::Source(part) => branches.push(branch(second, first, part.ohm, part.emf_v)),
                Element::Injection(part) => {
                    draws.push((element_index, Draw { from: first, to: second, amp: part.amp }));
                }
            }
        }
        let layout = Layout::of(knots, &branches);
        for branch in &mut branches {
            branch.a = layout.slot[branch.a];
            branch.b = layout.slot[branch.b];
        }
        for (_, draw) in &mut draws {
            draw.from = layout.slot[draw.from];
            draw.to = layout.slot[draw.to];
        }
        let slot: Vec<usize> = knot.iter().map(|&k| layout.slot[k]).collect();
        let envelope = factor(layout.rows, &branches).map_err(|BadPivot(row)| {
            SolveError::Singular { node: name_of_slot(network, &slot, row) }
        })?;
        let factored = Self { network, slot, island: layout.island, branches, draws, envelope };
        for (index, draw) in &factored.draws {
            let name = network.elements().nth(*index).map_or("", |(_, element)| element.name());
            factored.same_island(name, draw.from, draw.to)?;
        }
        Ok(factored)
    }

    /// The network this was made from.
    #[must_use]
    pub fn network(&self) -> &'n Network {
        self.network
    }

    /// What flows with the devices that are in the network.
    ///
    /// # Errors
    /// When the currents at some node do not add up.
    pub fn solve(&self) -> Result<Solution, SolveError> {
        self.solve_with(&[])
    }

    /// What flows with these devices besides those in the network.
    ///
    /// # Errors
    /// When a device has no closed circuit, or the currents at some node do not add up.
    pub fn solve_with(&self, devices: &[Injection]) -> Result<Solution, SolveError> {
        let draws = self.draws_of(devices)?;
        let flow = self.settle(Drive::Live, &draws)?;
        Ok(self.solution(flow, &draws))
    }

    /// The network seen by a device at two terminals, given its open solution; exact, by one more
    /// solve.
    ///
    /// # Errors
    /// When no conductor joins the terminals, or the currents at some node do not add up.
    pub fn thevenin(
        &self,
        open: &Solution,
        device: &str,
        at: Terminals,
    ) -> Result<Thevenin, SolveError> {
        let probe = Injection { name: device.to_owned(), from: at.plus, to: at.minus, amp: 1.0 };
        let draws = self.draws_of(std::slice::from_ref(&probe))?;
        let flow = self.settle(Drive::Dead, &draws)?;
        let (plus, minus) = (self.slot[at.plus.index()], self.slot[at.minus.index()]);
        // One ampere drawn with every EMF at rest: the volts lost are the resistance.
        let ohm = flow.volts[minus].above(flow.volts[plus], 0.0);
        // A probe across islands is refused above, so there always are volts.
        let open_v = open.volts_between(at).unwrap_or(0.0);
        Ok(Thevenin { open_v, ohm })
    }

    /// Whether two nodes are one point, through joins.
    #[must_use]
    pub fn is_same_point(&self, at: Terminals) -> bool {
        self.slot[at.plus.index()] == self.slot[at.minus.index()]
    }

    /// One node of each island: the one whose volts count as zero.
    pub(crate) fn held_nodes(&self) -> impl Iterator<Item = NodeId> + '_ {
        (self.envelope.rows()..self.island.len())
            .filter_map(|held| self.network.nodes().find(|node| self.slot[node.index()] == held))
    }

    /// Devices as draws, checked.
    fn draws_of(&self, devices: &[Injection]) -> Result<Vec<Draw>, SolveError> {
        let mut draws = Vec::with_capacity(devices.len());
        for device in devices {
            check_ends(self.network, &device.name, (device.from, device.to))?;
            check_finite(&device.name, "current", device.amp)?;
            let (from, to) = (self.slot[device.from.index()], self.slot[device.to.index()]);
            self.same_island(&device.name, from, to)?;
            draws.push(Draw { from, to, amp: device.amp });
        }
        Ok(draws)
    }

    /// Refuses a device whose ends no conductor joins.
    fn same_island(&self, part: &str, from: usize, to: usize) -> Result<(), SolveError> {
        if self.island[from] == self.island[to] {
            return Ok(());
        }
        Err(SolveError::AcrossIslands {
            part: part.to_owned(),
            from: name_of_slot(self.network, &self.slot, from),
            to: name_of_slot(self.network, &self.slot, to),
        })
    }

    /// Solves, refines and checks.
    ///
    /// The first pass starts from zero volts and is the plain solve; each further pass solves for
    /// what the one before left over, and keeps the correction in the low part of the volts.
    fn settle(&self, drive: Drive, extra: &[Draw]) -> Result<Flow, SolveError> {
        let slots = self.island.len();
        let rows = self.envelope.rows();
        let own = if drive == Drive::Live { self.draws.as_slice() } else { &[] };
        let mut volts = vec![Fine::default(); slots];
        let mut currents_a = vec![0.0; self.branches.len()];
        let mut left_over_a = vec![0.0; slots];
        let mut worst = (0, f64::INFINITY);
        for pass in 0..=PASSES_MAX {
            left_over_a.fill(0.0);
            let mut largest_a = CURRENT_FLOOR_A;
            for (branch, current) in self.branches.iter().zip(&mut currents_a) {
                let emf_v = if drive == Drive::Live { branch.emf_v } else { 0.0 };
                let current_a =
                    branch.conductance_s * volts[branch.a].above(volts[branch.b], emf_v);
                *current = current_a;
                largest_a = largest_a.max(current_a.abs());
                left_over_a[branch.a] -= current_a;
                left_over_a[branch.b] += current_a;
            }
            for draw in own.iter().map(|(_, draw)| draw).chain(extra) {
                largest_a = largest_a.max(draw.amp.abs());
                left_over_a[draw.from] -= draw.amp;
                left_over_a[draw.to] += draw.amp;
            }
            worst = worst_of(&left_over_a, largest_a);
            // The first pass measures the zero start, so at least one correction always follows it,
            // and one refinement follows that.
            if pass >= 2 && worst.1 <= RESIDUAL_AIM || !worst.1.is_finite() {
                break;
            }
            if pass < PASSES_MAX {
                self.envelope.solve(&mut left_over_a[..rows]);
                for (volt, correction_v) in volts.iter_mut().zip(&left_over_a[..rows]) {
                    *volt = volt.plus(*correction_v);
                }
            }
        }
        let (slot, residual) = worst;
        if residual <= RESIDUAL_LIMIT {
            return Ok(Flow { volts, currents_a, residual });
        }
        let node = name_of_slot(self.network, &self.slot, slot);
        Err(SolveError::Unbalanced { node, residual })
    }

    /// Spreads a flow over the nodes and elements of the network.
    fn solution(&self, flow: Flow, extra: &[Draw]) -> Solution {
        let mut currents_a = vec![0.0; self.network.elements().len()];
        let mut power = PowerBalance { emf_w: 0.0, heat_w: 0.0, drawn_w: 0.0 };
        for (branch, &current_a) in self.branches.iter().zip(&flow.currents_a) {
            currents_a[branch.element] = current_a;
            power.emf_w += branch.emf_v * current_a;
            power.heat_w += current_a * current_a / branch.conductance_s;
        }
        for (element, draw) in &self.draws {
            currents_a[*element] = draw.amp;
        }
        for draw in self.draws.iter().map(|(_, draw)| draw).chain(extra) {
            power.drawn_w += draw.amp * flow.volts[draw.from].above(flow.volts[draw.to], 0.0);
        }
        let volts = self.slot.iter().map(|&slot| (flow.volts[slot], self.island[slot])).collect();
        Solution { volts, currents_a, balance_residual: flow.residual, power }
    }
}

impl Solution {
    /// Volts at `plus` above `minus`; nothing when no conductor joins them.
    ///
    /// # Panics
    /// When a node is not of this network, which is a bug in the caller.
    #[must_use]
    pub fn volts_between(&self, at: Terminals) -> Option<f64> {
        let (plus, island_plus) = self.volts[at.plus.index()];
        let (minus, island_minus) = self.volts[at.minus.index()];
        (island_plus == island_minus).then(|| plus.above(minus, 0.0))
    }

    /// Volts at a node above the held node of its island.
    ///
    /// Which node is held is a matter of speed; only differences inside one island mean anything.
    ///
    /// # Panics
    /// When the node is not of this network, which is a bug in the caller.
    #[must_use]
    pub fn volts_v(&self, node: NodeId) -> f64 {
        self.volts[node.index()].0.value()
    }

    /// Current through an element [A]: out of the plus terminal of a source, from a to b through a
    /// resistance, from the network into a device.
    ///
    /// # Panics
    /// When the element is not of this network, which is a bug in the caller.
    #[must_use]
    pub fn current_a(&self, element: ElementId) -> f64 {
        self.currents_a[element.index()]
    }

    /// Currents through all elements in order of arrival [A].
    #[must_use]
    pub fn currents_a(&self) -> &[f64] {
        &self.currents_a
    }

    /// The largest current left over at a node, divided by the largest current in an element.
    #[must_use]
    pub fn balance_residual(&self) -> f64 {
        self.balance_residual
    }

    /// Where the power comes from and goes to.
    #[must_use]
    pub fn power(&self) -> PowerBalance {
        self.power
    }
}

/// Which slot each knot has, and which island each slot belongs to.
struct Layout {
    rows: usize,
    slot: Vec<usize>,
    island: Vec<usize>,
}

impl Layout {
    /// Orders knots: rows of the envelope first, one held knot per island last.
    fn of(knots: usize, branches: &[Branch]) -> Self {
        // A branch whose ends are one point carries current but ties nothing to anything.
        let pairs = branches.iter().filter(|branch| branch.a != branch.b).map(|b| (b.a, b.b));
        let neighbours = Neighbours::of(knots, pairs);
        let (island_of_knot, held) = islands(&neighbours, knots);
        let mut left_out = vec![false; knots];
        for &knot in &held {
            left_out[knot] = true;
        }
        let mut order = reverse_cuthill_mckee(&neighbours, &left_out);
        let rows = order.len();
        order.extend(held);
        let mut slot = vec![0; knots];
        for (place, &knot) in order.iter().enumerate() {
            slot[knot] = place;
        }
        let island = order.iter().map(|&knot| island_of_knot[knot]).collect();
        Self { rows, slot, island }
    }
}

/// The island of each knot, and the knot that is held at zero volts in each island.
///
/// The knot with most neighbours is held: a busbar taken out of the matrix leaves a narrow band.
fn islands(neighbours: &Neighbours, knots: usize) -> (Vec<usize>, Vec<usize>) {
    let mut island = vec![usize::MAX; knots];
    let mut held: Vec<usize> = Vec::new();
    let mut ahead = Vec::new();
    for first in 0..knots {
        if island[first] < usize::MAX {
            continue;
        }
        let number = held.len();
        let mut best = first;
        island[first] = number;
        ahead.push(first);
        while let Some(knot) = ahead.pop() {
            if neighbours.degree(knot) > neighbours.degree(best) {
                best = knot;
            }
            for &next in neighbours.around(knot) {
                if island[next] == usize::MAX {
                    island[next] = number;
                    ahead.push(next);
                }
            }
        }
        held.push(best);
    }
    (island, held)
}

/// For each node its knot: nodes joined into one point have one knot, numbered without gaps.
fn knots(network: &Network) -> Vec<usize> {
    let mut knot = Vec::with_capacity(network.node_count());
    let mut count = 0;
    for node in network.nodes() {
        let root = network.root(node);
        if root < node.index() {
            // The root came earlier, so it has its knot already.
            knot.push(knot[root]);
        } else {
            knot.push(count);
            count += 1;
        }
    }
    knot
}

/// Fills and eliminates the envelope of the branches.
fn factor(rows: usize, branches: &[Branch]) -> Result<Envelope, BadPivot> {
    let inner = branches.iter().filter(|b| b.a != b.b && b.a.max(b.b) < rows);
    let mut envelope = Envelope::of(rows, inner.map(|b| (b.a, b.b)));
    for branch in branches.iter().filter(|branch| branch.a != branch.b) {
        let (low, high) = (branch.a.min(branch.b), branch.a.max(branch.b));
        if high < rows {
            envelope.add_between(low, high, branch.conductance_s);
        } else {
            envelope.add_to_held(low, branch.conductance_s);
        }
    }
    envelope.eliminate()?;
    Ok(envelope)
}

/// The slot with most current left over, and how much of the largest current that is.
fn worst_of(left_over_a: &[f64], largest_a: f64) -> (usize, f64) {
    let mut worst = (0, 0.0);
    for (slot, left_a) in left_over_a.iter().enumerate() {
        let part = left_a.abs() / largest_a;
        if !part.is_finite() {
            return (slot, part);
        }
        if part > worst.1 {
            worst = (slot, part);
        }
    }
    worst
}

/// The name of the first node that sits on a slot.
fn name_of_slot(network: &Network, slot: &[usize], wanted: usize) -> String {
    let node = network.nodes().find(|node| slot[node.index()] == wanted);
    node.map_or_else(String::new, |node| network.node_name(node).to_owned())
}

/// Refuses an element that has no place in a solve.
fn check(network: &Network, element: &Element) -> Result<(), SolveError> {
    check_ends(network, element.name(), element.ends())?;
    match element {
        Element::Resistance(part) => check_ohm(&part.name, part.ohm),
        Element::Source(part) => {
            check_finite(&part.name, "EMF", part.emf_v)?;
            check_ohm(&part.name, part.ohm)
        }
        Element::Injection(part) => check_finite(&part.name, "current", part.amp),
    }
}

/// Refuses ends that are not of this network.
fn check_ends(network: &Network, part: &str, ends: (NodeId, NodeId)) -> Result<(), SolveError> {
    if network.has(ends.0) && network.has(ends.1) {
        return Ok(());
    }
    Err(SolveError::UnknownNode { part: part.to_owned() })
}

/// Refuses infinities and what is not a number.
fn check_finite(part: &str, quantity: &'static str, value: f64) -> Result<(), SolveError> {
    if value.is_finite() {
        return Ok(());
    }
    Err(SolveError::NotFinite { part: part.to_owned(), quantity })
}

/// Refuses a resistance that has no finite, positive conductance.
fn check_ohm(part: &str, ohm: f64) -> Result<(), SolveError> {
    check_finite(part, "resistance", ohm)?;
    if ohm > 0.0 && (1.0 / ohm).is_finite() {
        return Ok(());
    }
    Err(SolveError::BadResistance { part: part.to_owned(), ohm })
}

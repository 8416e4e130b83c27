//! The network of one test, as loops: few unknowns, exact answers, and what each part does to each
//! reading.
//!
//! Volts along any closed way add up to nothing; the unknowns are the currents round each
//! independent loop. A bank has as many as it has strings less one, so a what-if on one part costs
//! a microsecond, and one more solve per reading tells how every EMF and every resistance moves it.

use super::dense::Chol;

/// Parts along a way, each with its sign: `1.0` when it is passed from its start to its end.
pub(super) type Way = Vec<(usize, f64)>;

/// Something between two points: an EMF (nothing for a wire) behind a resistance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Branch {
    /// Where it starts: the minus of a block.
    pub(super) a: usize,
    /// Where it ends: the plus of a block.
    pub(super) b: usize,
}

/// Resistance and EMF of every branch.
#[derive(Clone, Debug)]
pub(super) struct Values {
    /// Resistances [ohm].
    pub(super) ohm: Vec<f64>,
    /// EMFs from start to end [V].
    pub(super) emf: Vec<f64>,
}

/// What a meter is put to.
#[derive(Clone, Debug)]
pub(super) enum Probe {
    /// Red and black on two points.
    Volts(usize, usize),
    /// The jaw round a branch, arrow from its start to its end.
    Amps(usize),
    /// The jaw round what the device takes.
    Drawn,
}

/// A probe in a laid-out network.
#[derive(Clone, Debug)]
enum Seen {
    Volts(Way),
    Amps(usize),
    Drawn,
    /// No conductor joins the two points, or the branch is not there.
    Nothing,
}

/// A network with a tree, its loops, and where the meter goes.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    loops: Vec<Way>,
    /// The way of the drawn current through the network, from the device's minus to its plus.
    drawn: Option<Way>,
    /// A current was asked for and no conductor can bring it.
    pub(super) starved: bool,
    seen: Vec<Seen>,
    /// Whether a branch may carry current in this test.
    carries: Vec<bool>,
    /// Whether a branch lies on the way of any probe.
    touches: Vec<bool>,
}

/// Currents of one solve.
pub(super) struct Flow {
    /// Amps from start to end of each branch.
    pub(super) amps: Vec<f64>,
    drawn_a: f64,
    chol: Chol,
}

/// How one reading moves: by each resistance, each EMF, and the drawn current.
pub(super) struct Slope {
    /// The current through each branch that one unit at the probe would drive.
    weight: Vec<f64>,
    /// By the drawn current.
    pub(super) by_draw: f64,
}

impl Slope {
    /// By the EMF of a branch.
    pub(super) fn by_emf(&self, branch: usize) -> f64 {
        self.weight[branch]
    }

    /// By the resistance of a branch.
    pub(super) fn by_ohm(&self, branch: usize, flow: &Flow) -> f64 {
        -self.weight[branch] * flow.amps[branch]
    }
}

struct Tree {
    /// The branch towards the root and whether it is passed from its start on the way there.
    up: Vec<Option<(usize, bool, usize)>>,
    depth: Vec<usize>,
    root: Vec<usize>,
    chords: Vec<usize>,
}

impl Tree {
    fn of(points: usize, branches: &[Option<Branch>]) -> Self {
        let mut at: Vec<Vec<usize>> = vec![Vec::new(); points];
        for (index, branch) in branches.iter().enumerate() {
            if let Some(branch) = branch {
                at[branch.a].push(index);
                at[branch.b].push(index);
            }
        }
        let mut tree = Self {
            up: vec![None; points],
            depth: vec![0; points],
            root: vec![usize::MAX; points],
            chords: Vec::new(),
        };
        let mut used = vec![false; branches.len()];
        let mut queue = Vec::new();
        for first in 0..points {
            if tree.root[first] < usize::MAX {
                continue;
            }
            tree.root[first] = first;
            queue.clear();
            queue.push(first);
            let mut next = 0;
            while next < queue.len() {
                let here = queue[next];
                next += 1;
                for &index in &at[here] {
                    let Some(branch) = branches[index] else { continue };
                    let there = if branch.a == here { branch.b } else { branch.a };
                    if used[index] || tree.root[there] < usize::MAX {
                        continue;
                    }
                    used[index] = true;
                    tree.root[there] = first;
                    tree.depth[there] = tree.depth[here] + 1;
                    tree.up[there] = Some((index, branch.a == there, here));
                    queue.push(there);
                }
            }
        }
        for (index, branch) in branches.iter().enumerate() {
            if branch.is_some() && !used[index] {
                tree.chords.push(index);
            }
        }
        tree
    }

    /// The way from one point to another; nothing when no conductor joins them.
    fn way(&self, from: usize, to: usize) -> Option<Way> {
        if self.root[from] != self.root[to] {
            return None;
        }
        let (mut first, mut last): (Way, Way) = (Vec::new(), Vec::new());
        let (mut a, mut b) = (from, to);
        while a != b {
            if self.depth[a] >= self.depth[b] {
                let (branch, forward, parent) = self.up[a]?;
                first.push((branch, if forward { 1.0 } else { -1.0 }));
                a = parent;
            } else {
                let (branch, forward, parent) = self.up[b]?;
                last.push((branch, if forward { -1.0 } else { 1.0 }));
                b = parent;
            }
        }
        first.extend(last.into_iter().rev());
        Some(first)
    }
}

impl Laid {
    /// Lays out a network; a branch that is `None` is not there.
    pub(super) fn of(
        points: usize,
        branches: &[Option<Branch>],
        drawn: Option<(usize, usize)>,
        probes: &[Probe],
    ) -> Self {
        let tree = Tree::of(points, branches);
        let mut loops = Vec::new();
        for &chord in &tree.chords {
            let Some(branch) = branches[chord] else { continue };
            let mut way = vec![(chord, 1.0)];
            way.extend(tree.way(branch.b, branch.a).unwrap_or_default());
            loops.push(way);
        }
        let way_drawn = drawn.and_then(|(plus, minus)| tree.way(minus, plus));
        let seen: Vec<Seen> = probes
            .iter()
            .map(|probe| match probe {
                Probe::Volts(red, black) => {
                    tree.way(*black, *red).map_or(Seen::Nothing, Seen::Volts)
                }
                Probe::Amps(branch) if branches[*branch].is_some() => Seen::Amps(*branch),
                Probe::Amps(_) => Seen::Nothing,
                Probe::Drawn => Seen::Drawn,
            })
            .collect();
        let mut carries = vec![false; branches.len()];
        for (branch, _) in loops.iter().chain(&way_drawn).flatten() {
            carries[*branch] = true;
        }
        let mut touches = vec![false; branches.len()];
        for see in &seen {
            match see {
                Seen::Volts(way) => way.iter().for_each(|(branch, _)| touches[*branch] = true),
                Seen::Amps(branch) => touches[*branch] = true,
                Seen::Drawn | Seen::Nothing => {}
            }
        }
        let starved = drawn.is_some() && way_drawn.is_none();
        Self { loops, drawn: way_drawn, starved, seen, carries, touches }
    }

    /// Whether a current may flow in a branch in this test.
    pub(super) fn carries(&self, branch: usize) -> bool {
        self.carries[branch]
    }

    /// Whether a branch can move any reading of this test.
    pub(super) fn matters(&self, branch: usize) -> bool {
        self.carries[branch] || self.touches[branch]
    }

    /// What flows when the device takes a current.
    pub(super) fn flow(&self, values: &Values, drawn_a: f64) -> Flow {
        let count = self.loops.len();
        let mut amps = vec![0.0; values.ohm.len()];
        let drawn_a = if self.starved { 0.0 } else { drawn_a };
        for (branch, sign) in self.drawn.iter().flatten() {
            amps[*branch] += sign * drawn_a;
        }
        let mut matrix = vec![0.0; count * count];
        let mut across = vec![0.0; values.ohm.len()];
        let mut round: Vec<f64> = Vec::with_capacity(count);
        for (row, way) in self.loops.iter().enumerate() {
            for (branch, sign) in way {
                across[*branch] = sign * values.ohm[*branch];
            }
            for (column, other) in self.loops.iter().enumerate().take(row + 1) {
                matrix[row * count + column] =
                    other.iter().map(|(branch, sign)| sign * across[*branch]).sum();
            }
            let sum = |(branch, sign): &(usize, f64)| {
                sign * (values.emf[*branch] - values.ohm[*branch] * amps[*branch])
            };
            round.push(way.iter().map(sum).sum());
            for (branch, _) in way {
                across[*branch] = 0.0;
            }
        }
        let chol = Chol::of(matrix, count);
        chol.solve(&mut round);
        for (way, amp) in self.loops.iter().zip(&round) {
            for (branch, sign) in way {
                amps[*branch] += sign * amp;
            }
        }
        Flow { amps, drawn_a, chol }
    }

    /// What the meter shows at a probe.
    pub(super) fn shows(&self, probe: usize, values: &Values, flow: &Flow) -> f64 {
        match &self.seen[probe] {
            Seen::Volts(way) => way
                .iter()
                .map(|(branch, sign)| {
                    sign * (values.emf[*branch] - values.ohm[*branch] * flow.amps[*branch])
                })
                .sum(),
            Seen::Amps(branch) => flow.amps[*branch],
            Seen::Drawn => flow.drawn_a,
            // A meter between two loose ends shows nothing.
            Seen::Nothing => 0.0,
        }
    }

    /// How the reading at a probe moves with every part.
    ///
    /// # Formula
    /// q = p + C' y with (C R C') y = -C R p; dU/dE = q; dU/dR = -q i; dU/dI = -q R j
    /// # Symbols
    /// - p, the way between the tips; C, the loops; R, the resistances; i, the currents; j, the way
    ///   of the drawn current
    /// - returns q and dU/dI
    /// # Valid
    /// Steady DC, exact for small steps; for a clamp p is nothing and R p one volt in its branch.
    /// # Source
    /// computed: the network's own reciprocity (Tellegen), status computed
    /// # Checked by
    /// `slopes_are_those_of_small_steps`; this cannot detect a wrong network
    pub(super) fn slope(&self, probe: usize, values: &Values, flow: &Flow) -> Slope {
        let mut weight = vec![0.0; values.ohm.len()];
        let count = self.loops.len();
        let mut round = vec![0.0; count];
        match &self.seen[probe] {
            Seen::Volts(way) => {
                for (branch, sign) in way {
                    weight[*branch] += sign;
                }
                for (row, way) in self.loops.iter().enumerate() {
                    round[row] =
                        -way.iter().map(|(b, s)| s * values.ohm[*b] * weight[*b]).sum::<f64>();
                }
            }
            Seen::Amps(branch) => {
                for (row, way) in self.loops.iter().enumerate() {
                    round[row] = way.iter().filter(|(b, _)| b == branch).map(|(_, s)| s).sum();
                }
            }
            Seen::Drawn => return Slope { weight, by_draw: if self.starved { 0.0 } else { 1.0 } },
            Seen::Nothing => return Slope { weight, by_draw: 0.0 },
        }
        flow.chol.solve(&mut round);
        for (way, amp) in self.loops.iter().zip(&round) {
            for (branch, sign) in way {
                weight[*branch] += sign * amp;
            }
        }
        let drawn = self.drawn.iter().flatten();
        let mut by_draw: f64 = -drawn.map(|(b, s)| s * values.ohm[*b] * weight[*b]).sum::<f64>();
        if let Seen::Amps(branch) = &self.seen[probe] {
            by_draw +=
                self.drawn.iter().flatten().filter(|(b, _)| b == branch).map(|d| d.1).sum::<f64>();
        }
        Slope { weight, by_draw }
    }
}

#[cfg(test)]
mod tests {
    use super::{Branch, Laid, Probe, Values};

    /// Two strings on two bars, a load over them: points 0 minus bar, 1 plus bar.
    fn two_strings() -> (Vec<Option<Branch>>, Values) {
        let branches = vec![Some(Branch { a: 0, b: 1 }), Some(Branch { a: 0, b: 1 })];
        (branches, Values { ohm: vec![0.01, 0.01], emf: vec![12.6, 12.4] })
    }

    #[test]
    fn two_unequal_strings_share_a_load_as_worked_by_hand() {
        // Alone: (12.6 - 12.4) / 0.02 = 10 A round the loop, 12.5 V at the bars. With 20 A drawn the
        // bars stand at 12.5 - 20 * 0.005 = 12.4 V: the first gives (12.6 - 12.4) / 0.01 = 20 A,
        // the second nothing.
        let (branches, values) = two_strings();
        let probes = [Probe::Volts(1, 0), Probe::Amps(0), Probe::Amps(1), Probe::Drawn];
        let laid = Laid::of(2, &branches, Some((1, 0)), &probes);
        for (amps, want) in [(0.0, [12.5, 10.0, -10.0, 0.0]), (20.0, [12.4, 20.0, 0.0, 20.0])] {
            let flow = laid.flow(&values, amps);
            for (probe, want) in want.into_iter().enumerate() {
                let got = laid.shows(probe, &values, &flow);
                assert!((got - want).abs() < 1e-9, "{amps} A, probe {probe}: {got} not {want}");
            }
        }
    }

    #[test]
    fn slopes_are_those_of_small_steps() {
        let (branches, values) = two_strings();
        let probes = [Probe::Volts(1, 0), Probe::Amps(0)];
        let laid = Laid::of(2, &branches, Some((1, 0)), &probes);
        let flow = laid.flow(&values, 7.0);
        for probe in 0..2 {
            let slope = laid.slope(probe, &values, &flow);
            let at =
                |values: &Values, amps: f64| laid.shows(probe, values, &laid.flow(values, amps));
            let here = at(&values, 7.0);
            for branch in 0..2 {
                let mut more = values.clone();
                more.ohm[branch] += 1e-8;
                let by_ohm = (at(&more, 7.0) - here) / 1e-8;
                let told = slope.by_ohm(branch, &flow);
                assert!((by_ohm - told).abs() < 1e-2, "by ohm {branch}: {by_ohm} told {told}");
                let mut more = values.clone();
                more.emf[branch] += 1e-6;
                let by_emf = (at(&more, 7.0) - here) / 1e-6;
                let told = slope.by_emf(branch);
                assert!((by_emf - told).abs() < 1e-4, "by EMF {branch}: {by_emf} told {told}");
            }
            let by_draw = (at(&values, 7.001) - here) / 1e-3;
            assert!((by_draw - slope.by_draw).abs() < 1e-6, "by draw: {by_draw}");
        }
    }

    #[test]
    fn a_meter_on_loose_ends_shows_nothing_and_an_open_way_brings_no_current() {
        let (_, values) = two_strings();
        let branches = vec![Some(Branch { a: 0, b: 1 }), None];
        let probes = [Probe::Volts(2, 0), Probe::Amps(1)];
        let laid = Laid::of(3, &branches, Some((2, 0)), &probes);
        let flow = laid.flow(&values, 20.0);
        assert!(laid.starved, "nothing joins the load");
        let shown = laid.shows(0, &values, &flow).abs() + laid.shows(1, &values, &flow).abs();
        assert!(shown < 1e-12, "shown {shown}");
    }
}

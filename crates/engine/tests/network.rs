//! The solver against closed forms, against a dense method, and against itself turned round.

use engine::circuit::error::SolveError;
use engine::circuit::network::{
    Element, ElementId, Injection, Network, NodeId, Resistance, Source, Terminals,
};
use engine::number::pow;
use nalgebra::{DMatrix, DVector};
use proptest::prelude::{ProptestConfig, Strategy, any, prop_assert, proptest};
use proptest::test_runner::RngSeed;

/// Nodes named n0, n1, and so on.
fn nodes(network: &mut Network, count: usize) -> Vec<NodeId> {
    (0..count).map(|n| network.add_node(&format!("n{n}"))).collect()
}

fn resistance(name: &str, a: NodeId, b: NodeId, ohm: f64) -> Element {
    Element::Resistance(Resistance { name: name.to_owned(), a, b, ohm })
}

fn source(name: &str, (plus, minus): (NodeId, NodeId), emf_v: f64, ohm: f64) -> Element {
    Element::Source(Source { name: name.to_owned(), plus, minus, emf_v, ohm })
}

fn injection(name: &str, from: NodeId, to: NodeId, amp: f64) -> Element {
    Element::Injection(Injection { name: name.to_owned(), from, to, amp })
}

fn near(got: f64, want: f64, tolerance: f64, what: &str) {
    assert!((got - want).abs() <= tolerance, "{what}: got {got}, want {want}");
}

#[test]
fn two_unequal_strings_share_as_worked_by_hand() {
    // Hand worked: 12.6 V behind 20 mohm beside 12.3 V behind 30 mohm, 40 A drawn.
    // V = (12.6 / 0.02 + 12.3 / 0.03 - 40) / (1 / 0.02 + 1 / 0.03) = (630 + 410 - 40) / 83.333 = 12.
    // The first gives (12.6 - 12) / 0.02 = 30 A, the second (12.3 - 12) / 0.03 = 10 A.
    let mut network = Network::new();
    let n = nodes(&mut network, 2);
    let first = network.add(source("A", (n[0], n[1]), 12.6, 0.02));
    let second = network.add(source("B", (n[0], n[1]), 12.3, 0.03));
    network.add(injection("load", n[0], n[1], 40.0));
    let solution = network.solve().expect("a plain bank");
    // Rounding of inputs near 12.6 V over 20 mohm is about 1e-13 A.
    near(solution.current_a(first), 30.0, 1e-11, "first string [A]");
    near(solution.current_a(second), 10.0, 1e-11, "second string [A]");
    let volts_v = solution.volts_between(Terminals { plus: n[0], minus: n[1] });
    near(volts_v.expect("one island"), 12.0, 1e-13, "bank [V]");
    // 12.6 * 30 + 12.3 * 10 = 501 W given; 18 + 3 = 21 W heat; 12 * 40 = 480 W drawn.
    near(solution.power().emf_w, 501.0, 1e-9, "given [W]");
    near(solution.power().heat_w, 21.0, 1e-9, "heat [W]");
    near(solution.power().drawn_w, 480.0, 1e-9, "drawn [W]");
}

#[test]
fn a_bridge_that_is_not_balanced_matches_its_closed_form() {
    // Hand worked: 1 V behind 1e-6 ohm over a bridge of 1 and 2 ohm (left), 3 and 4 ohm (right),
    // with 5 ohm across. The mesh of 1, 3 and 5 ohm is a star of 1/3 (top), 5/9 (left) and 5/3
    // (right) ohm. Left 5/9 + 2 = 23/9 beside right 5/3 + 4 = 51/9, plus the top: 155/74 ohm.
    let mut network = Network::new();
    let n = nodes(&mut network, 4);
    let cell = network.add(source("cell", (n[0], n[3]), 1.0, 1e-6));
    network.add(resistance("1", n[0], n[1], 1.0));
    network.add(resistance("2", n[1], n[3], 2.0));
    network.add(resistance("3", n[0], n[2], 3.0));
    network.add(resistance("4", n[2], n[3], 4.0));
    let across = network.add(resistance("5", n[1], n[2], 5.0));
    let solution = network.solve().expect("a bridge");
    let total_a = 1.0 / (155.0 / 74.0 + 1e-6);
    near(solution.current_a(cell), total_a, 1e-13, "whole current [A]");
    // Of the whole current I, 51/74 goes left and 23/74 right. The ends of the 5 ohm stand at
    // 2 * 51/74 * I and 4 * 23/74 * I, so 10/74 * I / 5 ohm flows across.
    near(solution.current_a(across), total_a * 10.0 / 74.0 / 5.0, 1e-13, "across [A]");
}

#[test]
fn a_bank_at_rest_with_micro_ohm_joints_carries_nothing() {
    // Equal EMFs drive no current, so what is given is rounding alone; it stays under a picoampere
    // although the joints are a micro-ohm and the nodes stand at 50 V.
    let mut network = Network::new();
    let n = nodes(&mut network, 24);
    for string in 0..12 {
        let (plus, minus) = (n[2 * string], n[2 * string + 1]);
        network.add(source("string", (plus, minus), 50.8, 5e-3));
        if string > 0 {
            network.add(resistance("joint +", n[2 * string - 2], plus, 1e-6));
            network.add(resistance("joint -", n[2 * string - 1], minus, 1e-6));
        }
    }
    let solution = network.solve().expect("a bank at rest is a bank");
    for &current_a in solution.currents_a() {
        near(current_a, 0.0, 1e-12, "at rest [A]");
    }
}

#[test]
fn joined_nodes_carry_the_short_of_a_block_between_them() {
    // Hand worked: both terminals of 12 V behind 10 mohm are one point: 1,200 A.
    let mut network = Network::new();
    let n = nodes(&mut network, 3);
    let shorted = network.add(source("shorted", (n[0], n[1]), 12.0, 0.01));
    let beside = network.add(resistance("beside", n[1], n[2], 0.5));
    network.join(n[0], n[1]);
    let solution = network.solve().expect("a shorted block");
    near(solution.current_a(shorted), 1200.0, 1e-9, "short [A]");
    near(solution.current_a(beside), 0.0, 1e-12, "a lead to nowhere [A]");
}

#[test]
fn islands_are_solved_each_for_itself() {
    let mut network = Network::new();
    let n = nodes(&mut network, 5);
    let block = network.add(source("A1", (n[0], n[1]), 6.3, 0.01));
    network.add(injection("lamp", n[0], n[1], 2.0));
    network.add(source("A2", (n[2], n[3]), 6.1, 0.01));
    let solution = network.solve().expect("two islands and a bare node");
    near(solution.current_a(block), 2.0, 1e-12, "the lamp's block [A]");
    let open = Terminals { plus: n[2], minus: n[3] };
    near(solution.volts_between(open).expect("one island"), 6.1, 1e-15, "open [V]");
    let across = Terminals { plus: n[0], minus: n[4] };
    assert_eq!(solution.volts_between(across), None, "nothing joins the islands");
}

#[test]
fn every_error_names_the_part() {
    type Make = fn(&[NodeId]) -> Element;
    let try_one = |make: Make| {
        let mut network = Network::new();
        let n = nodes(&mut network, 4);
        network.add(source("A1", (n[0], n[1]), 12.0, 0.01));
        network.add(resistance("far lead", n[2], n[3], 0.1));
        network.add(make(&n));
        network.solve().expect_err("this part has no place in a solve").to_string()
    };
    let cases: [(Make, &str); 7] = [
        (|n| resistance("bad", n[0], n[1], 0.0), "The resistance of \"bad\" is 0e0 ohm"),
        (|n| source("bad", (n[0], n[1]), 12.0, -0.1), "The resistance of \"bad\" is -1e-1 ohm"),
        (|n| resistance("bad", n[0], n[1], f64::NAN), "The resistance of \"bad\" is not a finite"),
        (|n| source("bad", (n[0], n[1]), f64::INFINITY, 0.1), "The EMF of \"bad\" is not a finite"),
        (|n| injection("bad", n[0], n[1], f64::NAN), "The current of \"bad\" is not a finite"),
        (
            |n| injection("bad", n[0], n[2], 1.0),
            "joins \"n0\" and \"n2\", so \"bad\" has no closed",
        ),
        (|n| resistance("bad", n[0], n[1], 1e-310), "The resistance of \"bad\" is"),
    ];
    for (make, words) in cases {
        let got = try_one(make);
        assert!(got.contains(words), "{got:?} holds {words:?}");
    }
}

#[test]
fn a_node_of_another_network_is_told() {
    let mut big = Network::new();
    let stray = nodes(&mut big, 9)[8];
    let mut network = Network::new();
    let own = network.add_node("own");
    network.add(resistance("lead", own, stray, 0.1));
    let part = "lead".to_owned();
    assert_eq!(network.solve().err(), Some(SolveError::UnknownNode { part }), "a stray end");
}

/// A random network in numbers: a tree that reaches every node, more branches, and devices.
#[derive(Clone, Debug)]
struct Recipe {
    /// For each node after the first: which earlier node, what kind, log of ohm, EMF.
    tree: Vec<(usize, u8, f64, f64)>,
    more: Vec<(usize, usize, u8, f64, f64)>,
    devices: Vec<(usize, usize, f64)>,
}

fn recipe() -> impl Strategy<Value = Recipe> {
    let branch = || (any::<u8>(), -6.0..0.0_f64, 1.9..52.0_f64);
    let tree = proptest::collection::vec((any::<usize>(), branch()), 1..40);
    let more = proptest::collection::vec((any::<usize>(), any::<usize>(), branch()), 0..30);
    let devices =
        proptest::collection::vec((any::<usize>(), any::<usize>(), -200.0..400.0_f64), 0..4);
    (tree, more, devices).prop_map(|(tree, more, devices)| Recipe {
        tree: tree.into_iter().map(|(at, (k, log, emf))| (at, k, log, emf)).collect(),
        more: more.into_iter().map(|(a, b, (k, log, emf))| (a, b, k, log, emf)).collect(),
        devices,
    })
}

impl Recipe {
    /// The network with its nodes in the order given by `place` and its elements turned round.
    fn build(&self, mirrored: Mirror) -> (Network, Vec<ElementId>) {
        let count = self.tree.len() + 1;
        let mut network = Network::new();
        let made = nodes(&mut network, count);
        let at = |n: usize| if mirrored == Mirror::Yes { made[count - 1 - n] } else { made[n] };
        let mut elements = Vec::new();
        for (n, &(parent, kind, log, emf_v)) in self.tree.iter().enumerate() {
            elements.push(branch((at(n + 1), at(parent % (n + 1))), kind, log, emf_v));
        }
        for &(a, b, kind, log, emf_v) in &self.more {
            elements.push(branch((at(a % count), at(b % count)), kind, log, emf_v));
        }
        for &(from, to, amp) in &self.devices {
            elements.push(injection("device", at(from % count), at(to % count), amp));
        }
        let mut ids = Vec::new();
        if mirrored == Mirror::Yes {
            ids.extend(elements.into_iter().rev().map(|element| network.add(element)));
            ids.reverse();
        } else {
            ids.extend(elements.into_iter().map(|element| network.add(element)));
        }
        (network, ids)
    }
}

/// Whether nodes and elements come in the opposite order.
#[derive(Clone, Copy, PartialEq)]
enum Mirror {
    No,
    Yes,
}

/// One branch in three is a block; resistances from a micro-ohm to an ohm, all sizes alike.
fn branch(ends: (NodeId, NodeId), kind: u8, log: f64, emf_v: f64) -> Element {
    let ohm = pow(10.0, log);
    // Blocks have at least a milliohm; anything less is a conductor or a joint.
    if kind.is_multiple_of(3) {
        source("block", ends, emf_v, ohm.max(1e-3))
    } else {
        resistance("lead", ends.0, ends.1, ohm)
    }
}

/// Currents by another method: node volts and branch currents as unknowns of one dense system,
/// with Ohm's law row by row, so that no conductance is ever formed; full pivoting.
fn dense_currents_a(network: &Network) -> Vec<f64> {
    let (count, branches) = (network.node_count(), network.elements().len());
    let size = count + branches;
    let mut matrix = DMatrix::zeros(size, size);
    let mut right = DVector::zeros(size);
    for (id, element) in network.elements() {
        let row = count + id.index();
        let (first, second) = (element.ends().0.index(), element.ends().1.index());
        // A current leaves its first node and enters its second; inside a block it is reversed.
        let (from, to, ohm, emf_v) = match element {
            Element::Resistance(part) => (first, second, part.ohm, 0.0),
            Element::Source(part) => (second, first, part.ohm, part.emf_v),
            Element::Injection(part) => {
                matrix[(first, row)] += 1.0;
                matrix[(second, row)] -= 1.0;
                matrix[(row, row)] = 1.0;
                right[row] = part.amp;
                continue;
            }
        };
        matrix[(from, row)] += 1.0;
        matrix[(to, row)] -= 1.0;
        matrix[(row, from)] += 1.0;
        matrix[(row, to)] -= 1.0;
        matrix[(row, row)] -= ohm;
        right[row] = -emf_v;
    }
    // The law of currents holds at the first node when it holds at all others; that row holds it
    // at zero volts instead.
    matrix.row_mut(0).fill(0.0);
    matrix[(0, 0)] = 1.0;
    let solved = matrix.full_piv_lu().solve(&right).expect("one island has a solution");
    solved.rows(count, branches).iter().copied().collect()
}

/// The largest of all currents, at least one ampere [A].
fn scale_a(currents_a: &[f64]) -> f64 {
    currents_a.iter().fold(1.0, |most, amp| most.max(amp.abs()))
}

proptest! {
    // A fixed seed: the same cases everywhere, and a failure that comes back when it is run again.
    #![proptest_config(ProptestConfig {
        rng_seed: RngSeed::Fixed(1),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_dense_method_gives_the_same_currents(recipe in recipe()) {
        let (network, _) = recipe.build(Mirror::No);
        let solution = network.solve().expect("one island");
        let scale = scale_a(solution.currents_a());
        for (ours_a, theirs_a) in solution.currents_a().iter().zip(dense_currents_a(&network)) {
            // One double for 50 V leaves 7e-15 V, so 7e-9 A in a micro-ohm; the rest is headroom
            // for what pivoting adds.
            let apart = (ours_a - theirs_a).abs() / scale;
            prop_assert!(apart < 1e-6, "{ours_a} and {theirs_a} of {scale}");
        }
    }

    #[test]
    fn the_order_of_nodes_and_elements_does_not_matter(recipe in recipe()) {
        let (plain, ids) = recipe.build(Mirror::No);
        let (mirrored, mirrored_ids) = recipe.build(Mirror::Yes);
        let (one, other) = (plain.solve().expect("one island"), mirrored.solve().expect("same"));
        let scale = scale_a(one.currents_a());
        for (&id, &mirrored_id) in ids.iter().zip(&mirrored_ids) {
            let apart = (one.current_a(id) - other.current_a(mirrored_id)).abs() / scale;
            // The balance is held to 1e-12 of the largest current at each of up to 40 nodes.
            prop_assert!(apart < 1e-10, "{apart} of the largest");
        }
    }

    #[test]
    fn power_and_currents_balance(recipe in recipe()) {
        let (network, _) = recipe.build(Mirror::No);
        let solution = network.solve().expect("one island");
        prop_assert!(solution.balance_residual() <= 1e-12, "balance");
        let power = solution.power();
        // Heat is a sum of squares, so it measures the power that moves.
        let scale_w = power.heat_w + power.drawn_w.abs() + 1.0;
        prop_assert!(power.residual_w().abs() <= 1e-9 * scale_w, "{power:?}");
    }

    #[test]
    fn two_terminals_are_an_emf_behind_a_resistance(
        recipe in recipe(), a in any::<usize>(), b in any::<usize>(), amp in -300.0..300.0_f64,
    ) {
        let (network, _) = recipe.build(Mirror::No);
        let all: Vec<NodeId> = network.nodes().collect();
        let at = Terminals { plus: all[a % all.len()], minus: all[b % all.len()] };
        let factored = network.factor().expect("one island");
        let open = factored.solve().expect("one island");
        let seen = factored.thevenin(&open, "device", at).expect("one island");
        let device = Injection { name: "device".to_owned(), from: at.plus, to: at.minus, amp };
        let loaded = factored.solve_with(&[device]).expect("one island");
        let got_v = loaded.volts_between(at).expect("one island");
        let want_v = seen.open_v - seen.ohm * amp;
        // Each is right to its last digits; the largest of the three volts sets them.
        let scale_v = seen.open_v.abs() + (seen.ohm * amp).abs() + 1e-9;
        prop_assert!((got_v - want_v).abs() <= 1e-11 * scale_v + 1e-12, "{got_v} and {want_v}");
        prop_assert!(seen.ohm >= 0.0, "a network of resistances has no negative resistance");
    }
}

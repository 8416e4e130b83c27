//! How long one solve of a bank takes, from 12 blocks to 200.
//!
//! The budget is 20 microseconds for a 12-block network, factorisation included.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

use divan::{Bencher, black_box};
use engine::circuit::network::{Injection, Network, NodeId, Resistance, Source};

/// Blocks in a bank of pairs; 12 is the bank of the budget, 200 shows the growth.
const BLOCKS: [usize; 5] = [12, 24, 48, 96, 200];

fn main() {
    for blocks in BLOCKS {
        let bank = bank(Shape::Ladder, blocks);
        let elements = bank.elements().len();
        println!("{blocks} blocks: {} nodes, {elements} elements", bank.node_count());
    }
    divan::main();
}

/// A lead as it is built: a joint at each end of a conductor.
fn add_lead(network: &mut Network, name: &str, ends: (NodeId, NodeId), ohm: f64) {
    let near = network.add_node(&format!("{name} near lug"));
    let far = network.add_node(&format!("{name} far lug"));
    let parts = [("near joint", ends.0, near, 2e-5), ("conductor", near, far, ohm)];
    for (part, a, b, ohm) in parts.into_iter().chain([("far joint", far, ends.1, 3e-6)]) {
        network.add_resistance(Resistance { name: format!("{name} {part}"), a, b, ohm });
    }
}

/// How the strings meet.
#[derive(Clone, Copy, Debug)]
enum Shape {
    /// Links from string to string, take-off diagonal.
    Ladder,
    /// A lead from each post to one of two busbars.
    Busbars,
}

/// Pairs of 6 V blocks side by side, with a load.
fn bank(shape: Shape, blocks: usize) -> Network {
    let mut network = Network::new();
    let mut rails: Vec<(NodeId, NodeId)> = Vec::new();
    for string in 1..=blocks / 2 {
        let mut posts = Vec::new();
        for letter in ["A", "B"] {
            let plus = network.add_node(&format!("{letter}{string} +"));
            let minus = network.add_node(&format!("{letter}{string} -"));
            let name = format!("{letter}{string}");
            network.add_source(Source { name, plus, minus, emf_v: 6.35, ohm: 2.7e-3 });
            posts.push((plus, minus));
        }
        add_lead(&mut network, &format!("series {string}"), (posts[0].1, posts[1].0), 1.5e-4);
        let ends = (posts[0].0, posts[1].1);
        if let Some(&(plus, minus)) = rails.last() {
            add_lead(&mut network, &format!("plus link {string}"), (plus, ends.0), 2.5e-4);
            add_lead(&mut network, &format!("minus link {string}"), (minus, ends.1), 2.5e-4);
        }
        match shape {
            Shape::Ladder => rails.push(ends),
            // Every string after the first goes back to the first, which stands for the busbars.
            Shape::Busbars => rails = vec![*rails.first().unwrap_or(&ends)],
        }
    }
    let (plus, minus) = (network.add_node("panel +"), network.add_node("panel -"));
    add_lead(&mut network, "plus lead", (rails[0].0, plus), 4e-4);
    add_lead(&mut network, "minus lead", (rails[rails.len() - 1].1, minus), 4e-4);
    network.add_injection(Injection { name: "load".to_owned(), from: plus, to: minus, amp: 150.0 });
    network
}

/// Ordering, factorisation, solve, refinement and check.
#[divan::bench(args = BLOCKS)]
fn whole(bencher: Bencher<'_, '_>, blocks: usize) {
    let network = bank(Shape::Ladder, blocks);
    bencher.bench_local(|| black_box(&network).solve().is_ok());
}

/// As `whole`, with every string led to two busbars: the widest envelope a bank can have.
#[divan::bench(args = BLOCKS)]
fn whole_busbars(bencher: Bencher<'_, '_>, blocks: usize) {
    let network = bank(Shape::Busbars, blocks);
    bencher.bench_local(|| black_box(&network).solve().is_ok());
}

/// One more right-hand side with the factor at hand.
#[divan::bench(args = BLOCKS)]
fn again(bencher: Bencher<'_, '_>, blocks: usize) {
    let network = bank(Shape::Ladder, blocks);
    let factored = network.factor().expect("the bank has a solution");
    bencher.bench_local(|| black_box(&factored).solve().is_ok());
}

/// Ordering and factorisation alone.
#[divan::bench(args = BLOCKS)]
fn factor(bencher: Bencher<'_, '_>, blocks: usize) {
    let network = bank(Shape::Ladder, blocks);
    bencher.bench_local(|| black_box(&network).factor().is_ok());
}

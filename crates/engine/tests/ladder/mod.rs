//! A bank of strings between two rails, for the tests of the circuit.

use engine::circuit::network::{
    ElementId, Injection, Network, NodeId, Resistance, Source, Terminals,
};

/// Strings side by side, joined by links along a plus rail and a minus rail.
#[derive(Clone, Debug)]
pub(crate) struct Ladder {
    pub(crate) emf_v: Vec<f64>,
    pub(crate) string_ohm: Vec<f64>,
    /// One less than strings; empty when all strings meet on two busbars.
    pub(crate) pos_links_ohm: Vec<f64>,
    pub(crate) neg_links_ohm: Vec<f64>,
    /// The string whose post carries the take-off, from zero.
    pub(crate) plus_at: usize,
    pub(crate) minus_at: usize,
    pub(crate) load_a: f64,
}

/// The network of a ladder, with what a test asks about.
pub(crate) struct Bank {
    pub(crate) network: Network,
    pub(crate) sources: Vec<ElementId>,
    pub(crate) at: Terminals,
}

impl Ladder {
    /// Builds the network, the nodes and elements in the natural order.
    pub(crate) fn build(&self) -> Bank {
        let mut network = Network::new();
        let posts: Vec<(NodeId, NodeId)> = (1..=self.emf_v.len())
            .map(|n| (network.add_node(&format!("A{n} +")), network.add_node(&format!("A{n} -"))))
            .collect();
        let sources = posts
            .iter()
            .zip(self.emf_v.iter().zip(&self.string_ohm))
            .enumerate()
            .map(|(index, (&(plus, minus), (&emf_v, &ohm)))| {
                let name = format!("A{}", index + 1);
                network.add_source(Source { name, plus, minus, emf_v, ohm })
            })
            .collect();
        for (n, pair) in posts.windows(2).enumerate() {
            let rails = [
                ("+", pair[0].0, pair[1].0, &self.pos_links_ohm),
                ("-", pair[0].1, pair[1].1, &self.neg_links_ohm),
            ];
            for (rail, a, b, links_ohm) in rails {
                match links_ohm.get(n) {
                    Some(&ohm) => {
                        let name = format!("link {rail} {}-{}", n + 1, n + 2);
                        network.add_resistance(Resistance { name, a, b, ohm });
                    }
                    None => network.join(a, b),
                }
            }
        }
        let at = Terminals { plus: posts[self.plus_at].0, minus: posts[self.minus_at].1 };
        let name = "load".to_owned();
        network.add_injection(Injection { name, from: at.plus, to: at.minus, amp: self.load_a });
        Bank { network, sources, at }
    }
}

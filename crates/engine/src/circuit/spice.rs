//! A network as a SPICE deck, so that another program can check the answer.
//!
//! The deck is complete in itself: run in batch mode it prints the current of every source, plus
//! out of the plus terminal, and `bank_volts`. SPICE folds case and knows few characters, so every
//! part gets a plain name of its own; the deck lists which is which.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use super::error::SolveError;
use super::network::{Element, ElementId, Network, NodeId, Terminals};
use super::solve::Factored;

/// The name under which a deck prints the volts between the terminals asked for.
pub const BANK_VOLTS: &str = "bank_volts";

/// Words that mean something to SPICE where a node or a printed value is named.
const TAKEN: [&str; 30] = [
    "0",
    "gnd",
    "bank_volts",
    "yes",
    "no",
    "true",
    "false",
    "pi",
    "e",
    "c",
    "i",
    "v",
    "kelvin",
    "echarge",
    "boltz",
    "planck",
    "temp",
    "temper",
    "hertz",
    "time",
    "all",
    "and",
    "or",
    "not",
    "eq",
    "ne",
    "gt",
    "lt",
    "ge",
    "le",
];

/// A deck and the names it prints under.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deck {
    /// The text of the deck.
    pub text: String,
    /// For each source the name its current is printed under.
    pub sources: Vec<(ElementId, String)>,
}

/// Plain names for nodes and elements, no two alike.
struct Names {
    used: BTreeSet<String>,
    nodes: BTreeMap<usize, String>,
    elements: Vec<String>,
}

/// Writes a network as a deck that prints every source current and the volts at two nodes.
///
/// # Errors
/// When the network cannot be solved here either; the error names the part.
pub fn deck(network: &Network, title: &str, bank: Terminals) -> Result<Deck, SolveError> {
    let factored = network.factor()?;
    if factored.solve()?.volts_between(bank).is_none() {
        return Err(SolveError::AcrossIslands {
            part: BANK_VOLTS.to_owned(),
            from: network.node_name(bank.plus).to_owned(),
            to: network.node_name(bank.minus).to_owned(),
        });
    }
    let mut names = Names::of(network);
    let mut text = format!("* {}\n", one_line(title));
    names.list(network, &mut text);
    for (id, element) in network.elements() {
        names.write_element(network, (id, element), &mut text);
    }
    names.write_held(network, &factored, &mut text);
    let sources: Vec<(ElementId, String)> = network
        .elements()
        .filter(|(_, element)| matches!(element, Element::Source(_)))
        .map(|(id, _)| (id, names.elements[id.index()].clone()))
        .collect();
    write_control(
        &sources,
        (names.at(network, bank.plus), names.at(network, bank.minus)),
        &mut text,
    );
    Ok(Deck { text, sources })
}

impl Names {
    /// Gives every point and every element a name.
    fn of(network: &Network) -> Self {
        let used = TAKEN.iter().map(|&word| word.to_owned()).collect();
        let mut names = Self { used, nodes: BTreeMap::new(), elements: Vec::new() };
        for node in network.nodes() {
            let root = network.root(node);
            if !names.nodes.contains_key(&root) {
                let name = names.fresh(network.node_name(node), "n");
                names.nodes.insert(root, name);
            }
        }
        for (_, element) in network.elements() {
            let name = names.fresh(element.name(), "x");
            names.elements.push(name);
        }
        names
    }

    /// A name made of small letters, digits and underscores that nothing else has.
    fn fresh(&mut self, wanted: &str, prefix: &str) -> String {
        let mut plain = String::new();
        for letter in wanted.chars() {
            match letter {
                'a'..='z' | '0'..='9' => plain.push(letter),
                'A'..='Z' => plain.push(letter.to_ascii_lowercase()),
                '+' => plain.push('p'),
                '-' => plain.push('m'),
                _ => plain.push('_'),
            }
        }
        if !plain.starts_with(|letter: char| letter.is_ascii_lowercase()) {
            plain = format!("{prefix}_{plain}");
        }
        let mut name = plain.clone();
        // Each turn tries a new number, so it ends after as many turns as there are names.
        let mut number = 2;
        while !self.used.insert(name.clone()) {
            name = format!("{plain}_{number}");
            number += 1;
        }
        name
    }

    /// The name of the point a node is part of.
    fn at(&self, network: &Network, node: NodeId) -> &str {
        self.nodes.get(&network.root(node)).map_or("0", String::as_str)
    }

    /// The list of names, as comments.
    fn list(&self, network: &Network, text: &mut String) {
        text.push_str("* Names here: small letters; + is p, - is m, any other sign is _.\n");
        text.push_str("* Where two would be alike the later one ends in a number.\n");
        for node in network.nodes() {
            line(
                text,
                format_args!(
                    "* node {} = {}",
                    self.at(network, node),
                    one_line(network.node_name(node))
                ),
            );
        }
        for (id, element) in network.elements() {
            line(
                text,
                format_args!("* part {} = {}", self.elements[id.index()], one_line(element.name())),
            );
        }
    }

    /// One element. SPICE takes its kind from the first letter, so the name follows that letter.
    fn write_element(
        &mut self,
        network: &Network,
        (id, element): (ElementId, &Element),
        text: &mut String,
    ) {
        let name = self.elements[id.index()].clone();
        let (first, second) = element.ends();
        let (first, second) =
            (self.at(network, first).to_owned(), self.at(network, second).to_owned());
        match element {
            Element::Resistance(part) => {
                line(text, format_args!("r_{name} {first} {second} {:.17e}", part.ohm));
            }
            Element::Source(part) => {
                // The EMF and the inner resistance of a block meet at a node inside it.
                let inside = self.fresh(&format!("{name}_emf"), "n");
                line(text, format_args!("v_{name} {inside} {second} dc {:.17e}", part.emf_v));
                line(text, format_args!("r_{name} {inside} {first} {:.17e}", part.ohm));
            }
            Element::Injection(part) => {
                line(text, format_args!("i_{name} {first} {second} dc {:.17e}", part.amp));
            }
        }
    }

    /// Ties one node of each island to the zero of SPICE; one tie alone carries no current.
    fn write_held(&mut self, network: &Network, factored: &Factored<'_>, text: &mut String) {
        for node in factored.held_nodes() {
            let name = self.fresh("held", "x");
            line(text, format_args!("v_{name} {} 0 dc 0", self.at(network, node)));
        }
    }
}

/// The commands that solve and print, each value with all its digits.
fn write_control(sources: &[(ElementId, String)], bank: (&str, &str), text: &mut String) {
    text.push_str(".options reltol=1e-9 abstol=1e-15 vntol=1e-12 gmin=1e-20 pivtol=1e-30\n");
    text.push_str(".control\nset numdgt=14\nop\n");
    for (_, name) in sources {
        // SPICE counts a current into the plus pole of a source as positive; a discharge leaves it.
        line(text, format_args!("let {name} = -i(v_{name})"));
        line(text, format_args!("print {name}"));
    }
    line(text, format_args!("let {BANK_VOLTS} = v({}) - v({})", bank.0, bank.1));
    line(text, format_args!("print {BANK_VOLTS}"));
    text.push_str("quit\n.endc\n.end\n");
}

/// Adds a line; writing to a string cannot fail.
fn line(text: &mut String, words: std::fmt::Arguments<'_>) {
    let written = writeln!(text, "{words}");
    debug_assert!(written.is_ok(), "a string takes every line");
}

/// The words without line breaks, which would end a comment.
fn one_line(words: &str) -> String {
    words.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

#[cfg(test)]
mod tests {
    use super::deck;
    use crate::circuit::network::{Network, Source, Terminals};

    #[test]
    fn names_that_differ_only_in_case_or_sign_stay_apart() {
        let mut network = Network::new();
        let nodes = ["A1 +", "a1 p", "A1_P", "0", "pi", "held"].map(|name| network.add_node(name));
        for (pair, name) in nodes.windows(2).zip(["A1", "a1", "2nd", "A1 +", "HELD"]) {
            let name = name.to_owned();
            network.add_source(Source {
                name,
                plus: pair[0],
                minus: pair[1],
                emf_v: 2.0,
                ohm: 0.1,
            });
        }
        let at = Terminals { plus: nodes[0], minus: nodes[5] };
        let deck = deck(&network, "five\nin a row", at).expect("a chain has a deck");
        let names: Vec<&str> = deck.sources.iter().map(|(_, name)| name.as_str()).collect();
        assert_eq!(names, ["a1", "a1_2", "x_2nd", "a1_p_4", "held_2"], "each has its own");
        for line in [
            "* five in a row\n",
            "* node a1_p = A1 +\n",
            "* node a1_p_2 = a1 p\n",
            "* node a1_p_3 = A1_P\n",
            "* node n_0 = 0\n",
            "* node pi_2 = pi\n",
            "* part x_2nd = 2nd\n",
            "let a1_2 = -i(v_a1_2)\nprint a1_2\n",
            "let bank_volts = v(a1_p) - v(held)\n",
        ] {
            assert!(deck.text.contains(line), "the deck has {line:?}:\n{}", deck.text);
        }
    }
}

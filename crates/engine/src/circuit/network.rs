//! A connected set of elements: nodes with names, and what is between them.
//!
//! The network holds what is there; [`super::solve`] says what flows.

use super::error::SolveError;
use super::solve::{Factored, Solution};

/// A point of the network, by its order of arrival.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(usize);

impl NodeId {
    /// The place of the node among all nodes, from zero.
    #[must_use]
    pub fn index(self) -> usize {
        self.0
    }
}

/// An element of the network, by its order of arrival.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ElementId(usize);

impl ElementId {
    /// The place of the element among all elements, from zero.
    #[must_use]
    pub fn index(self) -> usize {
        self.0
    }
}

/// Anything that carries current in proportion to the volts across it: a conductor, a joint, a fuse.
#[derive(Clone, Debug, PartialEq)]
pub struct Resistance {
    /// The name an error or a deck shows.
    pub name: String,
    /// The end where a positive current enters.
    pub a: NodeId,
    /// The end where a positive current leaves.
    pub b: NodeId,
    /// The resistance, more than zero [ohm].
    pub ohm: f64,
}

/// A battery block: an EMF with its inner resistance in series.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The name an error or a deck shows.
    pub name: String,
    /// The terminal where a discharge current leaves.
    pub plus: NodeId,
    /// The terminal where a discharge current returns.
    pub minus: NodeId,
    /// The EMF, volts at the plus terminal above the minus terminal with nothing drawn [V].
    pub emf_v: f64,
    /// The inner resistance, more than zero [ohm].
    pub ohm: f64,
}

/// A device that takes a fixed current, whatever the volts; a negative current charges.
#[derive(Clone, Debug, PartialEq)]
pub struct Injection {
    /// The name an error or a deck shows.
    pub name: String,
    /// The node the current is drawn from.
    pub from: NodeId,
    /// The node the current returns to.
    pub to: NodeId,
    /// The current [A].
    pub amp: f64,
}

/// One thing between two nodes.
#[derive(Clone, Debug, PartialEq)]
pub enum Element {
    /// A conductor, a joint, a fuse.
    Resistance(Resistance),
    /// A battery block.
    Source(Source),
    /// A device with a fixed current.
    Injection(Injection),
}

impl Element {
    /// The name of the part.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Resistance(part) => &part.name,
            Self::Source(part) => &part.name,
            Self::Injection(part) => &part.name,
        }
    }

    /// The two nodes it ends at: a and b, plus and minus, or from and to.
    #[must_use]
    pub fn ends(&self) -> (NodeId, NodeId) {
        match self {
            Self::Resistance(part) => (part.a, part.b),
            Self::Source(part) => (part.plus, part.minus),
            Self::Injection(part) => (part.from, part.to),
        }
    }
}

/// Two nodes that something is connected to, or measured between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Terminals {
    /// Where the red probe goes.
    pub plus: NodeId,
    /// Where the black probe goes.
    pub minus: NodeId,
}

/// Nodes and elements; nothing is computed before [`Network::factor`] or [`Network::solve`].
#[derive(Clone, Debug, Default)]
pub struct Network {
    node_names: Vec<String>,
    /// For each node, a node it is joined to; itself when it stands alone.
    joined_to: Vec<usize>,
    elements: Vec<Element>,
}

impl Network {
    /// An empty network.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a node; names serve people and need not differ.
    pub fn add_node(&mut self, name: &str) -> NodeId {
        self.node_names.push(name.to_owned());
        self.joined_to.push(self.joined_to.len());
        NodeId(self.node_names.len() - 1)
    }

    /// Adds a conductor, a joint or a fuse.
    pub fn add_resistance(&mut self, part: Resistance) -> ElementId {
        self.add(Element::Resistance(part))
    }

    /// Adds a battery block.
    pub fn add_source(&mut self, part: Source) -> ElementId {
        self.add(Element::Source(part))
    }

    /// Adds a device with a fixed current.
    pub fn add_injection(&mut self, part: Injection) -> ElementId {
        self.add(Element::Injection(part))
    }

    /// Adds any element. What is wrong with it is told when the network is solved.
    pub fn add(&mut self, element: Element) -> ElementId {
        self.elements.push(element);
        ElementId(self.elements.len() - 1)
    }

    /// Puts another element in the place of one that is there, for a what-if on one part.
    ///
    /// # Panics
    /// When the element is not of this network, which is a bug in the caller.
    pub fn replace(&mut self, id: ElementId, element: Element) {
        self.elements[id.0] = element;
    }

    /// Makes two nodes one point, as a connection without resistance does.
    ///
    /// # Panics
    /// When a node is not of this network, which is a bug in the caller.
    pub fn join(&mut self, a: NodeId, b: NodeId) {
        let (root_a, root_b) = (self.root(a), self.root(b));
        // The earlier node stands for both, so that the order of joining does not matter.
        let (keep, give) = (root_a.min(root_b), root_a.max(root_b));
        self.joined_to[give] = keep;
        // Pointing both straight at the root keeps later walks short.
        self.joined_to[a.0] = keep;
        self.joined_to[b.0] = keep;
    }

    /// The number of nodes, joined or not.
    #[must_use]
    pub fn node_count(&self) -> usize {
        self.node_names.len()
    }

    /// The name of a node.
    ///
    /// # Panics
    /// When the node is not of this network, which is a bug in the caller.
    #[must_use]
    pub fn node_name(&self, id: NodeId) -> &str {
        &self.node_names[id.0]
    }

    /// All nodes in order of arrival.
    pub fn nodes(&self) -> impl Iterator<Item = NodeId> + '_ {
        (0..self.node_names.len()).map(NodeId)
    }

    /// All elements in order of arrival.
    pub fn elements(&self) -> impl ExactSizeIterator<Item = (ElementId, &Element)> + '_ {
        self.elements.iter().enumerate().map(|(index, element)| (ElementId(index), element))
    }

    /// One element.
    ///
    /// # Panics
    /// When the element is not of this network, which is a bug in the caller.
    #[must_use]
    pub fn element(&self, id: ElementId) -> &Element {
        &self.elements[id.0]
    }

    /// The node that stands for all nodes joined with this one.
    #[must_use]
    pub fn root(&self, id: NodeId) -> usize {
        let mut index = id.0;
        // Every step goes to an earlier node, so the walk ends.
        while self.joined_to[index] < index {
            index = self.joined_to[index];
        }
        index
    }

    /// Whether the node belongs to this network.
    pub(crate) fn has(&self, id: NodeId) -> bool {
        id.0 < self.node_names.len()
    }

    /// Prepares the network once, for many solves with other drawn currents.
    ///
    /// # Errors
    /// When a value is not finite, a resistance is not positive, or a device has no closed circuit.
    pub fn factor(&self) -> Result<Factored<'_>, SolveError> {
        Factored::of(self)
    }

    /// The one current flow that obeys both laws of Kirchhoff.
    ///
    /// # Errors
    /// As [`Network::factor`]; and when the currents at some node do not add up.
    pub fn solve(&self) -> Result<Solution, SolveError> {
        self.factor()?.solve()
    }
}

#[cfg(test)]
mod tests {
    use super::Network;

    #[test]
    fn joined_nodes_share_the_earliest_as_root() {
        let mut network = Network::new();
        let nodes: Vec<_> =
            ["a", "b", "c", "d"].iter().map(|name| network.add_node(name)).collect();
        network.join(nodes[3], nodes[2]);
        network.join(nodes[2], nodes[1]);
        network.join(nodes[3], nodes[3]);
        let roots: Vec<usize> = nodes.iter().map(|&node| network.root(node)).collect();
        assert_eq!(roots, [0, 1, 1, 1], "b, c and d are one point");
    }
}

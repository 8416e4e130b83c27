//! Why a network cannot be solved, in words that name the part.

use std::error::Error;
use std::fmt;

/// A network that has no trustworthy solution; every kind names the part to look at.
#[derive(Clone, Debug, PartialEq)]
pub enum SolveError {
    /// A value of a part is infinite or not a number.
    NotFinite {
        /// The part with the value.
        part: String,
        /// Which value it is: "EMF", "resistance" or "current".
        quantity: &'static str,
    },
    /// A resistance is zero, negative, or too small to be turned into a conductance.
    BadResistance {
        /// The part with the resistance.
        part: String,
        /// The resistance that was given [ohm].
        ohm: f64,
    },
    /// A part ends at a node that this network does not have.
    UnknownNode {
        /// The part with the stray end.
        part: String,
    },
    /// A device or a measurement spans two nodes that no conductor joins.
    AcrossIslands {
        /// The part or the question that spans them.
        part: String,
        /// The node at its first end.
        from: String,
        /// The node at its second end.
        to: String,
    },
    /// No bank stands in the network, so nothing drives a current.
    NoBank,
    /// A question between two points was asked of one single point.
    SamePoint {
        /// The node both ends are.
        node: String,
    },
    /// The conductances at a node are so far apart that the arithmetic has no number for them.
    Singular {
        /// The node.
        node: String,
    },
    /// The currents at a node do not add up to zero within the limit.
    Unbalanced {
        /// The worst node.
        node: String,
        /// What is left over at that node, divided by the largest current in the network.
        residual: f64,
    },
}

impl fmt::Display for SolveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { part, quantity } => {
                write!(f, "The {quantity} of \"{part}\" is not a finite number.")
            }
            Self::BadResistance { part, ohm } => write!(
                f,
                "The resistance of \"{part}\" is {ohm:e} ohm; it must be more than zero. \
                 Join its two ends if it has none."
            ),
            Self::UnknownNode { part } => {
                write!(f, "\"{part}\" ends at a node that is not in this network.")
            }
            Self::AcrossIslands { part, from, to } => write!(
                f,
                "No conductor joins \"{from}\" and \"{to}\", so \"{part}\" has no closed circuit."
            ),
            Self::NoBank => {
                write!(f, "There is no bank at this stage, so nothing feeds the rest.")
            }
            Self::SamePoint { node } => {
                write!(f, "Both ends are the same point, \"{node}\": there is nothing between.")
            }
            Self::Singular { node } => write!(
                f,
                "The resistances that meet at \"{node}\" are too far apart to be computed with."
            ),
            Self::Unbalanced { node, residual } => write!(
                f,
                "The currents at \"{node}\" do not add up: {residual:.1e} of the largest current is left over."
            ),
        }
    }
}

impl Error for SolveError {}

//! A better way to stand the blocks: which cell each block goes into, which way round, and from
//! which strings the two main leads leave, for least cable and most equal sharing.
//!
//! What is weighed is told by [`Problem`]; [`search::search`] looks for the arrangement of least
//! [`Worth::cost`]. It is exact where the number of ways is small and says so, and else a seeded
//! local search. Leads are measured here from post to post; how they really lie is worked out by
//! [`super::lay_out`] for the few arrangements that are offered.

mod exact;
mod grid;
mod local;
pub mod search;
mod sharing;
pub mod turning;
mod worth;

pub use grid::Pattern;
pub use worth::worth;

/// A point on the plan [mm].
pub type Spot = [f64; 2];

/// What is known of one block for the sharing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Volts at rest.
    pub emf_v: f64,
    /// Internal resistance [ohm].
    pub ohm: f64,
}

/// A case as the maker draws it, length along x; every block of the bank is taken as this large.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Case {
    /// Length [mm].
    pub length: f64,
    /// Width [mm].
    pub width: f64,
    /// Plus post from the left near corner [mm].
    pub plus: Spot,
    /// Minus post from the left near corner [mm].
    pub minus: Spot,
}

/// How the strings are joined.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Joining {
    /// Link by link from string to string; the search chooses the two posts of the take-off.
    Links,
    /// A lead from either end of each string to two bars that stay where they are.
    Bars {
        /// The plus bar.
        plus: Spot,
        /// The minus bar.
        minus: Spot,
    },
}

/// The cable the links are made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cable {
    /// Resistance of a millimetre [ohm].
    pub ohm_per_mm: f64,
    /// Resistance of one joint [ohm].
    pub joint_ohm: f64,
    /// Cable a link takes beyond the distance of its posts [mm].
    pub slack_mm: f64,
}

/// What is to be arranged.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Blocks in series in each string.
    pub series: usize,
    /// Strings.
    pub parallel: usize,
    /// Blocks, string by string from the plus end; `series * parallel` of them.
    pub blocks: Vec<Cell>,
    /// Their case.
    pub case: Case,
    /// Air between blocks [mm].
    pub gap: f64,
    /// Between blocks and wall [mm].
    pub margin: f64,
    /// Inside of the box along x and y [mm]; a side that is not given is as long as it must be.
    pub room: [Option<f64>; 2],
    /// How the strings are joined.
    pub joining: Joining,
    /// Where the plus and the minus main lead go, where that is decided.
    pub mains: [Option<Spot>; 2],
    /// The cable of the links.
    pub cable: Cable,
    /// The draw at which the sharing is judged [A].
    pub amps: f64,
    /// Metres of cable that one percent of spread is worth.
    pub metre_per_percent: f64,
}

impl Problem {
    /// How many blocks there are.
    #[must_use]
    pub const fn count(&self) -> usize {
        self.series * self.parallel
    }

    /// The bank is joined link by link and has strings to choose a take-off from.
    #[must_use]
    pub const fn takes_off_anywhere(&self) -> bool {
        matches!(self.joining, Joining::Links)
    }
}

/// One way to stand the blocks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrangement {
    /// The cells there are.
    pub pattern: Pattern,
    /// The cell of each block.
    pub cells: Vec<usize>,
    /// Whether each block is turned half round.
    pub halves: Vec<bool>,
    /// The strings whose plus and whose minus end the main leads leave from.
    pub takeoff: [usize; 2],
}

/// What an arrangement is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worth {
    /// Cable of the links, and of the main leads as far as their places are known [m].
    pub copper_m: f64,
    /// 100 (largest - smallest) / mean of the string currents.
    pub spread_percent: f64,
    /// Metres of cable, the spread counted in: the less the better.
    pub cost: f64,
}

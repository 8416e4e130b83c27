//! The bank: strings of blocks, how they are joined and where the two main leads leave.
//!
//! Strings are lettered A, B, C from the plus take-off outwards; blocks are numbered from the
//! string's plus end: A1 carries the string's plus post, A2 the next, and so on.

use super::lead::Terminal;
use super::part::{PlanPoint, Turn};
use crate::units::conductor::ConductorSize;
use crate::units::{Current, Duration, Length, Resistance, Temperature, Voltage};

/// One block's place in the bank: string letter and number within the string.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BlockId {
    /// String, counted from 0 (A).
    pub string: u32,
    /// Place within the string, counted from 0 at the plus end.
    pub place: u32,
}

impl BlockId {
    /// The letter or letters of a string: A to Z, then AA, AB and so on.
    #[must_use]
    pub fn string_letters(string: u32) -> String {
        let mut letters = Vec::new();
        let mut left = string + 1;
        while left > 0 {
            let digit = (left - 1) % 26;
            letters.push(char::from(b'A' + u8::try_from(digit).unwrap_or(0)));
            left = (left - 1) / 26;
        }
        letters.iter().rev().collect()
    }

    /// Reads `A1`, `C12`, `AA3`.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        let split = text.find(|c: char| c.is_ascii_digit())?;
        let (letters, digits) = text.split_at(split);
        if letters.is_empty() || letters.len() > 2 || digits.len() > 3 {
            return None;
        }
        let mut string: u32 = 0;
        for c in letters.bytes() {
            if !c.is_ascii_uppercase() {
                return None;
            }
            string = string * 26 + u32::from(c - b'A') + 1;
        }
        let place: u32 = digits.parse().ok()?;
        (place > 0).then(|| Self { string: string - 1, place: place - 1 })
    }
}

impl std::fmt::Display for BlockId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}{}", Self::string_letters(self.string), self.place + 1)
    }
}

/// Where the two main leads leave the bank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TakeOff {
    /// Plus and minus both from string A.
    SameEnd,
    /// Plus from the first string, minus from the last.
    OppositeCorners,
    /// Each string has its own pair of leads to two busbars; the names are those of the bars.
    Busbars {
        /// The plus busbar.
        plus: String,
        /// The minus busbar.
        minus: String,
    },
    /// Any chosen posts.
    Posts {
        /// The post the plus main lead bolts to.
        plus: Terminal,
        /// The post the minus main lead bolts to.
        minus: Terminal,
    },
}

/// What is known of one block beyond its model.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockState {
    /// Which block.
    pub id: BlockId,
    /// Its model, where it is not the bank's.
    pub model: Option<String>,
    /// Time since it was made.
    pub age: Option<Duration>,
    /// Charge and discharge cycles behind it.
    pub cycles: Option<f64>,
    /// State of charge, 0 to 1.
    pub soc: Option<f64>,
    /// Volts at rest, measured.
    pub rest: Option<Voltage>,
    /// Its own internal resistance.
    pub resistance: Option<Resistance>,
    /// Drawn or fitted the wrong way round.
    pub reversed: bool,
    /// Where its left near corner lies on the plan.
    pub at: Option<PlanPoint>,
    /// Which way it is turned.
    pub turn: Option<Turn>,
    /// Already owned.
    pub have: Option<bool>,
}

impl BlockState {
    /// A block of which nothing special is known.
    #[must_use]
    pub const fn unknown(id: BlockId) -> Self {
        Self {
            id,
            model: None,
            age: None,
            cycles: None,
            soc: None,
            rest: None,
            resistance: None,
            reversed: false,
            at: None,
            turn: None,
            have: None,
        }
    }
}

/// A bank as it stands from one stage on.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    /// Path in the design file: `bank`, or `bank.0` and so on where several are given.
    pub path: String,
    /// The stage from which it stands.
    pub stage: Option<String>,
    /// The model of its blocks.
    pub block: String,
    /// Blocks in series in each string.
    pub series: u32,
    /// Strings in parallel.
    pub parallel: u32,
    /// Where the main leads leave.
    pub takeoff: TakeOff,
    /// Size of the links inside the bank.
    pub link_size: Option<ConductorSize>,
    /// Stud-to-stud length of every link, where all are alike.
    pub link_length: Option<Length>,
    /// Conductor temperature at which the links' resistance is taken; `None` works it out.
    pub link_temperature: Option<Temperature>,
    /// Resistance of every joint that does not say its own.
    pub joint: Option<Resistance>,
    /// State of charge of every block that does not say its own, 0 to 1.
    pub soc: Option<f64>,
    /// Largest steady discharge the owner plans.
    pub discharge: Option<Current>,
    /// Blocks are already owned.
    pub have: bool,
    /// What is special about single blocks, in order of their names.
    pub blocks: Vec<BlockState>,
}

impl Bank {
    /// Every block of the bank, string by string from the plus end.
    #[must_use]
    pub fn block_ids(&self) -> Vec<BlockId> {
        (0..self.parallel)
            .flat_map(|string| (0..self.series).map(move |place| BlockId { string, place }))
            .collect()
    }

    /// What is special about a block, if anything was said of it.
    #[must_use]
    pub fn state_of(&self, id: BlockId) -> BlockState {
        self.blocks.iter().find(|b| b.id == id).cloned().unwrap_or(BlockState::unknown(id))
    }

    /// How many blocks the bank has.
    #[must_use]
    pub const fn count(&self) -> u32 {
        self.series * self.parallel
    }

    /// The plus post of a string.
    #[must_use]
    pub const fn string_plus(string: u32) -> Terminal {
        Terminal::plus(BlockId { string, place: 0 })
    }

    /// The minus post of a string.
    #[must_use]
    pub const fn string_minus(&self, string: u32) -> Terminal {
        Terminal::minus(BlockId { string, place: self.series.saturating_sub(1) })
    }
}

#[cfg(test)]
mod tests {
    use super::BlockId;

    #[test]
    fn block_names_round_trip() {
        for name in ["A1", "B2", "Z9", "AA1", "AB12"] {
            let id = BlockId::from_text(name).expect("a block name");
            assert_eq!(id.to_string(), name, "{name}");
        }
        for name in ["a1", "A", "1", "A0", "ABC1", "A1 +"] {
            assert_eq!(BlockId::from_text(name), None, "{name} names no block");
        }
    }
}

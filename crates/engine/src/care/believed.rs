//! Which entries are believed: wrong units, doubles and slips of the pen are named and left out.

use jiff::civil::DateTime;

/// Why an entry, or one reading, is not taken at its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DoubtKind {
    /// The figure makes sense in another unit only.
    WrongUnit,
    /// The same thing is written twice.
    Duplicate,
    /// A figure that this cell cannot have shown.
    Mistyped,
    /// A day that is yet to come.
    Future,
    /// A part that this bank does not have.
    NoSuchPart,
    /// Read too soon after water was put in.
    JustWatered,
    /// No temperature of the fluid was written.
    NoTemperature,
    /// Far off the cell's other readings; the next one will tell.
    Odd,
}

/// One entry that is left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// The entry's number.
    pub entry: i64,
    /// When it says it was.
    pub at: DateTime,
    /// What it speaks of.
    pub part: String,
    /// Why.
    pub kind: DoubtKind,
    /// What is, in one sentence.
    pub says: String,
    /// What to do; starts with a verb.
    pub remedy: String,
}

//! What is to be done regularly, and when next.

use crate::cite::Cite;
use jiff::civil::Date;

/// One thing to do again and again.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// Its name for ever, such as `water.bank`: a calendar finds the event again by it.
    pub id: String,
    /// What to do; starts with a verb.
    pub what: String,
    /// How often, in words.
    pub how_often: String,
    /// When it was last done.
    pub last: Option<Date>,
    /// When it is due; `None` when the day is not known.
    pub due: Option<Date>,
    /// Days it is late; negative before it is due.
    pub late_days: Option<i32>,
    /// Why, in one line.
    pub why: String,
    /// The part.
    pub part: String,
    /// Where the interval comes from.
    pub source: Cite,
}

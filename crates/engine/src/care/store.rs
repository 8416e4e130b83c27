//! How to lay the bank up.

use crate::cite::Cite;
use jiff::civil::Date;

/// One step of laying up.
#[derive(Clone, Debug, PartialEq)]
pub struct StoreStep {
    /// What to do; starts with a verb.
    pub what: String,
    /// Why, in one line.
    pub why: String,
    /// Where it comes from.
    pub cite: Cite,
}

/// How to lay the bank up.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct StoragePlan {
    /// What to do, in order.
    pub steps: Vec<StoreStep>,
    /// Days until half of it is gone with the isolator off, by the fastest figure of self-discharge.
    pub half_gone_days: Option<f64>,
    /// Days after which to charge it again.
    pub recharge_days: Option<f64>,
    /// When that is, counted from the last full charge.
    pub recharge_by: Option<Date>,
}

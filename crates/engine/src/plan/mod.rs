//! What to buy, cut and do, in which order.

pub mod cutting;

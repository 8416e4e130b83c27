//! The network: elements, exact solve, balance.

pub mod network;
pub mod envelope;

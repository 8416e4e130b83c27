//! The network: elements, exact solve, balance.

pub mod envelope;
pub mod network;
pub mod wiring;

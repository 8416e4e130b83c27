//! The network: elements, exact solve, balance.
//!
//! This module answers what flows where, given resistances, EMFs and drawn currents. Its core
//! knows nothing of blocks, leads or fuses: it names its parts so that an error can, and no more.

pub mod envelope;
pub mod error;
pub mod fine;
pub mod network;
pub mod operate;
pub mod order;
pub mod solve;
pub mod spice;
pub mod wiring;
pub mod netlist;
pub mod paths;
pub mod share;

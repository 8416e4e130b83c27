//! One formula family per file.

pub mod adiabatic;
pub mod awg_law;
pub mod bend_radius;
pub mod block_resistance;
pub mod copper_mass;
pub mod derating;
pub mod fuse_window;
pub mod heat_shrink;
pub mod interrupt;
pub mod resistance;
pub mod short_circuit;
pub mod voltage_drop;

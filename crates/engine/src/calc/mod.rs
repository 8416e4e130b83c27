//! One formula family per file.

pub mod adiabatic;
pub mod air_mass;
pub mod awg_law;
pub mod axle_share;
pub mod ball_load;
pub mod bend_radius;
pub mod block_resistance;
pub mod cell_temperature;
pub mod clear_sky;
pub mod copper_mass;
pub mod derating;
pub mod diffuse_split;
pub mod floor_load;
pub mod fuse_window;
pub mod heat_shrink;
pub mod heel;
pub mod incidence;
pub mod interrupt;
pub mod resistance;
pub mod short_circuit;
pub mod sky_geometry;
pub mod solar_position;
pub mod transposition;
pub mod voltage_drop;

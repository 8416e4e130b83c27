//! The pure engine: a design in, a report out. No file, clock, print or environment is touched here.

pub mod calc;
pub mod checks;
pub mod circuit;
pub mod cite;
pub mod finding;
pub mod layout;
pub mod model;
pub mod number;
pub mod plan;
pub mod tables;
pub mod units;

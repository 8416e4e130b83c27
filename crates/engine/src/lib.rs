//! The pure engine: a design in, a report out. No file, clock, print or environment is touched here.

pub mod units;
pub mod number;
pub mod cite;
pub mod finding;
pub mod tables;
pub mod calc;
pub mod model;
pub mod circuit;
pub mod layout;
pub mod plan;
pub mod checks;

//! The pure engine: a design in, a report out. No file, clock, print or environment is touched here.
//!
//! Modules stand in reading order; each uses only those above it, except that `model` knows no
//! tables and `calc` knows no model.

pub mod units;
pub mod number;
pub mod cite;
pub mod finding;
pub mod tables;
pub mod calc;
pub mod model;
pub mod evidence;
pub mod facts;
pub mod circuit;
pub mod layout;
pub mod sizing;
pub mod study;
pub mod draws;
pub mod sim;
pub mod fit;
pub mod plan;
pub mod prove;
pub mod care;
pub mod checks;
pub mod report;
pub mod hand_over;

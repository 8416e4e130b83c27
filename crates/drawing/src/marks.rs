//! The marks of the trade, each with its form as well as its tone, so that it reads in black and white.

pub mod lead;
pub mod post;
pub mod finding;
pub mod measure;
pub mod sheet;

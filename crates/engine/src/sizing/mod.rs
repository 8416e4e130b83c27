//! The size, fuse and ends of every lead, each number with the rule that made it so.

pub mod answer;

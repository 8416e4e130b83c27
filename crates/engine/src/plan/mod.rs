//! What to buy, cut and do, in which order.

pub mod cutting;
pub mod words;
pub mod figures;
pub mod studs;
pub mod build;
pub mod tools;
pub mod order;
pub mod bench;
mod metal;
pub mod job;
pub mod readings;
pub mod writer;
pub mod cautions;
pub mod fit;
pub mod pages;
pub mod proving;
pub mod steps;
pub mod labels;
pub mod card;
pub mod cut_list;
pub mod shopping;

//! The build book: results and pictures laid out as one print-ready HTML file.
//!
//! Nothing is computed here about the bank: every figure is the engine's. What is decided here is
//! how it stands on paper: which pages there are, where they break, and what each is called.

pub mod paper;
mod lettering;
mod part;
mod pager;
pub mod words;
mod sheet;
mod figure;
pub mod pictures;
mod night_pictures;
mod fit_scenes;
pub mod care_pictures;
mod pages;
pub mod book;
pub mod phone;
pub mod proving_sheet;

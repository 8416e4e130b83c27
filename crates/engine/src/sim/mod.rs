//! The rig over time: weather, sun, bank and loads, an hour at a time.
//!
//! An hour of local solar time is the step and a year has 365 days. What enters and leaves the
//! inner step is plain `f64`, named with its unit, so that many weather years run side by side.

pub mod calendar;
pub mod hour;
pub mod lanes;
pub mod place;
pub mod place_words;
pub mod recipe;
pub mod recorded;
pub mod sun;
pub mod panel;
pub mod surface;
pub mod array;
mod typed;
pub mod weather;
pub mod line;
pub mod solar_controller;
pub mod chain;
pub mod set_points;
pub mod charge_course;
pub mod loads;
pub mod storage;
pub mod bank;
pub mod bank_of;
pub mod vector;
pub mod kernel;
pub mod handbook;
pub mod variant;
pub mod run;
mod stay;
pub mod outcome;
mod more;
pub mod nights;
mod nights_words;
pub mod compare;
pub mod frost;

//! The design file: text in, a design out, with everything that could not be understood named by
//! line and by what to write instead. It is the only crate that knows the file's layout.
//!
//! It reads texts and gives texts back; files are read and written by the app.

pub mod edit;
pub mod renumber;
pub mod fault;
pub mod log_text;
pub mod read;
pub mod readings_file;
pub mod reference;
pub mod render;
pub mod schema;
pub mod spans;
pub mod weather_file;

mod build;
mod measure;
mod nearest;
mod place;
mod refs;
mod splice;
mod syntax;
mod target;
mod terminals;
mod value;
mod walk;
mod words;

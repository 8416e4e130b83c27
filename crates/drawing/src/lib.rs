//! The drawing board: engine results become scenes in millimetres, and scenes become SVG.
//!
//! Nothing is read or written here, and nothing is computed about the bank: a picture shows what the
//! report says.

pub mod check;
pub mod geometry;
pub mod scene;
pub mod style;
pub mod svg;
pub mod text;
pub mod marks;

//! The drawing board: engine results become scenes in millimetres, and scenes become SVG, PDF at true size, or DXF.
//!
//! Nothing is read or written here, and nothing is computed about the bank: a picture shows what the
//! report says.

pub mod style;
pub mod text;
pub mod geometry;
pub mod scene;
pub mod check;
pub mod svg;
pub mod marks;
pub mod pdf;
pub mod dxf;
pub mod pictures;
pub mod templates;

//! The design as data.

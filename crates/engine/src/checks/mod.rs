//! The rules.

//! The sparse solve.

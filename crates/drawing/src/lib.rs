//! Placeholder until the crate lands.

//! Where things lie.

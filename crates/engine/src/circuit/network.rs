//! A connected set of elements.
